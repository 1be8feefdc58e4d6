"""Rows of the Run-up: days behind, days away, one ensemble alone."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

from planner.editing.hours import away
from planner.files.reading import read_project
from planner.model import Project
from planner.planning import plan_project
from screens.day_rows import Row, rows
from screens.looked_at import LookedAt, looked_at
from screens.opened import nothing_planned
from screens.strips import OTHERS, as_text, strips
from tests.planner.little import BALL, EVENINGS, ensemble, garment
from tests.planner.little import project as written

BEHIND = read_project(Path("sample_projects/oldmere_regatta"))
NOW = datetime(2027, 6, 7)
TWO = read_project(Path("sample_projects/hallow_skerry"))
TWO_NOW = datetime(2027, 8, 30)


def looked(project: Project, now: datetime, alone: str | None = None) -> LookedAt:
    """A project as it is looked at."""
    return looked_at(plan_project(project, now, thorough=False), project, alone)


def table(seen: LookedAt) -> tuple[Row, ...]:
    """Its rows."""
    return rows(seen, strips(seen.plan, 24, seen.alone))


def test_days_behind_stand_above_today() -> None:
    """What was really done, with minutes, stitches and steps finished; then today."""
    found = table(looked(BEHIND, NOW))
    behind = [row for row in found if row.behind]
    assert list(found[: len(behind)]) == behind
    assert found[len(behind)].date == NOW.date()
    yesterday = behind[-1]
    assert (yesterday.date, yesterday.minutes, yesterday.to_go) == (date(2027, 6, 6), 100, 20)
    assert set(as_text(yesterday.cells)) == {"c", "h"}
    assert yesterday.notes == ("2 done",)
    assert "Pad the under-collar" in yesterday.text


def test_lost_days_stand_among_those_behind() -> None:
    """A day without hours says why, and how many were lost."""
    lost = [row for row in table(looked(BEHIND, NOW)) if "lost" in " ".join(row.notes)]
    assert [row.date.day for row in lost] == [1, 2, 3]
    assert {row.text for row in lost} == {"fever, in bed"}
    assert lost[0].notes == ("3:00 lost",)


def test_a_day_away_says_so() -> None:
    """Away with its reason; a recurring change is no absence, but has its reason too."""
    gone = away(BEHIND, date(2027, 6, 10), date(2027, 6, 10), "to the mill")
    found = {row.date: row for row in table(looked(gone, NOW)) if row.occasion is None}
    assert found[date(2027, 6, 10)].text == "away: to the mill"
    band = {row.date: row for row in table(looked(TWO, TWO_NOW)) if row.occasion is None}
    assert band[date(2027, 9, 7)].text == "no hours: parish band"


def test_one_alone_keeps_hours_and_loses_the_others_work() -> None:
    """Rows hold one ensemble's steps and occasions; strips keep their hours, others' work is
    marked; minutes of all together are those of the plan."""
    whole = looked(TWO, TWO_NOW)
    plan = whole.plan
    parts = [looked_at(plan, TWO, one) for one in plan.wearable_on]
    made = strips(plan, 24)
    for row in (one for one in rows(whole, made) if one.occasion is None):
        alone = [
            next(r for r in rows(part, strips(plan, 24, part.alone))
                 if r.date == row.date and r.occasion is None)
            for part in parts
        ]  # fmt: skip
        assert sum(one.minutes for one in alone) == row.minutes
        for one in alone:
            assert len(one.cells) == len(row.cells)
            letters = zip(as_text(one.cells), as_text(row.cells), strict=True)
            assert all(mine in (theirs, OTHERS) for mine, theirs in letters)
    occasions = {row.occasion for row in rows(whole, made)}
    each = [{row.occasion for row in table(part)} for part in parts]
    assert set().union(*each) == occasions and each[0] != each[1]
    assert any(row.text == "the others" for row in table(parts[1]))


def test_hours_that_are_over_are_not_none(tmp_path: Path) -> None:
    """Late in the evening the day had its hours; one without any has none."""
    it = written(tmp_path, ensemble(garment("a 60")), EVENINGS)
    for hour, over in ((12, False), (22, True)):
        seen = looked(it, datetime(2027, 5, 3, hour))
        assert seen.hours_over is over
        assert (table(seen)[0].text == "its hours are over") is over
    today = seen.days[date(2027, 5, 3)]
    assert nothing_planned(today, seen.hours_over) == "This day's hours are over."
    none = looked(away(it, date(2027, 5, 3), date(2027, 5, 3)), datetime(2027, 5, 3, 22))
    assert not none.hours_over


def test_after_the_last_occasion_no_day_is_lost(tmp_path: Path) -> None:
    """It was what it was."""
    it = written(tmp_path, ensemble(garment("a 60")), EVENINGS)
    it = away(it, date(2027, 5, 7), date(2027, 5, 7))
    assert [one.date.day for one in looked(it, datetime(2027, 5, 8, 9)).lost] == [7]
    assert looked(it, datetime(2027, 5, 9, 9)).lost == ()


def test_an_event_that_took_the_evening_belongs_to_its_own_day(tmp_path: Path) -> None:
    """It ended at midnight: on the day after it has no line; one that ended later has."""
    balls = '{ id = "late", kind = "event", at = 2027-05-07T22:30:00, takes = "2h" }, '
    balls += '{ id = "next", kind = "event", at = 2027-05-12 }, '
    text = ensemble(garment("a 60"), balls + BALL.replace("05-08", "05-07T18:30:00"))
    project = written(tmp_path, text, EVENINGS)
    lines = {
        now: {row.occasion for row in table(looked(project, now)) if row.date == now.date()}
        for now in (datetime(2027, 5, 7, 19), datetime(2027, 5, 8, 12))
    }
    assert lines == {
        datetime(2027, 5, 7, 19): {None, "e/late", "e/ball"},
        datetime(2027, 5, 8, 12): {None, "e/late"},
    }


def test_what_a_past_occasion_lacks_is_told_apart(tmp_path: Path) -> None:
    """What was to be done before it is late; what was to be done at it stands open."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-04T14:00:00 }'
    steps = garment("a 10", 'b 10 after=["a"]', 'fit 10 during="pins", after=["b"]',
                    'mark 10 during="pins", after=["fit"]')  # fmt: skip
    project = written(tmp_path, ensemble(steps, f"{pins}, {BALL}"), EVENINGS)
    seen = table(looked(project, datetime(2027, 5, 4, 18)))
    (row,) = [row for row in seen if row.occasion == "e/pins"]
    assert row.notes == ("2 steps before it late", "2 at it open")
