"""What moved between two plans, as values."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from planner.plan import Verdict


class Cause(StrEnum):
    """Why a step's minutes are on other days: the nearest true cause."""

    NOT_DONE = "not done"
    """They were planned on a day gone by, and not done: ``day``."""
    FOLLOWS = "follows"
    """It comes after ``names``, which end later now."""
    LEADS = "leads"
    """It comes before ``names``, which are too early now for its old hours."""
    ORDER = "order"
    """It comes after ``names``, and did not before."""
    WAITS = "waits"
    """It waits until ``until`` for what ``names`` leave wet, hanging or setting."""
    STOCK = "stock"
    """Its stock, ``names``, comes on ``day``."""
    AFTER_OCCASION = "after the occasion"
    """It comes after the occasion ``names``, which is on ``day``."""
    NOT_BEFORE = "not before"
    """The maker lets it begin on ``day``."""
    READY_BY = "ready by"
    """The occasion ``names`` wants it by ``until``."""
    AT_OCCASION = "at the occasion"
    """It is done at the occasion ``names``."""
    DUE_LATER = "due later"
    """The occasion ``names`` wants it only by ``until``."""
    NOT_AT_OCCASION = "not at the occasion"
    """The occasion ``names`` went by without it."""
    HOURS_GONE = "hours gone"
    """``day`` has fewer hours than it had, by ``minutes``; ``reason`` in the maker's words, or
    the occasions ``names`` take them."""
    MORE_HOURS = "more hours"
    """``day`` has more hours than it had, by ``minutes``."""
    NO_HELPER = "no helper"
    """Nobody is there to help on ``day``."""
    LONGER = "longer"
    """It takes ``minutes`` more than was thought."""
    SHORTER = "shorter"
    """It takes ``minutes`` less than was thought."""
    MAKES_ROOM = "makes room"
    """Others are done in its hours on ``day``: ``names``, the largest first."""
    FILLS = "fills"
    """Hours are free on ``day`` that were not: ``names`` left them, the largest first."""
    FIXED = "fixed"
    """Its day was fixed: ``day``."""
    FREED = "freed"
    """Its day is fixed no longer."""
    NEW = "new"
    """It is new."""
    OPENED = "opened again"
    """It was done, and is to be done again."""
    WANTED = "wanted now"
    """It was left off, or nobody wanted it."""
    NO_DAY_THEN = "no day then"
    """It had no day before; why, isn't known."""
    NO_TIME = "no time"
    """There is no time for it at all."""
    EVENS_OUT = "evens out"
    """Nothing forces it, but with it no hours are fuller than they must be."""
    AFRESH = "afresh"
    """Nothing forces it: no plan was held on to, and the work was spread out anew."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """The reason of a move; which fields are filled, its cause says."""

    cause: Cause
    names: tuple[str, ...] = ()
    """Full ids."""
    day: date | None = None
    minutes: int | None = None
    until: datetime | None = None
    reason: str = ""
    guessed: bool = False
    """longer, shorter: by the maker's guess of what is left, not by the estimate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """Minutes of a step that went from one day to another."""

    from_day: date | None
    """None: they had no day."""
    to_day: date | None
    """None: there is no time for them."""
    minutes: int
    lost: bool
    """The day they come from is over, and they were not done on it."""


class Direction(StrEnum):
    """Which way a step moved, minute by minute taken together."""

    LATER = "later"
    EARLIER = "earlier"


@dataclass(frozen=True, slots=True, kw_only=True)
class StepMoved:
    """A step of which minutes are on other days than before."""

    step: str
    """Full id."""
    shifts: tuple[Shift, ...]
    """In order of time."""
    began: date | None
    """The first of the days on which what is not yet done of it was planned."""
    begins: date | None
    ended: date | None
    ends: date | None
    direction: Direction
    why: Why

    @property
    def minutes(self) -> int:
        """All that moved of it."""
        return sum(one.minutes for one in self.shifts)

    @property
    def lost(self) -> int:
        """Of these, the minutes that were planned on days gone by."""
        return sum(one.minutes for one in self.shifts if one.lost)

    @property
    def from_days(self) -> tuple[tuple[date | None, int], ...]:
        """The days it left, with minutes."""
        return _by_day((one.from_day, one.minutes) for one in self.shifts)

    @property
    def to_days(self) -> tuple[tuple[date | None, int], ...]:
        """The days it went to, with minutes."""
        return _by_day((one.to_day, one.minutes) for one in self.shifts)


def _by_day(pairs: Iterable[tuple[date | None, int]]) -> tuple[tuple[date | None, int], ...]:
    """Minutes by day, in order of the days' first mention."""
    found: dict[date | None, int] = {}
    for day, minutes in pairs:
        found[day] = found.get(day, 0) + minutes
    return tuple(found.items())


@dataclass(frozen=True, slots=True, kw_only=True)
class MoreOrLess:
    """A step that has more or fewer minutes in the plan than before, done work aside."""

    step: str
    minutes: int
    """Positive: more."""
    days: tuple[date, ...]
    """Those on which the more lies; of less, those from which it is gone."""
    why: Why


class Became(StrEnum):
    """Why a step of the plan before has no minutes in the one after."""

    DONE = "done"
    LEFT_OFF = "left off"
    NOT_WANTED = "not wanted"
    REMOVED = "removed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gone:
    """A step that was planned and isn't any more, with the minutes it had."""

    step: str
    minutes: int
    became: Became


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortMoved:
    """An occasion with other minutes short than before."""

    occasion: str
    before: int
    after: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OccasionMoved:
    """An occasion at another time than before."""

    occasion: str
    before: datetime
    after: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderMissed:
    """A stock whose order-by date went by."""

    stock: str
    """Full id."""
    order_by: date


@dataclass(frozen=True, slots=True, kw_only=True)
class WearableMoved:
    """When an ensemble can be worn, before and after; None: by that plan it never is."""

    ensemble: str
    before: date | None
    after: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """All that moved between two plans."""

    since: datetime | None
    """The moment of the plan before."""
    now: datetime
    """The moment of the plan after."""
    verdict_before: Verdict | None
    verdict: Verdict
    full_before: float | None
    """How full the fullest workroom window was; 1.0 is full."""
    full: float | None
    steps: tuple[StepMoved, ...]
    """In order of the day their first move left, then of the files."""
    resized: tuple[MoreOrLess, ...]
    """In order of the files."""
    new: tuple[MoreOrLess, ...]
    """Steps that had no minutes and have some now."""
    gone: tuple[Gone, ...]
    """Done since, left off, removed, wanted no longer; these don't move."""
    unplaced: tuple[str, ...]
    """Steps newly without a day."""
    placed: tuple[str, ...]
    """Steps that have a day again."""
    late: tuple[tuple[str, str], ...]
    """Steps newly late, with the occasion."""
    in_time: tuple[tuple[str, str], ...] | None
    """Steps late no longer; None where only a kept plan is known of before."""
    nothing_to_spare: tuple[str, ...] | None
    """Steps with nothing to spare any more; None where only a kept plan is known of before."""
    short: tuple[ShortMoved, ...]
    """Coming occasions short by more, by less or no longer."""
    occasions: tuple[OccasionMoved, ...]
    """Occasions at another time; only where the plan before is known, not only what was kept."""
    orders_missed: tuple[OrderMissed, ...]
    wearable: tuple[WearableMoved, ...]
    """Every ensemble whose day changed."""
    done: int
    """Minutes logged since."""

    @property
    def minutes(self) -> int:
        """All minutes that are on other days than before."""
        return sum(one.minutes for one in self.steps)

    @property
    def lost(self) -> int:
        """Of these, the minutes planned on days gone by and not done."""
        return sum(one.lost for one in self.steps)

    @property
    def newly_short(self) -> tuple[ShortMoved, ...]:
        """Occasions that had hours enough and haven't now."""
        return tuple(one for one in self.short if not one.before)

    @property
    def later(self) -> tuple[StepMoved, ...]:
        """Steps that moved to later days."""
        return tuple(one for one in self.steps if one.direction is Direction.LATER)

    @property
    def earlier(self) -> tuple[StepMoved, ...]:
        """Steps that moved to earlier days."""
        return tuple(one for one in self.steps if one.direction is Direction.EARLIER)

    @property
    def empty(self) -> bool:
        """Whether nothing is otherwise than before."""
        return not (
            self.steps
            or self.resized
            or self.new
            or self.gone
            or self.unplaced
            or self.placed
            or self.late
            or self.in_time
            or self.nothing_to_spare
            or self.short
            or self.occasions
            or self.orders_missed
            or self.wearable
            or self.verdict_before not in (None, self.verdict)
        )
