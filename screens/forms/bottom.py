"""The bottom line of a form: its keys, always in the same order, and what is looked up here."""

from __future__ import annotations

from dataclasses import replace

from screens.widgets.key_line import LAST, KeyLine, Shown

FIRST = ("enter", "ctrl+s", "escape")
"""Keys that stand before all others, in this order."""
HELP = Shown(key="f1", sign="f1", told="help", action="help", own=False)
"""In a form a question mark is typed."""


class FormKeys(KeyLine):
    """The keys of a form or of what is typed in."""

    @property
    def keys(self) -> list[Shown]:
        """First what every field has, then what can be looked up in this one, then help."""
        kept = getattr(self.screen, "kept", "keep")
        found = [
            replace(one, told=kept) if one.told == "keep" else one
            for one in super().keys
            if one.action not in LAST and not one.action.endswith("look_up")
        ]
        found.sort(key=lambda one: FIRST.index(one.key) if one.key in FIRST else len(FIRST))
        sought = getattr(self.screen, "sought", "")
        if sought:
            found.append(Shown(key="ctrl+f", sign="^f", told=sought, action="look_up", own=True))
        return [*found, HELP]
