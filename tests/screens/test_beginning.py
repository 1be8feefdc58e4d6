"""Beginning workrooms and ensembles, driven by keys."""

from __future__ import annotations

import asyncio
import shutil
from collections.abc import Awaitable, Callable
from datetime import datetime
from pathlib import Path

import pytest

from planner.files.reading import read_project
from planner.model import OccasionKind, Span
from screens.app import Wearby
from screens.beginning import Beginning, beginning_at
from screens.dialogs.choose_order import ChooseOrder
from screens.new_ensemble import can_begin
from tests.pictures import picture
from tests.screens.driving import Driven, drive
from tests.screens.test_pictures import same

NOW = datetime(2027, 3, 1, 9)
Body = Callable[[Driven, Beginning], Awaitable[None]]


def begin(body: Body, path: Path | None, size: tuple[int, int] = (80, 24)) -> int | None:
    """Open the program where there is nothing yet; its exit status, if it ended."""

    async def run() -> int | None:
        app = Wearby(path or Path(), lambda: NOW, beginning_at(path, NOW))
        async with app.run_test(size=size) as pilot:
            driven = Driven(app, pilot)
            await driven.settle()
            form = app.screen
            assert isinstance(form, Beginning)
            await body(driven, form)
        return app.return_code

    return asyncio.run(run())


async def fill(driven: Driven, form: Beginning, **texts: str) -> None:
    """Put texts into fields."""
    for key, text in texts.items():
        form.rows[key].put(text)
        await driven.settle()


def test_a_folder_that_is_not_there_begins_a_workroom(tmp_path: Path) -> None:
    """What is typed is written, and the first garment is asked for at once."""
    folder = tmp_path / "deep" / "sewing"

    async def body(driven: Driven, form: Beginning) -> None:
        await driven.press(*"Ferrywoman", "tab", *"regatta", "tab", *"22 May", "tab", *"11:00")
        await driven.press("tab", *"24 April, 8 May 16:30", "tab", *"15 May", "tab", "tab", "tab")
        await driven.press(*"tue thu 19:30-21:30, sat 10-13", "tab", *"daily 21-22", "ctrl+s")
        assert isinstance(driven.app.screen, ChooseOrder)
        await driven.press("escape")
        assert driven.screen == "Garments" and driven.shows("The whole together")

    begin(body, folder)
    project = read_project(folder)
    assert project.workroom.workroom_hours[1] == (Span(start=1170, end=1290),)
    assert project.workroom.setting_up == 15
    ensemble = project.ensembles[0]
    assert (ensemble.id, ensemble.name) == ("ferrywoman", "Ferrywoman")
    assert [(one.kind, one.at) for one in ensemble.occasions] == [
        (OccasionKind.FITTING, datetime(2027, 4, 24, 14)),
        (OccasionKind.FITTING, datetime(2027, 5, 8, 16, 30)),
        (OccasionKind.TRIAL_WEAR, datetime(2027, 5, 15, 14)),
        (OccasionKind.EVENT, datetime(2027, 5, 22, 11)),
    ]
    trial = [step for step in ensemble.garments[0].steps if step.during == "trial-wear"]
    assert trial and not project.warnings


def test_hours_until_then_are_counted_while_typing(tmp_path: Path) -> None:
    """With a date and hours, there is told how many of each sort there are."""

    async def body(driven: Driven, form: Beginning) -> None:
        await fill(driven, form, name="A", event="ball", date="2027-03-09")
        assert driven.text()[0].strip() == "ball: Tuesday 9 March, in 8 days"
        assert driven.shows("Until then: no hours yet.")
        await fill(driven, form, workroom="sat 10:00-13:00", along="mon-fri 8:00-8:30")
        assert driven.shows("Until then: workroom 2 h 45, on the way 2 h 30.")
        await fill(driven, form, helper="sat 12-13")
        assert driven.shows("workroom 2 h 45 (1 h with help)")
        await fill(driven, form, workroom="sat 10:00-")
        assert driven.shows("workroom 2 h 45 (1 h with help)")

    begin(body, tmp_path / "new")


@pytest.mark.parametrize(
    ("key", "text", "told"),
    [
        ("date", "2026-05-22", "is past"),
        ("date", "soon", "is no date"),
        ("date", "2047-05-22", "more than 10 years ahead"),
        ("time", "noonish", "is no time of day"),
        ("fittings", "24 April, 30 May", "is not before what it is for"),
        ("trial", "23 May", "is not before what it is for"),
        ("departure", "later", "is no date"),
        ("workroom", "tue", "has no hours"),
        ("sofa", "tue 25:00-26:00", "no clock shows"),
        ("helper", "19:00-20:00", "is for no day"),
        ("name", " ", "Give it a name"),
    ],
)
def test_what_is_wrong_is_told_at_its_field(tmp_path: Path, key: str, text: str, told: str) -> None:
    """Past dates, fittings after the event, hours that can't be read: nothing is written."""

    async def body(driven: Driven, form: Beginning) -> None:
        await fill(driven, form, **{"name": "A", "event": "ball", "date": "22 May", key: text})
        await driven.press("ctrl+s")
        assert driven.app.screen is form
        assert told in form.rows[key].wrong

    begin(body, tmp_path / "new")
    assert not (tmp_path / "new").exists()


def test_the_whole_together_is_proposed_and_can_be_refused(tmp_path: Path) -> None:
    """With a trial wear or a departure it is asked for, ticked; else it isn't."""

    async def body(driven: Driven, form: Beginning) -> None:
        await fill(driven, form, name="A", event="ball", date="22 May")
        assert "whole" not in form.rows
        await fill(driven, form, departure="21 May")
        assert form.rows["whole"].text == "yes"
        await fill(driven, form, whole="no")
        await driven.press("ctrl+s")
        assert isinstance(driven.app.screen, ChooseOrder)

    begin(body, tmp_path / "new")
    assert read_project(tmp_path / "new").ensembles[0].garments == ()


def test_escape_leaves_and_writes_nothing(tmp_path: Path) -> None:
    """Nothing was begun, so there is nothing to show; what was typed is asked about once."""

    async def body(driven: Driven, form: Beginning) -> None:
        await driven.press("x", "escape")
        assert "Drop" in form.help_line.text
        await driven.press("escape")

    assert begin(body, tmp_path / "new") == 0
    assert not (tmp_path / "new").exists()


def test_a_workroom_without_an_ensemble_asks_for_the_ensemble_alone(tmp_path: Path) -> None:
    """Its hours are there: only name and dates are asked, and its file stays as it is."""
    workroom = 'format = 1 # mine\nworkroom_hours = { saturday = ["10:00-13:00"] }\n'
    (tmp_path / "workroom.toml").write_text(workroom, "utf-8")

    async def body(driven: Driven, form: Beginning) -> None:
        assert "workroom" not in form.rows and "folder" not in form.rows
        await fill(driven, form, name="Ball gown", event="ball", date="9 March")
        assert driven.shows("workroom 3 h")
        await driven.press("ctrl+s")
        assert isinstance(driven.app.screen, ChooseOrder)

    begin(body, tmp_path)
    assert (tmp_path / "workroom.toml").read_text("utf-8") == workroom
    assert read_project(tmp_path).ensembles[0].id == "ball-gown"


def test_without_a_path_the_folder_is_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A name is proposed; one that is taken by another workroom is refused at its field."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "taken").mkdir()
    (tmp_path / "taken" / "workroom.toml").write_text("format = 1\n", "utf-8")

    async def body(driven: Driven, form: Beginning) -> None:
        assert form.rows["folder"].text == "workroom"
        await fill(driven, form, folder="taken", name="A", event="ball", date="22 May")
        await driven.press("ctrl+s")
        assert "a workroom here already" in form.rows["folder"].wrong
        await fill(driven, form, folder="mine")
        await driven.press("ctrl+s")
        assert isinstance(driven.app.screen, ChooseOrder)

    begin(body, None)
    assert read_project(tmp_path / "mine").ensembles[0].name == "A"


def test_where_there_is_something_it_is_opened(tmp_path: Path) -> None:
    """Only a folder without a workroom and ensembles, or without the latter, is begun in."""
    assert can_begin(tmp_path / "not there") and can_begin(tmp_path)
    assert not can_begin(Path("sample_projects/hallow_skerry"))
    assert not can_begin(tmp_path / "one.toml")
    (tmp_path / "a.toml").write_text("format = 1\n", "utf-8")
    assert not can_begin(tmp_path) and not can_begin(tmp_path / "a.toml")


NAMES = ["[b]Gown[/b] [/]", 'the "good" one\\', "Übermäntele ça", "🧵 gown 👗", "שמלה ונעליים"]


@pytest.mark.parametrize("name", NAMES)
def test_any_name_is_shown_and_saved_literally(tmp_path: Path, name: str) -> None:
    """Brackets, quotes, accents, emoji and right-to-left letters are letters."""

    async def body(driven: Driven, form: Beginning) -> None:
        await fill(driven, form, name=name, event=name, date="22 May")
        assert sum(name[:8] in line for line in driven.text()) >= 3
        await driven.press("ctrl+s")
        assert driven.shows(name[:8])

    begin(body, tmp_path / "new")
    ensemble = read_project(tmp_path / "new").ensembles[0]
    assert (ensemble.name, ensemble.occasions[0].name) == (name, name)


def test_control_characters_do_no_harm(tmp_path: Path) -> None:
    """In any field they are drawn as marks, and a name keeps them."""

    async def body(driven: Driven, form: Beginning) -> None:
        for key in list(form.rows):
            await fill(driven, form, **{key: "a\x1b[31mb\x07"})
        assert not any("\x1b" in line or "\x07" in line for line in driven.text())
        texts = {key: "" for key in form.rows if key != "whole"}
        texts |= {"name": "a\x1b[31mb", "date": "22 May"}
        await fill(driven, form, **texts)
        await driven.press("ctrl+s")
        assert isinstance(driven.app.screen, ChooseOrder)

    begin(body, tmp_path / "new")
    assert read_project(tmp_path / "new").ensembles[0].name == "a\x1b[31mb"


def test_a_new_ensemble_in_the_workroom_that_is_open(tmp_path: Path) -> None:
    """The palette begins one by name and dates; it can be undone."""
    room = Path(shutil.copytree("sample_projects/hallow_skerry", tmp_path / "room"))

    async def body(driven: Driven) -> None:
        await driven.press("g")
        told = {one.title: one for one in driven.app.get_system_commands(driven.app.screen)}
        told["Begin a new ensemble"].callback()
        await driven.settle()
        await driven.press(*"Autumn coat", "tab", *"walk", "tab", *"2 October")
        assert driven.shows("until then workroom")
        await driven.press("ctrl+s")
        assert driven.screen == "Garments" and driven.shows("Autumn coat")
        assert (room / "autumn-coat.toml").exists()
        await driven.press("ctrl+z")
        assert not (room / "autumn-coat.toml").exists()

    drive(body, path=room, now=datetime(2027, 9, 1, 8))


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=str)
def test_pictures_of_beginning(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    """The form looks as it did when somebody last looked at it."""
    monkeypatch.chdir(tmp_path)
    golden = Path(__file__).parents[1] / "golden"

    async def body(driven: Driven, form: Beginning) -> None:
        await driven.press(*"Ferrywoman's clothes", "tab", *"regatta", "tab", *"22 May", "tab")
        await driven.press("tab", *"24 April, 30 May", "tab", *"15 May", "tab", "tab", "tab")
        await driven.press(*"tue thu 19:30-21:30, sat 10-13")
        monkeypatch.chdir(golden.parents[1])
        same(f"beginning_{'x'.join(map(str, size))}.svg", picture(driven))

    begin(body, Path("sewing"), size)
