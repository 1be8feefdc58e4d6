"""Orders of construction as values: what a kind of garment asks, and the steps it is made in.

``ORDERS.md`` beside this module is the reference of the files they are read from.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from planner.model import OccasionKind, Source, Step, Work
from planner.quantity import COUNT, Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """A length or count the maker is asked for."""

    id: str
    """As in amounts and in ``wearby split KIND id=value``; no spaces."""
    ask: str
    """Its label, a few words: "Hem, all the way round"."""
    how: str
    """How to take it, in one sentence."""
    default: Quantity
    """Also says whether it is a length or a count."""
    least: Quantity
    """Less than this can't be meant."""
    most: Quantity
    """More than this can't be meant."""
    asked: bool = True
    """Asked at once; else its default stands until the maker opens it."""
    when: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """Asked only with these options chosen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One answer to a choice."""

    id: str
    name: str
    effort: float = 1.0
    """Multiplies the minutes of the steps the choice is about."""
    works: frozenset[str] = frozenset()
    """Kinds of work it multiplies; empty: the choice's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A question with a few answers, some of which change the steps."""

    id: str
    ask: str
    options: tuple[Option, ...]
    default: str
    """Id of an option."""
    how: str = ""
    works: frozenset[str] = frozenset()
    """Kinds of work whose steps an option's ``effort`` multiplies."""
    asked: bool = True
    when: Mapping[str, frozenset[str]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A measurement worked out of others: a product, a named rule, or a value by choice."""

    id: str
    product: tuple[str | Quantity, ...] = ()
    rule: str = ""
    """Name of a rule of ``planner.materials``."""
    given: Mapping[str, str | Quantity] = field(default_factory=dict)
    """The rule's arguments by name: names of measurements or figures, and quantities."""
    by: str = ""
    """Id of the choice whose option picks one of ``values``."""
    values: Mapping[str, Quantity] = field(default_factory=dict)
    whole: bool = True
    """A count is one of pieces, rounded up; not so a fullness or another ratio."""
    dimension: int = COUNT
    """What it comes to: a count, a length or an area."""
    when: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """Several figures of one id: the first whose conditions hold counts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """Cloth, trim or notions that the steps take."""

    id: str
    name: str
    dimension: int = COUNT
    shared: bool = False
    """One stock for the whole ensemble (thread), not one a garment."""
    lead: int | None = None
    """Usual days from order to arrival."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Over:
    """A step waits for a stage of another garment, where one of that role is worn."""

    roles: tuple[str, ...]
    stage: str
    """"fittable", "wearable" or "finished"."""
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderStep:
    """A step with the conditions under which it is there."""

    step: Step
    """As a garment holds it; ``uses`` name materials of the order."""
    when: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """Every choice named has one of these options; "is" stands for the garment's roles."""
    unless: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """None of these."""
    at: OccasionKind | None = None
    """It is done at a fitting or trial wear where there is one."""
    over: tuple[Over, ...] = ()
    spared: frozenset[str] = frozenset()
    """Choices whose ``effort`` doesn't touch it: a mock-up is not of the difficult cloth."""
    work: Work | None = None
    """Its kind of work, its technique's where it has none of its own: what ``effort`` goes by."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """The order of construction of a kind of garment."""

    id: str
    """The garment's ``kind``; the file's stem."""
    name: str
    group: str
    """Heading it is listed under."""
    layer: int
    """Usual place in the dressing order."""
    roles: frozenset[str]
    """What other orders' ``over`` may call it; always its id, too."""
    sources: tuple[Source, ...] = tuple(Source)
    """Where such a garment can come from; the first is usual."""
    source: str = ""
    """Where the order is from."""
    measurements: tuple[Measurement, ...] = ()
    choices: tuple[Choice, ...] = ()
    """Its own, then those every order has (``common.COMMON``)."""
    figures: tuple[Figure, ...] = ()
    materials: tuple[Material, ...] = ()
    steps: tuple[OrderStep, ...] = ()
    pack: tuple[str, ...] = ()
    """What must be there with it and isn't a garment."""
    file: str = ""
    """Path, as to be shown; empty for the catalogue's."""
