"""`wearby stock`: wanted, there, coming; where it runs out, and by when to order."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from planner.exports.account import stock_account
from planner.plan import Plan
from planner.quantity import AREA, LENGTH, METRES
from planner.stock import Served, StockLine
from screens.answers import Question, fits_status
from screens.plain.lines import WIDTH, common, verdict
from screens.wording import name_of, on_date, step_with_garment, wrapped


def status(question: Question) -> int:
    """Whether all fits."""
    return fits_status(question.plan.fits)


def as_json(question: Question) -> dict[str, Any]:
    """Every stock: amounts in metres, square metres or pieces."""
    plan = question.plan
    account = stock_account(question.project, plan)
    return {**common(plan), "stock": [_line_as_json(plan, line) for line in account]}


def lines(question: Question) -> list[str]:
    """The verdict, then stock by stock, what is short first."""
    plan = question.plan
    account = stock_account(question.project, plan)
    found = verdict(plan)
    if not account:
        return [*found, "", "No cloth, trim or notions are written down."]
    for line in sorted(account, key=lambda one: not short_of(one)):
        found += ["", name_of(plan, line.id)]
        found += [f"  {text}" for text in wrapped(sentences(plan, line), WIDTH - 2)]
    return found


def sentences(plan: Plan, line: StockLine) -> list[str]:
    """How one stock stands."""

    def amount(value: float) -> str:
        return worded_amount(value, _dimension(line), plan.units)

    there = amount(max(line.there, 0.0))
    if not line.wanted:
        return [f"{there} there; no step wants it."]
    coming = f", {amount(line.coming)} coming" if line.coming else ""
    found = [f"{amount(line.wanted)} wanted, {there} there{coming}."]
    short = short_of(line)
    if short:
        first = next(user for user in line.users if user.lacking)
        found.append(f"{amount(short)} short: it runs out at {_user(plan, first)}.")
        found += _mending(plan, line, first)
    else:
        found.append("It is enough.")
    waiting = next((user for user in line.users if user.until is not None), None)
    if waiting is not None and waiting.until is not None:
        day = on_date(waiting.until.date(), plan.now.date())
        found.append(f"{_user(plan, waiting)} waits for what comes {day}.")
    return found


def short_of(line: StockLine) -> float:
    """What will never come of what is wanted."""
    return sum(user.lacking for user in line.users)


def order_by(plan: Plan, line: StockLine) -> date | None:
    """The last day on which an order would still come in time; None where none is needed."""
    if not line.stock.again or line.stock.lead is None:
        return None
    lacking = {user.step for user in line.users if user.lacking}
    days = [s.first_day for s in plan.steps if s.id in lacking and s.first_day is not None]
    return min(days) - timedelta(days=line.stock.lead) if days else None


def worded_amount(value: float, dimension: int, units: str) -> str:
    """An amount with its unit: "2.4 m", "36 in", "0.3 m2", "12"."""
    unit = {LENGTH: "m", AREA: "m"}.get(dimension, "")
    if units == "imperial" and unit:
        least = 2 if dimension == LENGTH else 1  # up to two yards one measures in inches
        unit = "yd" if value >= least * METRES["yd"] ** dimension else "in"
    scaled = value / (METRES[unit] ** dimension if unit else 1.0)
    digits = f"{scaled:.2f}".rstrip("0").rstrip(".")
    return " ".join(part for part in (digits, unit + ("2" if dimension == AREA else "")) if part)


def _dimension(line: StockLine) -> int:
    """What it is counted by: its own dimension, or a delivery's where it has none left."""
    if line.stock.have.dimension or not line.stock.coming:
        return line.stock.have.dimension
    return line.stock.coming[0].amount.dimension


def _mending(plan: Plan, line: StockLine, first: Served) -> list[str]:
    """What can be done about it: order by a date, or decide before the first step."""
    today = plan.now.date()
    if not line.stock.again:
        using = line.users[0].step
        return [f"It can't be bought again: decide before {step_with_garment(plan, using)}."]
    by = order_by(plan, line)
    if by is None:
        return []
    if by < today:
        return [f"It takes {line.stock.lead} days to come: too late for it, ask elsewhere."]
    return [f"Order {on_date(by, today)} at the latest."]


def _user(plan: Plan, user: Served) -> str:
    return step_with_garment(plan, user.step)


def _line_as_json(plan: Plan, line: StockLine) -> dict[str, Any]:
    by = order_by(plan, line)
    first = next((user.step for user in line.users if user.lacking), None)
    return {
        "id": line.id,
        "name": name_of(plan, line.id),
        "unit": {LENGTH: "m", AREA: "m2"}.get(_dimension(line), "piece"),
        "wanted": round(line.wanted, 6),
        "there": round(line.there, 6),
        "coming": round(line.coming, 6),
        "short": round(short_of(line), 6),
        "runs_out_at": first,
        "order_by": by.isoformat() if by else None,
        "again": line.stock.again,
        "steps": [
            {
                "step": user.step,
                "amount": round(user.amount, 6),
                "until": user.until.isoformat() if user.until else None,
                "lacking": round(user.lacking, 6),
            }
            for user in line.users
        ],
    }
