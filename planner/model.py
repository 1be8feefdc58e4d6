"""What there is: workroom, ensembles, garments, steps, occasions, stock, diary.

Plain frozen values, as read from the maker's files. Nothing is resolved here: references
are still the maker's words (``network`` resolves them), amounts are still products of
names and quantities (``estimate`` multiplies them), hours are still weekly
(``hours`` dates them). Durations are whole minutes; dates and times are local wall clock.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from typing import TYPE_CHECKING

from planner.quantity import Quantity

if TYPE_CHECKING:
    from planner.catalogue.order import Order


class Work(StrEnum):
    """The kind of work of a step; ``letter`` is its mark on the day's strip."""

    DRAFTING = "drafting"
    CUTTING = "cutting"
    MACHINE = "machine"
    HAND = "hand"
    PRESSING = "pressing"
    FITTING = "fitting"
    BENCH = "bench"
    CHECKS = "checks"

    @property
    def letter(self) -> str:
        """d c m h p f b k"""
        return "k" if self is Work.CHECKS else self.value[0]


class Place(StrEnum):
    """The least place a step needs, and the place hours are had at."""

    WORKROOM = "workroom"
    SOFA = "sofa"
    TAKE_ALONG = "take-along"


class Source(StrEnum):
    """Where a garment comes from."""

    MAKE = "make"
    OWN = "own"
    ALTER = "alter"
    BORROW = "borrow"
    BUY = "buy"


class OccasionKind(StrEnum):
    """What sort of occasion."""

    FITTING = "fitting"
    TRIAL_WEAR = "trial wear"
    DEPARTURE = "departure"
    EVENT = "event"


STAGES = ("fittable", "wearable", "finished")
"""The stages of a garment, in their order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """Time that passes without work after a step: nights, or minutes by the clock."""

    nights: int = 0
    """A follower begins on a date at least so many after that of the last sitting."""
    minutes: int = 0
    """Clock minutes from the end of the last sitting to the beginning of a follower."""

    def __bool__(self) -> bool:
        return bool(self.nights or self.minutes)


@dataclass(frozen=True, slots=True, kw_only=True)
class Margin:
    """Time kept free before an occasion: whole days, or minutes by the clock."""

    days: int = 0
    minutes: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A stretch of a day by the clock, in minutes from its midnight."""

    start: int
    """0 to 1439."""
    end: int
    """More than ``start``; beyond 1440 where it crosses midnight."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """Where days differ from their week. Exactly one of a day, a span and a rule."""

    first: date | None = None
    """``on`` or ``from``; of a rule, the date it is anchored at (None: 2000-01-01)."""
    last: date | None = None
    """``to``, inclusive; the same as ``first`` for a single day; None for a rule."""
    rule: str | None = None
    """An RFC 5545 RRULE, without its "RRULE:"."""
    workroom: tuple[Span, ...] | None = None
    """The day's workroom hours; None keeps the week's, empty is none."""
    sofa: tuple[Span, ...] | None = None
    take_along: tuple[Span, ...] | None = None
    helper: tuple[Span, ...] | None = None
    reason: str = ""
    where: str = ""
    """Key path, such as "change[2]"."""


WeekHours = tuple[tuple[Span, ...], ...]
"""Seven entries, Monday first."""

NO_HOURS: WeekHours = ((),) * 7


@dataclass(frozen=True, slots=True, kw_only=True)
class PaceChoices:
    """What the maker says of their own pace."""

    learn: bool = True
    """Whether estimates follow what the diary teaches."""
    by_hand: Mapping[str, float] = field(default_factory=dict)
    """Set by the maker, as ratios of the catalogue's minutes: by "all", a kind of work, or the
    id of a technique. They win over what was learnt."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Workroom:
    """Who sews, and when."""

    file: str = ""
    """Path of the file it was read from, as to be shown in messages."""
    units: str = "metric"
    """"metric" or "imperial": how lengths are shown."""
    fill_to: float = 0.7
    """How full days are made before the plan begins earlier; 1.0 is full."""
    setting_up: int = 0
    """Minutes taken from the beginning of every workroom window."""
    hand_sewing_limit: int | None = None
    """Minutes of hand sewing in a day; None for no limit."""
    workroom_hours: WeekHours = NO_HOURS
    sofa_hours: WeekHours = NO_HOURS
    take_along_hours: WeekHours = NO_HOURS
    helper_hours: WeekHours = NO_HOURS
    changes: tuple[Change, ...] = ()
    pace: PaceChoices = PaceChoices()


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """What a step takes of a stock."""

    stock: str
    """Id of the stock, in the same ensemble."""
    extra: float = 0.0
    """Share on top, 0.05 for "5%"."""
    amount: tuple[str | Quantity, ...] | None = None
    """Its own amount (a product); None: the step's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """Another way to do a step: what differs from the step itself (None: as the step)."""

    technique: str | None = None
    name: str | None = None
    amount: tuple[str | Quantity, ...] | None = None
    hours: int | None = None
    """Typical minutes, in place of a technique."""
    low: int | None = None
    high: int | None = None
    work: Work | None = None
    place: Place | None = None
    hands: int | None = None
    one_sitting: bool | None = None
    wait: Wait | None = None
    no_way_back: bool | None = None
    caution: str | None = None
    uses: tuple[Use, ...] | None = None
    missed: int | None = None
    chosen: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One construction operation on one garment."""

    id: str
    name: str = ""
    """The maker's name for it; empty: the technique's, else the id."""
    technique: str | None = None
    amount: tuple[str | Quantity, ...] = ()
    """Factors of a product: names of the garment's measurements, and quantities."""
    hours: int | None = None
    """Typical minutes, in place of a technique."""
    low: int | None = None
    high: int | None = None
    work: Work | None = None
    """None: the technique's."""
    place: Place | None = None
    """None: the technique's."""
    during: str | None = None
    """Reference to the occasion at which it is done, in its time."""
    after: tuple[str, ...] = ()
    stage: str | None = None
    """Stage of the garment reached when this step and all it follows are done."""
    wait: Wait | None = None
    """None: the technique's usual one, if it has any."""
    uses: tuple[Use, ...] = ()
    optional: bool = False
    missed: int = 3
    """How much it would be missed, 1 to 5."""
    instead: tuple[Way, ...] = ()
    one_sitting: bool = False
    effort: float = 1.0
    """Its minutes (not its set-up) are multiplied by this: velvet, heavy cloth, a first time."""
    hands: int | None = None
    """1 or 2; None: the technique's."""
    on: date | None = None
    """The day the maker fixed."""
    not_before: date | datetime | None = None
    left_off: bool = False
    done: bool = False
    """Finished before the diary began."""
    no_way_back: bool | None = None
    """None: the technique's."""
    caution: str | None = None
    """None: the technique's."""
    where: str = ""
    """Key path, such as "garment[1].step[0]"."""

    @property
    def required(self) -> bool:
        """Not optional, or carrying a stage."""
        return not self.optional or self.stage is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Garment:
    """One garment or accessory of an ensemble."""

    id: str
    name: str = ""
    kind: str | None = None
    """The order of construction it was split from."""
    layer: int | None = None
    """Dressing order, 1 next to the skin."""
    source: Source = Source.MAKE
    wearer: str = ""
    in_order: bool = False
    """Each step follows the one above it."""
    measurements: Mapping[str, Quantity] = field(default_factory=dict)
    choices: Mapping[str, str] = field(default_factory=dict)
    """What was chosen when it was split from its order of construction."""
    steps: tuple[Step, ...] = ()
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Occasion:
    """Something dated: a fitting, a trial wear, a departure, an event."""

    id: str
    kind: OccasionKind
    at: datetime
    name: str = ""
    takes: int | None = None
    """Minutes; None: as the rules say for its kind."""
    wants: tuple[str, ...] | None = None
    """References; None: as the rules say for its kind."""
    margin: Margin = Margin()
    held: bool | None = None
    """None: a past fitting or trial wear counts as held."""
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Coming:
    """A delivery."""

    amount: Quantity
    arrives: date | None = None
    """None: not known."""


NONE = Quantity(value=0.0)
"""Nothing of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Cloth, trim or notions: what there is and what is coming."""

    id: str
    name: str = ""
    have: Quantity = NONE
    counted: date | None = None
    """The day ``have`` was counted; None: before all work."""
    lead: int | None = None
    """Days from order to arrival."""
    again: bool = True
    """Whether it can be bought again."""
    coming: tuple[Coming, ...] = ()
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ensemble:
    """Everything worn together for an occasion; one file."""

    id: str
    """The file's stem."""
    name: str = ""
    file: str = ""
    occasions: tuple[Occasion, ...] = ()
    stock: tuple[Stock, ...] = ()
    garments: tuple[Garment, ...] = ()
    pack: tuple[str, ...] = ()
    """What isn't a garment but must be there: shoes, jewels, lacing cords, a repair kit."""
    packed: tuple[str, ...] = ()
    """What of it is packed: ids of garments, and things of ``pack`` as they stand there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """What a step really took of a stock."""

    stock: str
    """Id of the stock, in the step's ensemble."""
    amount: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One entry of the diary."""

    at: datetime
    step: str
    """Full id, ``ensemble/garment/step``."""
    minutes: int = 0
    done: bool = False
    left: int | None = None
    """Minutes left by the maker's guess."""
    note: str = ""
    used: tuple[Used, ...] = ()
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Diary:
    """What was done, in the order of the file."""

    entries: tuple[Entry, ...] = ()
    file: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptHours:
    """A window of a plan, and what was planned in it."""

    start: datetime
    end: datetime
    day: date
    """The day it belongs to."""
    place: Place
    planned: tuple[tuple[str, int], ...]
    """Full id of a step and its minutes, in the order in which they are done."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A plan that was accepted, as far as later plans hold on to it and are compared with it."""

    as_of: datetime | None = None
    """The moment it was made from; None where none was kept yet."""
    hours: tuple[KeptHours, ...] = ()
    """In order of time; those in which nothing is planned are left out."""
    verdict: str = ""
    fullest: float | None = None
    """The fullest workroom window's load; 1.0 is full."""
    wearable: Mapping[str, date] = field(default_factory=dict)
    """By ensemble id, when it can be worn; those that can't are left out."""
    short: Mapping[str, int] = field(default_factory=dict)
    """By occasion, full id, the minutes it is short; those with enough are left out."""
    inputs: str = ""
    """Stands for the hours and ensembles it was made of (``kept.inputs_of``)."""
    let_go: bool = False
    """Whether planning is no longer to hold on to it, but only to be no fuller."""
    file: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Warned:
    """Something worth saying about the input that does not stop the plan."""

    file: str
    place: str
    """Key path."""
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Minutes:
    """Minutes as an estimate."""

    low: float
    typical: float
    high: float


class Per(StrEnum):
    """What a technique's rate is counted by."""

    COUNT = "count"
    LENGTH = "length"
    AREA = "area"


@dataclass(frozen=True, slots=True, kw_only=True)
class Technique:
    """How a step is done; it carries the rate."""

    id: str
    name: str
    work: Work
    place: Place
    per: Per
    rate: Minutes
    """Minutes for ``unit_size`` of what it is counted by."""
    unit: str = ""
    """The unit in words: "metre", "panel", "100 beads", "10 cm2"."""
    unit_size: float = 1.0
    """1 metre, 1 piece, 100 (beads), 0.001 (square metres, of "10 cm2")."""
    each: Minutes | None = None
    """Minutes for every seam (or set) on top of the rate, however long it is."""
    set_up: int = 0
    """Minutes once a garment."""
    hands: int = 1
    one_sitting: bool = False
    wait: Wait | None = None
    """The usual wait after it."""
    no_way_back: bool = False
    caution: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Project:
    """A whole workroom as read: the inputs of planning but ``now``."""

    workroom: Workroom
    ensembles: tuple[Ensemble, ...]
    diary: Diary = Diary()
    techniques: tuple[Technique, ...] = ()
    """The maker's own (``techniques.toml``); they win over the catalogue's."""
    orders: tuple[Order, ...] = ()
    """The maker's own orders of construction (folder ``orders``), by id; they win, too."""
    kept: Kept = Kept()
    """The plan that was accepted last (``kept.toml``); planning holds on to it."""
    warnings: tuple[Warned, ...] = ()
