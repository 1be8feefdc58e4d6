"""The plan that was accepted, to and from a file: ``kept.toml``, and one a day to compare with."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, datetime
from pathlib import Path
from typing import Final

from planner.files.checks import Table
from planner.files.findings import Findings
from planner.files.loading import load, parsed
from planner.files.rendering import render_key, render_value
from planner.files.saving import save_atomically
from planner.model import Kept, KeptHours, Place

_HEAD: Final = (
    "# The plan that was accepted last. wearby writes this file and holds on to what it says;\n"
    "# without it the next plan is made afresh.\n"
)
_NEVER: Final = datetime(2000, 1, 1)
_MOST: Final = 10_000 * 60


def read_kept(path: Path) -> tuple[Kept, Findings]:
    """The plan kept at ``path``, and what is wrong with it; then it is none.

    No plan is lost by that: the next one is made without it.
    """
    findings = Findings(str(path))
    return _of(load(path, findings), findings), findings


def kept_up_to(path: Path, last: date) -> tuple[Kept, Findings]:
    """The same without the hours that begin after a day: as they stand in order of time, what
    comes after the first of them isn't read at all. Raises OSError, UnicodeDecodeError."""
    findings = Findings(str(path))
    text = path.read_text(encoding="utf-8")
    end = len(text)
    for found in _BEGINS.finditer(text):
        if found[1] > last.isoformat():
            end = found.start()
            break
    return _of(parsed(text[:end], findings), findings), findings


_BEGINS: Final = re.compile(r"^\[\[hours\]\]\nfrom = (\d{4}-\d\d-\d\d)", re.MULTILINE)


def _of(document: dict[str, object] | None, findings: Findings) -> Kept:
    """A kept plan; an empty one where something is wrong."""
    if document is not None:
        found = _kept(Table(findings, "", document))
        if not findings.problems:
            return found
    return Kept(file=findings.file)


def _kept(table: Table) -> Kept:
    table.get("format")
    as_of = table.moment("as_of")
    if as_of is None:
        table.problem("as_of", "as_of is missing")
    fullest = table.get("fullest")
    return Kept(
        as_of=as_of,
        hours=tuple(_hours(item) for item in table.tables("hours")),
        verdict=table.text("verdict") or "",
        fullest=float(fullest) if isinstance(fullest, int | float) else None,
        wearable=_days(table.table("wearable")),
        short=_minutes(table.table("short")),
        inputs=table.text("inputs") or "",
        file=table.findings.file,
    )


def _hours(table: Table) -> KeptHours:
    start, end, day = table.moment("from"), table.moment("to"), table.day("day")
    if start is None or end is None:
        table.problem("from", "from or to is missing")
    planned = table.table("planned")
    return KeptHours(
        start=start or _NEVER,
        end=end or _NEVER,
        day=day or (start or _NEVER).date(),
        place=table.choice("place", Place) or Place.WORKROOM,
        planned=tuple(_minutes(planned).items()),
    )


def _days(table: Table | None) -> dict[str, date]:
    if table is None:
        return {}
    return {key: day for key in table.data if (day := table.day(key)) is not None}


def _minutes(table: Table | None) -> dict[str, int]:
    if table is None:
        return {}
    return {key: n for key in table.data if (n := table.whole(key, 1, _MOST)) is not None}


def kept_as_text(kept: Kept) -> str:
    """The file of a kept plan. Raises ValueError where it was made from no moment."""
    if kept.as_of is None:
        raise ValueError("a plan without a moment can't be kept")
    lines = [_HEAD + "format = 1", f"as_of = {render_value(kept.as_of)}"]
    if kept.verdict:
        lines.append(f"verdict = {render_value(kept.verdict)}")
    if kept.fullest is not None:
        lines.append(f"fullest = {round(kept.fullest, 4)!r}")
    if kept.inputs:
        lines.append(f"inputs = {render_value(kept.inputs)}")
    lines += _table("wearable", kept.wearable) + _table("short", kept.short)
    for hours in kept.hours:
        lines += ["", "[[hours]]"]
        lines.append(f"from = {render_value(hours.start)}")
        lines.append(f"to = {render_value(hours.end)}")
        if hours.day != hours.start.date():
            lines.append(f"day = {render_value(hours.day)}")
        if hours.place is not Place.WORKROOM:
            lines.append(f"place = {render_value(hours.place.value)}")
        lines.append(f"planned = {render_value(dict(hours.planned))}")
    return "\n".join(lines) + "\n"


def _table(name: str, content: Mapping[str, object]) -> list[str]:
    if not content:
        return []
    return ["", f"[{name}]", *(f"{render_key(k)} = {render_value(v)}" for k, v in content.items())]


def write_kept(path: Path, kept: Kept) -> None:
    """Save a kept plan, atomically. Raises InputError where that can't be."""
    save_atomically(path, kept_as_text(kept))
