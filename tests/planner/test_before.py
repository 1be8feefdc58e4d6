"""What an occasion needs: stages, hours, what is done at it, what is put on and packed."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from planner.before import Before, Part, needs, next_occasion
from planner.model import Project
from planner.plan import Plan
from planner.planning import plan_project
from tests.planner.little import (
    BALL,
    EVENINGS,
    NOW,
    ensemble,
    every,
    garment,
    occasion,
    project,
    short,
)

FITTING = '{ id = "fitting", kind = "fitting", at = 2027-05-05T22:00:00, takes = "1h" }'
WITH_FITTING = f"{FITTING}, {BALL}"
STAYS = garment(
    "cut 30",
    'eyelets 40 after=["cut"], stage="fittable"',
    'bind 20 after=["eyelets"], stage="wearable"',
    'floss 30 after=["cut"], optional=true',
    id="stays",
    keys="layer = 2",
)
SHIFT = garment('try 10 stage="fittable"', id="shift", keys='layer = 1\nsource = "own"')
BODICE = garment(
    "mock 30",
    'fit 25 after=["mock", "stays:fittable", "shift:fittable"], during="fitting", hands=2',
    'correct 20 after=["fit"]',
    'cut 30 after=["correct"], no_way_back=true',
    'sew 60 after=["cut"], stage="wearable"',
    id="bodice",
    keys="layer = 4",
)
ALL = SHIFT + STAYS + BODICE


def needed_by(
    folder: Path, text: str, name: str, hours: str = EVENINGS, now: datetime = NOW, diary: str = ""
) -> Before:
    """What an occasion of ensemble ``e`` needs."""
    read, plan = both(folder, text, hours, now, diary)
    return needs(read, plan, occasion(plan, name))


def both(
    folder: Path, text: str, hours: str = EVENINGS, now: datetime = NOW, diary: str = ""
) -> tuple[Project, Plan]:
    """A little workroom and its plan."""
    read = project(folder, text, hours, diary=diary)
    return read, plan_project(read, now)


def entry(step: str, at: str) -> str:
    """An entry of the diary by which a step is done."""
    return f'[[entry]]\nat = {at}\nstep = "e/{step}"\nminutes = 10\ndone = true\n'


def test_each_garment_with_the_stage_it_must_reach(tmp_path: Path) -> None:
    """What is fitted over must be fittable; what is fitted must be as far as its mock-up."""
    needed = needed_by(tmp_path, ensemble(ALL, WITH_FITTING), "fitting")
    told = [(must.garment, must.stage, short(must.last), short(must.open)) for must in needed.musts]
    assert told == [
        ("e/shift", "fittable", ["try"], ["try"]),
        ("e/stays", "fittable", ["eyelets"], ["cut", "eyelets"]),
        ("e/bodice", None, ["mock"], ["mock"]),
    ]
    stays = needed.musts[1]
    assert stays.left == 70 and short(stays.waits) == ["bind", "floss"]
    assert stays.on is not None and not stays.there


def test_stages_that_the_same_steps_reach(tmp_path: Path) -> None:
    """A garment without stages is fittable, wearable or finished, as suits the occasion."""
    trial = '{ id = "trial", kind = "trial wear", at = 2027-05-06T22:00:00 }'
    hood = garment("sew 30", id="hood", keys="layer = 5")
    over = garment(
        'fit 10 after=["hood"], during="fitting"', 'sew 10 after=["fit"]', id="cape"
    )
    text = ensemble(hood + over, f"{FITTING}, {trial}, {BALL}")
    stages = {
        name: needed_by(tmp_path, text, name).musts[0].stage
        for name in ("fitting", "trial", "ball")
    }
    assert stages == {"fitting": "fittable", "trial": "wearable", "ball": "finished"}


def test_steps_by_the_first_stage_that_needs_them(tmp_path: Path) -> None:
    """An event wants all: first what makes fittable, then wearable, finished, extras."""
    needed = needed_by(tmp_path, ensemble(ALL, WITH_FITTING), "ball")
    parts = {part: set(short(steps)) for part, steps in needed.parts}
    assert parts == {
        Part.FITTABLE: {"try", "cut", "eyelets"},
        Part.WEARABLE: {"bind", "mock", "fit", "correct", "cut", "sew"},
        Part.EXTRA: {"floss"},
    }
    at_fitting = needed_by(tmp_path, ensemble(ALL, WITH_FITTING), "fitting")
    assert [(part, short(steps)) for part, steps in at_fitting.parts][-1] == (
        Part.AS_FAR, ["mock"],
    )  # fmt: skip


def test_hours_that_serve(tmp_path: Path) -> None:
    """Sofa hours serve only what can be done there, the workroom all; all hours are told too."""
    text = ensemble(ALL, WITH_FITTING)
    hours = EVENINGS + every("sofa", "12:00-13:00")
    needed = needed_by(tmp_path, text, "fitting", hours)
    assert needed.hours.left == 10 + 70 + 30 and needed.hours.also == 0
    assert needed.hours.there == 3 * 120 + 3 * 60
    assert needed.hours.serving == 3 * 120
    assert needed.hours.over == 250
    by_hand = text.replace('work = "machine"', 'work = "hand"')
    by_hand = by_hand.replace('place = "workroom"', 'place = "sofa"')
    assert needed_by(tmp_path, by_hand, "fitting", hours).hours.serving == 360 + 110


def test_what_other_occasions_want_by_then(tmp_path: Path) -> None:
    """Work of another ensemble that is due no later counts against the hours, and can't wait."""
    other = ensemble(
        garment("sew 50"), '{ id = "show", kind = "event", at = 2027-05-05T20:00:00 }'
    )
    read = project(tmp_path, ensemble(ALL, WITH_FITTING), other=other)
    plan = plan_project(read, NOW)
    needed = needs(read, plan, occasion(plan, "fitting"))
    assert needed.hours.also == 50
    assert "other/g/sew" not in needed.can_wait
    assert short(needed.can_wait) == ["bind", "floss", "correct", "cut", "sew"]


def test_the_list_of_a_fitting(tmp_path: Path) -> None:
    """Each thing over what it is fitted, the innermost first, and what it decides."""
    needed = needed_by(tmp_path, ensemble(BODICE + STAYS + SHIFT, WITH_FITTING), "fitting")
    (thing,) = needed.things
    assert thing.step == "e/bodice/fit"
    assert thing.under == ("e/shift", "e/stays")
    assert short(thing.decides) == ["correct", "cut"]
    assert (needed.at_it, needed.kept, needed.said) == (25, 60, True)
    usual = FITTING.replace(', takes = "1h"', "")
    needed = needed_by(tmp_path, ensemble(ALL, f"{usual}, {BALL}"), "fitting")
    assert (needed.kept, needed.said) == (35, False)


def test_inner_garments_are_fitted_first(tmp_path: Path) -> None:
    """Whatever the order of the file; yet nothing before what it follows."""
    outer = garment('fit 10 during="fitting"', 'sew 10 after=["fit"]', id="coat", keys="layer = 6")
    inner = garment('fit 10 during="fitting"', id="vest", keys="layer = 3")
    needed = needed_by(tmp_path, ensemble(outer + inner, WITH_FITTING), "fitting")
    assert [thing.step for thing in needed.things] == ["e/vest/fit", "e/coat/fit"]
    after = inner.replace("10m", '10m", after = ["coat/fit"], name = "last')
    needed = needed_by(tmp_path, ensemble(outer + after, WITH_FITTING), "fitting")
    assert [thing.step for thing in needed.things] == ["e/coat/fit", "e/vest/fit"]


def test_nobody_is_fitted_over_what_another_wears(tmp_path: Path) -> None:
    """Garments of different wearers aren't worn over each other."""
    mine = ALL.replace('id = "stays"\n', 'id = "stays"\nwearer = "Ilke"\n')
    mine = mine.replace('id = "bodice"\n', 'id = "bodice"\nwearer = "Orrin"\n')
    needed = needed_by(tmp_path, ensemble(mine, WITH_FITTING), "fitting")
    assert needed.things[0].under == ("e/shift",)


def test_what_is_put_on(tmp_path: Path) -> None:
    """Each wearer's garments in dressing order; not what is done with all of them together."""
    together = garment('wear 60 during="trial"', "mend 30", id="together")
    other = garment("sew 30", id="hose", keys='layer = 1\nwearer = "Orrin"')
    trial = '{ id = "trial", kind = "trial wear", at = 2027-05-06T22:00:00 }'
    text = ensemble(SHIFT + BODICE + other + STAYS + together, f"{FITTING}, {trial}, {BALL}")
    needed = needed_by(tmp_path, text, "trial")
    assert [(item.thing, item.wearer) for item in needed.worn] == [
        ("shift", ""), ("stays", ""), ("bodice", ""), ("hose", "Orrin"),
    ]  # fmt: skip
    assert needed.packing == ()


BOAT = '{ id = "boat", kind = "departure", at = 2027-05-07T06:00:00 }'
PACKS = 'pack = ["shoes", "Stays", "repair kit"]\npacked = ["stays", "repair kit"]\n'


def test_what_is_packed(tmp_path: Path) -> None:
    """The garments, then the list without what is a garment by name; ticked as the file says."""
    text = ensemble(STAYS, f"{BOAT}, {BALL}").replace("format = 1\n", f"format = 1\n{PACKS}")
    needed = needed_by(tmp_path, text, "boat")
    assert [(item.thing, item.garment, item.packed) for item in needed.packing] == [
        ("stays", "e/stays", True), ("shoes", None, False), ("repair kit", None, True),
    ]  # fmt: skip
    stays = needed.packing[0]
    assert short(stays.open) == ["cut", "eyelets", "bind", "floss"] and stays.left == 120
    assert stays.ready is not None and stays.ready <= needed.by and stays.in_time


def test_what_is_still_wet(tmp_path: Path) -> None:
    """A wait that is under way is told by its end; one that ends too late, and what is late."""
    ruff = garment('starch 30 wait="2 nights"', id="ruff", keys="layer = 4")
    text = ensemble(ruff, f"{BOAT}, {BALL}")
    now = datetime(2027, 5, 6, 8)
    (item,) = needed_by(tmp_path, text, "boat", now=now).packing
    assert short(item.open) == ["starch"] and not item.in_time
    diary = entry("ruff/starch", "2027-05-05T21:00:00")
    (item,) = needed_by(tmp_path, text, "boat", now=now, diary=diary).packing
    assert (item.open, item.ready, item.in_time) == ((), datetime(2027, 5, 7), True)
    later = diary.replace("05-05T21", "05-06T07")
    (item,) = needed_by(tmp_path, text, "boat", now=now, diary=later).packing
    assert item.ready == datetime(2027, 5, 8) and not item.in_time


def test_an_occasion_that_is_past(tmp_path: Path) -> None:
    """What it lacked is told, and what of that was done since."""
    diary = entry("shift/try", "2027-05-06T09:00:00")
    now = datetime(2027, 5, 6, 12)
    needed = needed_by(tmp_path, ensemble(ALL, WITH_FITTING), "fitting", now=now, diary=diary)
    assert set(short(needed.lacked)) == {"cut", "eyelets", "mock", "fit"}
    assert short(needed.done_since) == ["try"]
    assert needed.can_wait == ()


def test_what_the_maker_says_it_wants(tmp_path: Path) -> None:
    """Its own `wants` say which stages it is about."""
    show = '{ id = "show", kind = "event", at = 2027-05-07, wants = ["stays:fittable"] }'
    needed = needed_by(tmp_path, ensemble(ALL, f"{FITTING}, {show}, {BALL}"), "show")
    assert [(must.garment, must.stage) for must in needed.musts] == [("e/stays", "fittable")]


def test_the_next_occasion(tmp_path: Path) -> None:
    """The first that isn't past; once all are, the last."""
    _, plan = both(tmp_path, ensemble(ALL, WITH_FITTING))
    following = next_occasion(plan)
    assert following is not None and following.id == "e/fitting"
    _, plan = both(tmp_path, ensemble(ALL, WITH_FITTING), now=datetime(2027, 6, 1))
    following = next_occasion(plan)
    assert following is not None and following.id == "e/ball"


def test_a_ready_by_that_is_past(tmp_path: Path) -> None:
    """Then all must be there by the occasion's beginning."""
    late = '{ id = "ball", kind = "event", at = 2027-05-08, margin = "3 days" }'
    needed = needed_by(tmp_path, ensemble(STAYS, late), "ball", now=datetime(2027, 5, 6))
    assert needed.by == datetime(2027, 5, 8)
    assert needed.hours.there == 240
