"""Saying what is to be done after a wearing: typed, in a form, from the palette."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.editing.after_wearing import Wear
from planner.files.reading import read_project
from planner.quantity import LENGTH, Quantity
from screens.after_wearing import TITLE, ask_after_wearing
from screens.forms.after_wearing import AfterWearingQuestions
from screens.themes import DAYLIGHT
from screens.worn_typed import worn_typed
from tests.pictures import picture
from tests.screens.driving import Driven, drive
from tests.screens.test_pictures import RICHS_OWN, same
from tests.screens.workrooms import a_copy, state_of, typed_into

SAMPLE = Path("sample_projects/oldmere_regatta")
AFTER = datetime(2027, 6, 28)
EVENT = "signal_master/regatta"


def metres(value: float) -> Quantity:
    return Quantity(value=value, dimension=LENGTH)


@pytest.mark.parametrize(
    ("text", "wear"),
    [
        ("", Wear()),
        ("nothing", Wear()),
        ("30 cm seam, 2 hooks, 20 cm trim", Wear(seams=metres(0.3), trim=metres(0.2), closures=2)),
        ("30 cm hem and 10 cm seam", Wear(seams=metres(0.4))),
        ("2 hooks; 1 button", Wear(closures=3)),
        ("0,5 m braid, only aired", Wear(trim=metres(0.5), washed=False)),
        ("Mud", Wear(spots=True)),
    ],
)  # fmt: skip
def test_what_is_typed(text: str, wear: Wear) -> None:
    """A line of things, each with its amount."""
    found = worn_typed(text)
    assert (found.closures, found.spots, found.washed) == (wear.closures, wear.spots, wear.washed)
    assert found.seams.value == pytest.approx(wear.seams.value)
    assert found.trim.value == pytest.approx(wear.trim.value)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("torn", "“torn” isn't understood: write such as 30 cm seam"),
        ("3 seams", "How long is it? Write such as 30 cm seams."),
        ("30 cm hooks", "How many are they? Write such as 2 hooks."),
        ("2 dragons", "“dragons” isn't understood: write seam"),
        ("3.4.5 cm seam", "is not an amount"),
    ],
)
def test_what_isnt_understood(text: str, said: str) -> None:
    """Each with what to write instead."""
    with pytest.raises(ValueError, match=re.escape(said)):
        worn_typed(text)


@given(st.text(max_size=40))
def test_any_text_is_understood_or_refused_with_a_sentence(text: str) -> None:
    """Never anything else."""
    try:
        worn_typed(text)
    except ValueError as error:
        assert str(error).endswith(".")


def test_the_form_adds_steps_and_says_who_wants_them() -> None:
    """With nothing typed every garment is aired or washed, and put away; no occasion wants it."""
    questions = AfterWearingQuestions(state_of(SAMPLE, AFTER), EVENT)
    reading = typed_into(questions, coat="30 cm seam, spots")
    assert reading.told.startswith("13 steps, ")
    assert reading.told.endswith("in no day until “next worn” has a date; Now offers it.")
    assert reading.label == "what is to be done after the Oldmere Lock regatta added"
    assert reading.change is not None
    after = reading.change(read_project(SAMPLE))
    coat = next(one for one in after.ensembles[0].garments if one.id == "coat")
    assert [step.id for step in coat.steps[-4:]] == [
        "air-after-regatta", "spots-after-regatta", "mend-after-regatta", "store-after-regatta",
    ]  # fmt: skip


def test_what_nothing_was_made_of_is_offered_last_and_as_not_worn() -> None:
    """Nothing of the neckcloth is logged: left empty it gets no steps, and where it was worn all
    the same that is said."""
    questions = AfterWearingQuestions(state_of(SAMPLE, AFTER), EVENT)
    *worn, last, _ = questions.fields({})
    assert (last.key, last.empty) == ("neckcloth", "not worn")
    assert {one.empty for one in worn} == {"nothing"}
    for typed, steps in (("", []), ("nothing", ["air-after-regatta"])):
        reading = typed_into(questions, neckcloth=typed)
        assert reading.change is not None
        after = reading.change(read_project(SAMPLE))
        cloth = next(one for one in after.ensembles[0].garments if one.id == "neckcloth")
        assert [one.id for one in cloth.steps if "-after-" in one.id][:1] == steps


def test_the_form_says_what_is_wrong_at_its_garment() -> None:
    """What isn't understood stands at its field, and nothing is added."""
    questions = AfterWearingQuestions(state_of(SAMPLE, AFTER), EVENT)
    reading = typed_into(questions, coat="3 seams")
    assert [one.key for one in reading.wrong] == ["coat"]
    assert reading.change is None


def test_it_is_offered_at_garments_and_diary_and_kept(tmp_path: Path) -> None:
    """From the palette of both; kept with ^s, and taken back with ^z."""
    path = a_copy(tmp_path, SAMPLE)
    before = (path / "signal_master.toml").read_text("utf-8")

    async def body(driven: Driven) -> None:
        for letter in ("g", "l"):
            await driven.press(letter)
            titles = [one.title for one in driven.app.screen.get_commands()]  # type: ignore[attr-defined]
            assert TITLE in titles
        state = driven.app.screen.showing  # type: ignore[attr-defined]
        ask_after_wearing(driven.app, state, EVENT)
        await driven.settle()
        await driven.press("2", "space", "h", "o", "o", "k", "s", "ctrl+s")
        assert driven.screen == "Diary"
        shirt = read_project(path).ensembles[0].garments[0]
        assert [step.id for step in shirt.steps[-4:]] == [
            "closures-after-regatta", "wash-after-regatta", "press-after-regatta",
            "store-after-regatta",
        ]  # fmt: skip
        await driven.press("ctrl+z")

    drive(body, path=path, now=AFTER)
    assert (path / "signal_master.toml").read_text("utf-8") == before


TYPED = ("enter", "enter", "enter", *"30", "space", *"cm", "space", *"hem", "comma", "space")
"""A form half typed."""


async def shown(driven: Driven, keys: Sequence[str] = TYPED) -> str:
    """The form's picture."""
    await driven.press("g")
    ask_after_wearing(driven.app, driven.app.screen.showing, EVENT)  # type: ignore[attr-defined]
    await driven.settle()
    await driven.press(*keys, *"spots")
    return picture(driven)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
def test_pictures(size: tuple[int, int]) -> None:
    """The form looks as it did when somebody last looked at it."""

    async def body(driven: Driven) -> None:
        same(f"after_wearing_{size[0]}x{size[1]}.svg", await shown(driven))

    drive(body, size, path=SAMPLE, now=AFTER)


def test_picture_by_daylight() -> None:
    """The light colours."""

    async def body(driven: Driven) -> None:
        driven.app.theme = DAYLIGHT.name
        same("after_wearing_daylight_80x24.svg", await shown(driven))

    drive(body, path=SAMPLE, now=AFTER)


def test_picture_without_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR set marks and letters say all, and there is no hue."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def body(driven: Driven) -> None:
        svg = await shown(driven)
        colours = set(re.findall(r"terminal-r\d+ { fill: (#[0-9a-f]{6})", svg)) - {RICHS_OWN}
        assert not {c for c in colours if len({c[1:3], c[3:5], c[5:7]}) > 1}
        same("after_wearing_no_color_80x24.svg", svg)

    drive(body, path=SAMPLE, now=AFTER)
