"""Lists that something is picked from: what matches, why there is nothing, which keys hold."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from planner.plan import Plan
from screens.dialogs.pick import NOTHING, Picks
from screens.finding import find_steps
from screens.forms.fields import Option
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, SMALL, a_copy, state_of

STEPS = [Option(key="what", name="What"), Option(key="crown", name="crown"),
         Option(key="band", name="hat band")]  # fmt: skip


def named(picks: Picks, letters: str) -> list[str]:
    """What matches the letters."""
    picks.letters = letters
    return [one.name for one in picks.matching()]


def test_what_begins_with_the_letters_comes_first() -> None:
    """The rest of what holds them follows."""
    picks = Picks(STEPS, "", NOTHING)
    assert named(picks, "hat") == ["hat band", "What"]
    assert named(picks, "B HAT") == ["hat band"]
    assert named(picks, "") == [one.name for one in STEPS]


@pytest.mark.parametrize(
    ("options", "told"),
    [(STEPS, "Nothing here has these letters."), ([], "This hat has no steps yet.")],
)
def test_nothing_says_why(options: list[Option], told: str) -> None:
    """Letters that nothing has, or nothing to pick from at all."""
    picks = Picks(options, "", "This hat has no steps yet.")
    picks.letters = "zz"
    (line,) = picks.compose_lines(60)
    assert line.runs[0].text == f" {told}"


def test_steps_that_begin_so_are_found_first() -> None:
    """Before those planned earlier that hold the letters within a word."""
    plan: Plan = state_of(SMALL).plan
    early, late = [s for s in plan.steps if s.first_day is not None][:2]
    steps = (replace(early, name="somewhat"), replace(late, name="a hat"))
    found = find_steps(replace(plan, steps=steps), "hat")
    assert [one.name for one in found] == ["a hat", "somewhat"]


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=str)
def test_an_empty_list_in_a_form(tmp_path: Path, size: tuple[int, int]) -> None:
    """It says why it is empty, and at its edge that escape closes it, not the form."""
    path = a_copy(tmp_path)
    file = path / "ferrywoman.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(
        f'{text}\n[[garment]]\nid = "shoes"\nname = "Shoes"\n\n'
        '[[garment.step]]\nid = "clean"\nhours = "10m"\nwork = "checks"\n',
        encoding="utf-8",
    )

    async def body(driven: Driven) -> None:
        await driven.press("slash", *"clean", "enter", "i", "down", "down", "ctrl+f")
        assert driven.screen == "Pick"
        assert driven.shows("This garment has no measurements yet.")
        assert driven.shows("esc closes") and not driven.shows("enter chooses")
        await driven.press("escape")
        assert driven.screen == "Form"
        await driven.press("up", "ctrl+f")
        assert driven.shows("enter chooses  esc closes")
        await driven.press(*"qqq")
        assert not driven.shows("enter chooses")

    drive(body, size, path=path, now=MONDAY)
