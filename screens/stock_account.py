"""The account of a stock in words, without a screen: what takes, what comes, what is left."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from planner.model import Coming
from planner.plan import Plan
from planner.stock import GRAIN
from planner.stock_report import StockReport, Use, has_come
from screens.stock_told import amount_of
from screens.wording import garment_of, name_of, on_date


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One line of a stock's account: what is there, a step that takes, a delivery."""

    day: date | None
    told: str
    """What takes or brings: "“cut” (Stays)", "comes", "there"."""
    amount: str
    """With its sign: "-0.4 m", "+1 m"; empty of what is there."""
    left: str
    """What is there after it, or how it runs out."""
    out: bool = False
    """Whether it runs out here."""
    step: str | None = None
    coming: int | None = None
    """Place of the delivery among ``stock.coming``."""


def account(plan: Plan, report: StockReport) -> list[Entry]:
    """What is there, then users in the order they are served, deliveries before who needs them."""

    def amount(value: float) -> str:
        return amount_of(plan, report, value)

    counted = report.stock.counted
    since = f"counted {on_date(counted, plan.now.date())}" if counted else "there"
    found = [Entry(day=None, told=since, amount="", left=amount(report.there))]
    held = report.there
    ahead = list(report.arrivals)
    for use in report.uses:
        while ahead and has_come(ahead[0], use.day, use.until):
            one = ahead.pop(0)
            held += one.amount.value
            found.append(_brought(plan, report, one, amount(held)))
        held = use.left
        without = sum(1 for one in found if one.out)
        left = f"{amount(held)}{('', ' without it', ' without them')[min(without, 2)]}"
        found.append(_taken(plan, use, amount(use.amount), left, amount(use.lacking)))
    for one in ahead:
        held += one.amount.value if one.arrives is not None else 0.0
        left = amount(held) if one.arrives is not None else "not counted on"
        found.append(_brought(plan, report, one, left))
    return found


def _brought(plan: Plan, report: StockReport, coming: Coming, left: str) -> Entry:
    place = next(k for k, one in enumerate(report.stock.coming) if one is coming)
    if coming.arrives is None:
        told = "comes, nobody knows when"
    else:
        told = "comes" if coming.arrives > plan.now.date() else "due: has it come?"
    amount = f"+{amount_of(plan, report, coming.amount.value)}"
    return Entry(day=coming.arrives, told=told, amount=amount, left=left, coming=place)


def _taken(plan: Plan, use: Use, amount: str, left: str, lacking: str) -> Entry:
    out = use.lacking > GRAIN
    return Entry(
        day=use.day,
        told=f"{name_of(plan, use.step)} ({garment_of(plan, use.step)})",
        amount=f"-{amount}",
        left=f"runs out: {lacking} short" if out else left,
        out=out,
        step=use.step,
    )
