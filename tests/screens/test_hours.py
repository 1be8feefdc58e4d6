"""The Hours screen, walked by keys: what is there, and what each key makes of the plan."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from planner.files.reading import read_project
from screens.hours import Hours
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, a_copy

MASQUE = Path("sample_projects/copper_wood_masque")
FIRST_NIGHT = datetime(2027, 3, 6)


def hours_of(driven: Driven) -> Hours:
    """The screen."""
    screen = driven.app.screen
    assert isinstance(screen, Hours)
    return screen


def verdict(driven: Driven) -> str:
    """The second line of the verdict."""
    return driven.text()[1].strip()


async def type_in(driven: Driven, text: str) -> None:
    """Type a text."""
    await driven.press(*("space" if char == " " else char for char in text))


def test_thursday_moved_away_and_brought_back(tmp_path: Path) -> None:
    """Three keys down and a: the form says what would become of it, enter keeps it, the verdict
    says what became; r brings the hours back."""
    path = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("o")
        screen = hours_of(driven)
        before = verdict(driven)
        assert driven.shows("workroom       sofa") and driven.shows("full")
        assert screen.hours.cursor == "day 2027-05-03"
        await driven.press("down", "down", "down")
        assert driven.shows("Thursday 6 May: 1:45 of hours, 1:34 planned")
        await driven.press("a")
        assert driven.screen == "Form"
        assert driven.shows("Away from Thursday 6 May") and driven.shows("1 h 34 planned there")
        assert driven.shows("then: ")
        await driven.press("enter")
        await type_in(driven, "ferry")
        await driven.press("enter")
        assert screen.hours.cursor == "day 2027-05-06"
        assert driven.shows("away, ferry") and driven.shows("Away on Thu 6 May.")
        assert verdict(driven) != before
        assert 'reason = "ferry"' in (path / "workroom.toml").read_text()
        await driven.press("r")
        assert driven.shows("“ferry” taken back on Thu 6 May.")
        # what moved holds on to its new day, for there all fits
        assert verdict(driven).startswith("Fits") and before.startswith("Fits")
        assert "ferry" not in (path / "workroom.toml").read_text()
        assert not screen.check_action("take_back", ())
        await driven.press("ctrl+z")
        assert driven.shows("away, ferry")

    drive(body, path=path, now=MONDAY)


def test_hours_of_a_day_are_typed_over(tmp_path: Path) -> None:
    """Enter opens the day's form with its first hours marked; what is typed is tried at once."""
    path = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("o", "down", "enter")
        assert driven.shows("The hours of Tuesday 4 May")
        await type_in(driven, "18-22")
        assert driven.shows("4 h in the workroom") and driven.shows("then: ")
        await driven.press("ctrl+s")
        assert driven.shows("Hours of Tue 4 May changed.")
        assert driven.shows("Tue  4 May  18:00-22:00") and driven.shows("changed")
        assert driven.shows("Changed for this day: workroom 18:00-22:00, usually 19:30-21:30.")
        await driven.press("delete")
        assert driven.shows("Tue  4 May  19:30-21:30")

    drive(body, path=path, now=MONDAY)


def test_a_recurrence_is_added_changed_and_removed(tmp_path: Path) -> None:
    """i asks which days; the new line has the cursor, opens beneath, and goes by delete."""
    path = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("o", "i")
        assert driven.shows("every Monday")
        await type_in(driven, "every first Tuesday")
        await driven.press("enter", *"none", "ctrl+s")
        screen = hours_of(driven)
        assert screen.hours.cursor == "change 0"
        assert driven.shows("every first Tuesday: workroom none")
        assert driven.shows("1 day up to")
        assert read_project(path).workroom.changes[0].rule == "FREQ=MONTHLY;BYDAY=1TU"
        await driven.press("w")
        assert screen.hours.cursor == "day 2027-05-03"
        assert driven.shows("Tue  4 May  no hours")
        await driven.press("w", "end", "up", "up", "up", "delete")
        assert driven.shows("Change of hours removed: every first Tuesday.")
        assert not read_project(path).workroom.changes
        assert driven.shows("None yet: a for days away")

    drive(body, path=path, now=MONDAY)


def test_the_usual_week_and_the_settings_are_changed_in_place(tmp_path: Path) -> None:
    """w goes to them; enter on one opens its one field, and the cursor comes back to it."""
    path = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("o", "w")
        screen = hours_of(driven)
        assert screen.hours.cursor == "week workroom"
        assert driven.shows("The usual workroom hours")
        await driven.press("down", "enter")
        await type_in(driven, "mon 20-22")
        await driven.press("enter")
        assert screen.hours.cursor == "week sofa"
        assert read_project(path).workroom.sofa_hours[2] == ()
        await driven.press("end", "e")
        await type_in(driven, "1h")
        await driven.press("enter")
        assert screen.hours.cursor == "setting hand_sewing_limit"
        assert driven.shows("1:00 at most")
        assert read_project(path).workroom.hand_sewing_limit == 60

    drive(body, path=path, now=MONDAY)


def test_a_step_of_the_opened_day_is_gone_to() -> None:
    """Tab goes into the opened day; enter on a step opens it in the run-up, escape goes back."""

    async def body(driven: Driven) -> None:
        await driven.press("o", "down", "tab")
        screen = hours_of(driven)
        assert driven.focus == "opened" and screen.opened.step is not None
        await driven.press("escape")
        assert driven.focus == "hours"
        await driven.press("tab", "enter")
        assert driven.screen == "RunUp"

    drive(body, path=Path("tests/screens/a_workroom"), now=MONDAY)


def test_the_weeks_of_a_sample_are_legible_at_80_columns() -> None:
    """Each day on a line of its own, reasons and occasions beneath; nothing overlaps."""

    async def body(driven: Driven) -> None:
        await driven.press("o", "end", "pageup", "pageup")
        screen = hours_of(driven)
        told = ["".join(run.text for run in line.runs) for line in screen.hours.lines]
        friday = next(i for i, line in enumerate(told) if "Fri 12 Mar" in line)
        assert "09:30-12:30" in told[friday] and told[friday + 1].strip() == "13:30-16:30"
        assert "Friday off: paint while there is daylight" in told[friday + 2]
        assert any("19:00-21:30  Everything on, up and down the stairs" in line for line in told)
        width = screen.hours.scrollable_content_region.width
        for line in screen.hours.lines:
            right = f" {line.right.text}" if line.right and line.right.text else ""
            text = "".join(run.text for run in line.runs)
            if line.key is not None and line.key.startswith("day"):
                assert len(text) + len(right) <= width, text

    drive(body, path=MASQUE, now=FIRST_NIGHT)


def test_going_to_a_day_an_occasion_and_a_step() -> None:
    """By its date or full id the cursor is on its day."""

    async def body(driven: Driven) -> None:
        await driven.press("o")
        screen = hours_of(driven)
        assert screen.showing is not None
        plan = screen.showing.plan
        screen.go_to("2027-05-11")
        assert screen.hours.cursor == "day 2027-05-11"
        occasion = plan.occasions[0]
        screen.go_to(occasion.id)
        assert screen.hours.cursor == f"day {occasion.at.date()}"
        sitting = plan.sittings[0]
        screen.go_to(sitting.step)
        assert screen.hours.cursor == f"day {sitting.date}"
        titles = [command.title for command in screen.get_commands()]
        assert "Change the usual week: sofa" in titles and "Say when days differ" in titles
        await driven.press("t")
        assert screen.hours.cursor == "day 2027-05-03"

    drive(body, path=Path("tests/screens/a_workroom"), now=MONDAY)


def test_a_click_goes_to_a_day_and_another_changes_it() -> None:
    """The mouse does what the keys do."""

    async def body(driven: Driven) -> None:
        await driven.press("o")
        screen = hours_of(driven)
        await driven.pilot.click("#hours", offset=(20, 4))
        await driven.settle()
        assert screen.hours.cursor == "day 2027-05-06"
        await driven.pilot.click("#hours", offset=(20, 4))
        await driven.settle()
        assert driven.screen == "Form"

    drive(body, path=Path("tests/screens/a_workroom"), now=MONDAY)
