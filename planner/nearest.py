"""The known word nearest to one that isn't known, for "is ... meant?"."""

from __future__ import annotations

from collections.abc import Iterable


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The word of ``known`` most like ``word``; None where none is like it."""
    # only bad input needs it, and its import would delay every other start
    from difflib import get_close_matches

    near = get_close_matches(word, list(known), n=1)
    return near[0] if near else None


def is_meant(word: str, known: Iterable[str]) -> str:
    """A question to end a message with, such as " Is "hem-by-hand" meant?"; or nothing."""
    near = nearest(word, known)
    return f' Is "{near}" meant?' if near else ""
