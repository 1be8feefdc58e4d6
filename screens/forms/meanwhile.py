"""What somebody else changed in the files while a form was open, field by field."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from screens.forms.fields import Field, Texts, Wrong
from screens.wording import clean


@dataclass(slots=True)
class Meanwhile:
    """Fields that both the maker and the files changed; each is said before it is kept."""

    now: dict[str, str] = field(default_factory=dict)
    """What the files say now, as a sentence, by the key of the field."""
    said: set[str] = field(default_factory=set)
    """Those the maker was told of."""

    def compare(self, before: Sequence[Field], after: Sequence[Field], texts: Texts) -> None:
        """The files were read again: note what differs both from before and from what is typed."""
        fresh = {one.key: one for one in after}
        for old in before:
            text = texts.get(old.key, old.value)
            new = fresh.get(old.key)
            if text == old.value or (new is not None and new.value in (old.value, text)):
                continue
            self.now[old.key] = _told(old, new, text)
            self.said.discard(old.key)

    def wrong(self, fields: Sequence[Field], texts: Texts) -> tuple[Wrong, ...]:
        """What there is to say of fields that still differ."""
        same = {one.key for one in fields if texts.get(one.key) == one.value}
        return tuple(Wrong(key=key, text=text) for key, text in self.now.items() if key not in same)

    def unsaid(self, fields: Sequence[Field], texts: Texts) -> tuple[Wrong, ...]:
        """What the maker hasn't been told yet; from now on it is told."""
        found = [one for one in self.wrong(fields, texts) if one.key not in self.said]
        self.said |= {one.key for one in found}
        return tuple(found)

    def told(self, fields: Sequence[Field], texts: Texts) -> tuple[Wrong, ...]:
        """What the maker was told and can still choose between."""
        return tuple(one for one in self.wrong(fields, texts) if one.key in self.said)


def _told(old: Field, new: Field | None, text: str) -> str:
    """ "The file says “3h” now; ^s again keeps yours."."""
    if new is None:
        label = clean(old.label)
        return f"{label} is no longer in the file; ^s again keeps all but “{clean(text)}”."
    named = {one.key: clean(one.name) for one in new.options}
    value = named.get(new.value, clean(new.value))
    says = f"“{value}”" if value else "nothing"
    return f"The file says {says} now; ^s again keeps yours."
