"""Splitting a garment again with other answers, without losing what its maker changed."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from planner.catalogue.order import Order
from planner.model import Ensemble, Garment, Step, Stock, Use, Way
from planner.quantity import Quantity
from planner.splitting.answers import Answers, working_order
from planner.splitting.clashes import clashes, renamed_in
from planner.splitting.fittings import Fittings, is_coming
from planner.splitting.ids import written_full, written_out, written_short
from planner.splitting.joining import Link, proposed_links, settle
from planner.splitting.merging import (
    added_references,
    looked_through,
    merged_measurements,
    merged_order,
    merged_step,
)
from planner.splitting.split import Split, materials, split
from planner.splitting.stock import dimension_of, renamed, with_material


def answers_of(garment: Garment, orders: Mapping[str, Order]) -> Answers:
    """The answers a garment was split with, as it stands; the usual one where it says nothing.

    Raises KeyError where its kind has no order.
    """
    working = working_order(_order(garment, orders), garment.source)
    measurements = {}
    for asked in working.measurements:
        found = garment.measurements.get(asked.id, asked.default)
        right = found.dimension == asked.default.dimension
        measurements[asked.id] = found if right else asked.default
    choices = {}
    for choice in working.choices:
        option = garment.choices.get(choice.id, choice.default)
        known = any(option == other.id for other in choice.options)
        choices[choice.id] = option if known else choice.default
    return Answers(measurements=measurements, choices=choices, source=garment.source)


def _order(garment: Garment, orders: Mapping[str, Order]) -> Order:
    """The order of its kind. Raises KeyError where there is none."""
    return orders[garment.kind or ""]


def split_again(
    ensemble: Ensemble,
    garment_id: str,
    answers: Answers,
    *,
    orders: Mapping[str, Order],
    now: datetime,
    begun: Collection[str] = frozenset(),
) -> Ensemble:
    """The ensemble with a garment as other answers make it.

    What the maker changed by hand stays, key by key: names, amounts, what a step waits for,
    figures, steps added and taken out, the order of the steps. What a done step or one among
    ``begun`` (full ids, those with entries in the diary) is not asked for any more stays, too.
    What followed a step that is gone follows what that followed. Stock keeps what there is of
    it; what is new gets a stock, links and a fitting as when joining.

    Raises KeyError where there is no such garment, or its kind has no order.
    """
    was = next((g for g in ensemble.garments if g.id == garment_id), None)
    if was is None:
        raise KeyError(garment_id)
    given = Fittings(ensemble, orders, now).as_given()
    mine = written_short(was)
    order = _order(mine, orders)
    base, theirs = split(order, answers_of(mine, orders)), split(order, answers)
    clashing = clashes(mine, theirs.garment)
    mine, base = (
        renamed_in(mine, clashing),
        replace(base, garment=renamed_in(base.garment, clashing)),
    )
    ensemble = replace(
        ensemble, garments=tuple(mine if g.id == garment_id else g for g in ensemble.garments)
    )
    ensemble, stock = _with_stock(ensemble, mine, base, theirs)
    merge = _Merge.of(ensemble, mine, _named(base, stock), _named(theirs, stock), now, begun)
    garment = replace(merge.garment(), source=answers.source, choices=theirs.garment.choices)
    ensemble = _without_steps(_packed(ensemble, base, theirs), garment, merge.gone)
    fresh = [f"{garment_id}/{step.id}" for step in merge.fresh]
    links = [*merge.links(), *_proposed(ensemble, fresh, orders)]
    free = {step for step in given if f"{ensemble.id}/{step}" not in begun}
    ensemble = settle(ensemble, free.union(fresh), links, orders, now).ensemble
    return _tidied(_as_written(ensemble, was), stock, base, theirs)


def _packed(ensemble: Ensemble, base: Split, theirs: Split) -> Ensemble:
    """The ensemble with what must be there with the garment and didn't have to before."""
    old = (*base.order.pack, *base.working.pack)
    more = [p for p in (*theirs.order.pack, *theirs.working.pack) if p not in old]
    return replace(ensemble, pack=tuple(dict.fromkeys((*ensemble.pack, *more))))


def _as_written(ensemble: Ensemble, was: Garment) -> Ensemble:
    """The ensemble with the garment's own steps named as they were in its steps' ``after``."""
    full = {(step.id, text) for step in was.steps for text in step.after}

    def own_words(garment: Garment) -> Garment:
        if garment.id != was.id:
            return garment
        short = written_out(ensemble, written_short(garment))
        steps = tuple(
            replace(
                step,
                after=tuple(
                    name if (step.id, name := f"{was.id}/{text}") in full else text
                    for text in step.after
                ),
            )
            for step in short.steps
        )
        return replace(short, steps=steps)

    return replace(ensemble, garments=tuple(map(own_words, ensemble.garments)))


def _proposed(
    ensemble: Ensemble, fresh: Collection[str], orders: Mapping[str, Order]
) -> Iterable[Link]:
    """What the new steps wait for of other garments."""
    return (link for link in proposed_links(ensemble, orders) if link.step in fresh)


def _named(found: Split, stock: Mapping[str, str]) -> Garment:
    """A split's garment taking of the ensemble's stock."""
    steps = tuple(renamed(step, stock) for step in found.garment.steps)
    return replace(found.garment, steps=steps)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Merge:
    """A garment's steps, as split before, as they are, and as split anew."""

    base: Mapping[str, Step]
    mine: Garment
    theirs: Mapping[str, Step]
    gone: Mapping[str, Sequence[str]]
    """Steps not there any more, with what they followed."""
    before: Garment
    after: Garment

    @staticmethod
    def of(
        ensemble: Ensemble,
        mine: Garment,
        base: Garment,
        theirs: Garment,
        now: datetime,
        begun: Collection[str],
    ) -> _Merge:
        """The merge of a garment with its two splits."""
        old, new = _by_id(base.steps), _by_id(theirs.steps)
        there = _by_id(mine.steps)
        past = {o.id for o in ensemble.occasions if not is_coming(o, now)}

        def stays(step: Step) -> bool:
            name = f"{ensemble.id}/{mine.id}/{step.id}"
            return step.done or name in begun or step.during in past

        gone = {
            id: step.after
            for id, step in there.items()
            if id in old and id not in new and not stays(step)
        }
        taken_out = {id: step.after for id, step in old.items() if id not in there}
        not_again = {id: new[id].after for id in taken_out if id in new}
        return _Merge(
            base=_through(old, taken_out),
            mine=mine,
            theirs=_through({i: s for i, s in new.items() if i not in not_again}, not_again),
            gone=gone,
            before=base,
            after=theirs,
        )

    @property
    def fresh(self) -> tuple[Step, ...]:
        """Steps that are new."""
        there = {step.id for step in self.mine.steps}
        return tuple(step for id, step in self.theirs.items() if id not in there)

    def garment(self) -> Garment:
        """The garment with all but the references that are new."""
        kept = [step for step in self.mine.steps if step.id not in self.gone]
        steps = {step.id: self._merged(step) for step in kept}
        order = merged_order([step.id for step in kept], list(self.theirs))
        steps |= {step.id: replace(step, after=()) for step in self.fresh}
        found = tuple(
            replace(step, after=looked_through(step.after, self.gone))
            for step in (steps[id] for id in order)
        )
        return replace(
            self.mine,
            steps=found,
            measurements=merged_measurements(
                self.before.measurements,
                self.mine.measurements,
                self.after.measurements,
                _named_in(found),
            ),
        )

    def _merged(self, step: Step) -> Step:
        if step.id in self.base and step.id in self.theirs:
            return merged_step(self.base[step.id], step, self.theirs[step.id])
        return step

    def links(self) -> list[Link]:
        """References that are new: those of new steps, and of others to them."""
        there = _by_id(self.mine.steps)
        found = []
        for id, step in self.theirs.items():
            if id not in there:
                references = step.after
            elif id in self.base:
                references = added_references(self.base[id], there[id], step)
            else:
                continue
            found += [
                Link(step=f"{self.mine.id}/{id}", to=f"{self.mine.id}/{other}")
                for other in references
                if other in self.theirs or other in there
            ]
        return found


def _by_id(steps: Iterable[Step]) -> dict[str, Step]:
    return {step.id: step for step in steps}


def _through(steps: Mapping[str, Step], gone: Mapping[str, Sequence[str]]) -> dict[str, Step]:
    """Steps with those the maker took out looked through."""
    return {id: replace(step, after=looked_through(step.after, gone)) for id, step in steps.items()}


def _named_in(steps: Iterable[Step]) -> frozenset[str]:
    """Names of measurements that steps, their uses and their other ways hold."""
    amounts: list[tuple[str | Quantity, ...] | None] = []
    for step in steps:
        for way in _ways(step):
            amounts += [way.amount, *(use.amount for use in way.uses or ())]
    return frozenset(f for amount in amounts for f in amount or () if isinstance(f, str))


def _without_steps(
    ensemble: Ensemble, garment: Garment, gone: Mapping[str, Sequence[str]]
) -> Ensemble:
    """The ensemble with the garment as it is now, and no reference to steps it lost."""
    lost = {
        f"{head}{garment.id}/{id}": [
            text if _is_reference(text) else f"{head}{garment.id}/{text}" for text in after
        ]
        for id, after in gone.items()
        for head in ("", f"{ensemble.id}/")
    }

    mine = written_full(garment)

    def mended(other: Garment) -> Garment:
        if other.id == garment.id:
            other = mine
        if not any(text in lost for step in other.steps for text in step.after):
            return other
        return replace(
            other,
            steps=tuple(replace(s, after=looked_through(s.after, lost)) for s in other.steps),
        )

    return replace(
        ensemble,
        garments=tuple(map(mended, ensemble.garments)),
        occasions=tuple(
            occasion
            if occasion.wants is None
            else replace(occasion, wants=tuple(w for w in occasion.wants if w not in lost))
            for occasion in ensemble.occasions
        ),
    )


def _is_reference(text: str) -> bool:
    """Whether it names something beyond a step of the same garment."""
    return ":" in text or "/" in text


def _with_stock(
    ensemble: Ensemble, mine: Garment, base: Split, theirs: Split
) -> tuple[Ensemble, dict[str, str]]:
    """The ensemble with a stock for every material, and these stocks by material."""
    names = _stock_names(mine, base.garment)
    there = {stock.id: stock for stock in ensemble.stock}
    for material in {m.id: m for m in (*materials(base), *materials(theirs))}.values():
        if material.id in names:
            continue
        usual = there.get(material.id if material.shared else f"{mine.id}-{material.id}")
        alike = usual is not None and dimension_of(ensemble, usual) in (None, material.dimension)
        if usual is not None and alike and not material.shared:
            names[material.id] = usual.id
        else:
            ensemble, names[material.id] = with_material(ensemble, mine, material)
    return ensemble, names


def _stock_names(mine: Garment, base: Garment) -> dict[str, str]:
    """By material, the stock its steps take it of: as where amount and share are as split."""
    there = _by_id(mine.steps)
    names: dict[str, str] = {}
    for step in base.steps:
        if step.id not in there:
            continue
        for old, new in _ways_of(step, there[step.id]):
            for use, now in zip(old, new, strict=False):
                if (use.amount, use.extra) == (now.amount, now.extra):
                    names.setdefault(use.stock, now.stock)
    return names


def _ways_of(base: Step, mine: Step) -> Iterable[tuple[Sequence[Use], Sequence[Use]]]:
    """Uses of the step and its other ways, as split and as they are."""
    for old, new in zip(_ways(base), _ways(mine), strict=False):
        yield old.uses or (), new.uses or ()


def _ways(step: Step) -> tuple[Step | Way, ...]:
    """The step and the other ways to do it."""
    return (step, *step.instead)


def _tidied(ensemble: Ensemble, names: Mapping[str, str], base: Split, theirs: Split) -> Ensemble:
    """The ensemble without stock of the old split alone that nothing takes and nobody touched."""
    used = {
        use.stock
        for garment in ensemble.garments
        for step in garment.steps
        for way in _ways(step)
        for use in way.uses or ()
    }
    wanted = {names[m.id] for m in materials(theirs)}
    idle = {names[m.id]: m for m in materials(base) if names[m.id] not in used | wanted}
    return replace(
        ensemble,
        stock=tuple(
            stock
            for stock in ensemble.stock
            if stock.id not in idle or not _untouched(stock, idle[stock.id].lead)
        ),
    )


def _untouched(stock: Stock, lead: int | None) -> bool:
    """Whether it is as a split makes it: nothing there, coming or counted."""
    return (
        not stock.have.value
        and not stock.coming
        and stock.counted is None
        and stock.again
        and stock.lead == lead
    )
