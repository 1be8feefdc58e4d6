"""Past occasions, and what is taken as done only because they are past.

A past fitting or trial wear counts as held unless its file says otherwise, and what is done at it
counts as done; a past event or departure is over by its date alone. Neither stands in the diary,
so it can be told from what was logged, and put right.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from planner.editing.diary import log
from planner.editing.finding import ensemble_of, split_id
from planner.editing.occasions import replace_occasion
from planner.estimate import is_done_by_diary
from planner.model import Entry, Occasion, OccasionKind, Project
from planner.plan import Plan
from planner.standing import opened_since
from planner.when_logged import own_moment

BY_DATE = (OccasionKind.DEPARTURE, OccasionKind.EVENT)
"""What is over by its date, whatever happened."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PastOccasion:
    """An occasion that is over."""

    id: str
    """Full id."""
    kind: OccasionKind
    at: datetime
    end: datetime
    held: bool
    """False where its file says that it wasn't."""
    said: bool
    """Whether its file says one or the other."""
    steps: tuple[str, ...]
    """Done at it, by full id, without what is left off."""
    taken: tuple[str, ...]
    """Those of them that count as done only because it is past."""
    logged: tuple[str, ...]
    """Those that are done by the diary, or were before it."""
    again: tuple[str, ...]
    """Those the diary says something is left of since then."""
    after: tuple[str, ...] = ()
    """Those that aren't done though all they follow is: that was done only after it."""
    unworn: tuple[str, ...] = ()
    """Those that follow nothing, of a trial wear for which not all was ready."""

    @property
    def presumed(self) -> bool:
        """Whether it counts as held without anybody having said so, and takes steps as done."""
        return self.held and not self.said and bool(self.taken)

    @property
    def open(self) -> tuple[str, ...]:
        """Those that aren't done, and of which the diary says nothing."""
        known = {*self.taken, *self.logged, *self.again}
        return tuple(one for one in self.steps if one not in known)

    @property
    def by_date(self) -> bool:
        """Whether it is over by its date: nobody asks whether it was held."""
        return self.kind in BY_DATE


def past_occasions(project: Project, plan: Plan) -> tuple[PastOccasion, ...]:
    """Every past occasion of a plan, in order of time."""
    entries: dict[str, list[Entry]] = defaultdict(list)
    for entry in project.diary.entries:
        entries[entry.step].append(entry)
    before = {
        f"{ensemble.id}/{garment.id}/{step.id}"
        for ensemble in project.ensembles
        for garment in ensemble.garments
        for step in garment.steps
        if step.done
    }
    written = {f"{e.id}/{o.id}": o for e in project.ensembles for o in e.occasions}
    done = {step.id for step in plan.steps if step.done}
    follows = _follows(plan)
    found = []
    for one in plan.occasions:
        if not one.past or one.id not in written:
            continue
        mine = tuple(s.id for s in plan.steps if s.during == one.id and not s.left_off)
        logged = tuple(s for s in mine if s in before or is_done_by_diary(entries[s]))
        taken = tuple(s for s in mine if s in done and s not in logged)
        again = tuple(s for s in mine if s not in done and opened_since(entries[s], one.at))
        still = [] if written[one.id].held is False else [
            s for s in mine if s not in done and s not in again
        ]
        unworn = tuple(s for s in still if not follows[s])
        after = tuple(s for s in still if follows[s] and done.issuperset(follows[s]))
        found.append(
            PastOccasion(
                id=one.id,
                kind=one.kind,
                at=one.at,
                end=one.end,
                held=written[one.id].held is not False,
                said=written[one.id].held is not None,
                steps=mine,
                taken=taken,
                logged=logged,
                again=again,
                after=after,
                unworn=unworn,
            )
        )
    return tuple(found)


def _follows(plan: Plan) -> Mapping[str, Sequence[str]]:
    """By step, what it follows: steps, and what is done at the occasions it comes after."""
    at = {one.id: one.during for one in plan.occasions}
    return {
        step.id: [s for one in step.after for s in at.get(one, (one,)) if s != step.id]
        for step in plan.steps
    }


def taken_as_done(project: Project, plan: Plan) -> Mapping[str, PastOccasion]:
    """By step, the past occasion by which alone it counts as done."""
    return {step: one for one in past_occasions(project, plan) for step in one.taken}


def was_held(
    project: Project,
    occasion: PastOccasion,
    done: Mapping[str, int],
    not_done: Mapping[str, int],
) -> Project:
    """An occasion was held: the diary says what was done at it and what wasn't.

    ``done``: steps with the minutes they took, 0 where none are known; ``not_done``: those that
    count as done and aren't, with the minutes left. Both stand in the diary as of the occasion's
    end. Raises as ``log`` does.
    """
    after = project if occasion.by_date else _with_held(project, occasion.id, True)
    at = own_moment(after.diary, occasion.end)
    entries = [
        Entry(at=at, step=step, minutes=minutes, done=True) for step, minutes in done.items()
    ]
    entries += [Entry(at=at, step=step, left=left) for step, left in not_done.items()]
    return log(after, entries) if entries else after


def was_not_held(project: Project, occasion: PastOccasion) -> Project:
    """An occasion wasn't held: its file says so, and what was to be done at it is open."""
    return _with_held(project, occasion.id, False)


def _with_held(project: Project, id: str, held: bool) -> Project:
    old = _occasion(project, id)
    if old is None or old.held is held:
        return project
    return replace_occasion(project, id, replace(old, held=held))


def _occasion(project: Project, id: str) -> Occasion | None:
    ensemble, own = split_id(id, 2)
    found = (one for one in ensemble_of(project, ensemble).occasions if one.id == own)
    return next(found, None)


def failed_at(project: Project, plan: Plan, steps: Sequence[str]) -> Project:
    """The diary says of steps that are only taken as done that they were done at their occasion,
    so that doing them over is told as another round."""
    taken = taken_as_done(project, plan)
    mine = [step for step in dict.fromkeys(steps) if step in taken]
    entries = [
        Entry(at=own_moment(project.diary, taken[step].end), step=step, done=True) for step in mine
    ]
    return log(project, entries) if entries else project
