"""From a path to a parsed TOML document, or the problem that stands in the way."""

from __future__ import annotations

import os
import re
import stat
import tomllib
from pathlib import Path
from typing import Final

from planner.files.findings import Findings

LARGEST: Final = 20_000_000
"""Bytes; a file larger than this is no workroom's."""

_PLACED = re.compile(r"^(.*) \(at (?:line (\d+), column (\d+)|end of document)\)$", re.DOTALL)

_REMEDIES: Final = (
    ("Cannot overwrite a value", "the same key stands twice in one table: keep one of them"),
    ("Cannot declare", "the same table is headed twice: put both parts under one heading"),
    ("Unterminated string", "a text doesn't end: close it with a quotation mark"),
    ("Invalid value", "this is no value: put text in quotes, write dates as 2027-05-22"),
    ("Invalid date or datetime", "there is no such date or time: check day, month and hour"),
    ("Expected '=' after a key", "after a key comes =: write key = value"),
    ("Expected newline or end of document", "one line holds one key: begin a new line here"),
    ("Unclosed array", "a list doesn't end: close it with ]"),
    ("Unclosed inline table", "a table in braces doesn't end: close it with } on the same line"),
    (
        r"Illegal character '\n'",
        "the line ends within a text: its closing quotation mark may be missing",
    ),
    ("Illegal character", "there is a character here that no text may hold: write it anew"),
)


def load(path: Path, findings: Findings) -> dict[str, object] | None:
    """The TOML document at ``path``; None after noting why there is none."""
    data = load_bytes(path, findings)
    text = None if data is None else _text(data, findings)
    return None if text is None else parsed(text, findings)


def os_problem(error: OSError) -> str:
    """Why a file can't be opened, with a remedy, in words of ours."""
    import errno

    return {
        errno.ENOENT: "there is no such file or folder: check the path",
        errno.ENOTDIR: "there is no such file or folder: check the path",
        errno.EACCES: "it may not be read: change its permissions",
        errno.EPERM: "it may not be read: change its permissions",
        errno.ELOOP: "its links lead round in a circle: put a real file or folder there",
        errno.EISDIR: "this is a folder where a file should be: rename or move it",
        errno.ENAMETOOLONG: "the path is too long: check it",
    }.get(error.errno or 0, f"it can't be read ({error.strerror}): check the disk and the path")


def load_bytes(path: Path, findings: Findings) -> bytes | None:
    """A file's bytes; None after noting why there are none."""
    try:
        found = os.stat(path)
        if stat.S_ISDIR(found.st_mode):
            findings.problem("", "this is a folder where a file should be: rename or move it")
            return None
        if not stat.S_ISREG(found.st_mode):
            findings.problem("", "this is not an ordinary file: put a TOML file there")
            return None
        with open(path, "rb") as file:
            data = file.read(LARGEST + 1)
    except OSError as error:
        findings.problem("", os_problem(error))
        return None
    if len(data) > LARGEST:
        size = f"{LARGEST // 1_000_000} MB"
        findings.problem("", f"the file is larger than {size}: this can't be what was meant")
        return None
    return data


def _text(data: bytes, findings: Findings) -> str | None:
    try:
        # editors of some systems put a byte order mark first; it is no part of the text
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        findings.problem(
            f"line {line}",
            f"byte {error.start + 1} of the file (0x{data[error.start]:02X}) is not UTF-8: "
            "save the file as UTF-8 in your editor",
        )
        return None


def parsed(text: str, findings: Findings) -> dict[str, object] | None:
    """The document a text says; None after noting why there is none."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        place, said = _where(str(error), text)
        findings.problem(place, _plain(said))
    except RecursionError:
        findings.problem("", "brackets lie too deep in one another: check for one not closed")
    except ValueError:
        # an integer of thousands of digits is refused by Python itself, without a place
        findings.problem("", "a number has too many digits: find it and shorten it")
    return None


def _where(message: str, text: str) -> tuple[str, str]:
    """Place and bare message of tomllib's error text."""
    found = _PLACED.match(message)
    if found is None:
        return "", message
    if found[2] is None:
        return f"line {max(1, len(text.splitlines()))}", found[1]
    return f"line {found[2]}, column {found[3]}", found[1]


def _plain(message: str) -> str:
    for beginning, words in _REMEDIES:
        if message.startswith(beginning):
            return words
    return f"this is not TOML ({message}): correct this line"
