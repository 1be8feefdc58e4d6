"""Two plans -> what moved, and why."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from planner.ground import Ground
from planner.model import Entry, Kept, Project
from planner.plan import Plan, PlannedStep, Verdict, Where
from planner.replanning.causes import Causes
from planner.replanning.judged import (
    late_then_and_now,
    nothing_to_spare,
    occasions_moved,
    orders_missed,
    short_moved,
    wearable_moved,
)
from planner.replanning.minutes import Balance, balance
from planner.replanning.values import (
    Became,
    Cause,
    Direction,
    Gone,
    MoreOrLess,
    Moved,
    StepMoved,
)

Days = dict[date | None, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Compared:
    """What is compared, indexed once."""

    kept: Kept
    after: Plan
    project: Project
    before: Plan | None
    steps: Mapping[str, PlannedStep]
    planned: Mapping[str, Days]
    """By step, minutes of the plan before by day."""
    placed: Mapping[str, Days]
    """By step, minutes of the plan after by day."""
    done: Mapping[str, int]
    """By step, minutes logged since."""
    ticked: tuple[str, ...]
    """Steps logged as done since."""
    over: frozenset[date]
    """Days whose planned hours are gone by."""


def what_moves(
    before: Kept,
    after: Plan,
    project: Project,
    *,
    before_plan: Plan | None = None,
    before_project: Project | None = None,
    ground: Ground | None = None,
) -> Moved:
    """What is otherwise in ``after``, the plan of ``project``, than in ``before``.

    ``before_plan`` and ``before_project``, where they are known, are what ``before`` was kept
    of; without them less is told (see ``Moved``). ``ground`` is that of ``after``, if it was
    laid already. Minutes on days gone by don't move: they were done, or were lost.
    """
    compared = _compare(before, after, project, before_plan, before_project)
    balances = {
        step: balance(
            compared.planned.get(step, {}),
            compared.placed.get(step, {}),
            done=compared.done.get(step, 0),
            over=compared.over,
        )
        for step in _in_order(compared)
    }
    causes = Causes(before, after, project, balances, before_plan, before_project, ground)
    steps = _moved_steps(balances, causes)
    late, in_time = late_then_and_now(before, after, before_plan)
    return Moved(
        since=before.as_of,
        now=after.now,
        verdict_before=Verdict(before.verdict) if before.verdict in set(Verdict) else None,
        verdict=after.verdict,
        full_before=before.fullest,
        full=after.peak_load,
        steps=steps,
        resized=_resized(compared, balances, causes),
        new=_new(compared, balances, causes),
        gone=_gone(compared),
        unplaced=tuple(s.step for s in steps if any(one.to_day is None for one in s.shifts)),
        placed=tuple(s.step for s in steps if any(one.from_day is None for one in s.shifts)),
        late=late,
        in_time=in_time,
        nothing_to_spare=nothing_to_spare(after, before_plan),
        short=short_moved(before, after),
        occasions=occasions_moved(after, before_plan),
        orders_missed=orders_missed(before, after, project, before_plan, before_project),
        wearable=wearable_moved(before, after),
        done=sum(compared.done.values()),
    )


def _compare(
    kept: Kept,
    after: Plan,
    project: Project,
    before: Plan | None,
    before_project: Project | None,
) -> _Compared:
    """Both plans by step and day."""
    steps = {step.id: step for step in after.steps}
    planned = _planned(kept, before)
    since = _since(kept, project, before_project, after.now)
    return _Compared(
        kept=kept,
        after=after,
        project=project,
        before=before,
        steps=steps,
        planned=planned,
        placed=_placed(after, planned, before is not None),
        done=_done(since),
        ticked=tuple(dict.fromkeys(one.step for one in since if one.done)),
        over=_over(kept, before, after.now),
    )


def _planned(kept: Kept, before: Plan | None) -> dict[str, Days]:
    """Minutes of the plan before by step and day; work at occasions and what had no day only
    where the plan is known."""
    found: dict[str, Days] = {}
    for hours in kept.hours:
        for step, minutes in hours.planned:
            mine = found.setdefault(step, {})
            mine[hours.day] = mine.get(hours.day, 0) + minutes
    if before is not None:
        _add_at_occasions(found, before)
        _add_unplaced(found, before)
    return found


def _placed(after: Plan, planned: Mapping[str, Days], known: bool) -> dict[str, Days]:
    """Minutes of the plan after by step and day.

    Where not all of the plan before is ``known``, what had no minutes in it and is done at an
    occasion, or has no day, may have been so before: it is left out.
    """
    found: dict[str, Days] = {}
    for sitting in after.sittings:
        if sitting.where is not Where.OCCASION:
            mine = found.setdefault(sitting.step, {})
            mine[sitting.date] = mine.get(sitting.date, 0) + sitting.minutes
    every: dict[str, Days] = {}
    _add_at_occasions(every, after)
    _add_unplaced(every, after)
    for step, days in every.items():
        if known or step in planned:
            mine = found.setdefault(step, {})
            for day, minutes in days.items():
                mine[day] = mine.get(day, 0) + minutes
    return found


def _add_at_occasions(found: dict[str, Days], plan: Plan) -> None:
    for sitting in plan.sittings:
        if sitting.where is Where.OCCASION:
            mine = found.setdefault(sitting.step, {})
            mine[sitting.date] = mine.get(sitting.date, 0) + sitting.minutes


def _add_unplaced(found: dict[str, Days], plan: Plan) -> None:
    for one in plan.unplaced:
        found.setdefault(one.step, {})[None] = one.minutes


def _done(since: list[Entry]) -> dict[str, int]:
    """Minutes logged since, by step."""
    found: dict[str, int] = {}
    for entry in since:
        found[entry.step] = found.get(entry.step, 0) + entry.minutes
    return {step: minutes for step, minutes in found.items() if minutes}


def _since(
    kept: Kept, project: Project, before: Project | None, now: datetime
) -> list[Entry]:
    """The diary's entries since the plan before: those that weren't in its diary; where that
    isn't known, those of a later moment."""
    entries = project.diary.entries
    if before is not None:
        there: dict[tuple[datetime, str, int, bool], int] = {}
        for one in before.diary.entries:
            key = (one.at, one.step, one.minutes, one.done)
            there[key] = there.get(key, 0) + 1
        new = []
        for one in entries:
            key = (one.at, one.step, one.minutes, one.done)
            if there.get(key, 0):
                there[key] -= 1
            else:
                new.append(one)
        return new
    begin = kept.as_of or datetime.min
    return [one for one in entries if begin < one.at <= now]


def _over(kept: Kept, before: Plan | None, now: datetime) -> frozenset[date]:
    """Days of the plan before whose hours with work, and occasions, are all gone by."""
    ends: dict[date, datetime] = {}
    for one in before.sittings if before is not None else ():
        if one.where is Where.OCCASION and one.end is not None:
            ends[one.date] = max(one.end, ends.get(one.date, one.end))
    for hours in kept.hours:
        ends[hours.day] = max(hours.end, ends.get(hours.day, hours.end))
    return frozenset(day for day, end in ends.items() if end <= now)


def _in_order(compared: _Compared) -> list[str]:
    """Steps to compare, in order of the files: not done, and planned in both plans or one."""
    return [
        step.id
        for step in compared.after.steps
        if not step.done and (step.id in compared.planned or step.id in compared.placed)
        if step.id in compared.placed
    ]


def _moved_steps(balances: Mapping[str, Balance], causes: Causes) -> tuple[StepMoved, ...]:
    """The steps with shifts, by the day their first one left, then in order of the files."""
    found = [
        StepMoved(
            step=step,
            shifts=one.shifts,
            began=one.open[0][0],
            begins=one.placed[0][0],
            ended=one.open[-1][0],
            ends=one.placed[-1][0],
            direction=_direction(one),
            why=causes.of(step),
        )
        for step, one in balances.items()
        if one.shifts
    ]
    return tuple(sorted(found, key=lambda one: one.shifts[0].from_day or date.max))


def _direction(one: Balance) -> Direction:
    """Later where its minutes, all together, are later; no day is later than any."""
    moved = 0
    for shift in one.shifts:
        to = (shift.to_day or date.max).toordinal()
        moved += shift.minutes * (to - (shift.from_day or date.max).toordinal())
    return Direction.LATER if moved >= 0 else Direction.EARLIER


def _resized(
    compared: _Compared, balances: Mapping[str, Balance], causes: Causes
) -> tuple[MoreOrLess, ...]:
    """Steps of both plans with more or fewer minutes than before."""
    found = []
    for step, one in balances.items():
        change = one.more or one.less
        if change and step in compared.planned:
            minutes = sum(n for _, n in change)
            found.append(
                MoreOrLess(
                    step=step,
                    minutes=minutes if one.more else -minutes,
                    days=tuple(day for day, _ in change if day is not None),
                    why=causes.of_size(step),
                )
            )
    return tuple(found)


def _new(
    compared: _Compared, balances: Mapping[str, Balance], causes: Causes
) -> tuple[MoreOrLess, ...]:
    """Steps that had no minutes and have some now."""
    return tuple(
        MoreOrLess(
            step=step,
            minutes=sum(n for _, n in one.placed),
            days=tuple(day for day, _ in one.placed if day is not None),
            why=causes.of_new(step),
        )
        for step, one in balances.items()
        if step not in compared.planned
    )


def _gone(compared: _Compared) -> tuple[Gone, ...]:
    """Steps that were planned and are not any more, in order of the days they had; then those
    that had no day and were done all the same."""
    found = [
        Gone(step=step, minutes=sum(days.values()), became=_became(compared.steps.get(step)))
        for step, days in compared.planned.items()
        if step not in compared.placed
    ]
    besides = [
        Gone(step=step, minutes=0, became=Became.DONE)
        for step in compared.ticked
        if step not in compared.planned and step in compared.steps and compared.steps[step].done
    ]
    return (*found, *besides)


def _became(step: PlannedStep | None) -> Became:
    """What a step is that has no minutes in the plan after."""
    if step is None:
        return Became.REMOVED
    if step.done:
        return Became.DONE
    return Became.LEFT_OFF if step.left_off else Became.NOT_WANTED


__all__ = ["Cause", "Moved", "StepMoved", "what_moves"]
