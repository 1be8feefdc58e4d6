"""Why minutes moved: the nearest cause that is true of a step's old hours, or of its new ones.

What forces a step is looked for in its old hours: they are not there any more, it can't begin
by then, it must be done before. Each is a fact that, taken away, would let it stay. Only where
nothing forces it, others are asked: who is in its hours now, who left those it is in. They
count only if they have a cause of their own, so that no two steps give way to each other.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping
from datetime import date, datetime

from planner.ground import Ground, lay_ground
from planner.model import Entry, Kept, Project
from planner.plan import Plan, PlannedStep
from planner.replanning.evidence import Evidence
from planner.replanning.forced import Forced
from planner.replanning.minutes import Balance
from planner.replanning.values import Cause, Shift, Why


class Causes:
    """The reasons of all that moved, worked out together."""

    def __init__(
        self,
        before: Kept,
        after: Plan,
        project: Project,
        balances: Mapping[str, Balance],
        before_plan: Plan | None,
        before_project: Project | None,
        ground: Ground | None,
    ) -> None:
        self._after = after
        self._project = project
        self._balances = balances
        self._kept = before
        self._before = before_plan
        self._was = {step.id: step for step in before_plan.steps} if before_plan else {}
        self._evidence = Evidence(before, after)
        self._entries = _by_step(project)
        since = before.as_of or datetime.min
        went_by = [one for one in after.occasions if one.past and one.end > since]
        self._past = {one.id: one.at.date() for one in went_by}
        self._found: dict[str, Why] = {}
        moved = [step for step, one in balances.items() if one.shifts]
        if moved:
            laid = ground or lay_ground(project, after.now)
            forced = Forced(self._evidence, laid, before_plan, before_project)
            self._force(moved, forced)
            self._give_way([step for step in moved if step not in self._found])

    def of(self, step: str) -> Why:
        """The reason for which a step moved."""
        held = self._project.kept.as_of is not None
        return self._found.get(step) or Why(cause=Cause.EVENS_OUT if held else Cause.AFRESH)

    def of_size(self, step: str) -> Why:
        """The reason for which a step has more or fewer minutes."""
        one = self._balances[step]
        return Why(
            cause=Cause.LONGER if one.more else Cause.SHORTER,
            minutes=sum(n for _, n in one.more or one.less),
            guessed=self._guessed(step),
        )

    def of_new(self, step: str) -> Why:
        """The reason for which a step that had no minutes has some."""
        was = self._was.get(step)
        if (why := self._went_by(step)) is not None:
            return why
        if self._opened(step) or (was is not None and was.done):
            return Why(cause=Cause.OPENED)
        if was is not None:
            return Why(cause=Cause.WANTED)
        return Why(cause=Cause.NEW if self._before is not None else Cause.NO_DAY_THEN)

    def _force(self, moved: list[str], forced: Forced) -> None:
        """The causes that hold whatever the others do."""
        for step in moved:
            one = self._balances[step]
            lost = sum(shift.minutes for shift in one.shifts if shift.lost)
            others = [shift for shift in one.shifts if not shift.lost]
            why = forced.of(self._evidence.steps[step], others)
            # the part that was lost is told first, unless more than it moved for its own cause
            if lost and (why is None or lost > sum(shift.minutes for shift in others)):
                why = self._went_by(step) or self._not_done(one)
            if why is None and one.more:
                why = self.of_size(step)
            if why is not None:
                self._found[step] = why
        if self._project.kept.as_of is None:
            self._found = _grounded(self._found)

    def _not_done(self, one: Balance) -> Why:
        """It was planned on days gone by; the first of them, and all minutes."""
        lost = [shift for shift in one.shifts if shift.lost]
        minutes = sum(shift.minutes for shift in lost)
        return Why(cause=Cause.NOT_DONE, day=lost[0].from_day, minutes=minutes)

    def _went_by(self, step: str) -> Why | None:
        """The occasion at which it was to be done is past since that plan, and it isn't done."""
        held_at = self._evidence.steps[step].during
        if held_at is None or held_at not in self._past:
            return None
        return Why(cause=Cause.NOT_AT_OCCASION, names=(held_at,), day=self._past[held_at])

    def _give_way(self, rest: list[str]) -> None:
        """Steps that nothing forces: they make room for others, or fill what others left.

        From steps with a cause to those beside them, and on; what isn't reached, or where no
        earlier plan was held on to, was spread out afresh.
        """
        if self._project.kept.as_of is not None:
            self._one_after_another(rest)
        for step in rest:
            if step not in self._found and (why := self._of_itself(step)) is not None:
                self._found[step] = why

    def _one_after_another(self, rest: list[str]) -> None:
        """Give causes along the chain of who made room for whom."""
        beside = {step: list(self._beside(step)) for step in rest}
        asks: dict[str, list[str]] = {}
        for step in rest:
            for _, _, names in beside[step]:
                for name in names:
                    asks.setdefault(name, []).append(step)
        known = set(self._found) | self._changed()
        queue = deque(name for name in asks if name in known)
        while queue:
            for step in asks.get(queue.popleft(), ()):
                if step in self._found:
                    continue
                why = self._nearest(beside[step], known)
                if why is not None:
                    self._found[step] = why
                    known.add(step)
                    queue.append(step)

    def _changed(self) -> set[str]:
        """Steps that take other minutes than before, or are done: a cause for others."""
        found = {step for step, one in self._balances.items() if one.more or one.less}
        placed = {step for step, one in self._balances.items() if not one.open}
        gone = {step.id for step in self._after.steps if step.done or not step.wanted}
        there = {step.id for step in self._after.steps}
        removed = {s for hours in self._kept.hours for s, _ in hours.planned if s not in there}
        return found | placed | gone | removed

    def _beside(self, step: str) -> Iterator[tuple[Cause, date, list[str]]]:
        """Who is in the old hours of a step, then who left its new ones."""
        shifts = [one for one in self._balances[step].shifts if not one.lost]
        for day in dict.fromkeys(one.from_day for one in shifts):
            if day is None:
                continue
            for old in self._evidence.old(step, day):
                yield Cause.MAKES_ROOM, day, self._evidence.comers(old, step)
        for day in dict.fromkeys(one.to_day for one in shifts):
            if day is not None:
                yield Cause.FILLS, day, self._evidence.leavers(step, day)

    @staticmethod
    def _nearest(beside: list[tuple[Cause, date, list[str]]], known: set[str]) -> Why | None:
        """The first of those beside it that have a cause of their own."""
        for cause, day, names in beside:
            mine = tuple(name for name in names if name in known)
            if mine:
                return Why(cause=cause, names=mine, day=day)
        return None

    def _of_itself(self, step: str) -> Why | None:
        """What changed of a step or its new day, though it could have stayed."""
        one, now, was = self._balances[step], self._evidence.steps[step], self._was.get(step)
        if one.less:
            return self.of_size(step)
        if was is not None and (why := _due_later(was, now)) is not None:
            return why
        if any(shift.from_day is None for shift in one.shifts):
            return Why(cause=Cause.NO_DAY_THEN)
        return self._more_hours(one.shifts)

    def _more_hours(self, shifts: tuple[Shift, ...]) -> Why | None:
        """A new day with more hours than it had; known only of a whole plan."""
        if self._before is None:
            return None
        had = {day.date: _available(day) for day in self._before.days}
        have = {day.date: _available(day) for day in self._after.days}
        for day in dict.fromkeys(shift.to_day for shift in shifts):
            if day is not None and have.get(day, 0) > had.get(day, 0) and day in had:
                return Why(cause=Cause.MORE_HOURS, day=day, minutes=have[day] - had[day])
        return None

    def _guessed(self, step: str) -> bool:
        """Whether the maker said since how much is left."""
        since = self._kept.as_of
        return any(
            entry.left is not None and (since is None or entry.at > since)
            for entry in self._entries.get(step, ())
        )

    def _opened(self, step: str) -> bool:
        """Whether it was done then, by the diary, and isn't now."""
        since = self._kept.as_of
        told = [e for e in self._entries.get(step, ()) if e.done or e.left is not None]
        then = [entry for entry in told if since is None or entry.at <= since]
        return bool(then) and then[-1].done and not told[-1].done


def _grounded(found: Mapping[str, Why]) -> dict[str, Why]:
    """The causes that hold where all was spread out afresh: steps move with one they follow or
    lead only if that one moved for a cause of its own, and not because of the spreading."""
    kept = {step: why for step, why in found.items() if why.cause not in _BY_OTHERS}
    rest = {step: why for step, why in found.items() if why.cause in _BY_OTHERS}
    while more := {s: why for s, why in rest.items() if any(n in kept for n in why.names)}:
        kept |= more
        rest = {step: why for step, why in rest.items() if step not in more}
    return kept


_BY_OTHERS = frozenset({Cause.FOLLOWS, Cause.LEADS, Cause.MAKES_ROOM, Cause.FILLS})


def _by_step(project: Project) -> dict[str, list[Entry]]:
    """The diary's entries of each step."""
    found: dict[str, list[Entry]] = {}
    for entry in project.diary.entries:
        found.setdefault(entry.step, []).append(entry)
    return found


def _due_later(was: PlannedStep, now: PlannedStep) -> Why | None:
    """The occasion that wants it is later than it was, or another, later one does."""
    due: datetime | None = now.due
    if due is None or was.due is None or due <= was.due or now.due_for is None:
        return None
    return Why(cause=Cause.DUE_LATER, names=(now.due_for,), until=due)


def _available(day: object) -> int:
    """All hours of a day."""
    return sum(
        getattr(day, f"{place}_available") for place in ("workroom", "sofa", "take_along")
    )
