"""Adding a garment, driven by keys and mouse."""

from __future__ import annotations

import shutil
from collections.abc import Awaitable, Callable
from dataclasses import replace
from datetime import datetime
from importlib import import_module
from pathlib import Path

import pytest
from textual import events
from textual.binding import Binding

from planner.files.reading import read_project
from planner.model import Ensemble, Source
from planner.quantity import LENGTH, Quantity
from screens.adding import Adding
from screens.dialogs.choose_order import ChooseOrder
from screens.forms.adding import AddQuestions
from screens.forms.form import Form
from screens.new_ensemble import together
from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.driving import Driven, drive
from tests.screens.test_pictures import same
from tests.screens.workrooms import state_of

NOW = datetime(2027, 9, 1, 8)
Body = Callable[[Driven], Awaitable[None]]


@pytest.fixture
def room(tmp_path: Path) -> Path:
    """A workroom of two ensembles, that can be written to."""
    return Path(shutil.copytree("sample_projects/hallow_skerry", tmp_path / "room"))


def lamp_keeper(room: Path) -> Ensemble:
    """The ensemble that garments are added to, as its file says."""
    return next(one for one in read_project(room).ensembles if one.id == "lamp_keeper")


async def choose(driven: Driven, letters: str) -> Adding:
    """Go to the lamp keeper's garments, and choose what is added."""
    await driven.press("g")
    driven.app.screen.go_to("lamp_keeper/stays")  # type: ignore[attr-defined]
    await driven.settle()
    await driven.press("a", *letters, "enter")
    form = driven.app.screen
    assert isinstance(form, Adding)
    return form


def test_the_chooser_shows_hours_each_way(room: Path) -> None:
    """Every order stands under its group with the hours of making, owning, altering, ..."""

    async def body(driven: Driven) -> None:
        await driven.press("g", "a")
        assert isinstance(driven.app.screen, ChooseOrder)
        heading = next(line for line in driven.text() if "borrow" in line)
        assert [word.strip() for word in heading.split()] == [one.value for one in Source]
        await driven.press(*"cloak")
        row = next(line for line in driven.text() if line.startswith("▸"))
        assert row.startswith("▸ cloak or cape") and row.count(":") == len(Source)
        assert driven.shows("cloak or cape, made:")
        assert "panels; length, neck to hem; hem" in driven.app.screen.told.text
        await driven.press("right", "right", "right", "right")
        assert driven.shows("cloak or cape, bought:")
        await driven.press("enter")
        assert driven.shows("‹buy›")
        await driven.press("escape")
        assert driven.screen == "Garments"

    drive(body, path=room, now=NOW)


def test_keys_before_the_orders_are_read_count(room: Path) -> None:
    """Letters and enter typed at once choose what they would have chosen a moment later."""

    async def body(driven: Driven) -> None:
        await driven.press("g")
        await driven.pilot.press("a", *"hat", "enter")
        await driven.settle()
        await driven.settle()
        assert isinstance(driven.app.screen, Adding)
        assert driven.shows("New: bonnet or hat")

    drive(body, path=room, now=NOW)


def test_an_enter_too_many_chooses_nothing(room: Path) -> None:
    """There is no mark before a letter or an arrow: an enter meant for the screen before does
    nothing, and what is typed after it counts."""

    async def body(driven: Driven) -> None:
        await driven.press("g")
        await driven.pilot.press("a", "enter", "enter")
        await driven.settle()
        await driven.press("enter")
        assert isinstance(driven.app.screen, ChooseOrder)
        assert not any(line.startswith("▸") for line in driven.text())
        assert driven.shows("Type a few letters, or go down")
        await driven.press("down")
        first, second = driven.app.screen.orders.matching()[:2]
        assert driven.app.screen.orders.row() == first
        await driven.press("down")
        assert driven.app.screen.orders.row() == second
        await driven.press("enter")
        assert driven.shows(f"New: {second.name}")
        await driven.press("escape", "a", "enter", *"cloak", "enter")
        assert driven.shows("New: cloak or cape")

    drive(body, path=room, now=NOW)


def test_letters_typed_ahead_reach_the_form(room: Path) -> None:
    """What is typed after choosing is an answer, not a key of the screen beneath."""

    async def body(driven: Driven) -> None:
        await driven.press("g")
        await driven.pilot.press("a", *"hat", "enter", *"Green", "enter")
        await driven.settle()
        await driven.settle()
        form = driven.app.screen
        assert isinstance(form, Adding)
        assert form.rows["name"].text == "Green"
        assert form.here is not None and form.here.field.key != "name"
        await driven.press("escape", "escape", "a")
        for key in (*"cloak", "enter", *"Quax"):
            driven.app.post_message(events.Key(key, key if len(key) == 1 else None))
        await driven.settle()
        await driven.settle()
        form = driven.app.screen
        assert isinstance(form, Adding) and driven.shows("New: cloak")
        assert form.rows["name"].text == "Quax"

    drive(body, path=room, now=NOW)


def test_a_name_that_no_order_has_becomes_the_garments(room: Path) -> None:
    """Of another kind: what was looked for is its name."""

    async def body(driven: Driven) -> None:
        await driven.press("g", "a", *"Zigzag [sash]", "enter")
        form = driven.app.screen
        assert isinstance(form, Form) and form.rows["name"].text == "Zigzag [sash]"
        await driven.press("ctrl+s")
        assert driven.shows("Zigzag [sash]")

    drive(body, path=room, now=NOW)
    names = [one.name for one in read_project(room).ensembles[0].garments]
    assert "Zigzag [sash]" in names


def test_figures_follow_what_is_typed(room: Path) -> None:
    """Steps, hours, cloth and the verdict as it would become follow each answer."""

    async def body(driven: Driven) -> None:
        form = await choose(driven, "cloak")
        before = form.heading.right
        assert form.adding.draft is not None
        cloth = form.adding.draft.split.wanted[0].amount.value
        assert driven.shows("then: ") and "steps, " in before
        await driven.press("tab", "tab", "tab", *"1.6 m")
        assert form.heading.right != before
        assert form.adding.draft.split.wanted[0].amount.value > cloth
        assert form.rows["answer.length"].text == "1.6 m"
        assert driven.shows("Takes ")

    drive(body, path=room, now=NOW)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("3", '"3" is no length: write a length with its unit, as 2.4 m'),
        ("3 mm", "less than can be meant"),
        ("abc", '"abc" is no length: write a length with its unit, as 2.4 m'),
        ("", "Write a length with its unit, as 2.4 m"),
    ],
)
def test_an_unfinished_value_is_told_and_not_kept(room: Path, typed: str, told: str) -> None:
    """It is told at once, keeps the last figures, and stays till it is mended."""

    async def body(driven: Driven) -> None:
        form = await choose(driven, "cloak")
        before, draft = form.heading.right, form.adding.draft
        await driven.press("tab", "tab", "tab", "delete", *typed)
        assert told in form.help_line.text
        if typed != "3 mm":  # on the way to it stands "3 m"
            assert form.heading.right == before and form.adding.draft is draft
        assert form.heading.right_style == "$faint"
        await driven.press("ctrl+s")
        assert driven.screen == "Adding"
        assert told in form.rows["answer.length"].wrong
        await driven.press("ctrl+u", *"1.2 m", "ctrl+s")
        assert driven.screen == "Garments"

    drive(body, path=room, now=NOW)


def test_where_from_changes_what_is_asked(room: Path) -> None:
    """A bought garment has the questions and steps of a bought one."""

    async def body(driven: Driven) -> None:
        form = await choose(driven, "cloak")
        made = list(form.rows)
        await driven.press("tab", "b", "b")
        assert form.texts["source"] == "buy"
        assert list(form.rows) != made
        await driven.press("ctrl+s")
        garment = next(one for one in lamp_keeper(room).garments if one.kind == "cloak")
        assert garment.source is Source.BUY

    drive(body, path=room, now=NOW)


def test_kept_it_is_in_the_file_under_the_cursor_and_can_be_undone(room: Path) -> None:
    """^s saves it with its stock; the cursor is on it; ^z takes it back."""

    async def body(driven: Driven) -> None:
        await choose(driven, "cloak")
        await driven.press(*"Night cloak", "ctrl+s")
        assert driven.screen == "Garments"
        assert any(line.startswith("▸") and "Night cloak" in line for line in driven.text())
        ensemble = lamp_keeper(room)
        garment = next(one for one in ensemble.garments if one.name == "Night cloak")
        assert garment.id == "cloak" and garment.steps
        assert any(one.id.startswith("cloak-") for one in ensemble.stock)
        await driven.press("ctrl+z")
        assert all(one.kind != "cloak" for one in lamp_keeper(room).garments)

    drive(body, path=room, now=NOW)


def test_nothing_is_kept_when_it_is_dropped(room: Path) -> None:
    """Escape asks once where something was typed, and leaves the files alone."""
    before = (room / "lamp_keeper.toml").read_text("utf-8")

    async def body(driven: Driven) -> None:
        form = await choose(driven, "cloak")
        await driven.press("x", "escape")
        assert "Drop" in form.help_line.text
        await driven.press("escape")
        assert driven.screen == "Garments"

    drive(body, path=room, now=NOW)
    assert (room / "lamp_keeper.toml").read_text("utf-8") == before


def test_what_waits_is_told_and_can_be_taken_out(room: Path) -> None:
    """A bodice waits for the stays; further down that can be refused, and then it doesn't."""

    async def body(driven: Driven) -> None:
        form = await choose(driven, "fitted")
        assert driven.shows("Waits for")
        key = next(one for one in form.texts if one.startswith("waits.") and "stays:" in one)
        await driven.press("f3")
        form.focus_on(key)
        await driven.settle()
        assert "must be fittable" in form.help_line.text
        await driven.press("n", "ctrl+s")
        assert driven.screen == "Garments"
        garment = next(g for g in lamp_keeper(room).garments if g.id == "fitted-bodice")
        after = {name for step in garment.steps for name in step.after}
        assert not any(name.startswith("stays:") for name in after)
        assert any(":fittable" in name for name in after)

    drive(body, path=room, now=NOW)


def test_what_is_there_already_is_said(room: Path) -> None:
    """Cloth that lies in the cupboard is in the stock from the beginning; another sort isn't."""

    async def body(driven: Driven) -> None:
        form = await choose(driven, "cloak")
        key = next(one for one in form.texts if one.startswith("have."))
        await driven.press("f3")
        form.focus_on(key)
        await driven.settle()
        await driven.press("4")
        assert "write a length with its unit" in form.help_line.text
        await driven.press(*" m", "ctrl+s")
        assert driven.screen == "Garments"
        stock = {one.id: one for one in lamp_keeper(room).stock}
        have = stock[f"cloak-{key.removeprefix('have.')}"].have
        assert have == Quantity(value=4.0, dimension=LENGTH)

    drive(body, path=room, now=NOW)


def test_steps_are_read_page_by_page(room: Path) -> None:
    """In a small terminal page down makes room for the steps; page up gives it back."""

    async def body(driven: Driven) -> None:
        form = await choose(driven, "cloak")
        steps = [one.name for one in form.adding.draft.operations] if form.adding.draft else []
        await driven.press("pagedown")
        assert driven.shows(steps[0])
        for _ in range(12):
            await driven.press("pagedown")
        assert driven.shows(steps[-1][:40])
        for _ in range(14):
            await driven.press("pageup")
        assert driven.shows("Where from") and not form.has_class("-reading")

    drive(body, path=room, now=NOW)


@pytest.mark.parametrize("order", ["apron", "whole-ensemble"])
def test_no_label_stands_twice(room: Path, order: str) -> None:
    """Where the whole together waits for a garment twice, each line says for which stage."""
    state = state_of(room, NOW)
    project = state.project
    whole = together(lamp_keeper(room), NOW)
    ensembles = tuple(whole if one.id == whole.id else one for one in project.ensembles)
    state = replace(state, project=replace(project, ensembles=ensembles))
    questions = AddQuestions(state, whole.id, order, Source.MAKE)
    labels = [one.label for one in questions.fields({}) if one.key.startswith("waits.")]
    assert labels and len(set(labels)) == len(labels)
    if order == "apron":
        assert labels == ["Wearable for The whole together", "Finished for The whole together"]
    else:
        assert {"Waits for wearable Shoes", "Waits for finished Shoes"} <= set(labels)


@pytest.mark.parametrize(("letters", "ways"), [("cloak", 0), ("cloak", 1), ("cloak", 4)])
def test_what_it_takes_is_told_once(room: Path, letters: str, ways: int) -> None:
    """In a narrow terminal what it takes and waits for stands there once, however short the
    split; a line that is cut says which key shows the rest, and there it stands whole."""

    async def body(driven: Driven) -> None:
        await driven.press("g", "a", *letters, *["right"] * ways, "enter")
        form = driven.app.screen
        assert isinstance(form, Adding)
        for rolled in (False, True):
            assert "1 the " not in form.adding._takes()
            lines = ["".join(run.text for run in line.runs) for line in form.aside.lines]
            assert sum("Takes " in line for line in lines) <= 1
            assert sum(line.startswith(" Waits for") for line in lines) <= 1
            cut = [line for line in driven.text() if "…" in line and "Takes " in line]
            assert all(line.rstrip().endswith("pgdn reads on") for line in cut)
            assert not (rolled and cut)
            if ways == 0 and not rolled:
                assert cut
            await driven.press("pagedown")

    drive(body, path=room, now=NOW)


def test_the_mouse_chooses_and_keeps(room: Path) -> None:
    """A click on hours says where from, a second one chooses; options can be clicked."""

    async def body(driven: Driven) -> None:
        await driven.press("g", "a", *"cloak")
        await driven.pilot.click("#orders", offset=(76, 0))
        await driven.settle()
        await driven.settle()
        assert driven.screen == "Adding" and driven.shows("‹buy›")

    drive(body, path=room, now=NOW)


def test_the_palette_of_the_run_up_adds_too(room: Path) -> None:
    """Added from the run-up, it is shown among the garments."""

    async def body(driven: Driven) -> None:
        offered = {one.title: one for one in driven.run_up.get_commands()}
        offered["Add a garment"].callback()
        await driven.settle()
        await driven.press(*"cloak", "enter")
        await driven.press("ctrl+s")
        await driven.settle()
        assert driven.screen == "Garments"
        assert any(line.startswith("▸") and "Cloak" in line for line in driven.text())
        told = " ".join(line.strip() for line in driven.text()[2:5])
        assert told.startswith("Cloak or cape added. ") and "more to do" in told

    drive(body, path=room, now=NOW)


NAMES = ["[b]Cloak[/b] [/]", 'the "good" one\\', "Übermäntele ça", "🧵 cloak 👗", "גלימה של לילה"]


@pytest.mark.parametrize("name", NAMES)
def test_any_name_is_shown_and_saved_literally(room: Path, name: str) -> None:
    """Brackets, quotes, accents, emoji and right-to-left letters are letters."""

    async def body(driven: Driven) -> None:
        form = await choose(driven, "cloak")
        form.rows["name"].put(name)
        await driven.settle()
        assert driven.shows(name[:10])
        await driven.press("ctrl+s")
        assert any(line.startswith("▸") and name[:10] in line for line in driven.text())
        assert any(one.name == name for one in lamp_keeper(room).garments)

    drive(body, path=room, now=NOW)


def test_control_characters_do_no_harm(room: Path) -> None:
    """What is pasted with escape sequences is saved as it is and shown without them."""
    name = "Cloak\x1b[31m\x07 red"

    async def body(driven: Driven) -> None:
        form = await choose(driven, "cloak")
        form.rows["name"].put(name)
        form.rows["answer.length"].put("\x1b[31m")
        await driven.settle()
        assert not any("\x1b" in line or "\x07" in line for line in driven.text())
        form.rows["answer.length"].put("1.2 m")
        await driven.settle()
        await driven.press("ctrl+s")
        assert driven.screen == "Garments"
        assert any(one.name == name for one in lamp_keeper(room).garments)

    drive(body, path=room, now=NOW)


def test_a_garment_of_another_kind_has_a_bare_form(room: Path) -> None:
    """What there is no order for is added with its name, and its steps by hand."""

    async def body(driven: Driven) -> None:
        await driven.press("g", "a", *"zzz")
        assert driven.shows("of another kind, step by step")
        await driven.press("enter")
        assert driven.screen == "Form"

    drive(body, path=room, now=NOW)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=str)
def test_pictures_of_adding(room: Path, size: tuple[int, int]) -> None:
    """The chooser and the form look as they did when somebody last looked at them."""
    name = "x".join(map(str, size))

    async def body(driven: Driven) -> None:
        await driven.press("g")
        driven.app.screen.go_to("lamp_keeper/stays")  # type: ignore[attr-defined]
        await driven.settle()
        await driven.press("a", "down", "down")
        same(f"choosing_{name}.svg", picture(driven))
        await driven.press(*"fitted", "enter", "tab", "tab", "tab", *"1.1 m")
        await driven.settle()
        same(f"adding_{name}.svg", picture(driven))

    drive(body, size, path=room, now=NOW)


def test_picture_of_something_wrong_by_daylight(room: Path) -> None:
    """What is wrong stands in words, in the light colours too."""

    async def body(driven: Driven) -> None:
        driven.app.theme = DAYLIGHT.name
        await choose(driven, "cloak")
        await driven.press("tab", "tab", "tab", *"12", "tab")
        await driven.settle()
        same("adding_wrong_80x24.svg", picture(driven))

    drive(body, path=room, now=NOW)


def test_picture_of_adding_without_colour(room: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR set nothing is lost."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def body(driven: Driven) -> None:
        await choose(driven, "cloak")
        same("adding_no_color_80x24.svg", picture(driven))

    drive(body, path=room, now=NOW)


def test_enter_is_called_enter_wherever_it_is_named() -> None:
    """Footers and helps name keys by words, alike in every screen and form."""
    for file in Path("screens").rglob("*.py"):
        module = import_module(".".join(file.with_suffix("").parts))
        for one in vars(module).values():
            bindings = vars(one).get("BINDINGS", ()) if isinstance(one, type) else ()
            for binding in bindings:
                assert isinstance(binding, Binding)
                if binding.key.split(",")[0] == "enter" and (binding.show or binding.tooltip):
                    assert binding.key_display == "enter", (file, binding)
