"""The steps before an occasion, in words: in groups by stage or garment, each with what is known
of it; and what can wait until after."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from planner.before import Before, Must, Part
from planner.plan import NoteKind, Plan, PlannedOccasion, PlannedStep
from screens.before_others_told import is_own, others
from screens.before_told import ensembles_in_short
from screens.why import in_short
from screens.wording import (
    column,
    count,
    listed,
    name_of,
    quoted,
    short_date,
    spoken,
    with_article,
)

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
    at_occasions: int = 0
    """Minutes besides, done at occasions that come before, in their own time."""
    kinds: tuple[str, ...] = ()
    """What these occasions are: "fitting", "trial wear"."""


def groups(plan: Plan, needed: Before, by_garment: bool) -> list[Group]:
    """What must be done before it: what is late first, then by stage, or by garment; what is of
    other ensembles comes last."""
    if needed.occasion.past:
        return _past_groups(plan, needed)
    late = tuple(one for one in needed.open if one in needed.occasion.late)
    found = [_group(plan, "late for it", late, late=True)] if late else []
    if by_garment:
        for must in sorted(needed.musts, key=lambda must: not is_own(needed, must.garment)):
            rest = tuple(one for one in must.open if one not in late)
            if rest:
                name = name_of(plan, must.garment)
                if not is_own(needed, must.garment):
                    name += f" ({name_of(plan, must.garment.split('/')[0])})"
                heading = f"{name}: {must_in_short(plan, must)}"
                found.append(_group(plan, heading, rest, garment=must.garment))
        return found
    for part, ids in needed.parts:
        rest = tuple(one for one in ids if one not in late and is_own(needed, one))
        if rest:
            found.append(_group(plan, PARTS[part], rest))
    for other in others(plan, needed):
        rest = tuple(one for one in other.steps if one not in late)
        if rest:
            name = with_article(ensembles_in_short(plan)[other.ensemble])
            found.append(_group(plan, f"for {name}", rest))
    return found


def _past_groups(plan: Plan, needed: Before) -> list[Group]:
    """What it lacked."""
    found = []
    if needed.lacked:
        at_it = set(needed.occasion.during)
        before = tuple(one for one in needed.lacked if one not in at_it)
        there = tuple(one for one in needed.lacked if one in at_it)
        for heading, ids in (
            ("lacked then, and still open", before),
            ("to be done at it, and still open", there),
        ):
            if ids:
                found.append(_group(plan, heading, ids, late=True))
    if needed.done_since:
        found.append(_group(plan, "lacked then, done since", needed.done_since))
    return found


def _group(
    plan: Plan, heading: str, ids: tuple[str, ...], garment: str | None = None, late: bool = False
) -> Group:
    steps = {step.id: step for step in plan.steps}
    coming = {one.id: one.kind.value for one in plan.occasions if not one.past}
    there = [steps[one] for one in ids if steps[one].during in coming]
    apart = sum(step.left for step in there)
    return Group(
        heading=heading,
        minutes=sum(steps[one].left for one in ids) - apart,
        steps=ids,
        garment=garment,
        late=late,
        at_occasions=apart,
        kinds=tuple(dict.fromkeys(coming[step.during] for step in there if step.during)),
    )


def group_told(group: Group, needed: Before, said: Callable[[int], str]) -> str:
    """ "to be fittable, 19 steps, 18:11 of 24:16", its share of all that takes hours."""
    parts = [group.heading, count(len(group.steps), "step")]
    if group.minutes:
        whole = needed.hours.left
        of = f" of {said(whole)}" if not needed.occasion.past and group.minutes < whole else ""
        parts.append(f"{said(group.minutes)}{of}")
    if group.at_occasions:
        kinds = listed([f"a {kind}" for kind in group.kinds])
        besides = f"{said(group.at_occasions)} at {kinds}"
        parts.append(f"and {besides}" if group.minutes else besides)
    return ", ".join(parts)


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
