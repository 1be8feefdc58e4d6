"""The story of opening a workroom three evenings behind, with keys only.

A week of fever lies behind the maker, the second fitting is on Saturday. What is late, which days
are over and why, what is short: it is on the first picture, or a few keys away.
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from planner.plan import NoteKind, Plan, PlannedOccasion
from screens.wording import column, spoken
from tests.screens.driving import Driven, drive

REGATTA = Path("sample_projects/oldmere_regatta")
MONDAY = datetime(2027, 6, 7)
TUESDAY = datetime(2027, 6, 8)
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


def over_by(plan: Plan) -> dict[str, int]:
    """Days over, by date, with minutes."""
    return {
        day.date.isoformat(): note.minutes or 0
        for day in plan.days
        for note in day.notes
        if note.kind is NoteKind.OVER
    }


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_opening_three_evenings_behind(size: tuple[int, int]) -> None:
    """Each station is a look, and the keys that bring the next."""

    async def body(driven: Driven) -> None:
        await _what_is_lost_and_short(driven)
        await _what_was_done(driven)
        await _which_days_are_over_and_why(driven)
        await _what_is_late(driven)

    drive(body, size, path=REGATTA, now=MONDAY)


def _short(plan: Plan) -> PlannedOccasion:
    """The first occasion before which hours are short."""
    return next(one for one in plan.occasions if one.short)


async def _what_is_lost_and_short(driven: Driven) -> None:
    """The maker sees, pressing nothing: that it doesn't fit, by how much and before what; what
    is next to be done; what was lost; how many days are over; when it can be worn still."""
    plan = plan_of(driven)
    first = _short(plan)
    verdict = driven.text()[1].strip()
    assert verdict.startswith(f"Does not fit: {spoken(first.short)} short before “Coat basted")
    third = " ".join(driven.text()[2].split())
    assert third.startswith(("Nothing today; tomorrow, ", "Today nothing; tomorrow, "))
    mine = [one for one in plan.sittings if one.date == TUESDAY.date()]
    wanted, hours = sum(one.minutes for one in mine), sum(one.minutes - one.over for one in mine)
    assert f"tomorrow, {spoken(hours)}" in third and f"{spoken(wanted)} " in third
    assert "wanted: first Shirt" in third
    assert "8 h" in seen(driven) and "ost" in seen(driven)
    many = len(over_by(plan))
    assert many >= 3
    assert f"{many} days overfull" in seen(driven) or "Overfull Tomorrow by" in seen(driven)
    jory = next(one for one in plan.occasions if one.name.startswith("Jory wears it"))
    later = f"{spoken(jory.short)} short before “Jory wears it to the lock and back”"
    assert later in seen(driven) or f"{spoken(jory.short)} short by Sun 20 Jun" in seen(driven)
    assert "Fri 25 Jun" in seen(driven) or "Friday 25 June" in seen(driven)
    # the fitting's own line says the same at its hour
    line = next(
        "".join(run.text for run in (*one.runs, *((one.right,) if one.right else ())))
        for one in driven.run_up.days.lines
        if any(f"14:00-{first.end:%H:%M}" in run.text for run in one.runs)
    )
    assert f"{column(first.short)} short" in line


async def _what_was_done(driven: Driven) -> None:
    """Going up, the days behind: what was really sewn, the maker's own notes, the lost days."""
    assert driven.day == "2027-06-07"
    await driven.press("up")
    assert "Yesterday, Sun 6 Jun: 1:40 done" in seen(driven)
    assert "2 done" in row(driven, "Sun  6 Jun")
    assert "stopped when my hands shook" in opened(driven)
    await driven.press("up", "up")
    assert "Thursday 3 June: nothing done" in seen(driven)
    assert "3 h of hours lost: fever, in bed." in seen(driven)
    assert "3:00 lost" in row(driven, "Thu  3 Jun")
    await driven.press("t")
    assert driven.day == "2027-06-07"
    assert driven.text()[5 if driven.app.size.height < 30 else 9].startswith("▸") or any(
        line.startswith("▸") for line in driven.text()
    )


async def _which_days_are_over_and_why(driven: Driven) -> None:
    """Each day over says by how much at its end; opened, with which steps. The first says why: so
    much work must lie in so few hours before the fitting, for hours were lost; and what helps."""
    plan = plan_of(driven)
    days = over_by(plan)
    for number, (day, minutes) in enumerate(list(days.items())[:2]):
        while driven.day != day:
            await driven.press("down")
        named = f"{datetime.fromisoformat(day):%a} {datetime.fromisoformat(day).day:>2} Jun"
        assert f"over {column(minutes)}" in row(driven, named)
        told = opened(driven)
        assert f"{spoken(minutes)} beyond the hours there are: “" in told
        spot = plan.tight_spot
        assert spot is not None and spot.short > 0
        if number:
            assert f"hours are {spoken(spot.short)} short, from tomorrow on; what would" in told
            continue
        assert f"Why: between today, {spot.start:%H:%M} and Saturday 12 June" in told
        assert f"{spoken(spot.wanted)} of work, and there are {spoken(spot.available)}" in told
        assert "8 h were lost since Tuesday 1 June (fever, in bed)" in told
        assert f"What would help: {spoken(spot.short)} more of hours before Saturday 12" in told
    # what is past the mark on the strip is over, and the step says so
    await driven.press("enter")
    assert driven.focus == "opened"
    await driven.press("end")
    assert "over " in opened(driven)
    await driven.press("escape")


async def _what_is_late(driven: Driven) -> None:
    """A step that is late says for what; it is found by its name, with the chain behind it."""
    plan = plan_of(driven)
    late = [(step, one) for one in plan.occasions for step in one.late if not one.past]
    assert late
    step, occasion = late[0]
    name = plan.names[step]
    await driven.press("slash", *name.casefold(), "enter")
    assert driven.run_up.step == step
    told = opened(driven)
    assert f"Late for “{occasion.name}”" in told or f"late for “{occasion.name}”" in told
    # its day stands in the list, and the occasion's line counts what is late for it
    driven.run_up.days.focus()
    while driven.day != occasion.at.date().isoformat():
        await driven.press("up" if (driven.day or "") > f"{occasion.at.date()}" else "down")
    line = next(one for one in driven.text() if occasion.name[:12] in one and ":" in one[:20])
    assert "short" in line or "late" in line
