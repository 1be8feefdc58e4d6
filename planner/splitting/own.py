"""A garment saved as an order of construction of the maker's own."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Final, cast

from planner.catalogue import techniques as catalogue_techniques
from planner.catalogue.order import Order, OrderStep, Over
from planner.catalogue.order_reading import parse_order
from planner.files.checks import id_problem
from planner.files.lock import writing
from planner.files.phrasing import write_days
from planner.files.plain import Plain, plain_ensemble
from planner.files.rendering import render_pair
from planner.files.saving import encoded
from planner.files.staging import Staging
from planner.model import STAGES, Ensemble, Garment, Source, Step, Stock, Technique
from planner.problems import InputError, Problem
from planner.quantity import AREA, COUNT
from planner.splitting.fittings import BODY_OCCASIONS, order_of
from planner.splitting.ids import numbered
from planner.splitting.joining import matches
from planner.splitting.questions import Questions, ways_of
from planner.splitting.stock import dimension_of, renamed

FOLDER: Final = "orders"
_OUTERMOST: Final = 10
"""The layer of a garment that says none."""
_PER: Final = {COUNT: "count", AREA: "area"}
_DATED: Final = ("during", "on", "not_before", "left_off", "done")
_NO_ORDERS: Final[Mapping[str, Order]] = {}


def order_text(
    garment: Garment,
    ensemble: Ensemble,
    techniques: Mapping[str, Technique],
    *,
    name: str,
    group: str,
    orders: Mapping[str, Order] = _NO_ORDERS,
    units: str = "metric",
) -> str:
    """A garment of an ensemble as the TOML of an order of construction (``ORDERS.md``).

    Split with its defaults it has the same steps. What was done, dated or held is left out; a
    step left off is optional; what waits for other garments waits for their roles, and body
    steps are ``at`` an occasion of the kind. Where ``orders`` has the garment's kind, the words
    of its questions and its figures are kept. ``techniques`` are all that steps may name.

    Raises InputError where the garment can't be said as an order.
    """
    origin = orders.get(garment.kind) if garment.kind is not None else None
    working = order_of(garment, orders)
    asked = Questions(garment, working, units)
    stock = _stock_names(garment, ensemble)
    measurements, figures = asked.tables()
    above = ""
    steps: list[Plain] = []
    for step in garment.steps:
        after = (*step.after, above) if garment.in_order and above else step.after
        mine = renamed(asked.renamed(replace(step, after=after)), stock)
        steps.append(_Saved(garment, ensemble, orders, working, units).step(mine))
        above = step.id
    text = _document(
        _head(garment, ensemble, origin, name, group),
        measurement=measurements,
        figure=figures,
        stock=[_stock(ensemble, garment, id, new) for id, new in stock.items()],
        step=steps,
    )
    _check(text, "order", numbered("order", [s.id for s in garment.steps]), techniques)
    return text


def save_order(
    folder: Path,
    stem: str,
    text: str,
    *,
    techniques: Mapping[str, Technique] | None = None,
    over: bool = False,
) -> Path:
    """Save an order's text in a workroom's folder of orders, which is made where missing.

    ``stem`` becomes its id; ``techniques`` are all its steps may name (the catalogue's unless
    given). Raises InputError where the text is no order of that id, where there is a file of
    the name already (unless ``over``), and where it can't be written; then nothing was saved.
    """
    path = folder / FOLDER / f"{stem}.toml"
    wrong = id_problem(stem)
    if wrong or stem.startswith(".") or "\\" in stem:
        text = wrong or "its file's name would begin with a dot or hold a stroke: choose another"
        raise InputError([Problem(file=str(path), place="", text=text)])
    _check(text, str(path), stem, catalogue_techniques() if techniques is None else techniques)
    if not over and os.path.lexists(path):
        raise _taken(path)
    try:
        path.parent.mkdir(exist_ok=True)
    except OSError as error:
        text = f"its folder can't be made ({error.strerror}). Nothing was saved"
        raise InputError([Problem(file=str(path.parent), place="", text=text)]) from None
    with writing(folder):
        found = path.read_bytes() if path.is_file() else None
        if found is not None and not over:
            raise _taken(path)
        staging = Staging()
        staging.put_bytes(path, found, encoded(path, text))
        staging.commit()
    return path


def _taken(path: Path) -> InputError:
    text = "there is an order of this name already: choose another name"
    return InputError([Problem(file=str(path), place="", text=text)])


def _check(text: str, file: str, stem: str, techniques: Mapping[str, Technique]) -> None:
    """Raise InputError with all that is wrong with the text of an order."""
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError([Problem(file=file, place="", text=f"{error}.")]) from None
    _, problems, _ = parse_order(document, file, stem, techniques)
    if problems:
        raise InputError(problems)


def _document(head: Plain, **lists: list[Plain]) -> str:
    """The keys of the head, then every list of tables under its headings."""
    parts = ["".join(render_pair((key,), value, "\n") for key, value in head.items())]
    for name, tables in lists.items():
        parts += [
            f"[[{name}]]\n" + "".join(render_pair((k,), v, "\n") for k, v in table.items())
            for table in tables
        ]
    return "\n".join(parts)


def _head(
    garment: Garment, ensemble: Ensemble, origin: Order | None, name: str, group: str
) -> Plain:
    layer = garment.layer if garment.layer is not None else origin.layer if origin else _OUTERMOST
    known = origin.roles if origin else {garment.kind} - {None}
    head: Plain = {"format": 1, "name": name, "group": group, "layer": layer}
    roles = sorted(role for role in known if role)
    sources = origin.sources if origin else ()
    if roles:
        head["roles"] = roles
    if sources:
        # its steps are those of making it, whatever they were saved from
        made_first = dict.fromkeys((Source.MAKE, *sources))
        head["sources"] = [source.value for source in made_first]
    head["source"] = f"{garment.name or garment.id} of {ensemble.name or ensemble.id}"
    if origin and origin.pack:
        head["pack"] = list(origin.pack)
    return head


def _stock_names(garment: Garment, ensemble: Ensemble) -> dict[str, str]:
    """By stock the garment takes of, in the ensemble's order, its id in the order."""
    used = {use.stock for step in garment.steps for way in ways_of(step) for use in way.uses or ()}
    found: dict[str, str] = {}
    for stock in ensemble.stock:
        if stock.id in used:
            short = stock.id.removeprefix(f"{garment.id}-") or stock.id
            found[stock.id] = numbered(short, set(found.values()))
    return found


def _stock(ensemble: Ensemble, garment: Garment, id: str, new: str) -> Plain:
    stock: Stock = next(s for s in ensemble.stock if s.id == id)
    name = stock.name.removesuffix(f", {garment.name or garment.id}")
    plain: Plain = {"id": new}
    if name and name != new:
        plain["name"] = name
    per = _PER.get(_dimension(ensemble, stock))
    if per is not None:
        plain["per"] = per
    if new == id and not id.startswith(f"{garment.id}-") and _shared(ensemble, garment, id):
        plain["shared"] = True
    if stock.lead is not None:
        plain["lead"] = write_days(stock.lead)
    return plain


def _dimension(ensemble: Ensemble, stock: Stock) -> int:
    found = dimension_of(ensemble, stock)
    return COUNT if found is None else found


def _shared(ensemble: Ensemble, garment: Garment, id: str) -> bool:
    """Whether it is one for the whole: other garments take of it, or nothing says whose it is."""
    stock = next(s for s in ensemble.stock if s.id == id)
    others = any(
        use.stock == id
        for other in ensemble.garments
        if other.id != garment.id
        for step in other.steps
        for way in ways_of(step)
        for use in way.uses or ()
    )
    return others or not stock.name.endswith(f", {garment.name or garment.id}")


class _Saved:
    """Steps of a garment as an order has them."""

    def __init__(
        self,
        garment: Garment,
        ensemble: Ensemble,
        orders: Mapping[str, Order],
        order: Order | None,
        units: str,
    ) -> None:
        self._garment = garment
        self._ensemble = ensemble
        self._orders = orders
        self._parts = {part.step.id: part for part in order.steps} if order else {}
        self._units = units
        self._ids = {step.id for step in garment.steps}

    def step(self, step: Step) -> Plain:
        """The table of one step, whose measurements and stock are named as the order does."""
        own, over = self._references(step)
        optional = step.optional or step.left_off
        plain = self._plain(replace(step, after=own, optional=optional))
        for key in _DATED:
            plain.pop(key, None)
        at = self._at(step)
        if at is not None:
            plain["at"] = at
        if over:
            plain["over"] = [
                {"roles": list(o.roles), "stage": o.stage} | ({"why": o.why} if o.why else {})
                for o in over
            ]
        part = self._parts.get(step.id)
        spared = sorted(part.spared & {"cloth", "first"}) if part else []
        if spared:
            plain["spared"] = spared
        return plain

    def _plain(self, step: Step) -> Plain:
        garment = Garment(id="g", steps=(step,))
        found = plain_ensemble(Ensemble(id="e", garments=(garment,)), self._units)
        (table,) = cast(list[Plain], found["garment"])
        (plain,) = cast(list[Plain], table["step"])
        return plain

    def _references(self, step: Step) -> tuple[tuple[str, ...], tuple[Over, ...]]:
        """Steps of this garment, and what it waits for of others."""
        own: dict[str, None] = {}
        over: dict[tuple[str, str], Over] = {}
        part = self._parts.get(step.id)
        for text in step.after:
            path = text.removeprefix(f"{self._ensemble.id}/")
            path = path.removeprefix(f"{self._garment.id}/")
            if path in self._ids:
                own[path] = None
                continue
            name, _, stage = path.partition(":")
            if name == self._garment.id:
                own |= dict.fromkeys(self._carrying(stage, step.id))
                continue
            waited = self._waited_for(name, stage)
            if waited is not None:
                found = self._over(part, *waited)
                over[found.roles[0], found.stage] = found
        for known in part.over if part else ():
            if not any(matches(g, known, self._orders) for g in self._others()):
                over.setdefault((known.roles[0], known.stage), known)
        return tuple(own), tuple(over.values())

    def _waited_for(self, name: str, stage: str) -> tuple[Garment, str] | None:
        """Another garment and its stage that a reference means; None of an occasion, and of a
        step that carries no stage, for an order knows only roles and stages."""
        garment, _, step = name.partition("/")
        other = next((g for g in self._others() if g.id == garment), None)
        if other is None:
            return None
        if not step:
            return other, stage or STAGES[-1]
        carried = next((s.stage for s in other.steps if s.id == step), None)
        return (other, carried) if carried else None

    def _others(self) -> list[Garment]:
        return [g for g in self._ensemble.garments if g.id != self._garment.id]

    def _carrying(self, stage: str, but: str) -> list[str]:
        """Ids of the garment's own steps that carry a stage."""
        return [s.id for s in self._garment.steps if s.stage == stage and s.id != but]

    def _over(self, part: OrderStep | None, other: Garment, stage: str) -> Over:
        """What the order says of such a garment, else the garment's kind or id."""
        for known in part.over if part else ():
            if known.stage == stage and matches(other, known, self._orders):
                return known
        return Over(roles=(other.kind or other.id,), stage=stage)

    def _at(self, step: Step) -> str | None:
        """The kind of occasion at which it is done."""
        during = (step.during or "").removeprefix(f"{self._ensemble.id}/")
        for occasion in self._ensemble.occasions:
            if occasion.id == during and occasion.kind in BODY_OCCASIONS:
                return occasion.kind.value
        part = self._parts.get(step.id)
        return part.at.value if part is not None and part.at is not None else None
