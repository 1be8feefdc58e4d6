"""Colours that can be read."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
from rich.style import Style
from textual.color import Color
from textual.theme import Theme

from screens.registry import SCREENS, Registered
from screens.themes import LETTERS, THEMES
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import a_copy


def _light(colour: str) -> float:
    """Relative luminance, as the web's accessibility guidelines reckon it."""
    parts = [part / 255 for part in Color.parse(colour).rgb]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _contrast(one: str, other: str) -> float:
    """Contrast of two colours, 1 to 21."""
    light, dark = sorted((_light(one), _light(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_text_contrast(theme: Theme) -> None:
    """Every text colour keeps 4.5 to 1 on the ground, on panels, and on the cursor's line."""
    grounds = [theme.background, theme.panel, theme.variables["cursor"]]
    texts = [theme.foreground, theme.accent, theme.variables["faint"]]
    texts += [theme.variables[f"stitch-{letter}"] for letter in LETTERS]
    for ground in grounds:
        for text in texts:
            assert ground is not None and text is not None
            ratio = _contrast(text, ground)
            assert ratio >= 4.5, (text, ground, ratio)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_hues_occur_nowhere_else(theme: Theme) -> None:
    """The eight hues of work are eight, and none of them is the accent or another colour."""
    hues = {theme.variables[f"stitch-{letter}"] for letter in LETTERS}
    others = {value for key, value in theme.variables.items() if not key.startswith("stitch-")}
    assert len(hues) == 8
    assert not hues & (others | {theme.accent, theme.foreground, theme.background})


# what is really drawn

SAMPLE = Path("sample_projects/copper_wood_masque")
THEN = datetime(2027, 3, 6, 9)
DRAWN_ONLY = set("╌╎▁▂▃▄▅▆▇█▔▏▎▍▌▋▊▉▕▒░")
"""Running stitches, scroll bars, the weave of a hem: nothing is read in them."""
LEAST = 4.5
PLACES = {
    **{one.name: (one.key,) for one in SCREENS},
    "run-up, a reason": ("u", "down", "enter", "enter"),
    "garments, steps": ("g", "down", "enter", "enter"),
    "before, a fitting's list": ("b", "1", "a"),
    "hours, a day opened": ("o", "down", "enter"),
    "help": ("question_mark",),
    "find": ("slash", *"br"),
    "palette": ("ctrl+p",),
    "palette, letters": ("ctrl+p", *"go to"),
    "a form": ("g", "e"),
    "a form with something wrong": (
        "g",
        "down",
        "enter",
        "e",
        *"x!",
        "tab",
        "tab",
        *"zz",
        "ctrl+s",
    ),
    "choosing a garment": ("g", "a", "down", "down"),
    "where from": ("g", "w"),
    "another workroom": ("ctrl+p", *"open another", "enter"),
    "a folder": ("ctrl+p", *"open another", "enter", "o"),
    "an edit told": ("g", "down", "enter", "x"),
}
"""Keys to all sorts of what is drawn."""


def _read(style: Style | None) -> tuple[str, str] | None:
    """Colours of a stretch of text and of its ground; None where the terminal's own stand."""
    if style is None or style.color is None or style.bgcolor is None:
        return None
    text, ground = style.color.get_truecolor(), style.bgcolor.get_truecolor()
    return text.hex, ground.hex


def _veiled(driven: Driven, x: int, y: int) -> bool:
    """Whether a place is of the screen beneath a dialog, which can't be used just now."""
    screen = driven.app.screen
    widget, _ = screen.get_widget_at(x, y)
    empty = not widget.styles.background.a and bool(widget.children)
    return screen.styles.background.a < 1 and (widget is screen or empty)


def _pale(driven: Driven) -> tuple[int, list[str]]:
    """How much is drawn just now, and what of it can't be read well enough."""
    found: list[str] = []
    looked_at = 0
    for y, strip in enumerate(driven.app.screen._compositor.render_strips()):
        x = 0
        for segment in strip:
            at, x = x, x + segment.cell_length
            told = set(segment.text) - DRAWN_ONLY - {" "}
            if not told or _veiled(driven, at, y):
                continue
            looked_at += 1
            colours = _read(segment.style)
            assert colours is not None, segment
            assert segment.style is not None and not segment.style.dim, segment
            if _contrast(*colours) < LEAST:
                found.append(f"“{segment.text.strip()}”: {colours}, {_contrast(*colours):.2f}")
    return looked_at, found


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("keys", PLACES.values(), ids=PLACES)
def test_all_that_is_drawn_can_be_read(tmp_path: Path, theme: Theme, keys: tuple[str, ...]) -> None:
    """Every letter on every screen keeps 4.5 to 1 on the very ground it is drawn on."""

    async def body(driven: Driven) -> None:
        driven.app.theme = theme.name
        for key in keys:
            # home has no letter to itself
            if key != "u" or driven.app.current_mode != "run-up":
                await driven.press(key)
        looked_at, pale = _pale(driven)
        assert pale == []
        assert looked_at >= 5

    drive(body, path=a_copy(tmp_path, SAMPLE), now=THEN)


# without colours


@pytest.mark.parametrize("screen", SCREENS, ids=lambda one: one.name)
def test_nothing_is_lost_without_colour(
    monkeypatch: pytest.MonkeyPatch, screen: Registered
) -> None:
    """With NO_COLOR the same letters and marks are drawn, what is reversed stays reversed, and
    the cursor has its mark."""
    drawn: list[tuple[list[str], list[str]]] = []

    async def body(driven: Driven) -> None:
        if driven.app.current_mode != screen.name:
            await driven.press(screen.key)
        strips = driven.app.screen._compositor.render_strips()
        reversed_text = [
            segment.text
            for strip in strips
            for segment in strip
            if segment.style is not None and segment.style.reverse
        ]
        drawn.append((driven.text(), reversed_text))
        if "NO_COLOR" in set_now:
            for strip in strips:
                for segment in strip:
                    colours = _read(segment.style)
                    assert colours is None or all(_is_grey(one) for one in colours), segment

    set_now: set[str] = set()
    drive(body, path=SAMPLE, now=THEN)
    monkeypatch.setenv("NO_COLOR", "1")
    set_now.add("NO_COLOR")
    drive(body, path=SAMPLE, now=THEN)
    coloured, bare = drawn
    assert coloured == bare
    assert any("▸" in line for line in bare[0])


def _is_grey(colour: str) -> bool:
    """Whether red, green and blue are the same."""
    return len({colour[1:3], colour[3:5], colour[5:7]}) == 1
