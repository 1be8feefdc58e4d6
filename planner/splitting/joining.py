"""Joining a garment that was just split into an ensemble: its id, stock, links and fittings.

Garments wait for each other by stage: a bodice is fitted over stays that are fittable. Such a
link is proposed wherever a garment of the role is worn too, both ways, and left out where it
would make a circle.
"""

from __future__ import annotations

from collections.abc import Collection, Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from planner.catalogue.order import Order, Over
from planner.model import Ensemble, Garment, Step
from planner.splitting.fittings import Fittings, held, ordered_parts
from planner.splitting.ids import garment_id, garment_name, written_out
from planner.splitting.split import Split
from planner.splitting.stock import with_stock

EVERY = "*"
"""The role of every other garment."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A step of one garment waits for a stage of another."""

    step: str
    """``garment/step``."""
    to: str
    """``stays:fittable``."""
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """An ensemble with one garment more."""

    ensemble: Ensemble
    garment: str
    """Id of the new garment."""
    links: tuple[Link, ...]
    """Made now, of the new garment's steps and of the others'."""
    left_out: tuple[Link, ...]
    """Would have made a circle, or have an occasion hold what a later one must come before."""
    gathered: Mapping[str, str]
    """By ``garment/step``, the occasion at which it is now done and wasn't before: body steps of
    the new garment, and others' that moved to make room."""
    at_home: tuple[str, ...]
    """Body steps (``garment/step``) for which no occasion is left, and that were at one before or
    are new: they are done at home, with a helper."""


def join(
    ensemble: Ensemble,
    split: Split,
    *,
    orders: Mapping[str, Order],
    now: datetime,
    id: str | None = None,
    name: str = "",
    layer: int | None = None,
    wearer: str = "",
    without: frozenset[tuple[str, str]] = frozenset(),
) -> Joined:
    """The ensemble with a split garment in it.

    ``id``, ``name`` and ``layer`` are taken from its order unless given, the id with a number
    where it is taken. ``without``: links not wanted, as (step, to). Its stock comes along with
    nothing of it there. ``orders`` are all there are, by id, for what is there already.
    """
    given = Fittings(ensemble, orders, now).as_given()
    ensemble, new = _with_garment(ensemble, split, id, name, layer, wearer)
    return _settled(ensemble, (new,), given, orders, now, without)


def joined_all(
    ensemble: Ensemble,
    splits: Sequence[Split],
    *,
    orders: Mapping[str, Order],
    now: datetime,
    wearer: str = "",
    without: frozenset[tuple[str, str]] = frozenset(),
) -> Joined:
    """The ensemble with several garments, linked when all are there and then fitted.

    ``garment`` is the last one's id (empty without any).
    """
    given = Fittings(ensemble, orders, now).as_given()
    new: list[str] = []
    for split in splits:
        ensemble, garment = _with_garment(ensemble, split, None, "", None, wearer)
        new.append(garment)
    return _settled(ensemble, tuple(new), given, orders, now, without)


def _with_garment(
    ensemble: Ensemble,
    split: Split,
    id: str | None,
    name: str,
    layer: int | None,
    wearer: str,
) -> tuple[Ensemble, str]:
    """The ensemble with the garment among those of its layer, its stock, and what to pack."""
    garment = replace(
        split.garment,
        id=garment_id(ensemble, split.garment, id),
        name=name or garment_name(ensemble, split.order.name),
        layer=split.order.layer if layer is None else layer,
        wearer=wearer,
    )
    ensemble, garment = with_stock(ensemble, garment, split)
    garment = written_out(ensemble, garment)
    garments = list(ensemble.garments)
    garments.insert(_position(garments, garment.layer), garment)
    pack = dict.fromkeys((*ensemble.pack, *split.order.pack, *split.working.pack))
    return replace(ensemble, garments=tuple(garments), pack=tuple(pack)), garment.id


def _position(garments: Sequence[Garment], layer: int | None) -> int:
    """Behind the garments worn under it or as far out."""
    if layer is not None:
        for index, other in enumerate(garments):
            if other.layer is not None and other.layer > layer:
                return index
    return len(garments)


def _settled(
    ensemble: Ensemble,
    new: Sequence[str],
    given: Collection[str],
    orders: Mapping[str, Order],
    now: datetime,
    without: Container[tuple[str, str]],
) -> Joined:
    """The ensemble with links to and from its new garments, and their body steps placed."""
    links = [
        link
        for link in proposed_links(ensemble, orders)
        if (link.step, link.to) not in without and _concerns(link, new)
    ]
    # where two links exclude each other, what is there already is disturbed least
    links.sort(key=lambda link: link.step.split("/")[0] not in new)
    fresh = {f"{g.id}/{s.id}" for g in ensemble.garments if g.id in new for s in g.steps}
    were_held = {
        f"{g.id}/{s.id}" for g in ensemble.garments for s in g.steps if s.during is not None
    }
    settled = settle(ensemble, fresh | set(given), links, orders, now)
    return Joined(
        ensemble=settled.ensemble,
        garment=new[-1] if new else "",
        links=settled.made,
        left_out=settled.left_out,
        gathered=settled.gathered,
        at_home=tuple(step for step in settled.at_home if step in fresh or step in were_held),
    )


def _concerns(link: Link, garments: Container[str]) -> bool:
    """Whether one end of the link is one of the garments."""
    return link.step.split("/")[0] in garments or link.to.split(":")[0] in garments


def proposed_links(ensemble: Ensemble, orders: Mapping[str, Order]) -> Iterator[Link]:
    """Every link that the orders of an ensemble's garments ask for, in order of the garments.

    From steps that are open and come from their garment's order, to garments of the same wearer
    (or whose wearer isn't said). Also those that are there already.
    """
    for garment in ensemble.garments:
        others = [g for g in ensemble.garments if g is not garment and _same_wearer(g, garment)]
        for name, part in ordered_parts(garment, orders):
            for over in part.over:
                for other in others:
                    if matches(other, over, orders):
                        to = f"{other.id}:{over.stage}"
                        yield Link(step=name, to=to, why=over.why)


def _same_wearer(one: Garment, other: Garment) -> bool:
    return not one.wearer or not other.wearer or one.wearer == other.wearer


def matches(garment: Garment, over: Over, orders: Mapping[str, Order]) -> bool:
    """Whether a garment is one of those a step waits for, by its order's roles, kind or id."""
    order = orders.get(garment.kind) if garment.kind is not None else None
    if EVERY in over.roles:
        return order is None or not any(
            EVERY in other.roles for part in order.steps for other in part.over
        )
    roles = order.roles if order is not None else frozenset[str]()
    return any(role in roles or role in (garment.kind, garment.id) for role in over.roles)


def with_links(ensemble: Ensemble, links: Sequence[Link]) -> Ensemble:
    """The ensemble with the links in its steps' ``after``."""
    added: dict[str, list[str]] = {}
    for link in links:
        added.setdefault(link.step, []).append(link.to)

    def linked(garment: Garment, step: Step) -> Step:
        more = added.get(f"{garment.id}/{step.id}", ())
        return replace(step, after=tuple(dict.fromkeys((*step.after, *more)))) if more else step

    return replace(
        ensemble,
        garments=tuple(
            replace(g, steps=tuple(linked(g, s) for s in g.steps)) for g in ensemble.garments
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """An ensemble with links made and body steps placed."""

    ensemble: Ensemble
    made: tuple[Link, ...]
    left_out: tuple[Link, ...]
    gathered: Mapping[str, str]
    """By step, the occasion at which it is done now and wasn't before."""
    at_home: tuple[str, ...]
    """Body steps among those that were free which are at no occasion."""


def settle(
    ensemble: Ensemble,
    free: Collection[str],
    links: Sequence[Link],
    orders: Mapping[str, Order],
    now: datetime,
) -> Settled:
    """The ensemble with the links that make no circle, and body steps at their occasions.

    ``free`` are steps that are new, and those that are where the program had them. Body steps
    among them are shared out anew among the occasions, so that it doesn't matter in which order
    garments come; the others stay, as their maker has them.
    """
    fittings = Fittings(ensemble, orders, now)
    mine = [step for step in fittings.bodies if step in free]
    for step in mine:
        fittings.work.hold(step, None)
    made = tuple(
        link for link in links if fittings.work.link(link.step, fittings.work.steps_of(link.to))
    )
    found = fittings.give(mine)
    moved = {step: o for step, o in found.items() if o != fittings.were[step]}
    return Settled(
        ensemble=held(with_links(ensemble, made), moved),
        made=made,
        left_out=tuple(link for link in links if link not in made),
        gathered={step: o for step, o in moved.items() if o is not None},
        at_home=tuple(step for step, o in found.items() if o is None),
    )
