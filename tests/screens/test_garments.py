"""The Garments driven by keys and mouse, in workrooms that may be changed."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from planner.catalogue import techniques_with
from planner.catalogue.shelf import orders
from planner.files.reading import read_project
from planner.files.writing import write_ensemble
from planner.model import Source
from planner.problems import InputError, Problem
from planner.splitting.answers import usual
from planner.splitting.joining import join
from planner.splitting.split import split
from screens import state
from screens.garments import Garments
from screens.then import became_sentence
from tests.screens.conftest import Given
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import (
    MONDAY,
    SAMPLE,
    a_copy,
    garment_in,
    step_in,
)

Body = Callable[[Driven, Garments], Awaitable[None]]
SIZES = [(80, 24), (120, 40)]
SEPTEMBER = datetime(2027, 9, 1)


def on_garments(
    path: Path, body: Body, size: tuple[int, int] = (80, 24), now: datetime = MONDAY
) -> None:
    """Open a workroom on its garments."""

    async def run(driven: Driven) -> None:
        await driven.press("g")
        screen = driven.app.screen
        assert isinstance(screen, Garments)
        await body(driven, screen)

    drive(run, size, path, now)


def with_a_petticoat(path: Path) -> Path:
    """The small workroom with a petticoat split from its order."""
    ensemble = read_project(path).ensembles[0]
    order = orders()["petticoat"]
    joined = join(ensemble, split(order, usual(order)), orders=orders(), now=MONDAY)
    write_ensemble(path / "ferrywoman.toml", ensemble, joined.ensemble)
    return path


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_garments_in_dressing_order(tmp_path: Path, size: tuple[int, int]) -> None:
    """Verdict, garments with layer, source, hours and stages, occasions, what else there is."""

    async def body(driven: Driven, screen: Garments) -> None:
        text = driven.text()
        assert text[1].strip().startswith("Fits, but tightly")
        garments = [line for line in text if " make " in line]
        assert [line.split()[:3] for line in garments] == [
            ["▸", "2", "Stays"],
            ["4", "Jacket", "bodice"],
        ]
        assert "4:10" in garments[0] and "Sat 8 May" in garments[0]
        assert driven.shows("Sat  8 May 14:00  Body fitting  fitting, 2 things to do")
        assert driven.shows("e lists it")
        assert driven.shows("cut the layers")

    on_garments(a_copy(tmp_path), body, size)


def test_keys_go_between_screens(tmp_path: Path) -> None:
    """g goes to the garments, u back to the run-up, from wherever one is."""

    async def body(driven: Driven, screen: Garments) -> None:
        await driven.press("enter", "u")
        assert driven.screen == "RunUp"
        await driven.press("enter", "g")
        assert driven.screen == "Garments"
        assert driven.focus == "steps"

    on_garments(a_copy(tmp_path), body)


def test_a_step_opens_to_all_that_is_known(tmp_path: Path) -> None:
    """Enter goes to the steps and opens one: facts, reason, and its caution once."""

    async def body(driven: Driven, screen: Garments) -> None:
        await driven.press("enter", "enter")
        assert driven.shows("Cutting, in the workroom.")
        assert driven.shows("It takes 1 h")
        assert driven.shows("channels” (Stays) follows it")
        said = "Cut away from your other hand"
        assert sum(said in line for line in driven.text()) == 1
        await driven.press("escape")
        assert not driven.shows(said)
        await driven.press("escape")
        assert driven.focus == "garments"

    on_garments(a_copy(tmp_path), body, (120, 40))


def test_everything_by_mouse(tmp_path: Path) -> None:
    """A click goes to a garment or an occasion; a click on a step opens it."""

    async def body(driven: Driven, screen: Garments) -> None:
        await driven.pilot.click("#garments", offset=(12, 1))
        await driven.settle()
        assert driven.shows("Jacket bodice: ")
        await driven.pilot.click("#garments", offset=(12, 3))
        await driven.settle()
        assert driven.shows("Done at it:")
        await driven.pilot.click("#steps", offset=(20, 3))
        await driven.settle()
        assert driven.shows("Fitting, in the workroom")

    on_garments(a_copy(tmp_path), body)


def test_leaving_off_and_taking_back(tmp_path: Path) -> None:
    """x leaves a step or a garment off and takes it back; undo and redo go all the way."""
    path = a_copy(tmp_path)

    async def body(driven: Driven, screen: Garments) -> None:
        await driven.press("down", "enter", "end", "x")
        assert driven.shows("“braid, two rows” (Jacket bodice) left off.")
        assert step_in(read_project(path), "bodice", "trim").left_off
        assert driven.shows("braid, two rows") and driven.shows("left off")
        await driven.press("x")
        assert not step_in(read_project(path), "bodice", "trim").left_off
        await driven.press("escape", "x")
        assert all(step.left_off for step in garment_in(read_project(path), "bodice").steps)
        await driven.press("ctrl+z", "ctrl+z", "ctrl+z")
        assert not any(step.left_off for step in garment_in(read_project(path), "bodice").steps)
        await driven.press("ctrl+y")
        assert step_in(read_project(path), "bodice", "trim").left_off

    on_garments(path, body)


def test_what_was_done_is_told_by_name(tmp_path: Path) -> None:
    """A step is told by its name, or its technique's, never by its id; also one left off."""
    path = a_copy(tmp_path)
    file = path / "ferrywoman.toml"
    text = file.read_text(encoding="utf-8")
    text = text.replace(
        'name = "press open"\nhours = "20m"', 'technique = "hem-by-hand"\namount = ["1 m"]'
    )
    file.write_text(text, encoding="utf-8")

    async def body(driven: Driven, screen: Garments) -> None:
        await driven.press("enter", "x")
        assert driven.shows("“cut the layers” (Stays) left off.")
        await driven.press("x")
        assert driven.shows("“cut the layers” (Stays) taken back.")
        assert screen.garments.go("garment ferrywoman/bodice")
        await driven.settle()
        await driven.press("end", "up", "up", "x")
        name = techniques_with(())["hem-by-hand"].name
        assert driven.shows(f"“{name}” (Jacket bodice) left off.")
        await driven.press("x")
        assert driven.shows(f"“{name}” (Jacket bodice) taken back.")
        await driven.press("i", "tab", *"hem-by-hand", "tab", *"2 m", "ctrl+s")
        assert driven.shows(f"“{name}” added.")

    on_garments(path, body, (120, 40))


def test_duplicating_moving_removing(tmp_path: Path) -> None:
    """d duplicates, comma and full stop move, delete removes; the cursor goes along."""
    path = a_copy(tmp_path)

    def names() -> list[str]:
        return [one.id for one in read_project(path).ensembles[0].garments]

    async def body(driven: Driven, screen: Garments) -> None:
        await driven.press("d")
        assert names() == ["stays", "stays-2", "bodice"]
        assert screen.garments.subject == ("garment", "ferrywoman/stays-2")
        await driven.press("full_stop")
        assert names() == ["stays", "bodice", "stays-2"]
        assert screen.garments.subject == ("garment", "ferrywoman/stays-2")
        await driven.press("delete")
        assert names() == ["stays", "bodice"]
        await driven.press("home", "enter", "down", "d")
        steps = [step.id for step in garment_in(read_project(path), "stays").steps]
        assert steps == ["cut", "channels", "channels-2", "bones", "lace"]
        assert screen.steps.cursor == "ferrywoman/stays/channels-2"
        await driven.press("full_stop", "delete")
        steps = [step.id for step in garment_in(read_project(path), "stays").steps]
        assert steps == ["cut", "channels", "bones", "lace"]

    on_garments(path, body)


def test_new_garment_step_and_occasion(tmp_path: Path) -> None:
    """a adds a garment, i a step to it, and i an occasion where occasions are."""
    path = a_copy(tmp_path)

    async def body(driven: Driven, screen: Garments) -> None:
        await driven.press("a", *"another kind", "enter", *"Red cap", "ctrl+s")
        assert driven.shows("No step yet: i adds the first.")
        await driven.press("i", *"sew it", "down", "down", "down", *"1h", "down", *"h", "ctrl+s")
        assert step_in(read_project(path), "red-cap", "sew-it").hours == 60
        assert screen.steps.cursor == "ferrywoman/red-cap/sew-it"
        await driven.press("down", "i", *"Photographs", "down", *"eee", "down")
        await driven.press(*"20 May 12:00", "ctrl+s")
        assert driven.shows("Photographs added.")
        assert [one.id for one in read_project(path).ensembles[0].occasions] == [
            "body-fitting",
            "photographs",
            "regatta",
        ]
        await driven.press("delete")
        assert driven.shows("Photographs removed.")

    on_garments(path, body)


def test_what_else_must_be_there(tmp_path: Path) -> None:
    """e, or enter, on the last line edits the list of what must be there too."""
    path = a_copy(tmp_path)

    async def body(driven: Driven, screen: Garments) -> None:
        await driven.press("end", "enter", *"shoes, repair kit", "ctrl+s")
        assert driven.shows("Must be there too: shoes and repair kit")
        assert read_project(path).ensembles[0].pack == ("shoes", "repair kit")

    on_garments(path, body)


def test_where_from(tmp_path: Path) -> None:
    """w asks where a garment comes from with the hours each way, and shows the effect."""
    path = with_a_petticoat(a_copy(tmp_path))

    async def body(driven: Driven, screen: Garments) -> None:
        screen.go_to("ferrywoman/petticoat")
        await driven.press("w")
        assert driven.screen == "WhereFrom"
        assert driven.shows("as it is now")
        assert driven.shows("it is in the wardrobe")
        await driven.press("o")
        assert driven.shows("then: ")
        await driven.press("escape")
        assert garment_in(read_project(path), "petticoat").source is Source.MAKE
        await driven.press("w", "down", "enter")
        assert garment_in(read_project(path), "petticoat").source is not Source.MAKE
        await driven.press("ctrl+z")
        assert garment_in(read_project(path), "petticoat").source is Source.MAKE

    on_garments(path, body)


def test_where_only_the_word_would_change(tmp_path: Path) -> None:
    """Without an order of construction that is said before anything is chosen, and of each."""

    async def body(driven: Driven, screen: Garments) -> None:
        await driven.press("w")
        assert driven.shows("No order of construction is known for it")
        rows = [line for line in driven.text() if "this word alone changes" in line]
        assert [line.strip(" ╌").split()[0] for line in rows] == ["own", "alter", "borrow", "buy"]
        assert all("its 4 steps stay" in line for line in rows)
        await driven.press("down")
        assert driven.shows("then: ") and not driven.shows("No order of construction")

    on_garments(a_copy(tmp_path), body)


def test_what_an_edit_made_of_the_plan_is_told(tmp_path: Path) -> None:
    """Also here, under the verdict, till the next key; an undo says it too."""

    async def body(driven: Driven, screen: Garments) -> None:
        await driven.press("e", "down", "x")
        await driven.press("escape", "escape")
        before = driven.app.state
        await driven.press("enter", "down", "x")
        after = driven.app.state
        assert before is not None and after is not None
        became = became_sentence(before.plan, after.plan)
        assert "less to do" in became and screen.verdict.told.endswith(became)
        assert driven.shows("less to do")
        await driven.press("ctrl+z")
        assert screen.verdict.told.startswith("Undone: ") and driven.shows("more to do")
        await driven.press("down")
        assert not screen.verdict.told

    on_garments(a_copy(tmp_path), body)


def test_measured_anew(tmp_path: Path) -> None:
    """m asks the order's questions again; hours and steps follow while typing."""
    path = with_a_petticoat(a_copy(tmp_path))

    async def body(driven: Driven, screen: Garments) -> None:
        screen.go_to("ferrywoman/petticoat")
        before = garment_in(read_project(path), "petticoat")
        await driven.press("m")
        assert driven.shows("It takes ")
        told = driven.text()
        await driven.press("7")
        assert driven.text() != told and driven.shows("then: ")
        await driven.press("ctrl+s")
        assert garment_in(read_project(path), "petticoat").measurements != before.measurements

    on_garments(path, body)


def test_measuring_without_an_order(tmp_path: Path) -> None:
    """A garment without an order of construction has its measurements in its own form."""

    async def body(driven: Driven, screen: Garments) -> None:
        await driven.press("m")
        assert driven.shows("About the Stays")
        assert driven.shows("Measurements")

    on_garments(a_copy(tmp_path), body)


def test_several_ensembles(tmp_path: Path) -> None:
    """Each ensemble has a heading; edits go to the ensemble the cursor is in."""
    path = a_copy(tmp_path, SAMPLE)

    async def body(driven: Driven, screen: Garments) -> None:
        assert driven.shows("Lamp-keeper of Hallow Skerry")
        before = [one.pack for one in read_project(path).ensembles]
        await driven.press("end", "e", "end", *", lanterns", "ctrl+s")
        packs = [one.pack for one in read_project(path).ensembles]
        assert packs == [before[0], (*before[1], "lanterns")]
        await driven.press("home", "e", "down", *"Keeper", "ctrl+s")
        assert driven.shows("Keeper")

    on_garments(path, body, now=SEPTEMBER)


def test_the_palette_offers_what_can_be_done(tmp_path: Path) -> None:
    """Adding and stock are in the palette, by plain verb phrases."""
    path = a_copy(tmp_path)

    async def body(driven: Driven, screen: Garments) -> None:
        told = [one.title for one in driven.app.get_system_commands(screen)]
        for title in ("Add a garment", "Add an occasion", "Add to the stock", "Add a step"):
            assert title in told
        for title in ("Leave off or take back Stays", "Move Stays later", "Remove Stays"):
            assert title in told
        await driven.press("enter")
        told = [one.title for one in driven.app.get_system_commands(screen)]
        assert "Duplicate cut the layers" in told
        assert "Edit stock: narrow wool braid" in told
        (edit,) = [one for one in driven.app.get_system_commands(screen) if "narrow" in one.title]
        edit.callback()
        await driven.settle()
        await driven.press("down", "ctrl+u", *"5 m", "ctrl+s")
        assert read_project(path).ensembles[0].stock[0].have.value == 5

    on_garments(path, body)


def test_saving_an_order_of_ones_own(tmp_path: Path) -> None:
    """A garment is saved as an order of construction, which the workroom then offers."""
    path = a_copy(tmp_path)

    async def body(driven: Driven, screen: Garments) -> None:
        (save,) = [
            one
            for one in driven.app.get_system_commands(screen)
            if one.title == "Save as an order of construction"
        ]
        save.callback()
        await driven.settle()
        assert driven.shows("Stays: an order of construction for the next one")
        await driven.press(*"Light stays", "ctrl+s")
        assert driven.screen == "Garments"
        assert driven.shows(
            "Light stays saved as an order of construction: orders/light-stays.toml"
        )
        (order,) = read_project(path).orders
        assert (order.id, order.name) == ("light-stays", "Light stays")
        assert [one.step.id for one in order.steps] == ["cut", "channels", "bones", "lace"]

    on_garments(path, body)


def test_help_tells_every_key(tmp_path: Path) -> None:
    """The help lists every key of the screen; the bottom line shows the first of them."""

    async def body(driven: Driven, screen: Garments) -> None:
        assert driven.text()[-1].startswith(" enter steps  a add  i new  e edit")
        for one in screen.active_bindings.values():
            if one.node is screen and (one.binding.id or "").startswith("garments."):
                assert one.binding.description and one.binding.tooltip, one.binding
        await driven.press("question_mark")
        assert driven.shows("order they are put on")

    on_garments(a_copy(tmp_path), body)


def test_nothing_there_yet(tmp_path: Path) -> None:
    """Without garments or occasions the screen says what adds them."""
    path = a_copy(tmp_path)
    (path / "ferrywoman.toml").write_text('format = 1\nname = "New"\n', encoding="utf-8")

    async def body(driven: Driven, screen: Garments) -> None:
        assert driven.shows("No garment yet: a adds the first.")
        assert driven.shows("No occasion yet: i adds the first.")
        await driven.press("down", "i", *"Fair", "down", "down", *"22 May 9:00", "ctrl+s")
        assert driven.shows("Sat 22 May 09:00  Fair")
        await driven.press("home", "e", "escape")
        assert driven.screen == "Garments"

    on_garments(path, body)


def test_files_that_break(tmp_path: Path) -> None:
    """A problem in the files is told in place; the last plan stays."""
    path = a_copy(tmp_path)

    async def body(driven: Driven, screen: Garments) -> None:
        file = path / "ferrywoman.toml"
        file.write_text(file.read_text(encoding="utf-8") + "\n[[", encoding="utf-8")
        driven.app.look()
        await driven.settle()
        assert driven.shows("to mend in the files")
        assert driven.shows("Jacket bodice")

    on_garments(path, body)


def test_names_are_never_markup(tmp_path: Path) -> None:
    """Names of garments with brackets and control characters are letters."""
    path = a_copy(tmp_path)
    file = path / "ferrywoman.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('"Stays"', '"Stays [red] [/] \\u001b[31m"'), encoding="utf-8")

    async def body(driven: Driven, screen: Garments) -> None:
        assert driven.shows("Stays [red] [/]")
        await driven.press("e", "escape", "w", "escape", "m", "escape")
        assert driven.shows("Stays [red] [/]")

    on_garments(path, body)


def test_without_an_ensemble(given: Given, monkeypatch: pytest.MonkeyPatch) -> None:
    """With nothing there at all the screen opens, and says so."""

    def fail(
        path: Path, now: datetime, *, thorough: bool = True, **more: Any
    ) -> state.State:
        raise InputError([Problem(file="x.toml", place="line 1", text="this is not TOML")])

    monkeypatch.setattr(state, "read_and_plan", fail)

    async def run(driven: Driven) -> None:
        await driven.press("g", "a", "i", "e", "d", "x", "delete", "w", "m", "comma", "enter")
        assert driven.screen == "Garments"
        assert driven.shows("this is not TOML")

    drive(run)


@pytest.mark.parametrize("size", [(1, 1), (10, 5), (200, 60)], ids=str)
def test_any_size_of_terminal(tmp_path: Path, size: tuple[int, int]) -> None:
    """No terminal is too small or too large to go on."""

    async def body(driven: Driven, screen: Garments) -> None:
        await driven.press("down", "enter", "enter", "escape", "escape", "w", "escape")
        assert driven.app.is_running

    on_garments(a_copy(tmp_path), body, size)
