"""What an occasion wants of each garment, done or not, and which stage that is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from planner.before.values import Must, Part
from planner.model import STAGES, Garment, OccasionKind, Project, Source
from planner.plan import Plan, PlannedOccasion, PlannedStep
from planner.references import Index, index_of, resolve, stage_steps

TOGETHER = "whole-ensemble"
"""The order of construction of what is done with all garments together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanting:
    """A project and its plan, looked at from one occasion."""

    project: Project
    plan: Plan
    occasion: PlannedOccasion
    index: Index
    steps: Mapping[str, PlannedStep]
    """By full id, in the order of the files."""
    later: frozenset[str]
    """Steps done at this occasion or a later one, and all that follow them."""
    wanted: frozenset[str]
    """What it wants, done or not, with all that comes before."""

    @property
    def garments(self) -> Mapping[str, Garment]:
        """By full id."""
        return self.index.garments

    def followers(self) -> dict[str, list[str]]:
        """By step, the open steps that follow it."""
        found: dict[str, list[str]] = {}
        for step in self.steps.values():
            if not (step.done or step.left_off):
                for before in step.after:
                    found.setdefault(before, []).append(step.id)
        return found

    def in_order(self, ids: Iterable[str]) -> tuple[str, ...]:
        """Steps by the day they begin on, else in working order; what has no day last."""
        working = {ident: place for place, ident in enumerate(self.occasion.wants)}
        return tuple(
            sorted(
                ids,
                key=lambda one: (
                    self.steps[one].first_day or date.max,
                    working.get(one, len(working)),
                ),
            )
        )


def wanting(project: Project, plan: Plan, occasion: PlannedOccasion) -> Wanting:
    """What the occasion wants, by the rules: by its own word, else by its kind."""
    index = index_of(project.ensembles)
    steps = {step.id: step for step in plan.steps}
    later = _later(plan, occasion)
    roots = _roots(plan, occasion, index, steps)
    return Wanting(
        project=project,
        plan=plan,
        occasion=occasion,
        index=index,
        steps=steps,
        later=later,
        wanted=before(plan, steps, roots, later),
    )


def _later(plan: Plan, occasion: PlannedOccasion) -> frozenset[str]:
    """What is done at it or later, comes after it, or follows any of that."""
    occasions = {one.id for one in plan.occasions if one.at >= occasion.at}
    follow: dict[str, list[str]] = {}
    found = []
    for step in plan.steps:
        for before in step.after:
            follow.setdefault(before, []).append(step.id)
        if step.during in occasions or any(one in occasions for one in step.after):
            found.append(step.id)
    seen = set(found)
    while found:
        for after in follow.get(found.pop(), ()):
            if after not in seen:
                seen.add(after)
                found.append(after)
    return frozenset(seen)


def _roots(
    plan: Plan, occasion: PlannedOccasion, index: Index, steps: Mapping[str, PlannedStep]
) -> list[str]:
    """What it wants before anything is brought along."""
    ensemble = occasion.id.split("/")[0]
    roots = [*occasion.wants, *occasion.late]
    roots += [p for one in occasion.during for p in steps[one].after if p in steps]
    said = index.occasions[occasion.id].wants
    if said is not None:
        for text in said:
            target = resolve(index, text, ensemble, None)
            roots += target.steps
            roots += [s.id for s in plan.steps if s.during and s.during == target.occasion]
    elif occasion.kind is OccasionKind.TRIAL_WEAR:
        for garment in index.garments:
            if garment.startswith(f"{ensemble}/"):
                roots += stage_steps(index, garment, "wearable")
    elif occasion.kind is not OccasionKind.FITTING:
        roots += [one for one in steps if one.startswith(f"{ensemble}/")]
    return roots


def before(
    plan: Plan,
    steps: Mapping[str, PlannedStep],
    roots: Iterable[str],
    barred: frozenset[str] = frozenset(),
) -> frozenset[str]:
    """The steps that ``roots`` are or follow, without what is barred or left off.

    What comes after a past occasion, and is still to do, also follows what that still owes.
    """
    owed = {one.id: one.during for one in plan.occasions if one.past}
    found: set[str] = set()
    todo = list(roots)
    while todo:
        ident = todo.pop()
        step = steps.get(ident)
        if step is None:
            todo += [s for s in owed.get(ident, ()) if not steps[s].done and s not in found]
        elif ident not in found and ident not in barred and not step.left_off:
            found.add(ident)
            todo += [one for one in step.after if one in steps or not step.done]
    return frozenset(found)


def dressed(garments: Mapping[str, Garment], ids: Iterable[str]) -> list[str]:
    """Garments in dressing order, else as in the files; those without a layer last."""
    place = {ident: number for number, ident in enumerate(garments)}
    return sorted(
        ids,
        key=lambda one: (garments[one].layer is None, garments[one].layer or 0, place[one]),
    )


def is_worn(want: Wanting, garment: str) -> bool:
    """Whether it is a garment that is put on, and not what is done with all of them together."""
    it = want.garments[garment]
    if it.kind == TOGETHER:
        return False
    staged = any(step.stage for step in it.steps)
    return it.layer is not None or it.kind is not None or it.source is not Source.MAKE or staged


_LEAST = {OccasionKind.FITTING: 0, OccasionKind.TRIAL_WEAR: 1}
"""The first stage that is spoken of, by kind; of the others it is finished."""


def stage_by_then(want: Wanting, garment: str) -> str | None:
    """The stage of a garment that is wanted whole, that which takes most.

    Of stages that take the same steps it is the first that suits the kind of occasion.
    """
    takes = {stage: reaching(want, garment, stage) for stage in STAGES}
    reached = [stage for stage in STAGES if takes[stage] and takes[stage] <= want.wanted]
    if not reached:
        return None
    top = max(reached, key=lambda stage: len(takes[stage]))
    least = _LEAST.get(want.occasion.kind, 2)
    alike = [stage for stage in reached if takes[stage] == takes[top]]
    return next((stage for stage in alike if STAGES.index(stage) >= least), alike[-1])


def reaching(want: Wanting, garment: str, stage: str) -> frozenset[str]:
    """The garment's own steps that must be done for it to reach a stage."""
    needed = before(want.plan, want.steps, stage_steps(want.index, garment, stage))
    return frozenset(one for one in needed if one.rpartition("/")[0] == garment)


def musts(want: Wanting) -> tuple[Must, ...]:
    """The garments of which something is wanted, in dressing order."""
    of: dict[str, list[str]] = {}
    for ident in want.steps:
        if ident in want.wanted:
            of.setdefault(ident.rpartition("/")[0], []).append(ident)
    return tuple(_must(want, one, of[one]) for one in dressed(want.garments, of))


def _must(want: Wanting, garment: str, wanted: Sequence[str]) -> Must:
    steps = want.steps
    stage = stage_by_then(want, garment)
    needed = wanted if stage is None else sorted(reaching(want, garment, stage))
    followed = {p for one in needed for p in steps[one].after}
    last = [one for one in steps if one in needed and one not in followed]
    ahead = want.in_order(one for one in wanted if not steps[one].done)
    days = [steps[one].last_day for one in ahead]
    known = [day for day in days if day is not None]
    return Must(
        garment=garment,
        stage=stage,
        worn=is_worn(want, garment),
        last=tuple(last),
        open=ahead,
        left=sum(steps[one].left for one in ahead),
        on=max(known) if known and len(known) == len(days) else None,
        waits=tuple(
            one.id
            for one in steps.values()
            if one.id.rpartition("/")[0] == garment
            and one.id not in want.wanted
            and one.id not in want.occasion.during
            and not (one.done or one.left_off)
        ),
    )


def parts(want: Wanting, found: Sequence[Must]) -> tuple[tuple[Part, tuple[str, ...]], ...]:
    """The open steps by what they serve; parts without any are left out."""
    by: dict[Part, list[str]] = {part: [] for part in Part}
    for must in found:
        for ident, part in _served(want, must):
            by[part].append(ident)
    return tuple((part, want.in_order(ids)) for part, ids in by.items() if ids)


def _served(want: Wanting, must: Must) -> Iterable[tuple[str, Part]]:
    """Each open step of a garment with the first stage that needs it."""
    if must.stage is None:
        yield from ((ident, Part.AS_FAR) for ident in must.open)
        return
    # a garment without a step that carries a stage reaches it when it is finished
    carried = {step.stage for step in want.garments[must.garment].steps if not step.left_off}
    needs = {
        stage: reaching(want, must.garment, stage)
        for stage in STAGES[: STAGES.index(must.stage) + 1]
        if stage in carried or stage == must.stage
    }
    for ident in must.open:
        serves = [stage for stage, needed in needs.items() if ident in needed]
        yield ident, Part(serves[0]) if serves else Part.EXTRA
