"""A diary of which a part can't be read: the rest is, and no word of the part is lost.

wearby writes its files in one step, so what is broken comes from elsewhere: a slip of the hand, a
disk, a program that was stopped while it saved. All whole entries count. The lines of the others
are passed over, and told; the next save keeps them where they stand, as comments.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final

from planner.files.findings import Findings
from planner.files.loading import load_bytes, parsed

MARK: Final = "# broken: "
"""What stands before a line that couldn't be read."""

_ENTRY: Final = re.compile(r"\s*\[\[\s*entry\s*\]\]")
_HEADING: Final = "[[entry]]"
_INLINE: Final = re.compile(r"^\s*\"?entry\"?\s*[=.]", re.MULTILINE)
_NO_LETTER: Final = re.compile("[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff]")
_BEGINNING: Final = (frozenset[str](), frozenset(("at",)))
"""Keys of an entry that broke off between two lines, as wearby writes it."""


def load_diary(path: Path, findings: Findings) -> dict[str, object] | None:
    """The diary's document without what is broken, which is warned about.

    None after noting why there is none.
    """
    data = load_bytes(path, findings)
    if data is None:
        return None
    text = mended(_decoded(data))
    for first, last in _marked(text):
        findings.warn(
            f"line {first}" if first == last else f"lines {first} to {last}",
            "this can't be read as an entry, and is passed over: write the entry anew, then "
            f'remove these lines. wearby keeps them as comments ("{MARK.strip()} ...")',
        )
    return parsed(text.removeprefix("\ufeff"), findings)


def diary_texts(path: Path) -> tuple[str, str]:
    """The diary's text as it is, and without what is broken. Raises OSError.

    Bytes that are no UTF-8 are surrogates in the first.
    """
    text = _decoded(path.read_bytes())
    return text, mended(text)


def mended(text: str) -> str:
    """A diary's text in which all that can't be read is a comment; line by line the same.

    As it is where nothing is broken, or what is can't be told from the rest.
    """
    document = _document(text)
    if document is not None and not _breaks_off(document):
        return text
    blocks = list(_blocks(text))
    if _INLINE.search("".join(blocks[0])):
        return text  # entries in one list: none can be told from the others
    broken = [_document("".join(block)) is None for block in blocks]
    last = _document("".join(blocks[-1]))
    broken[-1] = last is None or _breaks_off(last)
    parts = [
        "".join(_as_comments(block) if wrong else block)
        for block, wrong in zip(blocks, broken, strict=True)
    ]
    found = "".join(parts)
    return found if _document(found) is not None else text


def _decoded(data: bytes) -> str:
    return data.decode("utf-8", "surrogateescape")


def _document(text: str) -> dict[str, object] | None:
    """What a text says; None where it isn't valid."""
    if _NO_LETTER.search(text.replace("\r\n", "\n")):
        return None
    try:
        return tomllib.loads(text.removeprefix("\ufeff"))
    except (ValueError, RecursionError):
        return None


def _breaks_off(document: Mapping[str, object]) -> bool:
    """Whether the last entry ends before its step."""
    entries = document.get("entry")
    if not isinstance(entries, list) or not entries or not isinstance(entries[-1], dict):
        return False
    return frozenset(entries[-1]) in _BEGINNING


def _blocks(text: str) -> Iterator[list[str]]:
    """The lines before the first entry, then those of each."""
    block: list[str] = []
    for line in re.findall(r"[^\n]*\n|[^\n]+", text):
        # the entry before may be whole: zeros are left by a disk that lost its last words
        zeros, cut_off = line.startswith("\0"), _HEADING.startswith(line)
        if _ENTRY.match(line) or ((zeros or cut_off) and block):
            yield block
            block = []
        block.append(line)
    yield block


def _as_comments(block: list[str]) -> Iterator[str]:
    """Lines that can't be read, as comments that can."""
    for line in block:
        bare = line.rstrip("\r\n")
        if not bare or (bare.lstrip().startswith("#") and not _NO_LETTER.search(bare)):
            yield line
            continue
        end = line[len(bare) :] if line.endswith("\n") else "\n"
        yield MARK + _NO_LETTER.sub(_spelled, bare.removeprefix("\ufeff")) + end


def _spelled(found: re.Match[str]) -> str:
    code = ord(found[0])
    return f"\\x{code - 0xDC00 if code >= 0xDC80 else code:02x}"


def _marked(text: str) -> Iterator[tuple[int, int]]:
    """First and last line of each stretch of lines that are marked as broken."""
    if MARK not in text:
        return
    first = last = 0
    for number, line in enumerate(text.split("\n"), 1):
        if not line.startswith(MARK):
            continue
        if first and number > last + 1:
            yield first, last
            first = 0
        first, last = first or number, number
    if first:
        yield first, last
