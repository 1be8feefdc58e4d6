"""Model values as the plain tables a file holds: only what differs from the defaults.

What is written alike reads alike, so two values differ in a file exactly where their plain
tables differ; ``where`` and ``file`` are no part of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from planner.files.clock import format_span
from planner.files.phrasing import (
    write_days,
    write_duration,
    write_margin,
    write_number,
    write_quantity,
    write_share,
    write_wait,
)
from planner.files.workroom import HOURS_TABLES, WEEKDAYS
from planner.model import (
    Change,
    Diary,
    Ensemble,
    Entry,
    Garment,
    Occasion,
    PaceChoices,
    Source,
    Span,
    Step,
    Stock,
    Use,
    Used,
    Way,
    WeekHours,
    Workroom,
)
from planner.quantity import Quantity

Plain = dict[str, object]

_EMPTY: Final = Workroom()


def plain_workroom(workroom: Workroom) -> Plain:
    """A workroom's settings, hours and changes."""
    limit = workroom.hand_sewing_limit
    plain: Plain = {}
    if workroom.units != _EMPTY.units:
        plain["units"] = workroom.units
    if workroom.fill_to != _EMPTY.fill_to:
        plain["fill_to"] = write_share(workroom.fill_to)
    if workroom.setting_up:
        plain["setting_up"] = write_duration(workroom.setting_up)
    if limit is not None:
        plain["hand_sewing_limit"] = write_duration(limit)
    plain["pace"] = _pace(workroom.pace)
    for name in HOURS_TABLES:
        plain[name] = _week(getattr(workroom, name))
    plain["change"] = [_change(change) for change in workroom.changes]
    return _kept(plain)


def plain_ensemble(ensemble: Ensemble, units: str) -> Plain:
    """An ensemble; ``units`` says in what new lengths are written."""
    return _kept(
        {
            "name": ensemble.name or None,
            "pack": list(ensemble.pack),
            "packed": list(ensemble.packed),
            "occasion": [_occasion(occasion) for occasion in ensemble.occasions],
            "stock": [_stock(stock, units) for stock in ensemble.stock],
            "garment": [_garment(garment, units) for garment in ensemble.garments],
        }
    )


def plain_diary(diary: Diary) -> Plain:
    """The diary."""
    return _kept({"entry": [_entry(entry) for entry in diary.entries]})


def _kept(plain: Mapping[str, object]) -> Plain:
    """Without keys that say nothing: None, false, empty lists and tables."""
    return {
        k: v for k, v in plain.items() if v is not None and v is not False and v not in ([], {})
    }


def _pace(pace: PaceChoices) -> Plain:
    ratios: Plain = {key: write_number(ratio) for key, ratio in pace.by_hand.items()}
    return ratios if pace.learn else {"learn": False, **ratios}


def _week(week: WeekHours) -> Plain:
    return {day: _spans(spans) for day, spans in zip(WEEKDAYS, week, strict=True) if spans}


def _spans(spans: tuple[Span, ...]) -> list[str]:
    return [format_span(span) for span in spans]


def _change(change: Change) -> Plain:
    plain: Plain = {}
    if change.rule is not None:
        plain["rule"] = change.rule
        if change.first is not None:
            plain["from"] = change.first
    elif change.last in (change.first, None):
        plain["on"] = change.first
    else:
        plain |= {"from": change.first, "to": change.last}
    for name in ("workroom", "sofa", "take_along", "helper"):
        spans = getattr(change, name)
        if spans is not None:
            plain[name] = _spans(spans)  # an empty list says: none on that day
    if change.reason:
        plain["reason"] = change.reason
    return plain


def _occasion(occasion: Occasion) -> Plain:
    plain: Plain = {"id": occasion.id}
    if occasion.name:
        plain["name"] = occasion.name
    plain |= {"kind": occasion.kind.value, "at": occasion.at}
    if occasion.takes is not None:
        plain["takes"] = write_duration(occasion.takes)
    if occasion.wants is not None:
        plain["wants"] = list(occasion.wants)
    if occasion.margin.days or occasion.margin.minutes:
        plain["margin"] = write_margin(occasion.margin)
    if occasion.held is not None:
        plain["held"] = occasion.held
    return plain


def _stock(stock: Stock, units: str) -> Plain:
    plain: Plain = {"id": stock.id}
    if stock.name:
        plain["name"] = stock.name
    if stock.have != Quantity(value=0.0):
        plain["have"] = write_quantity(stock.have, units)
    if stock.counted is not None:
        plain["counted"] = stock.counted
    if stock.lead is not None:
        plain["lead"] = write_days(stock.lead)
    if not stock.again:
        plain["again"] = False
    coming = [
        {"amount": write_quantity(c.amount, units)} | ({"arrives": c.arrives} if c.arrives else {})
        for c in stock.coming
    ]
    return plain | ({"coming": coming} if coming else {})


def _garment(garment: Garment, units: str) -> Plain:
    return {"id": garment.id} | _kept(
        {
            "name": garment.name or None,
            "wearer": garment.wearer or None,
        }
    ) | _given(
        kind=garment.kind,
        layer=garment.layer,
        source=None if garment.source is Source.MAKE else garment.source.value,
    ) | _kept(
        {
            "in_order": garment.in_order,
            "measurements": {
                name: write_quantity(q, units) for name, q in garment.measurements.items()
            },
            "choices": dict(garment.choices),
            "step": [_step(step, units) for step in garment.steps],
        }
    )  # fmt: skip


def _given(**values: object) -> Plain:
    """Without what is None: here false and empty say something."""
    return {key: value for key, value in values.items() if value is not None}


def _done_how(thing: Step | Way, units: str) -> Plain:
    """What a step and another way of it have in common."""
    return _given(
        technique=thing.technique,
        hours=None if thing.hours is None else write_duration(thing.hours),
        low=None if thing.low is None else write_duration(thing.low),
        high=None if thing.high is None else write_duration(thing.high),
        work=None if thing.work is None else thing.work.value,
        place=None if thing.place is None else thing.place.value,
        wait=None if thing.wait is None else write_wait(thing.wait),
        hands=thing.hands,
        no_way_back=thing.no_way_back,
        caution=thing.caution,
    )


def _step(step: Step, units: str) -> Plain:
    return {
        "id": step.id,
        **_kept({"name": step.name or None}),
        **_done_how(step, units),
        **_kept({"amount": _amount(step.amount, units)}),
        **_given(during=step.during),
        **_kept({"after": list(step.after)}),
        **_given(stage=step.stage, on=step.on, not_before=step.not_before),
        **_kept(
            {
                "one_sitting": step.one_sitting,
                "effort": None if step.effort == 1 else write_number(step.effort),
                "uses": [_use(use, units) for use in step.uses],
                "optional": step.optional,
                "missed": None if step.missed == 3 else step.missed,
                "instead": [_way(way, units) for way in step.instead],
                "left_off": step.left_off,
                "done": step.done,
            }
        ),
    }


def _way(way: Way, units: str) -> Plain:
    return {
        **_given(name=way.name),
        **_done_how(way, units),
        **_given(
            amount=None if way.amount is None else _amount(way.amount, units),
            one_sitting=way.one_sitting,
            uses=None if way.uses is None else [_use(use, units) for use in way.uses],
            missed=way.missed,
        ),
        **_kept({"chosen": way.chosen}),
    }


def _use(use: Use, units: str) -> Plain:
    plain: Plain = {"stock": use.stock}
    if use.extra:
        plain["extra"] = write_share(use.extra)
    if use.amount is not None:
        plain["amount"] = _amount(use.amount, units)
    return plain


def _amount(amount: tuple[str | Quantity, ...], units: str) -> list[object]:
    return [f if isinstance(f, str) else write_quantity(f, units) for f in amount]


def _entry(entry: Entry) -> Plain:
    return {
        "at": entry.at,
        "step": entry.step,
        **_kept({"minutes": entry.minutes or None, "done": entry.done}),
        **_given(left=None if entry.left is None else write_duration(entry.left)),
        **_kept({"note": entry.note or None, "used": [_used(used) for used in entry.used]}),
    }


def _used(used: Used) -> Plain:
    return {"stock": used.stock, "amount": write_quantity(used.amount, "metric")}
