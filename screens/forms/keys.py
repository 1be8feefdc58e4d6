"""The keys of a form."""

from __future__ import annotations

from textual.binding import Binding

ENTER = {
    "next": "The next field, or the further ones",
    "unfold": "Show the further fields",
    "fold": "Show only the usual fields",
    "keep": "Keep it all: this is the last field",
}
"""What enter does, by where it is pressed."""
KEYS = (
    *(
        Binding(
            "enter",
            f"enter('{does}')",
            does,
            # before the letters behind it reach the field they aren't meant for
            priority=True,
            key_display="enter",
            id=f"form.enter-{does}",
            tooltip=told,
        )
        for does, told in ENTER.items()
    ),
    Binding(
        "tab,down",
        "move(1)",
        "next",
        priority=True,
        show=False,
        id="form.after",
        tooltip="The next field",
    ),
    Binding(
        "shift+tab,up",
        "move(-1)",
        "previous",
        priority=True,
        show=False,
        id="form.previous",
        tooltip="The field before",
    ),
    Binding(
        "ctrl+s",
        "keep",
        "keep",
        key_display="^s",
        id="form.keep",
        tooltip="Keep what stands here",
    ),
    Binding(
        "escape",
        "drop",
        "drop",
        key_display="esc",
        id="form.drop",
        tooltip="Close without keeping anything",
    ),
    Binding(
        "ctrl+f",
        "look_up",
        "look up",
        key_display="^f",
        id="form.look-up",
        tooltip="Look up what can stand in this field",
    ),
    Binding(
        "f3",
        "further",
        "further fields",
        show=False,
        id="form.further",
        tooltip="Show all fields, or only the usual ones",
    ),
)
