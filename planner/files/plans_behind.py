"""The plans of days gone by: one small file a day, fewer of them with age.

They lie in the workroom's own folder ``.wearby/plans``, each under the date on which it was
kept, such as ``2027-05-03.toml``. The first plan kept on a day stays: it is what one set out
with. Nothing here ever disturbs: what can't be written isn't, what can't be read isn't there.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Final

from planner.files.kept import kept_up_to, read_kept, write_kept
from planner.model import Kept, Project
from planner.planned_behind import PlannedDay, planned_days
from planner.problems import InputError

PLANS: Final = Path(".wearby") / "plans"
EVERY_DAY: Final = 14
"""For so many days back a plan a day stays."""
EVERY_WEEK: Final = 92
"""For so many days back a plan a week stays, the first; before that a plan a month."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanBehind:
    """A plan that was kept on a day gone by."""

    day: date
    kept: Kept


def folder_of(project: Project) -> Path | None:
    """The folder a project was read from; None where it was read from none."""
    return Path(project.workroom.file).parent if project.workroom.file else None


def remember_plan(folder: Path, kept: Kept, now: datetime) -> None:
    """Keep a plan as the one of ``now``'s day, unless there is one; let old ones go.

    Where that can't be, nothing happens.
    """
    if kept.as_of is None:
        return
    file = _file(folder, now.date())
    try:
        if file.exists():
            return
        file.parent.mkdir(parents=True, exist_ok=True)
        write_kept(file, kept)
    except (InputError, OSError):
        return
    for day in outgrown(plans_known(folder), now.date()):
        with contextlib.suppress(OSError):
            _file(folder, day).unlink()


def outgrown(days: Iterable[date], today: date) -> list[date]:
    """The days of which a plan is no longer kept: all of 14 days stay, then the first of each
    week, after three months the first of each month. Those of days to come stay, too."""
    seen: set[tuple[int, ...]] = set()
    found = []
    for day in sorted(days):
        age = (today - day).days
        if age < EVERY_DAY:
            continue
        span = day.isocalendar()[:2] if age < EVERY_WEEK else (day.year, 100 + day.month)
        if span in seen:
            found.append(day)
        seen.add(span)
    return found


def plans_known(folder: Path) -> list[date]:
    """The days of which there is a plan, in order."""
    found = []
    try:
        names = [file.stem for file in (folder / PLANS).glob("*.toml")]
    except OSError:
        return []
    for name in names:
        with contextlib.suppress(ValueError):
            day = date.fromisoformat(name)
            if day.isoformat() == name:
                found.append(day)
    return sorted(found)


def every_plan(folder: Path, now: datetime) -> tuple[Kept, ...]:
    """The plans of all days up to ``now``'s, in order, as far as they can be read."""
    found = (_read(folder, day) for day in plans_known(folder) if day <= now.date())
    return tuple(one.kept for one in found if one is not None)


def plan_of_day(folder: Path, day: date) -> PlanBehind | None:
    """The plan with which a day began, else that of the nearest day before it.

    None where there is none that can be read.
    """
    for known in reversed(plans_known(folder)):
        if known <= day and (found := _read(folder, known)) is not None:
            return found
    return None


def planned_behind(
    folder: Path, since: date, now: datetime, accepted: Kept | None = None
) -> tuple[PlannedDay, ...]:
    """What was planned on each day from ``since`` to the one before ``now``'s, as far as it is
    known; see ``planned_days``. ``accepted`` is the plan accepted last: of its day it is the one,
    where there is no other."""
    known = plans_known(folder)
    before = [day for day in known if day < since][-1:]
    days = [*before, *(day for day in known if since <= day <= now.date())]
    nexts = [*days[1:], now.date()] if days else []
    read = [_read(folder, day, until) for day, until in zip(days, nexts, strict=True)]
    plans = [one.kept for one in read if one is not None]
    if accepted is not None and accepted.as_of is not None:
        day = accepted.as_of.date()
        if day not in known and day < now.date():
            plans.append(accepted)
    return planned_days(plans, since, now)


def planned_of(project: Project, since: date, now: datetime) -> tuple[PlannedDay, ...]:
    """What was planned on days behind of a project, read from beside its files: wherever that is
    told, it is from here. It goes back to the last plan of a day before today, too."""
    folder = folder_of(project)
    known = [] if folder is None else plans_known(folder)
    if project.kept.as_of is not None:
        known.append(project.kept.as_of.date())
    last = max((day for day in known if day < now.date()), default=since)
    since = min(since, last)
    if folder is None:
        return planned_days([project.kept], since, now)
    return planned_behind(folder, since, now, project.kept)


def _read(folder: Path, day: date, until: date | None = None) -> PlanBehind | None:
    """The plan of a day, if it can be read; only its hours up to another day, where it is given."""
    file = _file(folder, day)
    try:
        kept, findings = read_kept(file) if until is None else kept_up_to(file, until)
    except (OSError, UnicodeDecodeError):
        return None
    if findings.problems or kept.as_of is None:
        return None
    return PlanBehind(day=day, kept=kept)


def _file(folder: Path, day: date) -> Path:
    return folder / PLANS / f"{day.isoformat()}.toml"
