"""Which steps on the body go to which fitting or trial wear.

A fitting holds the body steps of several garments. A step that follows one of them begins after
the fitting, so of two that follow one another only the first can be at the first fitting. Where
there are too few, the outer garments have them (``places``).
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from planner.catalogue.order import Order, OrderStep
from planner.model import Ensemble, Garment, Occasion, OccasionKind, Source, Step
from planner.occasions import AROUND_A_FITTING, TRIAL_WEAR
from planner.splitting.answers import working_order
from planner.splitting.order_of_work import OrderOfWork
from planner.splitting.places import places

BODY_OCCASIONS = (OccasionKind.FITTING, OccasionKind.TRIAL_WEAR)
"""At which steps on the body are done."""


def order_of(garment: Garment, orders: Mapping[str, Order]) -> Order | None:
    """The order a garment's steps are from; None of one made up by hand."""
    order = orders.get(garment.kind) if garment.kind is not None else None
    if order is None:
        return None
    return order if garment.source is Source.MAKE else working_order(order, garment.source)


def ordered_parts(garment: Garment, orders: Mapping[str, Order]) -> Iterator[tuple[str, OrderStep]]:
    """The steps that come from the order of the garment's kind and are open: their names within
    the ensemble, and what the order says of them. Also those left off."""
    order = order_of(garment, orders)
    if order is None:
        return
    parts = {part.step.id: part for part in order.steps}
    for step in garment.steps:
        if step.id in parts and not step.done:
            yield f"{garment.id}/{step.id}", parts[step.id]


def is_coming(occasion: Occasion, now: datetime) -> bool:
    """Whether an occasion isn't over yet; without ``takes`` it takes the least its kind does."""
    usual = TRIAL_WEAR if occasion.kind is OccasionKind.TRIAL_WEAR else AROUND_A_FITTING
    takes = usual if occasion.takes is None else occasion.takes
    return occasion.at + timedelta(minutes=takes) > now


def open_occasions(ensemble: Ensemble, kind: OccasionKind, now: datetime) -> tuple[str, ...]:
    """Ids of the coming occasions of a kind, the earliest first."""
    found = [o for o in ensemble.occasions if o.kind is kind and is_coming(o, now)]
    return tuple(o.id for o in sorted(found, key=lambda o: o.at))


class Fittings:
    """The body steps of an ensemble, as they are held and as they would be."""

    def __init__(
        self,
        ensemble: Ensemble,
        orders: Mapping[str, Order],
        now: datetime,
        *,
        gathering: str = "",
    ) -> None:
        """As the ensemble has them. ``work`` may be given more links before ``give``.

        An occasion that begins today is offered to nothing that isn't at it: no time is left to
        make ready what that needs. But its maker has just made the one named ``gathering``.
        """
        self.work = OrderOfWork(ensemble)
        self._offered = {kind: open_occasions(ensemble, kind, now) for kind in BODY_OCCASIONS}
        self._today = {
            one.id
            for one in ensemble.occasions
            if one.at.date() <= now.date() and one.id != gathering
        }
        self.bodies: dict[str, OccasionKind] = {}
        """Steps of their garments' orders that may be held at a coming occasion, or at another
        one than they are; not those at an occasion that has begun or of another ensemble."""
        self._left_off: set[str] = set()
        for garment in ensemble.garments:
            steps = {f"{garment.id}/{step.id}": step for step in garment.steps}
            for name, part in ordered_parts(garment, orders):
                step = steps[name]
                if part.at is None or not self._is_open(name, step, now):
                    continue
                self.bodies[name] = part.at
                if step.left_off:
                    self._left_off.add(name)
        self.were = {name: self.work.during.get(name) for name in self.bodies}
        """By body step, the occasion at which it is, None at home."""
        unused = self._today - set(self.work.during.values())
        self._offered = {
            kind: tuple(one for one in offered if one not in unused)
            for kind, offered in self._offered.items()
        }

    def _is_open(self, name: str, step: Step, now: datetime) -> bool:
        if step.during is None:
            return not step.left_off
        occasion = self.work.during.get(name)
        return occasion is not None and self.work.occasions[occasion].at > now

    def give(
        self, free: Collection[str], only: Mapping[str, str] | None = None
    ) -> dict[str, str | None]:
        """The occasion of each of the body steps ``free``, None at home; the others stay.

        Each is at its place among the coming occasions of its kind (see ``places``), or at the
        first one after that where it can be and leaves what follows it a place. ``only``: the
        one occasion a step may be at. In ``work`` they are held so afterwards.
        """
        mine = [step for step in self.bodies if step in free]
        for step in mine:
            self.work.hold(step, None)
        wishes = dict(self._wishes(mine))
        for step, occasion in (only or {}).items():
            if wishes.get(step, ("",))[0] == occasion:
                wishes[step] = (occasion,)
            else:
                wishes.pop(step, None)
        found = place(self.work, wishes)
        return {step: found.get(step) for step in mine}

    def _wishes(self, free: Collection[str]) -> Iterator[tuple[str, tuple[str, ...]]]:
        """By step that has a place, the occasions from it on."""
        for kind, offered in self._offered.items():
            when = {o: self.work.occasions[o].at for o in offered}
            moments = sorted(set(when.values()))
            of_kind = {s for s, at in self.bodies.items() if at is kind} - set(self.work.during)
            found = places(self.work, of_kind, self._left_off, moments)
            for step in free:
                if step in of_kind and found[step][0] > 0:
                    first, last = found[step]
                    wished = moments[first - 1 : last]
                    tried = [o for o in offered if when[o] in wished and self._may_be(step, o)]
                    if tried:
                        yield step, tuple(tried)

    def _may_be(self, step: str, occasion: str) -> bool:
        """Whether a step is offered an occasion: one of today only where it is at it."""
        return occasion not in self._today or self.were[step] == occasion

    def as_given(self) -> frozenset[str]:
        """The body steps that are where the program itself would have them; a step that isn't is
        there by its maker's own word."""
        would = self.give(self.bodies)
        free = {step for step, occasion in would.items() if occasion == self.were[step]}
        while True:  # what the maker moved may hold the rest where it is
            would = self._given_of(free)
            changed = {step for step, occasion in would.items() if occasion != self.were[step]}
            if not changed:
                break
            free -= changed
        for step in self.bodies:
            if step not in free:
                would = self._given_of(free | {step})
                if all(occasion == self.were[one] for one, occasion in would.items()):
                    free.add(step)
        self._given_of(())
        return frozenset(free)

    def _given_of(self, free: Collection[str]) -> dict[str, str | None]:
        """``give`` with the others where they were."""
        for step, occasion in self.were.items():
            self.work.hold(step, occasion)
        return self.give(free)


def place(work: OrderOfWork, wishes: Mapping[str, Sequence[str]]) -> dict[str, str]:
    """Each step with the first occasion of those it wishes at which it can be done.

    ``wishes``: by step, which is at no occasion yet, the occasions in the order they are tried,
    at least one. In ``work`` the steps are at their occasions afterwards; one that could be at
    none is left out.
    """
    found = {step: tried[0] for step, tried in wishes.items()}
    for step, occasion in found.items():
        work.hold(step, occasion)
    if work.is_sound():
        return found
    for step in found:
        work.hold(step, None)
    found = {}
    for step in work.sequence():
        for occasion in wishes.get(step, ()):
            if work.may_hold(step, occasion):
                work.hold(step, occasion)
                found[step] = occasion
                break
    return found


def held(ensemble: Ensemble, gathered: Mapping[str, str] | Mapping[str, str | None]) -> Ensemble:
    """The ensemble with steps (``garment/step``) at occasions, or at none."""
    if not gathered:
        return ensemble

    def with_steps(garment: Garment) -> Garment:
        if not any(f"{garment.id}/{step.id}" in gathered for step in garment.steps):
            return garment
        return replace(
            garment,
            steps=tuple(
                replace(step, during=gathered[f"{garment.id}/{step.id}"])
                if f"{garment.id}/{step.id}" in gathered
                else step
                for step in garment.steps
            ),
        )

    return replace(ensemble, garments=tuple(map(with_steps, ensemble.garments)))


def gather(
    ensemble: Ensemble, occasion_id: str, orders: Mapping[str, Order], now: datetime
) -> Ensemble:
    """The ensemble with its body steps shared out anew, now that there is this occasion.

    Those of the garments' orders that are open and not left off: the fittings' at fittings, the
    try-ons' at trial wears. What the maker moved stays, but what is at no occasion and belongs
    to this one comes to it. An occasion that is over, or of another kind, changes nothing.
    Raises KeyError where there is no such occasion.
    """
    occasion = next((o for o in ensemble.occasions if o.id == occasion_id), None)
    if occasion is None:
        raise KeyError(occasion_id)
    if occasion.kind not in BODY_OCCASIONS or not is_coming(occasion, now):
        return ensemble
    fittings = Fittings(ensemble, orders, now, gathering=occasion_id)
    given = fittings.as_given() | _given_without(ensemble, occasion, orders, now)
    only = {
        step: occasion_id
        for step, kind in fittings.bodies.items()
        if step not in given and kind is occasion.kind and fittings.were[step] is None
    }
    found = fittings.give([s for s in fittings.bodies if s in given or s in only], only)
    return held(ensemble, {s: o for s, o in found.items() if o != fittings.were[s]})


def _given_without(
    ensemble: Ensemble, occasion: Occasion, orders: Mapping[str, Order], now: datetime
) -> frozenset[str]:
    """The body steps where the program would have them before there was an occasion."""
    at_it = {
        f"{g.id}/{s.id}": None
        for g in ensemble.garments
        for s in g.steps
        if s.during in (occasion.id, f"{ensemble.id}/{occasion.id}")
    }
    before = replace(
        held(ensemble, at_it),
        occasions=tuple(o for o in ensemble.occasions if o is not occasion),
    )
    return Fittings(before, orders, now).as_given() - set(at_it)
