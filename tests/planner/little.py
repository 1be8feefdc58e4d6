"""Little workrooms: a compact text in, a plan out.

The first evening is Monday 3 May 2027. Unless a test says otherwise every evening has two
hours at the table, 19:00 to 21:00, may be filled to the brim, and nothing is set up.
"""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from planner.files.reading import read_project
from planner.model import Project
from planner.plan import Note, NoteKind, Plan, PlannedOccasion, PlannedStep
from planner.planning import plan_project
from planner.problems import InputError, Problem

NOW = datetime(2027, 5, 3)
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def every(table: str, *spans: str) -> str:
    """A table of hours with the same spans on every day."""
    listed = ", ".join(f'"{s}"' for s in spans)
    return f"[{table}_hours]\n" + "".join(f"{d} = [{listed}]\n" for d in WEEKDAYS)


EVENINGS = every("workroom", "19:00-21:00")
BALL = '{ id = "ball", kind = "event", at = 2027-05-08 }'


def ensemble(garments: str, occasions: str = BALL, stock: str = "") -> str:
    """An ensemble of inline occasions and stock, and garments (``garment``)."""
    lists = f"occasion = [{occasions}]\n" + (f"stock = [{stock}]\n" if stock else "")
    return f"format = 1\n{lists}{garments}"


def garment(*steps: str, id: str = "g", keys: str = "") -> str:
    """A garment of compact steps: ``a 60 after=["b"]``.

    The id, the minutes, and further keys of the step in TOML. Work is machine work unless
    it says otherwise.
    """
    rows = []
    for text in steps:
        name, minutes, *rest = text.split(" ", 2)
        more = f", {rest[0]}" if rest else ""
        work = "" if " work=" in text or ", work=" in text else ', work = "machine"'
        place = "" if " place=" in text else ', place = "workroom"'
        hours = f', hours = "{minutes}m"' if minutes != "-" else ""
        if minutes == "-":
            work = place = ""
        rows.append(f'  {{ id = "{name}"{hours}{work}{place}{more} }},\n')
    return f'[[garment]]\nid = "{id}"\n{keys}\nstep = [\n{"".join(rows)}]\n'


def project(
    folder: Path,
    e: str,
    hours: str = EVENINGS,
    *,
    fill: str = "100%",
    keys: str = "",
    diary: str = "",
    **others: str,
) -> Project:
    """The workroom as read: ensemble ``e``, and others by their id."""
    folder.mkdir(parents=True, exist_ok=True)
    settings = f'format = 1\nfill_to = "{fill}"\n{keys}\n'
    (folder / "workroom.toml").write_text(settings + hours, encoding="utf-8")
    for name, text in {"e": e, **others}.items():
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    if diary:
        (folder / "diary.toml").write_text("format = 1\n" + diary, encoding="utf-8")
    return read_project(folder)


def plan(
    folder: Path,
    e: str,
    hours: str = EVENINGS,
    *,
    now: datetime = NOW,
    fill: str = "100%",
    keys: str = "",
    diary: str = "",
    **others: str,
) -> Plan:
    """The plan of a little workroom."""
    read = project(folder, e, hours, fill=fill, keys=keys, diary=diary, **others)
    return plan_project(read, now)


def refused(folder: Path, e: str, **others: str) -> tuple[Problem, ...]:
    """The problems for which a little workroom is refused."""
    with pytest.raises(InputError) as raised:
        plan_project(project(folder, e, EVENINGS, **others), NOW)
    return raised.value.problems


def step(found: Plan, name: str) -> PlannedStep:
    """A step of garment ``g``, or ``garment/step``, of ensemble ``e``, or by its full id."""
    full = {0: f"e/g/{name}", 1: f"e/{name}", 2: name}[name.count("/")]
    (one,) = (s for s in found.steps if s.id == full)
    return one


def occasion(found: Plan, name: str) -> PlannedOccasion:
    """An occasion of ensemble ``e``."""
    (one,) = (o for o in found.occasions if o.id == f"e/{name}")
    return one


def short(ids: tuple[str, ...] | list[str]) -> list[str]:
    """Last parts of ids."""
    return [i.rsplit("/", 1)[1] for i in ids]


def times(found: Plan, name: str) -> list[str]:
    """Sittings of a step as "3 19:00-20:00": day of May, and the clock."""
    full = step(found, name).id
    return [
        f"{s.date.day} {s.start:%H:%M}-{s.end:%H:%M}"
        if s.start is not None and s.end is not None
        else f"{s.date.day} over"
        for s in found.sittings
        if s.step == full
    ]


def last_day(found: Plan, name: str) -> int | None:
    """The day of May on which a step ends."""
    day = step(found, name).last_day
    return None if day is None else day.day


def notes(found: Plan, name: str, kind: NoteKind) -> list[Note]:
    """The notes of one kind on a step."""
    return [n for n in step(found, name).notes if n.kind is kind]


def day_notes(found: Plan, day: int, kind: NoteKind) -> list[Note]:
    """The notes of one kind on a day of May."""
    (one,) = (d for d in found.days if d.date == date(2027, 5, day))
    return [n for n in one.notes if n.kind is kind]
