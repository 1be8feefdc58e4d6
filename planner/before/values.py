"""What an occasion needs, as values: what must be there, what is done at it, what can wait.

Ids are full, minutes whole; lists of steps are ids in working order unless said otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from planner.plan import PlannedOccasion


class Part(StrEnum):
    """What a step before an occasion serves."""

    FITTABLE = "fittable"
    WEARABLE = "wearable"
    FINISHED = "finished"
    AS_FAR = "as far"
    """Its garment reaches no further stage by then."""
    EXTRA = "extra"
    """Wanted, though no stage of its garment needs it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Must:
    """A garment of which something must be done before the occasion."""

    garment: str
    stage: str | None
    """The stage it must have reached by then; None where it need not reach any."""
    worn: bool
    """Whether it is put on; else it is what is done with all garments together."""
    last: tuple[str, ...]
    """The steps that make it so, done or not: those that carry the stage, else the last wanted."""
    open: tuple[str, ...]
    """Its steps that are wanted and not done."""
    left: int
    """Minutes of these."""
    on: date | None
    """The day they are done by the plan; None where nothing is open, or some have no day."""
    waits: tuple[str, ...]
    """Its open steps that can wait until after, in order of the file."""

    @property
    def there(self) -> bool:
        """Whether nothing is left to do to it before the occasion."""
        return not self.open


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """Something to do at the occasion."""

    step: str
    under: tuple[str, ...]
    """The garments worn under it, the innermost first."""
    decides: tuple[str, ...]
    """What follows it, one after the other, up to what has no way back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """Work against hours up to the moment by which all must be there."""

    left: int
    """Minutes of work the occasion wants that take hours."""
    also: int
    """Minutes of other work that other occasions want by then."""
    also_for: tuple[str, ...]
    """These occasions, by date."""
    also_of: tuple[str, ...]
    """The ensembles that work is of."""
    there: int
    """All hours, whatever the place."""
    serving: int
    """Those of them in which some of this work can be done."""

    @property
    def over(self) -> int:
        """Hours that serve, less all that is wanted in them; negative where they are too few."""
        return self.serving - self.left - self.also


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """Something to put on, or to pack."""

    ensemble: str
    thing: str
    """Id of the garment in its ensemble, or the words of its list."""
    garment: str | None
    """Full id; None where it is no garment."""
    wearer: str
    packed: bool
    open: tuple[str, ...] = ()
    """Its steps wanted by then and not done."""
    left: int = 0
    """Minutes of these."""
    ready: datetime | None = None
    """When all of it is done and has dried, hung or set; None: it is now, or there is no saying."""
    in_time: bool = True
    """Whether that is by the moment all must be there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """What an occasion needs."""

    occasion: PlannedOccasion
    by: datetime
    """By when all must be there: its ready-by, or its beginning once that is past."""
    hours: Hours
    tight: bool
    """Whether the plan's tight spot ends at or before it."""
    musts: tuple[Must, ...]
    """The garments that must be there, in dressing order."""
    parts: tuple[tuple[Part, tuple[str, ...]], ...]
    """The open steps, by what they serve; in working order within each part."""
    things: tuple[Thing, ...]
    """What is done at it, inner garments first."""
    at_it: int
    """Minutes of these."""
    kept: int
    """Minutes the occasion takes."""
    said: bool
    """Whether the maker said how long it takes."""
    worn: tuple[Item, ...]
    """What is put on for it: each wearer's garments in dressing order."""
    packing: tuple[Item, ...]
    """What must be with it: the garments, then what else is on the list."""
    can_wait: tuple[str, ...]
    """Open steps that need not be done by then, in order of the files."""
    lacked: tuple[str, ...]
    """Of an occasion that is past: what it wanted that is still open."""
    done_since: tuple[str, ...]
    """Of an occasion that is past: what it wanted that was done after it."""

    @property
    def open(self) -> tuple[str, ...]:
        """Every open step that must be done before it."""
        return tuple(step for _, steps in self.parts for step in steps)
