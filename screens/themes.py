"""Two sets of colours: lamplight (dark) and daylight (light).

Eight muted hues follow the letters of work and occur nowhere else; one accent serves everything
else. Every text colour keeps a contrast of 4.5 to 1 on the ground and on the line of the cursor.
"""

from __future__ import annotations

from textual.theme import Theme

LAMPLIGHT = Theme(
    name="lamplight",
    dark=True,
    primary="#e8bf6a",
    secondary="#b0a594",
    accent="#e8bf6a",
    foreground="#ece5d8",
    background="#1c1a18",
    surface="#1c1a18",
    panel="#262320",
    warning="#e8bf6a",
    error="#e8bf6a",
    success="#e8bf6a",
    variables={
        "faint": "#b0a594",
        "line": "#5d554a",
        "cursor": "#38332d",
        "stitch-d": "#90aacd",
        "stitch-c": "#cf9c94",
        "stitch-m": "#82b65d",
        "stitch-h": "#c399d1",
        "stitch-p": "#61b5b8",
        "stitch-f": "#d097af",
        "stitch-b": "#c8a084",
        "stitch-k": "#aaa2d5",
        "footer-background": "#1c1a18",
        "footer-foreground": "#b0a594",
        "footer-key-foreground": "#e8bf6a",
        "footer-description-foreground": "#b0a594",
        "block-cursor-background": "#38332d",
        "block-cursor-foreground": "#ece5d8",
        "block-cursor-text-style": "bold",
        "border": "#5d554a",
        "border-blurred": "#5d554a",
        "scrollbar": "#5d554a",
        "scrollbar-hover": "#b0a594",
        "scrollbar-active": "#e8bf6a",
        "scrollbar-background": "#1c1a18",
        "scrollbar-background-hover": "#1c1a18",
        "scrollbar-background-active": "#1c1a18",
        "scrollbar-corner-color": "#1c1a18",
        "input-cursor-background": "#e8bf6a",
        "input-cursor-foreground": "#1c1a18",
        "input-selection-background": "#5d554a",
    },
)

DAYLIGHT = Theme(
    name="daylight",
    dark=False,
    primary="#7a4f00",
    secondary="#5f564a",
    accent="#7a4f00",
    foreground="#2a2520",
    background="#f7f3ea",
    surface="#f7f3ea",
    panel="#efe8d9",
    warning="#7a4f00",
    error="#7a4f00",
    success="#7a4f00",
    variables={
        "faint": "#5f564a",
        "line": "#b3a68f",
        "cursor": "#e4dac4",
        "stitch-d": "#375988",
        "stitch-c": "#8a4338",
        "stitch-m": "#3f6027",
        "stitch-h": "#7d3c93",
        "stitch-p": "#286062",
        "stitch-f": "#8f3a5e",
        "stitch-b": "#774e31",
        "stitch-k": "#5847ae",
        "footer-background": "#f7f3ea",
        "footer-foreground": "#5f564a",
        "footer-key-foreground": "#7a4f00",
        "footer-description-foreground": "#5f564a",
        "block-cursor-background": "#e4dac4",
        "block-cursor-foreground": "#2a2520",
        "block-cursor-text-style": "bold",
        "border": "#b3a68f",
        "border-blurred": "#b3a68f",
        "scrollbar": "#b3a68f",
        "scrollbar-hover": "#5f564a",
        "scrollbar-active": "#7a4f00",
        "scrollbar-background": "#f7f3ea",
        "scrollbar-background-hover": "#f7f3ea",
        "scrollbar-background-active": "#f7f3ea",
        "scrollbar-corner-color": "#f7f3ea",
        "input-cursor-background": "#7a4f00",
        "input-cursor-foreground": "#f7f3ea",
        "input-selection-background": "#e4dac4",
    },
)

THEMES = (LAMPLIGHT, DAYLIGHT)
LETTERS = "dcmhpfbk"
"""The letters of work, each with a hue of its own."""
