"""The story of planning a two-week build, with keys only.

A beetle-knight for a masque in a fortnight: the maker opens a fresh workroom, looks at today, at
the fullest day and why it is so full, gives a step a day of its own, marks Thursday away and sees
what that does, and takes it back.
"""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from planner.model import Place
from planner.plan import Plan
from screens.wording import clean, column, share, spoken
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import a_copy

MASQUE = Path("sample_projects/copper_wood_masque")
SATURDAY = datetime(2027, 3, 6)
THURSDAY = date(2027, 3, 11)
SIZES = [(80, 24), (120, 40)]


def plan_of(driven: Driven) -> Plan:
    """The plan the maker looks at."""
    assert driven.app.state is not None
    return driven.app.state.plan


def seen(driven: Driven) -> str:
    """All that is drawn, as one text."""
    return " ".join(" ".join(driven.text()).split())


def opened(driven: Driven) -> str:
    """The opened day, as one text, scrolled to or not."""
    lines = driven.run_up.opened.lines
    return " ".join(" ".join(run.text for line in lines for run in line.runs).split())


def row(driven: Driven, day: str) -> str:
    """The line of a day."""
    return next(line for line in driven.text() if line[6:16] == day)


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_planning_a_two_week_build(size: tuple[int, int], tmp_path: Path) -> None:
    """Each station is a look, and the keys that bring the next."""

    async def body(driven: Driven) -> None:
        await _opens_on_today(driven)
        await _the_fullest_day_and_why(driven)
        await _a_day_of_its_own(driven)
        await _thursday_away_and_back(driven)

    drive(body, size, path=a_copy(tmp_path, MASQUE), now=SATURDAY)


async def _opens_on_today(driven: Driven) -> None:
    """The maker sees: for what and when; that it fits, but only just, and to begin today; what
    there is to do today, and the fitting at two; that the fullest day isn't over; by when it can
    be worn."""
    first, second, third = driven.text()[:3]
    assert "The Copper Wood masque" in first and "in 14 days" in first
    assert second.strip().startswith("Fits, but tightly: ")
    assert "Begin today." in second
    assert third.strip().startswith("Today")
    today = sum(
        one.minutes for one in plan_of(driven).sittings
        if one.date == SATURDAY.date() and one.window is not None
    )  # fmt: skip
    assert spoken(today) in third and "at 14:00 Templates on the body" in third
    peak = plan_of(driven).peak_load
    assert peak is not None
    assert f"ullest today, {share(peak)}" in seen(driven) or (
        f"no day; fullest is today, {share(peak)}" in seen(driven)
    )
    assert "Saturday 20 March" in seen(driven) or "Sat 20 Mar" in seen(driven)
    # the cursor is on today, whose steps are opened with the hours they take of those there are
    assert driven.day == "2027-03-06"
    assert row(driven, "Sat  6 Mar").startswith("▸  14 ")
    workroom = next(one for one in plan_of(driven).days if one.date == SATURDAY.date())
    of = f"{column(workroom.workroom_planned)} of {column(workroom.workroom_available)}"
    assert f"Today, Sat 6 Mar: workroom {of}" in opened(driven)


async def _the_fullest_day_and_why(driven: Driven) -> None:
    """Days that are tight say so at their end; opened, how full they are. A step says why it is
    on its day: what it waits for, what follows, the occasion at the end of the chain."""
    plan = plan_of(driven)
    fullest = max(plan.days, key=lambda day: (day.peak or 0, -day.date.toordinal()))
    while driven.day != fullest.date.isoformat():
        await driven.press("down")
    named = f"{fullest.date:%a} {fullest.date.day:>2} {fullest.date:%b}"
    assert row(driven, named)
    hours = max(
        (one for one in plan.windows if one.day == fullest.date and one.place is Place.WORKROOM),
        key=lambda one: one.load,
    )
    span = f"{hours.start:%H:%M}-{hours.end:%H:%M}"
    free = spoken(hours.minutes - hours.planned)
    assert f"Of {span} only {free} are free." in opened(driven)
    await driven.press("enter")
    step = driven.run_up.step
    assert step is not None and clean(plan.names[step]) in opened(driven)
    await driven.press("enter")
    why = next(one for one in plan.steps if one.id == step)
    told = opened(driven)
    assert "follows it" in told or "wants it" in told or "are given to" in told
    assert f"{spoken(why.left)} of work in " in told
    assert "After it: " in told
    await driven.press("escape", "escape")
    assert driven.focus == "days"


async def _a_day_of_its_own(driven: Driven) -> None:
    """The leggings are to be mended on Monday: a form asks for the day, its first line says what
    would become of the plan; once kept, the step is on that day and says whose wish that was."""
    await driven.press("slash", *"mend the knee", "enter")
    assert driven.run_up.step is not None and driven.shows("Mend the knee")
    await driven.press("f")
    assert "A fixed day for “Mend the knee”" in seen(driven)
    await driven.press("ctrl+u", *"8 Mar")
    assert "then: fits, but tightly" in seen(driven)
    await driven.press("enter")
    assert driven.day == "2027-03-08"
    assert "Brown leggings: Mend" in row(driven, "Mon  8 Mar")
    assert "“Mend the knee” (Brown leggings) fixed on Monday 8 March." in seen(driven)
    assert "You fixed its day" in opened(driven)
    await driven.press("escape", "escape")


async def _thursday_away_and_back(driven: Driven) -> None:
    """Thursday is to be away: the form says what would become of that; kept, the verdict turns at
    once, days are over, the row says away, and a line says how many steps move. Undone, all is as
    it was."""
    before = plan_of(driven)
    while driven.day != THURSDAY.isoformat():
        await driven.press("down")
    await driven.press("a")
    assert "Away from Thursday 11 March" in seen(driven) and "then: " in seen(driven)
    assert plan_of(driven).sittings == before.sittings
    await driven.press("enter", "enter")
    after = plan_of(driven)
    assert after.fits is not True
    assert driven.text()[1].strip().startswith(("Does not fit: ", "Undecided: "))
    told = seen(driven)
    assert "Away on Thu 11 Mar." in told and " move" in told
    assert row(driven, "Thu 11 Mar").split("│")[0].rstrip().rstrip("╎").count("away") == 1
    over = [day for day in after.days if any(note.kind.value == "over" for note in day.notes)]
    assert over and ("over" in told)
    await driven.press("ctrl+z")
    assert plan_of(driven).sittings == before.sittings
    assert driven.text()[1].strip().startswith("Fits, but tightly: ")
    assert "Undone: away on Thu 11 Mar." in seen(driven)
    assert driven.day == THURSDAY.isoformat()
