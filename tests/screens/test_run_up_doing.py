"""What is done from a day of the Run-up: fix a step, change hours, away, a forgotten step."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

from planner.editing.hours import away, day_spans
from planner.files.reading import read_project
from planner.model import Span
from screens.days_doing import no_longer_away
from screens.forms.form import Form
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, a_copy, step_in

TWO = Path("sample_projects/hallow_skerry")
THURSDAY = date(2027, 5, 6)


def step_of(driven: Driven, garment: str, ident: str) -> object:
    """A step as the files have it now."""
    return step_in(driven.app.session.project, garment, ident)


def form(driven: Driven) -> Form:
    """The form that is open."""
    assert isinstance(driven.app.screen, Form)
    return driven.app.screen


async def go_to(driven: Driven, step: str) -> None:
    """The cursor on a step in its day, by a few of its letters."""
    await driven.press("slash", *step, "enter")
    assert driven.run_up.step is not None


def test_fix_a_step_and_free_it(tmp_path: Path) -> None:
    """f asks for the day, the opened one first, and shows what would become of it; f frees."""

    async def body(driven: Driven) -> None:
        await go_to(driven, "channels")
        assert driven.shows("f fix day")
        day = driven.run_up.day
        await driven.press("f")
        assert form(driven).texts["on"].startswith(f"{day:%a}")
        assert driven.shows("then: ")
        await driven.press("ctrl+u", *"6 May")
        assert driven.shows("then: does not fit")
        await driven.press("enter")
        assert driven.screen == "RunUp"
        step = step_in(driven.app.session.project, "stays", "channels")
        assert step.on == THURSDAY
        # the cursor has followed the step to its day, which says why it is there
        assert driven.day == "2027-05-06"
        assert driven.shows("fixed on Thursday 6 May.")
        assert driven.shows("You fixed its day")
        assert driven.shows("f free it") and not driven.shows("f fix day")
        await driven.press("f")
        assert step_in(driven.app.session.project, "stays", "channels").on is None
        assert driven.shows("freed of its day.")

    drive(body, path=a_copy(tmp_path), now=MONDAY)


def test_a_day_that_cant_be_kept_is_fixed_when_asked_twice(tmp_path: Path) -> None:
    """Enter says it at the field, also where it comes right behind the day; again, it keeps."""

    async def body(driven: Driven) -> None:
        await go_to(driven, "press open")
        await driven.press("f", "ctrl+u", *"14 May", "enter")
        assert driven.screen == "Form" and "Enter again keeps it" in " ".join(driven.text())
        await driven.press("ctrl+u", *"15 May", "ctrl+u", *"14 May", "enter")
        assert driven.screen == "RunUp"
        step = step_in(driven.app.session.project, "bodice", "press")
        assert step.on is not None and step.on.day == 14

    drive(body, path=a_copy(tmp_path), now=MONDAY)


def test_a_day_that_cant_be_kept_says_why_in_the_preview(tmp_path: Path) -> None:
    """Before it is kept: which day, and the nearest cause."""

    async def body(driven: Driven) -> None:
        await go_to(driven, "press open")
        await driven.press("f", "ctrl+u", *"14 May")
        told = " ".join(" ".join(driven.text()).split())
        assert "then: “press open” can't be done on Friday 14 May, for that day has no" in told
        assert "Friday 14 May can't be kept: that day has no hours for it" in told
        await driven.press("enter")
        told = " ".join(" ".join(driven.text()).split())
        assert driven.screen == "Form" and "Enter again keeps it all the same." in told
        await driven.press("ctrl+u", *"1 May 2027", "enter")
        assert driven.shows("is past: write today or a later day.")
        await driven.press("ctrl+u", *"soon", "enter")
        assert driven.shows("Write a day as 22 May, tomorrow or 2027-05-22.")
        await driven.press("escape", "escape")
        assert step_in(driven.app.session.project, "bodice", "press").on is None

    drive(body, path=a_copy(tmp_path), now=MONDAY)


def test_mark_a_day_away_and_take_it_back(tmp_path: Path) -> None:
    """a asks as at the Hours and says what would become of it; enter keeps that. On a day away a
    brings its hours back at once; so does undo."""

    async def body(driven: Driven) -> None:
        before = driven.app.session.project
        await driven.press("down", "down", "down")
        assert driven.day == "2027-05-06"
        await driven.press("a")
        assert driven.screen == "Form"
        assert driven.shows("Away from Thursday 6 May") and driven.shows("then: ")
        assert driven.app.session.project == before
        await driven.press("enter", "enter")
        assert not day_spans(driven.app.session.project, THURSDAY)
        assert driven.shows("Away on Thu 6 May.")
        assert driven.day == "2027-05-06"
        assert driven.shows("Marked away. The key a takes that back.")
        row = next(line for line in driven.text() if "Thu  6 May" in line)
        assert row.rstrip().endswith("away")
        assert driven.shows("a not away")
        await driven.press("a")
        assert day_spans(driven.app.session.project, THURSDAY) == day_spans(before, THURSDAY)
        assert driven.shows("Thursday 6 May no longer away.")
        await driven.press("a", "enter", "enter", "ctrl+z")
        assert driven.app.session.project.workroom.changes == before.workroom.changes
        assert driven.shows("Undone: away on Thu 6 May.")

    drive(body, path=a_copy(tmp_path), now=MONDAY)


def test_one_day_of_a_span_is_no_longer_away() -> None:
    """Taken back, a day of a span has its hours; the days around it stay away."""
    project = read_project(TWO)
    day = date(2027, 9, 9)
    first, last = date(2027, 9, 8), date(2027, 9, 10)
    gone = away(project, first, last)
    doing = no_longer_away(day, date(2027, 8, 30))
    assert (doing.label, doing.cursor) == ("Thursday 9 September no longer away", "2027-09-09")
    back = doing.change(gone)
    assert day_spans(back, day) == day_spans(project, day)
    assert not day_spans(back, first) and not day_spans(back, last)


def test_change_the_hours_of_a_day(tmp_path: Path) -> None:
    """c asks for the day's hours place by place, with the verdict as it would be."""

    async def body(driven: Driven) -> None:
        await driven.press("down", "down", "down", "c")
        assert driven.screen == "Form"
        await driven.press("ctrl+u", *"18:00-22:00")
        assert driven.shows("then: ")
        await driven.press("ctrl+s")
        assert driven.screen == "RunUp"
        spans = day_spans(driven.app.session.project, THURSDAY)
        assert spans.workroom == (Span(start=18 * 60, end=22 * 60),)
        assert driven.day == "2027-05-06"

    drive(body, path=a_copy(tmp_path), now=MONDAY)


def test_a_forgotten_step_below_the_cursor(tmp_path: Path) -> None:
    """i adds a step below the one under the cursor; on a day it asks for the garment."""

    async def body(driven: Driven) -> None:
        await go_to(driven, "channels")
        await driven.press("i")
        assert form(driven).questions.title == "A new step of the Stays"
        await driven.press(*"waist tape", "ctrl+s")
        # it has no hours yet, which is said; so it is given some
        assert driven.screen == "Form"
        await driven.press("escape", "escape", "escape", "escape", "i")
        assert driven.screen == "Pick"
        await driven.press(*"bodice", "enter")
        assert form(driven).questions.title == "A new step of the Jacket bodice"

    drive(body, path=a_copy(tmp_path), now=MONDAY)


def test_edit_the_step_under_the_cursor(tmp_path: Path) -> None:
    """e opens the step's own form; on a day there is no step to edit."""

    async def body(driven: Driven) -> None:
        await driven.press("e")
        assert driven.screen == "RunUp"
        await go_to(driven, "channels")
        await driven.press("e")
        assert form(driven).questions.title == "A step of the Stays"

    drive(body, path=a_copy(tmp_path), now=MONDAY)


def test_one_ensemble_alone() -> None:
    """v looks at each alone, then at all again; the heading says which."""

    async def body(driven: Driven) -> None:
        whole = driven.text()
        await driven.press("v")
        assert driven.shows("Only Lamp-keeper of Hallow Skerry")
        await driven.press("v")
        assert driven.shows("Only Tide-reckoner of Hallow Skerry")
        driven.run_up.days.go("2027-09-02")
        await driven.settle()
        await driven.press("enter")
        shown = [line.key for line in driven.run_up.opened.lines if line.key]
        assert shown and all("tide_reckoner/" in key for key in shown)
        assert driven.shows("for the others.")
        # a step of the other one is found all the same
        driven.app.open_step("lamp_keeper/stays/pattern")
        await driven.settle()
        assert driven.run_up.alone is None
        await driven.press("escape", "escape", "v", "v", "v", "t")
        assert driven.text()[:4] == whole[:4]
        titles = [one.title for one in driven.app.get_system_commands(driven.run_up)]
        assert "Look at Tide-reckoner of Hallow Skerry alone" in titles

    drive(body, path=TWO, now=datetime(2027, 8, 30))


def test_with_one_ensemble_there_is_none_alone(tmp_path: Path) -> None:
    """Where there is but one, the key isn't offered."""

    async def body(driven: Driven) -> None:
        assert not driven.shows("one alone")
        await driven.press("v")
        assert driven.run_up.alone is None

    drive(body, path=a_copy(tmp_path), now=MONDAY)


def test_the_palette_offers_what_the_keys_do(tmp_path: Path) -> None:
    """Everything by name, for the day and the step under the cursor."""

    async def body(driven: Driven) -> None:
        await go_to(driven, "channels")
        titles = [one.title for one in driven.app.get_system_commands(driven.run_up)]
        for title in (
            "Add a forgotten step",
            "Fix the day of “boning channels”",
            "Edit “boning channels”",
            "Go to today",
        ):
            assert title in titles
        assert {"Be away from tomorrow", "Change the hours of tomorrow"} <= set(titles)

    drive(body, path=a_copy(tmp_path), now=MONDAY)


def test_the_glance_stands_under_the_verdict(tmp_path: Path) -> None:
    """Two lines at 24 lines, one for each thing at 40; none where days need the room."""

    async def body(driven: Driven) -> None:
        assert driven.text()[2].strip().startswith(("This evening", "Nothing today", "Today"))
        await driven.pilot.resize_terminal(120, 40)
        await driven.settle()
        labels = [line[1:15].strip() for line in driven.text()[2:7]]
        assert labels[:4] == ["Today", "Overfull", "Wearable", "By hand"]
        await driven.pilot.resize_terminal(80, 18)
        await driven.settle()
        assert not driven.shows("Nothing today")

    drive(body, path=a_copy(tmp_path), now=MONDAY)
