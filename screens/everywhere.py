"""The keys that hold on every screen: the letters of the screens, finding, help, taking back."""

from __future__ import annotations

from textual.binding import Binding, BindingType

from screens.registry import SCREENS

EVERYWHERE: list[BindingType] = [
    *(
        Binding(
            one.key,
            f"switch_mode('{one.name}')",
            one.short,
            id=f"app.{one.name}",
            tooltip=f"Go to {one.title}",
        )
        for one in SCREENS
    ),
    Binding(
        "slash,ctrl+f",
        "find",
        "find",
        key_display="/",
        id="app.find",
        tooltip="Find a step by a few of its letters",
    ),
    Binding(
        "question_mark",
        "help",
        "help",
        key_display="?",
        id="app.help",
        tooltip="Show what the keys do and what the letters stand for",
    ),
    Binding(
        "f1",
        "help",
        "help",
        show=False,
        priority=True,  # also where a question mark is only typed
        id="app.help-anywhere",
        tooltip="Show what the keys do and what the letters stand for",
    ),
    Binding("q", "quit", "leave", id="app.leave", tooltip="Leave wearby"),
    Binding(
        "ctrl+q",
        "quit",
        "leave",
        show=False,
        priority=True,
        id="app.leave-at-once",
        tooltip="Leave wearby",
    ),
    Binding(
        "ctrl+z",
        "undo",
        "undo",
        show=False,
        key_display="^z",
        id="app.undo",
        tooltip="Take the last edit back",
    ),
    Binding(
        "ctrl+y",
        "redo",
        "redo",
        show=False,
        key_display="^y",
        id="app.redo",
        tooltip="Make the edit again that was taken back",
    ),
    Binding(
        "ctrl+p",
        "command_palette",
        "more",
        show=False,
        priority=True,
        key_display="^p",
        id="app.more",
        tooltip="Everything that can be done here, by name",
    ),
]
