"""Forms driven by keys and mouse, in workrooms that may be changed."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from textual import events

from planner.files.reading import read_project
from planner.model import Work
from planner.problems import InputError, Problem
from screens.forms.form import Form
from screens.forms.garment import EnsembleQuestions, GarmentQuestions
from screens.forms.occasion import OccasionQuestions
from screens.forms.parts import Further
from screens.forms.rows import ChoiceValue, FieldRow
from screens.forms.stock import StockQuestions
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, a_copy, state_of, step_in

Body = Callable[[Driven, Form], Awaitable[None]]

HEM = ("g", "down", "enter", *["down"] * 5, "e")
"""From the home screen to the form of the bodice's hem."""


def on_the_hem(folder: Path, body: Body, size: tuple[int, int] = (80, 24)) -> Path:
    """Open the form of a step in a copy of the small workroom; the folder that was changed."""
    path = a_copy(folder)

    async def run(driven: Driven) -> None:
        await driven.press(*HEM)
        form = driven.app.screen
        assert isinstance(form, Form)
        assert driven.shows("A step of the Jacket bodice")
        await body(driven, form)

    drive(run, size, path, MONDAY)
    return path


async def paste(driven: Driven, text: str) -> None:
    """Text as a terminal sends it that isn't on the keyboard."""
    driven.app.post_message(events.Paste(text))
    await driven.settle()


SIZES = [(80, 24), (120, 40)]


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_a_form_says_what_it_would_change(tmp_path: Path, size: tuple[int, int]) -> None:
    """While typing, the line under the verdict says what would become; escape drops it."""

    async def body(driven: Driven, form: Form) -> None:
        assert driven.shows("2 h 30, from 1 h 45 to 3 h 45")
        assert not driven.shows("then:")
        await driven.press("down", "down", "down", "4", "h")
        assert driven.shows("then: ")
        assert driven.shows("4 h, from 2 h 48 to 6 h")
        await driven.press("escape")
        assert driven.shows("Drop what you typed?")
        await driven.press("escape")
        assert driven.screen == "Garments"

    path = on_the_hem(tmp_path, body, size)
    assert step_in(read_project(path), "bodice", "hem").hours == 150


def test_keeping_saves_at_once(tmp_path: Path) -> None:
    """Control-s keeps what stands there; it is saved, told, and can be undone."""

    async def body(driven: Driven, form: Form) -> None:
        await driven.press("down", "down", "down", *"4h", "ctrl+s")
        assert driven.screen == "Garments"
        assert driven.shows("“hem by hand” changed.")
        assert step_in(read_project(driven.app.path), "bodice", "hem").hours == 240
        await driven.press("ctrl+z")
        assert driven.shows("Undone: “hem by hand” changed.")
        await driven.press("ctrl+y")

    path = on_the_hem(tmp_path, body)
    assert step_in(read_project(path), "bodice", "hem").hours == 240


def test_enter_goes_on_and_unfolds_and_keeps_after_the_last(tmp_path: Path) -> None:
    """Enter goes from field to field, then to what is folded, which it unfolds; after the last
    field there is it keeps. The bottom line says which of these it does."""

    async def body(driven: Driven, form: Form) -> None:
        await driven.press(*"Fine hem")
        assert driven.text()[-1].strip().startswith("enter next")
        for _ in form.rows:
            assert isinstance(form.here, FieldRow)
            await driven.press("enter")
        assert isinstance(form.focused, Further)
        assert driven.text()[-1].strip().startswith("enter unfold")
        assert not form.further
        await driven.press("enter")
        assert form.further and form.here is not None and form.here.field.key == "low"
        assert driven.text()[-1].strip().startswith("enter next")
        form.focus_on(list(form.rows)[-1])
        await driven.settle()
        assert driven.text()[-1].strip().startswith("enter keep")
        await driven.press("enter")
        assert driven.screen == "Garments"

    path = on_the_hem(tmp_path, body)
    assert step_in(read_project(path), "bodice", "hem").name == "Fine hem"


def test_enter_keeps_after_the_last_where_nothing_is_folded(tmp_path: Path) -> None:
    """A form without further fields is kept by enter in its last field."""
    path = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("g")
        driven.app.push_screen(Form(EnsembleQuestions(state_of(path), "ferrywoman")))
        await driven.settle()
        assert driven.text()[-1].strip().startswith("enter next")
        await driven.press(*"shoes", "enter")
        assert driven.text()[-1].strip().startswith("enter keep")
        await driven.press("enter")
        assert driven.screen == "Garments"

    drive(body, path=path, now=MONDAY)
    assert read_project(path).ensembles[0].pack == ("shoes",)


def test_nothing_changed_is_nothing_kept(tmp_path: Path) -> None:
    """A form in which nothing was typed closes without asking and changes no file."""

    async def body(driven: Driven, form: Form) -> None:
        await driven.press("ctrl+s")
        assert driven.screen == "Garments"
        await driven.press("e", "escape")
        assert driven.screen == "Garments"
        assert not driven.app.session.done

    on_the_hem(tmp_path, body)


def test_what_is_wrong_keeps_the_form_open(tmp_path: Path) -> None:
    """What is wrong is said under its field, once it is left; nothing typed is lost."""

    async def body(driven: Driven, form: Form) -> None:
        await driven.press("down", "down", "down", *"long")
        assert not driven.shows("is not a duration")
        await driven.press("down")
        assert driven.shows('"long" is not a duration')
        await driven.press("down", "down", *"nobody", "ctrl+s")
        assert driven.screen == "Form"
        assert form.texts["hours"] == "long" and form.texts["after"] == "nobody"
        assert form.here is not None and form.here.field.key == "hours"
        await driven.press(*"3h", "ctrl+s")
        assert driven.shows('"nobody" names no step')
        assert form.here is not None and form.here.field.key == "after"
        assert driven.screen == "Form"

    on_the_hem(tmp_path, body)


def test_what_is_wrong_in_a_further_field_brings_it(tmp_path: Path) -> None:
    """A further field with something wrong is shown when the form is to be kept."""

    async def body(driven: Driven, form: Form) -> None:
        await driven.press("f3")
        assert form.here is not None and form.here.field.key == "low"
        await driven.press(*"9h")
        await driven.press("f3")
        assert "low" not in form.rows
        await driven.press("ctrl+s")
        assert form.here is not None and form.here.field.key == "low"
        assert driven.shows("low is more than hours")

    on_the_hem(tmp_path, body)


def test_names_are_never_markup(tmp_path: Path) -> None:
    """Brackets, quotes, emoji and right-to-left letters show as typed, and are saved so."""
    name = '[b]"silk"[/] 🧵 עברית'

    async def body(driven: Driven, form: Form) -> None:
        await driven.press("ctrl+u")
        await paste(driven, name)
        assert driven.shows('[b]"silk"[/]')
        await driven.press("ctrl+s")
        assert driven.shows('“[b]"silk"[/] 🧵')

    path = on_the_hem(tmp_path, body)
    assert step_in(read_project(path), "bodice", "hem").name == name


def test_choices_by_keys_and_mouse(tmp_path: Path) -> None:
    """Left, right, a first letter and a click choose; the chosen one stands between marks."""

    async def body(driven: Driven, form: Form) -> None:
        stage = form.rows["stage"].value
        assert isinstance(stage, ChoiceValue)
        await driven.pilot.click(stage, offset=(13, 0))
        await driven.settle()
        assert form.texts["stage"] == "fittable" and driven.shows("‹fittable›")
        await driven.press("f", "right")
        assert form.texts["stage"] == ""
        await driven.press("left")
        assert form.texts["stage"] == "finished"
        work = form.rows["work"].value
        await driven.pilot.click(work, offset=(4, 0))
        await driven.settle()
        assert form.texts["work"] == "pressing"
        await driven.press("d")
        assert form.texts["work"] == "drafting"

    on_the_hem(tmp_path, body)


def test_further_fields_by_mouse(tmp_path: Path) -> None:
    """A click on the last line brings the further fields, another hides them."""

    async def body(driven: Driven, form: Form) -> None:
        few = len(form.rows)
        await driven.pilot.click("Further")
        await driven.settle()
        assert len(form.rows) > few
        assert driven.shows("Hours at the least")

    on_the_hem(tmp_path, body)


def test_other_ways_come_and_go(tmp_path: Path) -> None:
    """Choosing how many other ways there are brings their fields, and takes them away."""

    async def body(driven: Driven, form: Form) -> None:
        await driven.press("f3")
        form.focus_on("ways")
        await driven.settle()
        await driven.press("1")
        assert "instead.0.hours" in form.rows
        form.focus_on("instead.0.hours")
        await driven.settle()
        await driven.press(*"45m", "ctrl+s")
        assert driven.screen == "Garments"

    path = on_the_hem(tmp_path, body)
    (way,) = step_in(read_project(path), "bodice", "hem").instead
    assert way.hours == 45


def test_looking_up(tmp_path: Path) -> None:
    """Control-f looks up what can stand in a field; what comes before is gathered."""

    async def body(driven: Driven, form: Form) -> None:
        await driven.press("down", "ctrl+f")
        assert driven.screen == "Pick"
        await driven.press(*"rolled")
        await driven.press("escape")
        assert form.texts["technique"] == ""
        await driven.press("ctrl+f", *"hem by hand", "enter")
        assert form.texts["technique"]
        form.focus_on("after")
        await driven.settle()
        await driven.press("ctrl+f", *"press", "enter")
        await driven.press("ctrl+f", *"stays fittable", "enter")
        assert form.texts["after"] == "press open, Stays fittable"
        await driven.press("ctrl+f", *"press", "enter")
        assert form.texts["after"] == "Stays fittable"

    on_the_hem(tmp_path, body)


def test_a_reload_loses_nothing(tmp_path: Path) -> None:
    """When the files change beneath a form, what was typed stays, and so does their change."""

    async def body(driven: Driven, form: Form) -> None:
        await driven.press(*"Fine hem")
        file = driven.app.path / "ferrywoman.toml"
        text = file.read_text(encoding="utf-8")
        file.write_text(text.replace('hours = "2h30"', 'hours = "3h"'), encoding="utf-8")
        driven.app.look()
        await driven.settle()
        assert form.texts["name"] == "Fine hem"
        assert driven.shows("3 h, from 2 h 06 to 4 h 30")
        await driven.press("ctrl+s")

    path = on_the_hem(tmp_path, body)
    step = step_in(read_project(path), "bodice", "hem")
    assert (step.name, step.hours) == ("Fine hem", 180)


def in_the_file(driven: Driven, old: str, new: str) -> None:
    """Somebody else changes the file, and the program hasn't looked yet."""
    file = driven.app.path / "ferrywoman.toml"
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


def test_what_others_changed_meanwhile_stays(tmp_path: Path) -> None:
    """Fields that weren't typed in keep what the file says by now, whether or not the program
    has looked at it before keeping."""

    async def body(driven: Driven, form: Form) -> None:
        await driven.press(*"Fine hem")
        in_the_file(
            driven, 'name = "hem by hand"\nhours = "2h30"', 'name = "hem by hand"\nhours = "3h"'
        )
        await driven.press("ctrl+s")
        assert driven.screen == "Garments"

    path = on_the_hem(tmp_path, body)
    step = step_in(read_project(path), "bodice", "hem")
    assert (step.name, step.hours) == ("Fine hem", 180)


@pytest.mark.parametrize("looked", [True, False])
def test_what_both_changed_is_said_before_it_is_kept(tmp_path: Path, looked: bool) -> None:
    """Where the file changed in the same field the form stays open and says what it says now;
    kept again, what was typed counts."""

    async def body(driven: Driven, form: Form) -> None:
        form.focus_on("hours")
        await driven.press("ctrl+u", *"4h")
        in_the_file(driven, 'hours = "2h30"\nwork = "hand"', 'hours = "3h"\nwork = "bench"')
        if looked:
            driven.app.look()
            await driven.settle()
        await driven.press("ctrl+s")
        assert driven.screen == "Form"
        assert driven.shows("The file says “3h” now; ^s again keeps yours.")
        assert form.texts["hours"] == "4h" and form.texts["work"] == "bench"
        assert step_in(read_project(driven.app.path), "bodice", "hem").hours == 180
        await driven.press("ctrl+s")
        assert driven.screen == "Garments"

    path = on_the_hem(tmp_path, body)
    step = step_in(read_project(path), "bodice", "hem")
    assert (step.hours, step.work) == (240, Work.BENCH)


def test_a_field_typed_as_the_file_says_now_is_no_matter(tmp_path: Path) -> None:
    """Where both wrote the same, nothing is asked; nor once the maker takes over what is there."""

    async def body(driven: Driven, form: Form) -> None:
        form.focus_on("hours")
        await driven.press("ctrl+u", *"4h")
        in_the_file(driven, 'hours = "2h30"', 'hours = "4h"')
        await driven.press("ctrl+s")
        assert driven.screen == "Garments"
        await driven.press("e")
        again = driven.app.screen
        assert isinstance(again, Form)
        again.focus_on("hours")
        await driven.press("ctrl+u", *"5h")
        in_the_file(driven, 'hours = "4h"', 'hours = "6h"')
        await driven.press("ctrl+s")
        assert driven.shows("The file says “6h” now")
        await driven.press("ctrl+u", *"6h")
        assert not driven.shows("The file says")
        await driven.press("ctrl+s")
        assert driven.screen == "Garments"

    path = on_the_hem(tmp_path, body)
    assert step_in(read_project(path), "bodice", "hem").hours == 360


BOTH = [
    (GarmentQuestions, "stays", "name", 'name = "Stays"', "Corset", "“Corset”"),
    (OccasionQuestions, "regatta", "margin", 'margin = "1 day"', "2 days", "“2 days”"),
    (StockQuestions, "braid", "have", 'have = "2.5 m"', "4 m", "“4 m”"),
]


@pytest.mark.parametrize(("make", "ident", "key", "old", "new", "told"), BOTH, ids=str)
def test_both_changed_in_every_form(
    tmp_path: Path,
    make: type[GarmentQuestions | OccasionQuestions | StockQuestions],
    ident: str,
    key: str,
    old: str,
    new: str,
    told: str,
) -> None:
    """Garments, occasions and stock say it too, and keep nothing before."""
    path = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("g")
        questions = make(state_of(path), "ferrywoman", f"ferrywoman/{ident}")
        form = Form(questions)
        driven.app.push_screen(form)
        await driven.settle()
        form.focus_on(key)
        await driven.press("ctrl+u", *"3")
        if key == "margin":
            await driven.press(*" days")
        if key == "have":
            await driven.press(*" m")
        in_the_file(driven, old, f'{old.split(" =")[0]} = "{new}"')
        await driven.press("ctrl+s")
        assert isinstance(driven.app.screen, Form)
        assert driven.shows(f"The file says {told} now; ^s again keeps yours.")
        assert f'= "{new}"' in (path / "ferrywoman.toml").read_text(encoding="utf-8")
        await driven.press("ctrl+s")
        assert driven.screen == "Garments"
        assert f'= "{new}"' not in (path / "ferrywoman.toml").read_text(encoding="utf-8")

    drive(body, path=path, now=MONDAY)


def test_a_measurement_that_is_gone_is_said(tmp_path: Path) -> None:
    """A field that went from the file while it was typed in is told with what was typed."""
    path = a_copy(tmp_path)
    file = path / "ferrywoman.toml"
    there = 'layer = 2\nmeasurements = { waist = "70 cm" }\n'
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("layer = 2\n", there), encoding="utf-8")

    async def body(driven: Driven) -> None:
        await driven.press("g", "e")
        form = driven.app.screen
        assert isinstance(form, Form)
        form.focus_on("measurements.waist")
        await driven.press("ctrl+u", *"72 cm")
        in_the_file(driven, there, "layer = 2\n")
        await driven.press("ctrl+s")
        assert driven.screen == "Form"
        assert driven.shows("waist is no longer in the file; ^s again keeps all but “72 cm”.")
        await driven.press("ctrl+s")
        assert driven.screen == "Garments"

    drive(body, path=path, now=MONDAY)


def test_broken_files_lose_nothing(tmp_path: Path) -> None:
    """When the files break beneath a form it says so, and keeps what was typed."""

    async def body(driven: Driven, form: Form) -> None:
        await driven.press(*"Fine hem")
        file = driven.app.path / "ferrywoman.toml"
        text = file.read_text(encoding="utf-8")
        file.write_text(text + "\n[[", encoding="utf-8")
        driven.app.look()
        await driven.settle()
        assert driven.shows("ferrywoman.toml")
        assert form.texts["name"] == "Fine hem"
        await driven.press("ctrl+s")
        assert driven.screen == "Form"
        file.write_text(text, encoding="utf-8")
        driven.app.look()
        await driven.settle()
        await driven.press("ctrl+s")
        assert driven.screen == "Garments"

    path = on_the_hem(tmp_path, body)
    assert step_in(read_project(path), "bodice", "hem").name == "Fine hem"


def test_what_could_not_be_saved_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When saving fails the form stays open, says why, and lets it be tried again."""

    async def body(driven: Driven, form: Form) -> None:
        def full(label: str, change: object, asker: object = None) -> None:
            raise InputError([Problem(file="ferrywoman.toml", place="", text="the disk is full")])

        await driven.press(*"Fine hem")
        with monkeypatch.context() as patch:
            patch.setattr(driven.app.session, "apply", full)
            await driven.press("ctrl+s")
        assert driven.screen == "Form"
        assert driven.shows("the disk is full")
        await driven.press("ctrl+s")
        assert driven.screen == "Garments"

    on_the_hem(tmp_path, body)


@pytest.mark.parametrize("size", [(20, 8), (40, 12), (200, 60)], ids=str)
def test_forms_at_any_size(tmp_path: Path, size: tuple[int, int]) -> None:
    """A form can be used in any terminal."""
    path = a_copy(tmp_path)

    async def run(driven: Driven) -> None:
        await driven.press(*HEM)
        await driven.press("down", "f3", "down", "up", "ctrl+f", "escape", "escape")
        assert driven.app.is_running

    drive(run, size, path, MONDAY)


def test_a_long_text_says_where_there_is_more_of_it(tmp_path: Path) -> None:
    """While it is typed in, at its left; once it is left it is seen from its beginning."""

    async def body(driven: Driven, form: Form) -> None:
        await driven.press(*"Seams of the doublet before the lining goes in, then the hems")
        row = next(line for line in driven.text() if line.startswith("▸ Name"))
        assert row.startswith("▸ Name                …") and row.rstrip().endswith("then the hems")
        await driven.press("home")
        row = next(line for line in driven.text() if line.startswith("▸ Name"))
        assert row.startswith("▸ Name                Seams") and row.rstrip().endswith("…")
        await driven.press("end", "down")
        row = next(line for line in driven.text() if line.startswith("  Name"))
        assert row.startswith("  Name                Seams") and row.rstrip().endswith("…")

    on_the_hem(tmp_path, body)


def test_what_was_typed_is_taken_back(tmp_path: Path) -> None:
    """^z in a field takes back what was typed there, ^y types it again; nothing else changes."""

    async def body(driven: Driven, form: Form) -> None:
        before = form.rows["name"].text
        await driven.press("end", *" so", "ctrl+z")
        assert form.rows["name"].text == before and not form.changed
        await driven.press("ctrl+z")
        assert form.rows["name"].text == before
        await driven.press("ctrl+y")
        assert form.texts["name"].endswith("so")
        assert not driven.app.session.done

    on_the_hem(tmp_path, body)


def test_the_question_about_dropping_goes_with_the_next_key(tmp_path: Path) -> None:
    """Whatever key it is, it answers and does nothing else: nothing is typed, kept or left."""

    async def body(driven: Driven, form: Form) -> None:
        await driven.press("x")
        typed, here = form.rows["name"].text, form.here
        for key in ("pagedown", "n", "down", "enter", "ctrl+s"):
            await driven.press("escape")
            assert driven.shows("Drop what you typed?")
            await driven.press(key)
            assert not driven.shows("Drop what you typed?")
            assert form.is_attached and form.here is here
            assert form.rows["name"].text == typed
        await driven.press("y")
        assert form.rows["name"].text != typed, "the next key types again"

    on_the_hem(tmp_path, body)


def test_the_bottom_line_keeps_its_order(tmp_path: Path) -> None:
    """The same keys at the same place in every field; what can be looked up is named."""

    async def body(driven: Driven, form: Form) -> None:
        for key, sought in (
            ("name", ""),
            ("technique", "  ^f techniques"),
            ("amount", "  ^f measurements"),
            ("work", "  ^f list"),
            ("after", "  ^f what can come before"),
            ("uses", "  ^f stock"),
        ):
            form.focus_on(key)
            await driven.settle()
            *left, last = driven.text()[-1].strip().rsplit("   ", 1)
            assert left[0].strip() == f"enter next  ^s keep  esc drop{sought}"
            assert last.strip() == "f1 help"

    on_the_hem(tmp_path, body)
