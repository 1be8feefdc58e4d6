"""What would move in words: most important first, before and after."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

from planner.editing.delays import away_until, delivery_comes, nothing_done, occasion_moves
from planner.files.reading import read_project
from planner.kept import kept_of
from planner.model import Project
from planner.plan import Unplaced
from planner.planning import plan_project
from screens.delays_doing import away, delivery, tonight
from screens.delays_told import (
    Effect,
    accepted_sentence,
    better_or_worse,
    effect_of,
    moves,
    told,
)
from screens.then import became_sentence
from tests.planner.little import EVENINGS, NOW, ensemble, garment
from tests.planner.little import project as written

TWO = (
    '{ id = "fitting", kind = "fitting", at = 2027-05-05T18:00:00 }, '
    '{ id = "ball", kind = "event", at = 2027-05-08 }'
)


def _effect(before: Project, after: Project, now: datetime = NOW) -> Effect:
    """What a change makes of a plan that is held on to."""
    plan = plan_project(before, now)
    held = replace(after, kept=kept_of(plan))
    return effect_of(before, plan, held, plan_project(held, now))


def _told(effect: Effect) -> list[str]:
    return [f"{one.label}: {one.text}" for one in told(effect, 66)]


def _moves(effect: Effect) -> list[str]:
    return [f"{one.letter} {one.name} {', '.join(one.days)}: {one.why}" for one in moves(effect)]


def test_an_evening_that_has_room(tmp_path: Path) -> None:
    """The verdict, what to do next, how full; what moves, from when to when, and why."""
    it = written(tmp_path, ensemble(garment("a 120", 'b 60 after=["a"]')), EVENINGS)
    effect = _effect(it, nothing_done(it, NOW.replace(day=6)), NOW.replace(day=6))
    assert _told(effect) == [
        "Then: Worse than now. Does not fit: 1 h short before the ball.",
        "Today: nothing; tomorrow, 2 h, and 3 h are wanted: first “a” (g)",
        "Moves: 1 step goes to other days, 1 h of work",
        "Short: newly 1 h before the ball",
        "Full: the fullest hours 150 %, not 100 %",
        "Wearable: from tomorrow, as before",
    ]
    assert _moves(effect)[0].startswith("m a (g) Thu  6 May → Fri  7 May: 2 h less today")


def test_nothing_moves(tmp_path: Path) -> None:
    """Where hours go in which nothing was planned."""
    it = written(tmp_path, ensemble(garment("a 60")), EVENINGS, fill="100%")
    effect = _effect(it, away_until(it, date(2027, 5, 4), NOW))
    assert "Moves: nothing: every step stays on its day" in _told(effect)
    assert "Full: 50 %, as before" in _told(effect)
    assert moves(effect) == []
    assert accepted_sentence("away until tomorrow", effect) == (
        "Away until tomorrow. Nothing else changes."
    )


def test_steps_without_room(tmp_path: Path) -> None:
    """Those newly late by name, for what; and back again, those that are so no longer."""
    g = garment("a 60", 'fit 30 during="fitting", after=["a"]', 'b 60 after=["fit"]')
    it = written(tmp_path, ensemble(g, TWO), EVENINGS)
    away = away_until(it, date(2027, 5, 5), NOW)
    effect = _effect(it, away)
    assert "Late: for the fitting: “a” (g)" in _told(effect)
    back = _told(_effect(away, it))
    assert "Late: no longer: “a” (g)" in back
    assert any(one.startswith("Then: Better than now. Fits") for one in back)


def test_nothing_to_spare_any_more(tmp_path: Path) -> None:
    """Steps that had something to spare and have nothing."""
    it = written(tmp_path, ensemble(garment("a 240")), EVENINGS, fill="50%")
    effect = _effect(it, away_until(it, date(2027, 5, 6), NOW))
    assert "To spare: nothing any more for “a” (g)" in _told(effect)


def test_when_each_ensemble_can_be_worn(tmp_path: Path) -> None:
    """By name where there are several, those whose day changes."""
    e = ensemble(garment("a 60", keys='name = "Coat"'))
    late = ensemble(garment("a 60"), '{ id = "fair", kind = "event", at = 2027-05-06 }')
    it = written(tmp_path, f'name = "Lamplighter"\n{e}', EVENINGS, f=f'name = "Eel-wife"\n{late}')
    effect = _effect(it, occasion_moves(it, "f/fair", date(2027, 5, 5), NOW))
    assert "Wearable: Eel-wife from tomorrow, not Wednesday 5 May" in _told(effect)
    assert not any("Lamplighter" in one for one in _told(effect))


def test_an_order_that_would_be_too_late(tmp_path: Path) -> None:
    """A stock whose day to order goes by when what takes of it must be done earlier."""
    stock = '{ id = "braid", name = "gold braid", have = "0 m", lead = "3 days" }'
    g = garment('a 60 uses=[{ stock = "braid", amount = ["2 m"] }]')
    it = written(tmp_path, ensemble(g, stock=stock), EVENINGS)
    effect = _effect(it, occasion_moves(it, "e/ball", date(2027, 5, 6), NOW))
    assert "Order: too late for gold braid: it had to be by yesterday" in _told(effect)


def test_a_delivery_that_comes_later(tmp_path: Path) -> None:
    """What waits for it moves to its day, for that reason; a label isn't said twice."""
    stock = '{ id = "wool", name = "wool", coming = [{ amount = "3 m", arrives = 2027-05-04 }] }'
    g = garment('a 60 uses=[{ stock = "wool", amount = ["2 m"] }]', 'b 180 after=["a"]')
    it = written(tmp_path, ensemble(g, stock=stock), EVENINGS, fill="70%")
    effect = _effect(it, delivery_comes(it, "e/wool", date(2027, 5, 7), NOW.date()))
    assert any("“wool” comes on Friday 7 May" in one for one in _moves(effect))
    labels = [one.label for one in told(effect) if one.label]
    assert len(labels) == len(set(labels))


def test_less_short_because_a_step_has_no_time_is_worse(tmp_path: Path) -> None:
    """What has no time at all counts more than the hours that are short for the rest."""
    it = written(tmp_path, ensemble(garment("a 60", 'b 60 after=["a"]')), EVENINGS)
    plan = plan_project(it, NOW)
    first, second = plan.occasions[0], plan.steps[0]
    short = replace(plan, occasions=(replace(first, short=120), *plan.occasions[1:]))
    dropped = replace(
        plan,
        occasions=(replace(first, short=60), *plan.occasions[1:]),
        unplaced=(Unplaced(step=second.id, minutes=60, reason="no hours"),),
    )
    effect = effect_of(it, short, it, dropped)
    said = "Worse than now: more has no time at all, though less is short."
    assert better_or_worse(effect) == said
    assert told(effect)[0].text.startswith(said)
    after = accepted_sentence("away", effect)
    assert "worse than before: more has no time at all" in after.lower()
    back = better_or_worse(effect_of(it, dropped, it, short))
    assert back == "Better than now: less has no time at all, though more is short."
    assert better_or_worse(effect_of(it, plan, it, plan)) == ""


def test_what_can_be_worn_no_longer_is_worse(tmp_path: Path) -> None:
    """Although the hours suffice."""
    it = written(tmp_path, ensemble(garment("a 60")), EVENINGS)
    plan = plan_project(it, NOW)
    not_worn = replace(plan, wearable_on=dict.fromkeys(plan.wearable_on), peak_load=0.1)
    said = "Worse than now: less can be worn, though hours are less full."
    assert better_or_worse(effect_of(it, plan, it, not_worn)) == said


def test_a_delay_makes_nothing_better_by_itself(tmp_path: Path) -> None:
    """Where the plan after it is, all is spread out anew; what is worse counts."""
    it = written(tmp_path, ensemble(garment("a 60")), EVENINGS)
    plan = replace(plan_project(it, NOW), peak_load=0.88)
    emptier = replace(plan, peak_load=0.84)
    effect = effect_of(it, plan, it, emptier, only_loses=True)
    said = "No worse than now; spread out anew, the fullest hours are 84 % full."
    assert better_or_worse(effect) == said
    assert "Better" not in accepted_sentence("sealer late", effect)
    assert "no worse than before; spread out anew" in accepted_sentence("late", effect).lower()
    assert better_or_worse(effect_of(it, plan, it, emptier)) == "Better than now."
    assert better_or_worse(effect_of(it, emptier, it, plan, only_loses=True)) == "Worse than now."
    short = replace(plan, occasions=(replace(plan.occasions[0], short=60), *plan.occasions[1:]))
    fuller = effect_of(it, replace(short, peak_load=0.5), it, plan, only_loses=True)
    assert better_or_worse(fuller) == (
        "Worse than now: hours are fuller, though spread out anew less is short."
    )


def test_what_only_loses(tmp_path: Path) -> None:
    """A delivery that comes later does, one that comes earlier doesn't; nor does an occasion."""
    stock = '{ id = "wool", name = "wool", coming = [{ amount = "3 m", arrives = 2027-05-04 }] }'
    g = garment('a 60 uses=[{ stock = "wool", amount = ["2 m"] }]')
    it = written(tmp_path, ensemble(g, stock=stock), EVENINGS, fill="70%")
    (one,) = it.ensembles[0].stock[0].coming
    assert delivery(it, "e/wool", one, date(2027, 5, 7), NOW).only_loses
    assert not delivery(it, "e/wool", one, date(2027, 5, 3), NOW).only_loses
    assert tonight(it, NOW).only_loses and away(it, date(2027, 5, 5), NOW).only_loses


def test_taken_back_as_many_steps_move_as_were_told_before() -> None:
    """Before it is accepted, once it is and once it is undone: steps of which only a part goes to
    another day count each time, those without any time never."""
    it = read_project(Path("sample_projects/copper_wood_masque"))
    now = datetime(2027, 3, 9, 18)
    trial = occasion_moves(it, "copper_beetle/walk-through", date(2027, 3, 13), now)
    for change in (nothing_done(it, now), trial):
        effect = _effect(it, change, now)
        (goes,) = [one for one in _told(effect) if one.startswith("Moves: ")]
        number = goes.removeprefix("Moves: ").partition(" steps")[0]
        assert f"{number} steps move" in accepted_sentence("said", effect)
        assert f"{number} steps move" in became_sentence(effect.after, effect.before)
