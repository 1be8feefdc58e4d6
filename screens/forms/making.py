"""Fields made of a file's table: what stands there, as it is typed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from screens.forms.fields import Field, Option, flag
from screens.forms.tables import Plain, text_of

Found = Callable[[], Sequence[Option]]
AsText = Callable[[list[Any]], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Maker:
    """Makes fields of one table."""

    table: Plain
    prefix: str = ""
    """Before the keys of its fields: "instead.0."."""
    further: bool = False
    as_text: Mapping[str, AsText] = field(default_factory=dict)
    """How lists are typed that aren't lists of names."""

    def value(self, key: str) -> str:
        """What stands there, as a text."""
        value = self.table.get(key)
        if isinstance(value, list) and key in self.as_text:
            return text_of(self.as_text[key](value))
        return text_of(value)

    def text(
        self,
        key: str,
        label: str,
        help: str = "",
        *,
        empty: str = "",
        found: Found | None = None,
        nothing: str = "",
        sought: str = "",
        names: Callable[[str], str] = str,
        several: bool = False,
    ) -> Field:
        """A typed field."""
        return Field(
            key=self.prefix + key,
            label=label,
            help=help,
            value=self.value(key),
            empty=empty,
            found=found,
            nothing=nothing,
            sought=sought,
            names=names,
            several=several,
            further=self.further,
        )

    def choice(self, key: str, label: str, help: str, options: Sequence[Option]) -> Field:
        """A choice; a value that is none of the options is one more."""
        value = self.value(key)
        known = tuple(options)
        if all(one.key != value for one in known):
            known = (*known, Option(key=value, name=value))
        return Field(
            key=self.prefix + key,
            label=label,
            help=help,
            value=value,
            options=known,
            further=self.further,
        )

    def flag(self, key: str, label: str, help: str = "") -> Field:
        """Yes or no; no where nothing is said."""
        made = flag(key, label, value=self.value(key) == "yes", help=help)
        return replace(made, key=self.prefix + key, further=self.further)
