"""Occasions in time: what they take, by when all must be ready, which are past."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from planner.day_hours import Away
from planner.estimate import Operation
from planner.hours import Taken
from planner.model import Ensemble, Occasion, OccasionKind

#: what a fitting takes beyond its steps: coming in, undressing, the pins put away
AROUND_A_FITTING = 10
#: what a trial wear takes at least
TRIAL_WEAR = 90


@dataclass(frozen=True, slots=True, kw_only=True)
class Dated:
    """An occasion with its moments."""

    id: str
    """Full id."""
    occasion: Occasion
    at: datetime
    end: datetime
    ready_by: datetime
    """As the margin says."""
    wanted_by: datetime
    """``ready_by``; the occasion's beginning once that is past."""
    during: tuple[str, ...]
    """Steps done at it, in order of the files, without what is left off."""
    past: bool
    held: bool
    """Past, and it took place."""

    @property
    def ensemble(self) -> str:
        """Id of its ensemble."""
        return self.id.split("/", 1)[0]

    @property
    def takes(self) -> int:
        """Minutes."""
        return int((self.end - self.at).total_seconds()) // 60


def next_midnight(moment: datetime) -> datetime:
    """The end of a moment's day."""
    return datetime.combine(moment.date() + timedelta(days=1), time())


def ready_by(occasion: Occasion) -> datetime:
    """The moment by which all it wants must be there (margin kept free)."""
    margin = occasion.margin
    if margin.days:
        return datetime.combine(occasion.at.date() - timedelta(days=margin.days), time())
    return occasion.at - timedelta(minutes=margin.minutes)


def _end(occasion: Occasion, during_minutes: int) -> datetime:
    """When it is over: as it says, else as is usual for its kind."""
    if occasion.takes is not None:
        return occasion.at + timedelta(minutes=occasion.takes)
    if occasion.kind in (OccasionKind.DEPARTURE, OccasionKind.EVENT):
        return next_midnight(occasion.at)
    takes = during_minutes + AROUND_A_FITTING
    if occasion.kind is OccasionKind.TRIAL_WEAR:
        takes = max(takes, TRIAL_WEAR)
    return occasion.at + timedelta(minutes=takes)


def dated_occasions(
    occasions: Mapping[str, Occasion],
    during: Mapping[str, Sequence[str]],
    operations: Mapping[str, Operation],
    now: datetime,
) -> dict[str, Dated]:
    """Every occasion with its moments, in order of time (then of the files).

    ``during``: by full id of the occasion, the steps done at it.
    """
    found: list[Dated] = []
    for name, occasion in occasions.items():
        steps = tuple(during.get(name, ()))
        end = _end(occasion, sum(round(operations[s].minutes.typical) for s in steps))
        by = ready_by(occasion)
        past = end <= now
        found.append(
            Dated(
                id=name,
                occasion=occasion,
                at=occasion.at,
                end=end,
                ready_by=by,
                wanted_by=occasion.at if by <= now < occasion.at else by,
                during=steps,
                past=past,
                held=past and occasion.held is not False,
            )
        )
    found.sort(key=lambda o: o.at)
    return {o.id: o for o in found}


def taken_times(occasions: Iterable[Dated]) -> tuple[Taken, ...]:
    """The occasions' own time, in which nothing else is done."""
    return tuple(Taken(start=o.at, end=o.end) for o in occasions if o.end > o.at)


def away_times(ensembles: Iterable[Ensemble]) -> tuple[Away, ...]:
    """From each departure to the end of its ensemble's next event; without one, to the
    departure's own end. Neither depends on what is done at them."""
    away: list[Away] = []
    for ensemble in ensembles:
        events = [o for o in ensemble.occasions if o.kind is OccasionKind.EVENT]
        for o in ensemble.occasions:
            if o.kind is OccasionKind.DEPARTURE:
                ends = [_end(event, 0) for event in events if event.at >= o.at]
                away.append(Away(start=o.at, end=min(ends, default=_end(o, 0))))
    return tuple(away)
