"""What moved between two plans: one case for each reason, and what else is told."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from planner.editing.delays import away_until
from planner.files.reading import read_project
from planner.kept import kept_of
from planner.model import Entry, Kept, KeptHours, Place, Project
from planner.plan import Plan, Verdict
from planner.planning import plan_project
from planner.replan import what_moves
from planner.replanning.evidence import Evidence
from planner.replanning.values import Became, Cause, Direction, Moved, StepMoved
from tests.planner.little import BALL, EVENINGS, NOW, ensemble, garment, project


def may(day: int, hour: int = 0, minute: int = 0) -> datetime:
    """A moment of May 2027."""
    return datetime(2027, 5, day, hour, minute)


def on(*planned: tuple[int, str, int]) -> Kept:
    """A plan kept before all work: day of May, step of garment g, minutes in that evening."""
    days: dict[int, dict[str, int]] = {}
    for day, step, minutes in planned:
        days.setdefault(day, {})[f"e/g/{step}"] = minutes
    hours = [
        KeptHours(
            start=may(day, 19),
            end=may(day, 21),
            day=date(2027, 5, day),
            place=Place.WORKROOM,
            planned=tuple(steps.items()),
        )
        for day, steps in sorted(days.items())
    ]
    return Kept(as_of=NOW, hours=tuple(hours), verdict="fits", fullest=1.0)


def change(day: int, **places: str) -> str:
    """Other hours on a day of May."""
    told = "\n".join(f"{place} = {spans}" for place, spans in places.items())
    return f"\n[[change]]\non = 2027-05-{day:02}\n{told}\n"


def occasion(id: str, kind: str, day: int, hour: int = 18, more: str = "") -> str:
    """An occasion in May."""
    return f'{{ id = "{id}", kind = "{kind}", at = 2027-05-{day:02}T{hour:02}:00:00{more} }}'


def cloth(day: int, lead: str = "") -> str:
    """Wool that comes on a day of May."""
    coming = f'coming = [{{ amount = "2 m", arrives = 2027-05-{day:02} }}]'
    return f'{{ id = "wool", {coming}{lead} }}'


WOOL = 'uses = [{ stock = "wool", amount = "2 m" }]'


class Case:
    """Two workrooms, what was kept of the first, and a step that moves in the second."""

    def __init__(
        self,
        kept: Kept,
        before: str,
        after: str,
        hours: tuple[str, str] = (EVENINGS, EVENINGS),
        *,
        held: bool = True,
        now: datetime = NOW,
    ) -> None:
        self.kept, self.before, self.after = kept, before, after
        self.hours, self.held, self.now = hours, held, now

    def projects(self, folder: Path) -> tuple[Project, Project]:
        """As read, both with the kept plan unless it was let go of."""
        held = self.kept if self.held else Kept()
        before = project(folder / "before", self.before, self.hours[0])
        after = project(folder / "after", self.after, self.hours[1])
        return replace(before, kept=self.kept), replace(after, kept=held)

    def moved(self, folder: Path, *, known: bool) -> Moved:
        """What moves; with the whole plan before ``known``, or only what was kept."""
        before, after = self.projects(folder)
        becomes = plan_project(after, self.now)
        if not known:
            return what_moves(self.kept, becomes, after)
        was = plan_project(before, NOW)
        return what_moves(kept_of(was), becomes, after, before_plan=was, before_project=before)

    def without_the_cause(self, folder: Path) -> Moved:
        """What moves of the same plan where nothing happened."""
        before, _ = self.projects(folder)
        return what_moves(self.kept, plan_project(before, self.now), before)


def e(*steps: str, occasions: str = BALL, stock: str = "") -> str:
    """An ensemble of one garment."""
    return ensemble(garment(*steps), occasions, stock)


def the(moved: Moved, step: str) -> StepMoved:
    """A step that moved."""
    (one,) = (s for s in moved.steps if s.step == f"e/g/{step}")
    return one


FITTING_4 = f"{BALL}, {occasion('fitting', 'fitting', 4)}"
FITTING_6 = f"{BALL}, {occasion('fitting', 'fitting', 6)}"
TAKES = ', takes = "2h"'
LONG_FITTING = f"{BALL}, {occasion('fitting', 'fitting', 4, 19, TAKES)}"
FITTING_WANTS = ', wants = ["g/a"]'
HELPED = EVENINGS + '[helper_hours]\ntuesday = ["19:00-21:00"]\nthursday = ["19:00-21:00"]\n'
NONE_ON_4 = EVENINGS + change(4, workroom="[]", reason='"choir"')

CASES = {
    "stock": (
        Case(
            on((4, "a", 60)),
            e(f"a 60 {WOOL}", stock=cloth(4)),
            e(f"a 60 {WOOL}", stock=cloth(6)),
        ),
        "a", Cause.STOCK, ("e/wool",), 6,
    ),
    "after the occasion": (
        Case(
            on((5, "a", 60)),
            e('a 60 after=["fitting"]', occasions=FITTING_4),
            e('a 60 after=["fitting"]', occasions=FITTING_6),
        ),
        "a", Cause.AFTER_OCCASION, ("e/fitting",), 6,
    ),
    "not before": (
        Case(on((4, "a", 60)), e("a 60"), e("a 60 not_before=2027-05-06")),
        "a", Cause.NOT_BEFORE, (), 6,
    ),
    "follows": (
        Case(
            on((3, "a", 60), (4, "b", 60)),
            e("a 60", 'b 60 after=["a"]'),
            e("a 60 not_before=2027-05-05", 'b 60 after=["a"]'),
        ),
        "b", Cause.FOLLOWS, ("e/g/a",), None,
    ),
    "waits": (
        Case(
            on((3, "a", 60), (4, "b", 60)),
            e('a 60 wait="1 night"', 'b 60 after=["a"]'),
            e('a 60 wait="3 nights"', 'b 60 after=["a"]'),
        ),
        "b", Cause.WAITS, ("e/g/a",), 6,
    ),
    "order": (
        Case(
            on((4, "b", 60), (5, "a", 60)),
            e("a 60 on=2027-05-05", "b 60"),
            e("a 60 on=2027-05-05", 'b 60 after=["a"]'),
        ),
        "b", Cause.ORDER, ("e/g/a",), None,
    ),
    "leads": (
        Case(
            on((5, "a", 60), (6, "b", 60)),
            e("a 60", 'b 60 after=["a"]'),
            e("a 60", 'b 60 after=["a"], on=2027-05-04'),
        ),
        "a", Cause.LEADS, ("e/g/b",), None,
    ),
    "fixed": (
        Case(on((4, "a", 60)), e("a 60"), e("a 60 on=2027-05-06")),
        "a", Cause.FIXED, (), 6,
    ),
    "hours gone": (
        Case(on((4, "a", 60)), e("a 60"), e("a 60"), (EVENINGS, NONE_ON_4)),
        "a", Cause.HOURS_GONE, (), 4,
    ),
    "hours taken by an occasion": (
        Case(
            on((4, "a", 60)),
            e("a 60", "b 30 on=2027-05-03", occasions=FITTING_6),
            e("a 60", "b 30 on=2027-05-03", occasions=LONG_FITTING),
        ),
        "a", Cause.HOURS_GONE, ("e/fitting",), 4,
    ),
    "no helper": (
        Case(
            on((4, "a", 60)), e("a 60 hands=2"), e("a 60 hands=2"),
            (HELPED, HELPED + change(4, helper="[]")),
        ),
        "a", Cause.NO_HELPER, (), 4,
    ),
    "ready by": (
        Case(
            on((6, "a", 60)), e("a 60"),
            e("a 60", occasions='{ id = "ball", kind = "event", at = 2027-05-05 }'),
        ),
        "a", Cause.READY_BY, ("e/ball",), 5,
    ),
    "at the occasion": (
        Case(
            on((4, "a", 30)), e("a 30", occasions=FITTING_6),
            e('a 30 during="fitting"', occasions=FITTING_6),
        ),
        "a", Cause.AT_OCCASION, ("e/fitting",), 6,
    ),
    "longer": (
        Case(
            on((4, "a", 60), (4, "b", 60)),
            e("a 60 one_sitting=true", "b 60 on=2027-05-04"),
            e("a 100 one_sitting=true", "b 60 on=2027-05-04"),
        ),
        "a", Cause.LONGER, (), None,
    ),
    "makes room": (
        Case(
            on((4, "a", 60), (6, "b", 120)),
            e("a 60", "b 120"),
            e("a 60", "b 120 on=2027-05-04"),
        ),
        "a", Cause.MAKES_ROOM, ("e/g/b",), 4,
    ),
    "no time": (
        Case(on((4, "a", 60)), e("a 60"), e('a 60 wait="9 nights"')),
        "a", Cause.NO_TIME, (), None,
    ),
}  # fmt: skip


@pytest.mark.parametrize("known", [True, False], ids=["plan known", "only kept"])
@pytest.mark.parametrize("name", list(CASES))
def test_every_move_has_its_nearest_cause(name: str, known: bool, tmp_path: Path) -> None:
    """The cause is found, with what it names, from the whole plan and from what was kept; where
    it is taken away the step doesn't move."""
    case, step, cause, names, day = CASES[name]
    why = the(case.moved(tmp_path, known=known), step).why
    assert (why.cause, why.names) == (cause, names)
    assert day is None or why.day == date(2027, 5, day)
    assert step not in {one.step[4:] for one in case.without_the_cause(tmp_path).steps}


def test_the_makers_reason_is_told_of_hours_gone(tmp_path: Path) -> None:
    """In the words of the change, with the minutes that are gone."""
    why = the(CASES["hours gone"][0].moved(tmp_path, known=False), "a").why
    assert (why.reason, why.minutes) == ("choir", 120)


def test_an_evening_not_used_is_lost(tmp_path: Path) -> None:
    """Its minutes move from a day gone by, and are told as lost; the cause is the day."""
    case = Case(on((3, "a", 60), (5, "b", 60)), e("a 60", "b 60"), e("a 60", "b 60"), now=may(4))
    moved = case.moved(tmp_path, known=False)
    one = the(moved, "a")
    assert (one.why.cause, one.why.day) == (Cause.NOT_DONE, date(2027, 5, 3))
    assert (moved.lost, moved.minutes, one.direction) == (60, 60, Direction.LATER)
    assert one.from_days == ((date(2027, 5, 3), 60),)
    assert len(moved.steps) == 1


def test_an_evening_half_gone_is_told_by_its_day(tmp_path: Path) -> None:
    """At half past eight half an hour is left of 19:00-21:00: what is too much moves."""
    case = Case(on((3, "a", 100)), e("a 100 one_sitting=true"), e("a 100 one_sitting=true"),
                now=may(3, 20, 30))  # fmt: skip
    why = the(case.moved(tmp_path, known=False), "a").why
    assert (why.cause, why.day, why.minutes) == (Cause.NOT_DONE, date(2027, 5, 3), 90)


def test_what_was_done_does_not_move(tmp_path: Path) -> None:
    """Done as planned: nothing moved, nothing lost; it is told as done since."""
    case = Case(on((3, "a", 60), (5, "b", 60)), e("a 60", "b 60"), e("a 60", "b 60"))
    _, after = case.projects(tmp_path)
    entry = Entry(at=may(3, 21), step="e/g/a", minutes=60, done=True)
    after = replace(after, diary=replace(after.diary, entries=(entry,)))
    moved = what_moves(case.kept, plan_project(after, may(4)), after)
    assert moved.steps == () and moved.lost == 0 and moved.done == 60
    assert [(one.step, one.minutes, one.became) for one in moved.gone] == [
        ("e/g/a", 60, Became.DONE)
    ]


def test_half_done_and_more_left_by_guess(tmp_path: Path) -> None:
    """What was worked is done; what is guessed beyond the plan is more, not a move."""
    case = Case(on((3, "a", 60), (4, "a", 60)), e("a 120"), e("a 120"))
    _, after = case.projects(tmp_path)
    entry = Entry(at=may(3, 21), step="e/g/a", minutes=60, left=90)
    after = replace(after, diary=replace(after.diary, entries=(entry,)))
    moved = what_moves(case.kept, plan_project(after, may(4)), after)
    assert moved.steps == ()
    (one,) = moved.resized
    assert (one.minutes, one.why.cause, one.why.guessed) == (30, Cause.LONGER, True)


def test_fills_what_another_left(tmp_path: Path) -> None:
    """An overfull evening gives up minutes as soon as another evening is free."""
    kept = on((4, "a", 120), (4, "b", 60), (5, "c", 120))
    hours = "[workroom_hours]\ntuesday = [\"19:00-21:00\"]\nwednesday = [\"19:00-21:00\"]\n"
    steps = e("a 120 on=2027-05-04", "b 60", "c 120", occasions=BALL.replace("08", "06"))
    case = Case(kept, steps, steps, (hours, hours))
    _, after = case.projects(tmp_path)
    entry = Entry(at=may(3, 12), step="e/g/c", minutes=120, done=True)
    after = replace(after, diary=replace(after.diary, entries=(entry,)))
    why = the(what_moves(kept, plan_project(after, may(3, 13)), after), "b").why
    assert (why.cause, why.names, why.day) == (Cause.FILLS, ("e/g/c",), date(2027, 5, 5))


def test_more_hours_are_told(tmp_path: Path) -> None:
    """An overfull evening gives up minutes where a day has hours that had none."""
    hours = '[workroom_hours]\ntuesday = ["19:00-21:00"]\n'
    steps = e("a 120 on=2027-05-04", "b 60", occasions=BALL.replace("08", "06"))
    more = hours + change(5, workroom='["19:00-20:00"]')
    case = Case(on((4, "a", 120), (4, "b", 60)), steps, steps, (hours, more))
    why = the(case.moved(tmp_path, known=True), "b").why
    assert (why.cause, why.day, why.minutes) == (Cause.MORE_HOURS, date(2027, 5, 5), 60)


@pytest.mark.parametrize(
    ("before", "after", "cause"),
    [
        (e("a 60"), e("a 60"), Cause.AFRESH),
        (e("a 60 on=2027-05-04"), e("a 60"), Cause.FREED),
        (e("a 120"), e("a 60"), Cause.SHORTER),
        (e("a 60", occasions=BALL.replace("08", "05")), e("a 60"), Cause.DUE_LATER),
    ],
    ids=["afresh", "freed", "shorter", "due later"],
)
def test_without_a_kept_plan_work_is_spread_afresh(
    before: str, after: str, cause: Cause, tmp_path: Path
) -> None:
    """What lay on the 4th goes to the last evening; a cause is told where there is one."""
    minutes = 120 if "a 120" not in before else 240
    case = Case(on((4, "a", minutes // 2)), before, after, held=False)
    assert the(case.moved(tmp_path, known=True), "a").why.cause is cause


def test_spread_afresh_no_step_moves_for_another_that_moved_for_the_spreading(
    tmp_path: Path,
) -> None:
    """Unless that one has a cause of its own."""
    steps = ("a 60", 'b 60 after=["a"]')
    kept = on((3, "a", 60), (4, "b", 60))
    moved = Case(kept, e(*steps), e(*steps), held=False).moved(tmp_path, known=True)
    assert {one.step: one.why.cause for one in moved.steps} == {
        "e/g/a": Cause.AFRESH, "e/g/b": Cause.AFRESH,
    }  # fmt: skip
    hard = e("a 60 not_before=2027-05-05", 'b 60 after=["a"]')
    moved = Case(kept, e(*steps), hard, held=False).moved(tmp_path, known=True)
    assert {one.step: one.why.cause for one in moved.steps} == {
        "e/g/a": Cause.NOT_BEFORE, "e/g/b": Cause.FOLLOWS,
    }  # fmt: skip


def test_a_step_doesnt_move_for_one_that_is_done_by_the_same_day_as_before() -> None:
    """Of a week without its first evenings: whoever moves for what it follows, that ends on a
    later day, or had none. In a fuller evening it ends later, too, but was done that day."""
    now = datetime(2027, 3, 6, 9)
    read = read_project(Path("sample_projects/copper_wood_masque"))
    kept = kept_of(plan_project(read, now, thorough=False))
    away = away_until(replace(read, kept=kept), date(2027, 3, 10), now)
    plan = plan_project(away, now, thorough=False)
    known = Evidence(kept, plan)
    follows = [one for one in what_moves(kept, plan, away).steps if one.why.cause is Cause.FOLLOWS]
    assert follows
    for name in {name for one in follows for name in one.why.names}:
        assert name not in known.was or known.extent[name].day > known.was[name].day


@pytest.mark.parametrize("known", [True, False])
def test_new_steps_are_new_only_where_that_is_known(known: bool, tmp_path: Path) -> None:
    """Of a kept plan alone it can't be told whether a step was there and had no day."""
    case = Case(on((4, "a", 60)), e("a 60"), e("a 60", "b 30"))
    moved = case.moved(tmp_path, known=known)
    (one,) = moved.new
    assert (one.step, one.minutes) == ("e/g/b", 30)
    assert one.why.cause is (Cause.NEW if known else Cause.NO_DAY_THEN)
    assert moved.steps == ()


def test_a_step_opened_again_and_one_wanted_again(tmp_path: Path) -> None:
    """Done by the diary then, with some left now; left off then, taken back now."""
    left_off = e("a 60", "b 30 left_off=true", "c 30")
    case = Case(on((4, "a", 60)), left_off, e("a 60", "b 30", "c 30"))
    before, after = case.projects(tmp_path)
    done = Entry(at=may(2), step="e/g/c", minutes=30, done=True)
    again = Entry(at=may(3), step="e/g/c", left=30)
    before = replace(before, diary=replace(before.diary, entries=(done,)))
    after = replace(after, diary=replace(after.diary, entries=(done, again)))
    was, becomes = plan_project(before, NOW), plan_project(after, NOW)
    moved = what_moves(kept_of(was), becomes, after, before_plan=was, before_project=before)
    assert {one.step[4:]: one.why.cause for one in moved.new} == {
        "b": Cause.WANTED,
        "c": Cause.OPENED,
    }


def test_an_occasion_that_went_by_without_a_step(tmp_path: Path) -> None:
    """A fitting not held: what was to be done at it takes hours now."""
    held_not = f"{BALL}, {occasion('fitting', 'fitting', 4, 18, ', held = false')}"
    steps = 'a 30 during="fitting"'
    case = Case(on((3, "b", 30)), e(steps, "b 30", occasions=FITTING_4),
                e(steps, "b 30", occasions=held_not), now=may(5))  # fmt: skip
    (new,) = case.moved(tmp_path, known=False).new
    assert (new.why.cause, new.why.names) == (Cause.NOT_AT_OCCASION, ("e/fitting",))
    why = the(case.moved(tmp_path, known=True), "a").why
    assert (why.cause, why.names) == (Cause.NOT_AT_OCCASION, ("e/fitting",))


def test_an_occasion_before_the_plan_is_no_reason(tmp_path: Path) -> None:
    """What was to be done at a fitting that was over already when the plan was made, and was
    planned in other hours, wasn't done in these: that is why."""
    held_not = f"{BALL}, {occasion('fitting', 'fitting', 3, 10, ', held = false')}"
    steps = e('a 30 during="fitting"', "b 30", occasions=held_not)
    before = replace(on((4, "a", 30), (6, "b", 30)), as_of=may(3, 18))
    after = project(tmp_path, steps)
    moved = what_moves(before, plan_project(after, may(5)), after)
    (one,) = [step for step in moved.steps if step.step == "e/g/a"]
    assert (one.why.cause, one.why.day) == (Cause.NOT_DONE, date(2027, 5, 4))


def test_what_is_gone_is_told_by_what_became_of_it(tmp_path: Path) -> None:
    """Left off, removed, wanted by nobody."""
    kept = on((4, "a", 10), (4, "b", 10), (4, "c", 10))
    wants = BALL.replace(" }", ', wants = ["g/d"] }')
    case = Case(kept, e("a 10", "b 10", "c 10", "d 10"),
                e("a 10 left_off=true", "c 10", "d 10", occasions=wants))  # fmt: skip
    moved = case.moved(tmp_path, known=False)
    assert {one.step[4:]: one.became for one in moved.gone} == {
        "a": Became.LEFT_OFF,
        "b": Became.REMOVED,
        "c": Became.NOT_WANTED,
    }


def test_newly_short_late_and_missed_orders(tmp_path: Path) -> None:
    """What two evenings lost make of a full week."""
    stock = '{ id = "wool", have = "1 m", lead = "4 days" }'
    steps = ("a 240", "b 240", f'c 120 after=["a", "b"], {WOOL}')
    case = Case(Kept(), e(*steps, stock=stock), e(*steps, stock=stock))
    before, after = case.projects(tmp_path)
    was = plan_project(replace(before, kept=Kept()), NOW)
    kept = kept_of(was)
    after = replace(after, kept=kept)
    becomes = plan_project(after, may(5))
    for known in (None, was):
        moved = what_moves(
            kept, becomes, after, before_plan=known, before_project=before if known else None
        )
        assert [(one.occasion, one.before, one.after) for one in moved.newly_short] == [
            ("e/ball", 0, 240)
        ]
        assert (moved.verdict_before, moved.verdict) == (Verdict.TIGHT, Verdict.DOES_NOT_FIT)
        assert moved.full_before == 1.0 and (moved.full or 0) > 1.5
        assert [(one.stock, one.order_by) for one in moved.orders_missed] == [
            ("e/wool", date(2027, 5, 3))
        ]


def test_nothing_to_spare_is_told_only_of_a_whole_plan(tmp_path: Path) -> None:
    """A step that could end later, and can't now; of a kept plan it isn't known."""
    case = Case(on((5, "a", 60)), e("a 60"), e("a 60", occasions=BALL.replace("08", "06")))
    assert case.moved(tmp_path, known=False).nothing_to_spare is None
    only_5 = EVENINGS + change(3, workroom="[]") + change(4, workroom="[]")
    sooner = e("a 120", occasions=BALL.replace("08", "06"))
    tight = Case(on((5, "a", 120)), e("a 120"), sooner, (EVENINGS, only_5))
    assert tight.moved(tmp_path, known=True).nothing_to_spare == ("e/g/a",)


def test_late_newly_by_what_was_kept(tmp_path: Path) -> None:
    """A step that was to end before the fitting, and can't any more."""
    wants = f"{BALL}, {occasion('fitting', 'fitting', 5, 18, FITTING_WANTS)}"
    before = e("a 60", occasions=wants)
    after = e("a 60 not_before=2027-05-06", occasions=wants)
    moved = Case(on((4, "a", 60)), before, after).moved(tmp_path, known=False)
    assert moved.late == (("e/g/a", "e/fitting"),)
    again = Case(on((6, "a", 60)), after, before).moved(tmp_path, known=True)
    assert again.late == () and again.in_time == (("e/g/a", "e/fitting"),)


def test_what_rests_too_long_is_late_and_no_news(tmp_path: Path) -> None:
    """A step before the fitting that is late for it, for it must rest till then, as it was."""
    wants = f"{BALL}, {occasion('fitting', 'fitting', 5, 18, FITTING_WANTS)}"
    read = project(tmp_path, e('a 60 wait="3 nights"', occasions=wants))
    found = plan_project(replace(read, kept=on((4, "a", 60))), NOW)
    assert ("e/g/a", "e/fitting") in [(s, o.id) for o in found.occasions for s in o.late]
    assert [s.date.day for s in found.sittings] == [4]
    assert what_moves(kept_of(found), found, read).late == ()


def test_wearable_and_occasions_are_told_where_they_moved(tmp_path: Path) -> None:
    """The day on which it can be worn, and an occasion's own time."""
    later = e("a 60", occasions=BALL.replace("08", "09"))
    case = Case(Kept(), e("a 60"), later, held=False)
    before, after = case.projects(tmp_path)
    was, becomes = plan_project(before, NOW), plan_project(after, NOW)
    moved = what_moves(kept_of(was), becomes, after, before_plan=was, before_project=before)
    (one,) = moved.wearable
    assert (one.before, one.after) == (date(2027, 5, 7), date(2027, 5, 8))
    (moves,) = moved.occasions
    assert (moves.before, moves.after) == (may(8), may(9))


def test_the_same_plan_moves_nothing_even_with_steps_without_a_day(tmp_path: Path) -> None:
    """Unplaced, late, at an occasion: nothing of it is news."""
    text = e('a 60 wait="9 nights"', 'b 30 during="fitting"', "c 900", occasions=FITTING_4)
    read = project(tmp_path, text)
    found: Plan = plan_project(read, NOW)
    assert found.unplaced and found.verdict is Verdict.DOES_NOT_FIT
    assert what_moves(kept_of(found), found, read).empty
    assert what_moves(kept_of(found), found, read, before_plan=found, before_project=read).empty

