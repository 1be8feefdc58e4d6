"""What a thing is called where it is shown: by its name, or by its id where that shows nothing."""

from __future__ import annotations

import unicodedata

_NO_INK = ("Cc", "Cf", "Cs", "Co", "Zl", "Zp")


def called(name: str, *otherwise: str) -> str:
    """The name, unless nothing of it can be seen; then the first of the others that can be."""
    return next((one for one in (name, *otherwise) if any(map(seen, one))), name)


def seen(char: str) -> bool:
    """Whether a character leaves a mark."""
    return not (char.isspace() or unicodedata.category(char) in _NO_INK)
