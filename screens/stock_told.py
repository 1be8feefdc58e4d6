"""The stock in words, without a screen: amounts, what runs out where, what to do about it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from planner.plan import Plan
from planner.quantity import METRES
from planner.stock import GRAIN
from planner.stock_report import Giving, StockReport, Use
from screens.amounts_told import in_unit, unit_for
from screens.wording import (
    MONTHS,
    clean,
    count,
    listed,
    name_of,
    named_date,
    on_date,
    quoted,
    short_date,
    step_with_garment,
)

# amounts


def unit_of(plan: Plan, report: StockReport) -> str:
    """The unit of a stock: one for all its amounts, as the largest wants it."""
    largest = max(report.wanted, report.there, report.coming, report.undated)
    return unit_for(largest, report.dimension, plan.units)


def amount_of(plan: Plan, report: StockReport, value: float) -> str:
    """An amount of a stock, in its unit."""
    return in_unit(value, report.dimension, unit_of(plan, report))


def delivery_example(plan: Plan, report: StockReport) -> str:
    """How a delivery is typed: "3 m on 13 May"."""
    day = plan.now.date() + timedelta(days=report.stock.lead or 10)
    amount = in_unit(METRES[unit] ** report.dimension * 3, report.dimension, unit) if (
        unit := unit_of(plan, report)
    ) else "3"
    return f"{amount} on {day.day} {MONTHS[day.month - 1]}"


# groups


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Stocks that are alike in what is to be done about them."""

    title: str
    reports: tuple[StockReport, ...]
    gone: bool = False
    """Whether they can't be bought again."""
    short: bool = False


def groups(reports: Sequence[StockReport], today: date) -> list[Group]:
    """What is short first, what can't be bought again apart, what nobody wants last."""
    short = [one for one in reports if one.short]
    rest = [one for one in reports if not one.short and one.uses]
    found = (
        Group(
            title="Runs out, can't be bought again",
            reports=_soonest(one for one in short if not one.stock.again),
            gone=True,
            short=True,
        ),
        Group(
            title="Runs out",
            reports=_soonest(one for one in short if one.stock.again),
            short=True,
        ),
        Group(
            title="Enough once it comes",
            reports=_soonest(one for one in rest if one.stock.again and waiting(one, today)),
        ),
        Group(
            title="Enough, can't be bought again",
            reports=_soonest(one for one in rest if not one.stock.again),
            gone=True,
        ),
        Group(
            title="Enough",
            reports=_soonest(one for one in rest if one.stock.again and not waiting(one, today)),
        ),
        Group(
            title="No step wants it",
            reports=tuple(one for one in reports if not one.uses),
        ),
    )
    return [group for group in found if group.reports]


def _soonest(reports: Iterable[StockReport]) -> tuple[StockReport, ...]:
    """What must be ordered, decided or to hand soonest first."""
    never = date.max
    return tuple(sorted(reports, key=lambda r: (r.order_by or never, r.to_hand_by or never)))


def waiting(report: StockReport, today: date) -> bool:
    """Whether a step waits for a delivery."""
    return any(use.until is not None and use.until > today for use in report.uses)


# one stock


def headline(plan: Plan, reports: Sequence[StockReport]) -> str:
    """What runs out, in one sentence."""
    short = [one for one in reports if one.short]
    if not reports:
        return "No cloth, trim or notions are written down: a adds the first."
    if not short:
        wanted = sum(1 for one in reports if one.uses)
        return "Nothing runs out." if wanted else "Nothing runs out: no step wants any of it."
    runs = "runs" if len(short) == 1 else "run"
    told = [
        f"“{name_of(plan, one.id)}” by {amount_of(plan, one, one.short)}"
        for group in groups(short, plan.now.date())
        for one in group.reports
    ]
    return f"{len(short)} of {len(reports)} {runs} out: {listed(told)}."


def sentences(plan: Plan, report: StockReport) -> list[str]:
    """How one stock stands: amounts, where it runs out, what to do, by when it must be there."""
    found = [amounts(plan, report)]
    if report.missing:
        lost = amount_of(plan, report, report.missing)
        found.append(f"By the diary {lost} more was used than was counted: count it again.")
    if not report.uses:
        return found
    if report.short:
        found += running_out(plan, report)
    else:
        found.append("It is enough.")
    by = to_hand(plan, report) if not report.short or report.first != report.runs_out_at else []
    came = deliveries(plan, report)
    return [*found, *by, *came] if _is_there(plan, report) else [*found, *came, *by]


def _waits(plan: Plan, report: StockReport) -> Use | None:
    """The first that needs what comes."""
    today = plan.now.date()
    return next((u for u in report.uses if u.until is not None and u.until > today), None)


def _is_there(plan: Plan, report: StockReport) -> bool:
    """Whether what the first step takes is there, though another waits for what comes."""
    waits = _waits(plan, report)
    return waits is not None and waits.step != report.first


def amounts(plan: Plan, report: StockReport) -> str:
    """ "4.1 m wanted, 3.4 m there, 1 m coming"."""
    there = f"{amount_of(plan, report, report.there)} there"
    coming = f", {amount_of(plan, report, report.coming)} coming" if report.coming else ""
    if report.undated:
        coming += f", {amount_of(plan, report, report.undated)} coming with no day known"
    if not report.uses:
        return f"{there}{coming}; no step wants it."
    return f"{amount_of(plan, report, report.wanted)} wanted, {there}{coming}."


def running_out(plan: Plan, report: StockReport) -> list[str]:
    """By how much it is short, at which step, and what can be done before the first."""
    short, at = amount_of(plan, report, report.short), report.runs_out_at
    assert at is not None
    on = f", {on_date(report.runs_out_on, plan.now.date())}" if report.runs_out_on else ""
    there = next(use.lacking for use in report.uses if use.step == at)
    by = f" by {amount_of(plan, report, there)}" if abs(there - report.short) > GRAIN else ""
    found = [f"{short} short: it runs out{by} at {step_with_garment(plan, at)}{on}."]
    found += mending(plan, report)
    in_time = report.order_by is not None and report.order_by >= plan.now.date()
    return found if in_time else found + deciding(plan, report)


def mending(plan: Plan, report: StockReport) -> list[str]:
    """Whether and by when more can be had."""
    stock, today = report.stock, plan.now.date()
    if not stock.again:
        return ["It can't be bought again."]
    enough = report.undated >= report.short - GRAIN
    if report.undated:
        amount = amount_of(plan, report, report.undated)
        told = (
            "What is coming would be enough, but has no day"
            if enough
            else f"{amount} is coming, but has no day"
        )
    else:
        told = ""
    if stock.lead is None or report.order_by is None:
        lead = "" if stock.lead is not None else "How long an order takes isn't written down."
        return [part for part in (f"{told}." if told else "", lead) if part]
    if report.order_by < today:
        comes = on_date(today + timedelta(days=stock.lead), today)
        late = f"an order takes {count(stock.lead, 'day')} and would come {comes}, too late for it"
        return [_sentence(f"{told}; {late}" if told else late)]
    by = f"order {on_date(report.order_by, today)} at the latest"
    return [_sentence(f"{told}: unless it is ordered, {by}" if told else by)]


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def deciding(plan: Plan, report: StockReport) -> list[str]:
    """With what it would be enough, and before which step that is to be decided."""
    alone = len(report.uses) == 1
    if report.suffices is None:
        if report.stock.again:
            return []
        return [
            "It can't be left off, nor done with less."
            if alone
            else "Nothing that takes of it can be left off, or done with less."
        ]
    changes = listed([_changed(plan, one, alone) for one in report.suffices.givings], 4)
    takes = f"{'it' if alone else 'the rest'} takes {_takes(plan, report)}"
    if report.suffices.wanted <= GRAIN:
        takes = "none of it is wanted"
    before = "that step" if report.first == report.runs_out_at else _first(plan, report)
    return [_sentence(f"{changes}, {takes}"), f"Decide before {before}."]


def _takes(plan: Plan, report: StockReport) -> str:
    """What is wanted once it suffices."""
    assert report.suffices is not None
    return amount_of(plan, report, report.suffices.wanted)


def _changed(plan: Plan, giving: Giving, alone: bool) -> str:
    """ "with “one row” in place of “two rows”", "without “two rows” (Jacket bodice)"."""
    if giving.way is None:
        return "without that step" if alone else f"without {step_with_garment(plan, giving.step)}"
    place = "in its place" if alone else f"in place of {quoted(plan, giving.step)}"
    return f"with “{clean(giving.way.name)}” {place}"


def _first(plan: Plan, report: StockReport) -> str:
    """The step that takes of it first, with its day."""
    assert report.first is not None
    on = f", {on_date(report.to_hand_by, plan.now.date())}" if report.to_hand_by else ""
    return f"{step_with_garment(plan, report.first)}{on}"


def deliveries(plan: Plan, report: StockReport) -> list[str]:
    """Who waits for what comes; what should have come already."""
    today = plan.now.date()
    found = []
    late = [one for one in report.arrivals if one.arrives is not None and one.arrives <= today]
    for one in late:
        assert one.arrives is not None
        amount = amount_of(plan, report, one.amount.value)
        due = "is due" if one.arrives == today else "was due"
        found.append(f"{amount} {due} {on_date(one.arrives, today)}, and counts as come.")
    waits = _waits(plan, report)
    if waits is not None and waits.until is not None:
        day = on_date(waits.until, today)
        if _is_there(plan, report) and waits.until == report.to_hand_by:
            day = "that same day"
        found.append(f"{step_with_garment(plan, waits.step)} needs what comes {day}.")
    return found


def to_hand(plan: Plan, report: StockReport) -> list[str]:
    """By when it must be to hand, and for which step."""
    if report.first is None:
        return []
    if report.to_hand_by is None:
        return [f"{step_with_garment(plan, report.first)} wants it, and has no day."]
    day = on_date(report.to_hand_by, plan.now.date())
    waits = next((use.step for use in report.uses if use.until is not None), None)
    step = "it" if waits == report.first else step_with_garment(plan, report.first)
    what = "What is there" if _is_there(plan, report) else "It"
    return [f"{what} must be to hand {day}, for {step}."]


def then_of(plan: Plan, reports: Sequence[StockReport], ident: str, sentence: str) -> str:
    """What an edit of a stock would make of it, and then of the plan (``sentence``)."""
    report = next((one for one in reports if one.id == ident), None)
    if report is None or not report.uses:
        return sentence
    if report.short and report.runs_out_at is not None:
        short = amount_of(plan, report, report.short)
        told = f"{short} short, at {quoted(plan, report.runs_out_at)}"
    else:
        left = report.there + report.coming - report.wanted
        told = f"it is enough, {amount_of(plan, report, left)} is left over"
    return f"then: {told}; {sentence.removeprefix('then: ')}"


# rows


def by_when(plan: Plan, report: StockReport) -> str:
    """What a row ends with: by when to order, to decide, or to have it to hand."""
    today = plan.now.date()
    if report.short and not report.stock.again:
        return f"decide {_day(report.to_hand_by, today)}".rstrip()
    if report.short and report.order_by is not None:
        late = report.order_by < today
        return "too late to order" if late else f"order {_day(report.order_by, today)}"
    return f"by {_day(report.to_hand_by, today)}" if report.to_hand_by else ""


def _day(day: date | None, today: date) -> str:
    """A date in a column, today and tomorrow by name."""
    if day is None:
        return ""
    named = named_date(day, today)
    return named if named in ("today", "tomorrow") else short_date(day)


def coming_told(plan: Plan, report: StockReport) -> str:
    """What is coming; with "?" where nobody knows when."""
    both = report.coming + report.undated
    if not both:
        return ""
    return f"{amount_of(plan, report, both)}{' ?' if report.undated else ''}"
