"""Colours that can be read."""

from __future__ import annotations

import pytest
from textual.color import Color
from textual.theme import Theme

from screens.themes import LETTERS, THEMES


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
