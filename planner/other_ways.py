"""What the other ways of a step would ask: minutes, stock, and how much it would be missed.

A way is tried as ``estimate`` would have it if it were chosen: its garment is worked out anew,
so that a set-up that passes to the garment's next step of the technique is counted too.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from planner.catalogue import techniques_with
from planner.editing.ways import with_way_chosen
from planner.estimate import Operation, minutes_left, operations
from planner.model import Ensemble, Entry, Garment, Place, Project, Step, Technique, Way, Work
from planner.pace import Pace

BY_MACHINE: Mapping[str, str] = {
    "backstitch-seam": "straight-seam",
    "bone-casing-by-hand": "bone-casing-by-machine",
    "boning-channel-by-hand": "boning-channel-by-machine",
    "braid-by-hand": "braid-by-machine",
    "buttonhole-by-hand": "machine-buttonhole",
    "fell-seam-by-hand": "flat-fell-by-machine",
    "flat-line-by-hand": "flat-line-by-machine",
    "gather-by-hand": "gather-by-machine",
    "hem-by-hand": "machine-hem",
    "hem-linen-by-hand": "narrow-machine-hem",
    "lace-edging-by-hand": "lace-edging-by-machine",
    "lace-insertion-by-hand": "lace-insertion-by-machine",
    "overcast-by-hand": "overcast-by-machine",
    "rolled-hem": "narrow-machine-hem",
    "running-and-back-seam": "straight-seam",
    "running-seam": "straight-seam",
    "set-sleeve-by-hand": "set-sleeve-by-machine",
    "welt-pocket-by-hand": "welt-pocket",
}
"""What is usually sewn by machine where these aren't sewn by hand, for the same amount."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherWay:
    """A way in which a step isn't done, but could be."""

    step: str
    """Full id."""
    index: int | None
    """Its place in ``instead``; None: the step as it is written itself."""
    way: Way | None
    """What is laid over the step; None with ``index``."""
    offered: bool
    """Whether the files offer it; False: it is only what is usual."""
    name: str
    technique: str | None
    work: Work
    minutes: int
    """The estimate of the whole step."""
    left: int
    """Minutes left of it."""
    saved: int
    """Minutes left less than now in its whole garment; negative where it takes longer."""
    missed: int | None
    """How much the present way would be missed, 1 to 5; None where nobody said."""
    uses: tuple[tuple[str, float], ...]
    """Full ids of stock, with what it would take of each."""


def other_ways(
    project: Project, steps: Collection[str], pace: Pace, usual: bool = False
) -> dict[str, tuple[OtherWay, ...]]:
    """By full id, of ``steps``, the ways each could be done in besides the one it is done in, at
    the maker's pace.

    ``usual``: also what is usually sewn by machine instead, where the files offer no machine way.
    """
    known = techniques_with(project.techniques)
    logged: dict[str, list[Entry]] = {}
    for entry in project.diary.entries:
        logged.setdefault(entry.step, []).append(entry)
    found: dict[str, tuple[OtherWay, ...]] = {}
    for ensemble in project.ensembles:
        for garment in ensemble.garments:
            mine = [s for s in garment.steps if f"{ensemble.id}/{garment.id}/{s.id}" in steps]
            if mine:
                bench = _Bench(ensemble, garment, known, logged, pace)
                for step in mine:
                    ways = bench.ways(step, usual)
                    if ways:
                        found[f"{ensemble.id}/{garment.id}/{step.id}"] = ways
    return found


class _Bench:
    """One garment, worked out as it is and with other ways."""

    def __init__(
        self,
        ensemble: Ensemble,
        garment: Garment,
        known: Mapping[str, Technique],
        logged: Mapping[str, Sequence[Entry]],
        pace: Pace,
    ) -> None:
        self.ensemble, self.garment, self.known, self.logged = ensemble, garment, known, logged
        self.pace = pace
        self.now: dict[str, Operation] | None = None

    def ways(self, step: Step, usual: bool) -> tuple[OtherWay, ...]:
        """The other ways of one step."""
        if step.left_off or not (step.instead or usual):
            return ()
        chosen = next((k for k, way in enumerate(step.instead) if way.chosen), None)
        places = [None, *range(len(step.instead))]
        found = [self._tried(step, k) for k in places if k != chosen]
        if usual and not any(one.work is Work.MACHINE for one in found):
            found += self._usual(step)
        return tuple(found)

    def _usual(self, step: Step) -> Iterator[OtherWay]:
        """What is usually sewn by machine instead, where the catalogue has both."""
        chosen = next((way.technique for way in step.instead if way.chosen), None)
        by_hand = chosen or step.technique or ""
        if by_hand not in BY_MACHINE:
            return
        present, counterpart = self._as_it_is()[step.id], self.known[BY_MACHINE[by_hand]]
        if present.work is not Work.HAND or present.technique != by_hand:
            return
        if counterpart.per is not self.known[by_hand].per:
            return
        way = Way(
            technique=counterpart.id,
            work=None if step.work is None else Work.MACHINE,
            place=None if step.place is None else Place.WORKROOM,
        )
        more = replace(step, instead=(*step.instead, way))
        yield self._tried(more, len(step.instead), offered=False)

    def _tried(self, step: Step, index: int | None, offered: bool = True) -> OtherWay:
        """One way, as if it were chosen."""
        now = self._as_it_is()
        ops = self._operations(with_way_chosen(step, index))
        op = ops[step.id]
        way = None if index is None else step.instead[index]
        missed = None if way is None else (way.missed or step.missed)
        return OtherWay(
            step=op.id,
            index=index,
            way=way,
            offered=offered,
            name=op.name if way is None or way.name else self._named(op),
            technique=op.technique,
            work=op.work,
            minutes=int(op.minutes.typical),
            left=self._left(op),
            saved=sum(map(self._left, now.values())) - sum(map(self._left, ops.values())),
            missed=missed if offered else step.missed,
            uses=tuple((stock, quantity.value) for stock, quantity in op.uses),
        )

    def _named(self, op: Operation) -> str:
        """Its technique's name: the step's own may say how it is done now."""
        technique = self.known.get(op.technique or "")
        return technique.name if technique is not None else op.name

    def _as_it_is(self) -> dict[str, Operation]:
        if self.now is None:
            self.now = self._operations(None)
        return self.now

    def _operations(self, changed: Step | None) -> dict[str, Operation]:
        """The garment's operations by id of the step, one of them changed."""
        steps = self.garment.steps
        if changed is not None:
            steps = tuple(changed if one.id == changed.id else one for one in steps)
        garment = replace(self.garment, steps=steps)
        alone = replace(self.ensemble, garments=(garment,))
        return {op.step.id: op for op in operations(alone, self.known, self.pace)}

    def _left(self, op: Operation) -> int:
        """Minutes left of a step; none of one that is left off."""
        return 0 if op.step.left_off else minutes_left(op, self.logged.get(op.id, ()))
