"""What forces a step out of its old hours, whatever the other steps do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, time, timedelta
from functools import cached_property

from planner.ground import Ground, all_operations
from planner.looking_back import days_that_differ
from planner.model import Project, Wait
from planner.network import Network, build_network
from planner.plan import Plan, PlannedStep, Where
from planner.problems import InputError
from planner.replanning.evidence import Evidence, Old, minutes_between
from planner.replanning.values import Cause, Shift, Why
from planner.standing import Release, after_wait

_DAY = timedelta(days=1)


class Forced:
    """Asks the ground of the plan after what it says of hours of the plan before."""

    def __init__(
        self,
        evidence: Evidence,
        ground: Ground,
        before: Plan | None,
        before_project: Project | None,
    ) -> None:
        self._evidence = evidence
        self._ground = ground
        self._was = {step.id: step for step in before.steps} if before is not None else {}
        self._project = before_project
        self._at = {
            one.step: one.date
            for one in evidence.after.sittings
            if one.where is Where.OCCASION
        }
        self._reasons: dict[date, str] = {}

    def of(self, step: PlannedStep, shifts: Sequence[Shift]) -> Why | None:
        """What forces the minutes of some shifts; None where they could have stayed."""
        if not shifts:
            return None
        if step.id in self._at and step.during is not None:
            return Why(cause=Cause.AT_OCCASION, names=(step.during,), day=self._at[step.id])
        if (why := self._by_day(step, shifts)) is not None:
            return why
        days = dict.fromkeys(shift.from_day for shift in shifts)
        olds = [old for day in days if day is not None for old in self._evidence.old(step.id, day)]
        for ask in (self._begins, self._follows, self._must_end, self._hours, self._leads):
            for old in olds:
                if (why := ask(step, old)) is not None:
                    return why
        if any(shift.to_day is None for shift in shifts):
            return Why(cause=Cause.NO_TIME)
        return None

    def _by_day(self, step: PlannedStep, shifts: Sequence[Shift]) -> Why | None:
        """The maker fixed its day, or freed it of one."""
        if step.on is not None and all(shift.to_day == step.on for shift in shifts):
            return Why(cause=Cause.FIXED, day=step.on)
        was = self._was.get(step.id)
        if was is None or was.on is None or was.on == step.on:
            return None
        if any(shift.from_day == was.on for shift in shifts):
            return Why(cause=Cause.FREED, day=was.on)
        return None

    def _begins(self, step: PlannedStep, old: Old) -> Why | None:
        """Something keeps it from beginning in time for its old hours."""
        found = [
            one
            for one in self._ground.releases.get(step.id, ())
            if one.moment > self._evidence.after.now and not _room_after(one.moment, old)
        ]
        return self._release(max(found, key=lambda one: one.moment)) if found else None

    def _release(self, release: Release) -> Why:
        """A moment before which a step can't begin, as a cause."""
        moment, cause = release.moment, release.cause
        if cause == "not_before":
            return Why(cause=Cause.NOT_BEFORE, day=moment.date(), until=moment)
        if cause in self._ground.occasions:
            at = self._ground.occasions[cause].at.date()
            return Why(cause=Cause.AFTER_OCCASION, names=(cause,), day=at, until=moment)
        node = self._ground.network.nodes.get(cause)
        if node is None:
            return Why(cause=Cause.STOCK, names=(cause,), day=moment.date(), until=moment)
        held_at = self._ground.stand[cause].at_occasion
        if held_at is not None and not node.op.wait:
            at = self._ground.occasions[held_at].at.date()
            return Why(cause=Cause.AFTER_OCCASION, names=(held_at,), day=at, until=moment)
        return Why(cause=Cause.WAITS, names=(cause,), day=moment.date(), until=moment)

    def _follows(self, step: PlannedStep, old: Old) -> Why | None:
        """What it comes after ends too late for its old hours."""
        found: list[tuple[bool, datetime, str]] = []
        for other in self._ground.waits_for.get(step.id, ()):
            extent = self._evidence.extent.get(other)
            if extent is None:
                continue
            moment = after_wait(extent.end, extent.day, self._wait(other))
            later = self._ends_later(other)
            # where it had no room after it before, either, that moved nothing
            if not _room_after(moment, old) and (later or not self._so_before(step.id, other)):
                found.append((later, moment, other))
        if not found:
            return None
        later, moment, other = max(found, key=lambda one: (one[0], one[1]))
        if later:
            return Why(cause=Cause.FOLLOWS, names=(other,), day=moment.date(), until=moment)
        return self._new_tie(step.id, other, moment, old)

    def _so_before(self, step: str, other: str) -> bool:
        """Whether a step followed the other before, as it does now, without a new wait between
        them: what didn't move then is no cause."""
        was, extent = self._evidence.was, self._evidence.extent[other]
        if step not in was or other not in was or not self._tied(step, other):
            return False
        rested = after_wait(was[other].end, was[other].day, self._wait(other))
        return rested <= was[step].start and extent.day == was[other].day

    def _ends_later(self, other: str) -> bool:
        """Whether a step ends on a later day than it was to, or wasn't planned at all. On the
        same day it is told as done by then, and was: the hours are what became too few."""
        was = self._evidence.was.get(other)
        return was is None or self._evidence.extent[other].day > was.day

    def _new_tie(self, step: str, other: str, moment: datetime, old: Old) -> Why:
        """It follows what stays where it was: by a new order, or after a longer wait."""
        cause = Cause.FOLLOWS
        if not self._tied(step, other):
            cause = Cause.ORDER
        elif _room_after(self._evidence.extent[other].end, old):
            cause = Cause.WAITS
        return Why(cause=cause, names=(other,), day=moment.date(), until=moment)

    def _tied(self, step: str, other: str) -> bool:
        """Whether a step came after the other before, too; of a kept plan, whether it lay so."""
        before = self._network
        if before is not None:
            node = before.nodes.get(step)
            return node is not None and other in node.after
        was = self._evidence.was
        return step not in was or other not in was or was[other].end <= was[step].start

    @cached_property
    def _network(self) -> Network | None:
        """The order of work before, where it is known."""
        if self._project is None:
            return None
        try:
            return build_network(self._project.ensembles, all_operations(self._project))
        except InputError:
            return None

    def _hours(self, step: PlannedStep, old: Old) -> Why | None:
        """Its old hours are not there, are fewer, or have nobody to help."""
        hours = old.hours
        now = self._evidence.after.now
        length = minutes_between(max(hours.start, now), hours.end)
        gone_by = minutes_between(hours.start, hours.end) - length
        there = self._evidence.there(hours, step.place)
        if step.hands > 1 and there:
            helped = self._evidence.there(hours, step.place, helper=True)
            if helped < min(old.minutes, length):
                return Why(cause=Cause.NO_HELPER, day=hours.day)
        planned = sum(minutes for _, minutes in hours.planned)
        if there < length and not self._room(there, planned):
            return self._fewer(old, max(length - there, self._evidence.gone_on(hours.day)))
        if gone_by and not self._room(there, planned):
            return Why(cause=Cause.NOT_DONE, day=hours.day, minutes=gone_by)
        return None

    def _room(self, there: int, planned: int) -> bool:
        """Whether what was planned in some hours would still find room, at the fullest load."""
        return there * max(1.0, self._evidence.after.peak_load or 1.0) >= planned

    def _fewer(self, old: Old, minutes: int) -> Why:
        """Hours that are not there any more: an occasion has them, or the maker took them.

        ``minutes``: as many as the whole day lost.
        """
        hours = old.hours
        taken = tuple(
            one.id
            for one in self._evidence.after.occasions
            if one.at < hours.end and one.end > hours.start and not one.past
        )
        reason = "" if taken else self._reason(hours.day)
        return Why(
            cause=Cause.HOURS_GONE, names=taken, day=hours.day, minutes=minutes, reason=reason
        )

    def _reason(self, day: date) -> str:
        """Why a day differs from its week, in the maker's words."""
        if day not in self._reasons:
            found = days_that_differ(self._ground.project, day, day).get(day)
            self._reasons[day] = found.reason if found is not None else ""
        return self._reasons[day]

    def _must_end(self, step: PlannedStep, old: Old) -> Why | None:
        """An occasion wants it before its old hours."""
        if step.due is None or step.due_for is None or self._is_late(step):
            return None
        if _room_before(_by(step.due, step.wait), old):
            return None
        return Why(
            cause=Cause.READY_BY, names=(step.due_for,), day=step.due.date(), until=step.due
        )

    def _is_late(self, step: PlannedStep) -> bool:
        """Whether it ends after it is due all the same."""
        extent = self._evidence.extent.get(step.id)
        return extent is None or step.due is None or extent.end > step.due

    def _leads(self, step: PlannedStep, old: Old) -> Why | None:
        """What comes after it begins too early for its old hours."""
        found = []
        for other in self._followers(step.id):
            start = self._evidence.extent[other].start
            was = self._evidence.was.get(other)
            if was is not None and was.start <= start and self._tied(other, step.id):
                continue
            if not _room_before(_by(start, self._wait(step.id)), old):
                found.append((start, other))
        if not found:
            return None
        begin, other = min(found)
        return Why(cause=Cause.LEADS, names=(other,), day=begin.date(), until=begin)

    def _followers(self, step: str) -> Iterator[str]:
        """Planned steps that wait for a step."""
        for other in self._ground.network.followers.get(step, ()):
            if other in self._evidence.extent and step in self._ground.waits_for.get(other, ()):
                yield other

    def _wait(self, step: str) -> Wait:
        return self._ground.network.nodes[step].op.wait


def _room_after(moment: datetime, old: Old) -> bool:
    """Whether old hours from a moment on still hold what was planned of the step in them."""
    hours = old.hours
    length = minutes_between(hours.start, hours.end)
    left = minutes_between(max(moment, hours.start), hours.end)
    return left >= min(old.minutes, length)


def _room_before(moment: datetime, old: Old) -> bool:
    """Whether old hours up to a moment still hold what was planned of the step in them."""
    hours = old.hours
    length = minutes_between(hours.start, hours.end)
    return minutes_between(hours.start, min(moment, hours.end)) >= min(old.minutes, length)


def _by(moment: datetime, wait: Wait) -> datetime:
    """When work must have ended to have rested by a moment.

    Nights are counted between dates; 00:00 of a ready-by counts as its date.
    """
    if wait.nights:
        last = moment.date() - (wait.nights - 1) * _DAY
        return datetime.combine(last, time())
    return moment - timedelta(minutes=wait.minutes)
