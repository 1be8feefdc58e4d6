"""The steps before an occasion, in words: in groups by stage or garment, each with what is known
of it; and what can wait until after."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from planner.before import Before, Must, Part
from planner.plan import NoteKind, Plan, PlannedOccasion, PlannedStep
from screens.why import in_short
from screens.wording import column, name_of, quoted, short_date, spoken

PARTS = {
    Part.FITTABLE: "to be fittable",
    Part.WEARABLE: "to be wearable",
    Part.FINISHED: "to be finished",
    Part.AS_FAR: "as far as needed",
    Part.EXTRA: "extras, and what else it wants",
}


def step_known(plan: Plan, needed: Before, step: PlannedStep) -> str:
    """The one thing to know of a step before it."""
    if step.id in needed.occasion.late:
        return "late"
    if step.during is not None and (at := _occasion(plan, step.during)) is not None:
        return f"at the {at.kind.value} that day" if not at.past else in_short(plan, step)
    return in_short(plan, step)


def known_in_column(plan: Plan, needed: Before, step: PlannedStep) -> str:
    """The same for a column of a list: "0:37 to spare" for "37 min to spare"."""
    known = step_known(plan, needed, step)
    if step.to_spare:
        return known.replace(f"{spoken(step.to_spare)} to", f"{column(step.to_spare)} to")
    return known


def day_column(plan: Plan, step: PlannedStep) -> str:
    """The day of a step in a column: where it is done at an occasion, that one's."""
    if step.first_day is not None:
        return short_date(step.first_day)
    at = _occasion(plan, step.during) if step.during else None
    return short_date(at.at.date()) if at is not None and not at.past else "no time"


def is_grave(step: PlannedStep, needed: Before) -> bool:
    """Whether what is to be known of a step must be shown even where there is little room."""
    lesser = (NoteKind.CAUTION, NoteKind.OVER, NoteKind.TIGHT, NoteKind.NO_WAY_BACK)
    grave = any(note.kind not in lesser for note in step.notes)
    return grave or step.id in needed.occasion.late


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Steps under a heading."""

    heading: str
    minutes: int
    steps: tuple[str, ...]
    garment: str | None = None
    """Where they are all of one garment."""
    late: bool = False


def groups(plan: Plan, needed: Before, by_garment: bool) -> list[Group]:
    """What must be done before it: what is late first, then by stage, or by garment."""
    steps = {step.id: step for step in plan.steps}
    if needed.occasion.past:
        return _past_groups(needed, steps)
    late = tuple(one for one in needed.open if one in needed.occasion.late)
    found = [_group("late for it", late, steps, late=True)] if late else []
    if by_garment:
        for must in needed.musts:
            rest = tuple(one for one in must.open if one not in late)
            if rest:
                heading = f"{name_of(plan, must.garment)}: {must_in_short(plan, must)}"
                found.append(_group(heading, rest, steps, garment=must.garment))
        return found
    for part, ids in needed.parts:
        rest = tuple(one for one in ids if one not in late)
        if rest:
            found.append(_group(PARTS[part], rest, steps))
    return found


def _past_groups(needed: Before, steps: Mapping[str, PlannedStep]) -> list[Group]:
    """What it lacked."""
    found = []
    if needed.lacked:
        found.append(_group("lacked then, and still open", needed.lacked, steps, late=True))
    if needed.done_since:
        found.append(_group("lacked then, done since", needed.done_since, steps))
    return found


def _group(
    heading: str,
    ids: tuple[str, ...],
    steps: Mapping[str, PlannedStep],
    garment: str | None = None,
    late: bool = False,
) -> Group:
    minutes = sum(steps[one].left for one in ids)
    return Group(heading=heading, minutes=minutes, steps=ids, garment=garment, late=late)


def must_in_short(plan: Plan, must: Must) -> str:
    """ "fittable Sat 25 Sep", "as far as “baste” Fri 15 Oct"."""
    if must.stage is None:
        stage = f"as far as {quoted(plan, must.last[-1])}" if must.last else "as far as wanted"
    else:
        stage = must.stage
    return f"{stage} {plain_day(must.on)}" if must.on else stage


# what can wait


def waiting(plan: Plan, needed: Before) -> list[tuple[str, str, int]]:
    """What can wait, garment by garment: its id, the names of its steps, their minutes."""
    steps = {step.id: step for step in plan.steps}
    by: dict[str, list[str]] = {}
    for ident in needed.can_wait:
        by.setdefault(ident.rpartition("/")[0], []).append(ident)
    return [
        (
            garment,
            " / ".join(name_of(plan, one) for one in ids),
            sum(steps[one].left for one in ids),
        )
        for garment, ids in by.items()
    ]


# small words


def _occasion(plan: Plan, ident: str) -> PlannedOccasion | None:
    return next((one for one in plan.occasions if one.id == ident), None)


def plain_day(day: date | None) -> str:
    """ "Sat 25 Sep"."""
    return " ".join(short_date(day).split()) if day else ""
