"""The plan as a value: every answer, before any screen or command words it.

Ids are full: ``ensemble/garment/step``, ``ensemble/occasion``. Minutes are whole.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum

from planner.model import OccasionKind, Place, Wait, Warned, Work
from planner.pace import UNKNOWN, Pace


class Where(StrEnum):
    """Where a sitting takes place."""

    WORKROOM = "workroom"
    SOFA = "sofa"
    TAKE_ALONG = "take_along"
    OCCASION = "occasion"


class Verdict(StrEnum):
    """What a friend would say, in short."""

    FITS = "fits"
    TIGHT = "tight"
    DOES_NOT_FIT = "does not fit"


class NoteKind(StrEnum):
    """What the plan remarks on a day or step."""

    OVER = "over"
    TIGHT = "tight"
    LATE = "late"
    NOTHING_TO_SPARE = "nothing to spare"
    TOO_MUCH_HAND_SEWING = "too much hand sewing"
    TOO_LONG_FOR_ONE_SITTING = "too long for one sitting"
    FIXED_DAY_NOT_KEPT = "fixed day not kept"
    STOCK_NOT_THERE = "stock not there"
    STOCK_RUNS_OUT = "stock runs out"
    CANNOT_BE_BOUGHT_AGAIN = "can't be bought again"
    NO_WAY_BACK = "no way back"
    WAITS_TILL = "waits till"
    TWO_HANDS_WITHOUT_HELPER = "two hands without helper"
    NOT_WANTED = "not wanted"
    UNPLACED = "unplaced"
    CAUTION = "caution"


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """One remark. Which fields are filled depends on the kind."""

    kind: NoteKind
    step: str | None = None
    """The step it is about."""
    minutes: int | None = None
    """over: beyond the hours; too much hand sewing: beyond the limit."""
    subject: str | None = None
    """Occasion a step is late for; stock; the fitting or correction that comes first."""
    until: datetime | None = None
    """waits till, stock not there: the moment."""
    text: str = ""
    """caution: the sentence; stock: the amount, as words ("0.6 m")."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sitting:
    """One stretch of work on one step."""

    date: date
    """The day its window begins on."""
    start: datetime | None
    """None where wholly over."""
    end: datetime | None
    """The window's end where partly over; None where wholly over."""
    minutes: int
    over: int
    """Of ``minutes``, those beyond the window's end."""
    where: Where
    step: str
    window: int | None
    """Index of its window in ``Plan.windows``; None at an occasion."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedWindow:
    """A cut window of the maker's hours, and what is planned in it."""

    start: datetime
    end: datetime
    day: date
    place: Place
    helper: bool
    minutes: int
    planned: int

    @property
    def load(self) -> float:
        """Planned over available; 1.0 is full."""
        return self.planned / self.minutes if self.minutes else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """A day from ``now`` to the last occasion, with or without hours."""

    date: date
    workroom_available: int
    workroom_planned: int
    sofa_available: int
    sofa_planned: int
    take_along_available: int
    take_along_planned: int
    hand_minutes: int
    peak: float | None
    """The fullest of its cut workroom windows; None without such hours."""
    notes: tuple[Note, ...]


class Because(StrEnum):
    """Why a step is when it is."""

    DONE = "done"
    NOT_WANTED = "not wanted"
    LEFT_OFF = "left off"
    AT_OCCASION = "at the occasion"
    FIXED_DAY = "fixed day"
    FOLLOWER = "follower"
    """What follows it is planned there; ``names`` holds the follower."""
    OCCASION = "occasion"
    """It must be ready by then; ``names`` holds the occasion."""
    FULL = "full"
    """Later hours are full; ``names`` holds the steps that fill them."""
    RELEASE = "release"
    """It can't begin earlier; ``names`` holds the stock, occasion or date."""
    UNPLACED = "unplaced"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Why a step is on its day: the nearest cause, and the chain to the occasion."""

    because: Because
    names: tuple[str, ...] = ()
    """Full ids of the cause."""
    chain: tuple[str, ...] = ()
    """Full ids from the step's follower on, the last the occasion that fixes it."""
    minutes: int | None = None
    """Minutes there are to do it in, between its earliest and latest, at 100 % of hours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedStep:
    """A step with everything the plan knows of it."""

    id: str
    name: str
    garment: str
    """Name of its garment, as shown."""
    work: Work
    place: Place
    hands: int
    one_sitting: bool
    wait: Wait
    during: str | None
    minutes: int
    """The estimate, typical."""
    low: int
    high: int
    left: int
    """Minutes left."""
    after: tuple[str, ...]
    """Effective predecessors: steps, and occasions it must come after."""
    released: datetime | None
    """Before which it can't begin (stock, occasion, day); None: at any time."""
    due: datetime | None
    """The ready-by of the first occasion that wants it."""
    due_for: str | None
    """That occasion."""
    earliest: datetime | None
    latest: datetime | None
    first_day: date | None
    last_day: date | None
    to_spare: int | None
    to_spare_exact: bool
    reason: Reason
    notes: tuple[Note, ...]
    done: bool
    wanted: bool
    optional: bool
    left_off: bool
    stage: str | None
    technique: str | None
    missed: int = 3
    on: date | None = None
    """The day the maker fixed for it, kept or not."""
    by_catalogue: int = 0
    """The estimate, typical, before the maker's pace."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedOccasion:
    """An occasion and how it stands."""

    id: str
    name: str
    kind: OccasionKind
    at: datetime
    end: datetime
    ready_by: datetime
    takes: int
    """Minutes."""
    fits: bool | None
    """None where neither could be shown."""
    short: int
    """Minutes of work more than hours by its ready-by; 0 where there are enough."""
    wants: tuple[str, ...]
    """Steps not yet done that must be done before it, in working order."""
    during: tuple[str, ...]
    """Steps done at it."""
    late: tuple[str, ...]
    """Steps it lacks."""
    past: bool
    full: float | None
    """How full the workroom hours are from the occasion before it (or now) to its ready-by."""
    held: bool = False
    """Past, and it took place or counts as if."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotHours:
    """Hours a tight spot counts."""

    start: datetime
    end: datetime
    place: Place
    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotStep:
    """Work that must lie inside a tight spot, and the chain that keeps it there."""

    id: str
    minutes: int
    begins: tuple[str, ...]
    """What keeps it from beginning earlier: ids from a release or occasion to the step."""
    ends: tuple[str, ...]
    """What must follow it: ids from the step to an occasion."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TightSpot:
    """The span in which work comes nearest to the hours there are, or exceeds them."""

    start: datetime
    end: datetime
    hours: tuple[SpotHours, ...]
    steps: tuple[SpotStep, ...]
    wanted: int
    available: int
    proven: bool

    @property
    def short(self) -> int:
        """Wanted less available; negative where it fits."""
        return self.wanted - self.available


@dataclass(frozen=True, slots=True, kw_only=True)
class Unplaced:
    """A step for which there is no time at any load."""

    step: str
    minutes: int
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Which step is done when, and everything that follows from it."""

    now: datetime
    fits: bool | None
    verdict: Verdict
    peak_load: float | None
    lower_bound: float | None
    begin_by: date | None
    wearable_on: Mapping[str, date | None]
    """By ensemble id; None where by the plan it never is."""
    finished_on: Mapping[str, date | None]
    days: tuple[Day, ...]
    windows: tuple[PlannedWindow, ...]
    sittings: tuple[Sitting, ...]
    """In order of time."""
    steps: tuple[PlannedStep, ...]
    """In order of the files."""
    occasions: tuple[PlannedOccasion, ...]
    """In order of time."""
    tight_spot: TightSpot | None
    unplaced: tuple[Unplaced, ...]
    warnings: tuple[Warned, ...]
    names: Mapping[str, str]
    """Shown name of every ensemble, ``ensemble/garment``, step, occasion and ``ensemble/stock``."""
    hand_sewing_limit: int | None = None
    units: str = "metric"
    pace: Pace = UNKNOWN
    """At which all minutes are estimated."""
    wearable_left: Mapping[str, int] = field(default_factory=dict)
    """By ensemble id, minutes left of what makes it wearable; 0: it could be worn now."""
