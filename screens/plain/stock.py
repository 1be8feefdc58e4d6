"""`wearby stock`: wanted, there, coming; where it runs out, and by when to order."""

from __future__ import annotations

from datetime import date
from typing import Any

from planner.exports.account import stock_reports_of
from planner.plan import Plan
from planner.quantity import AREA, LENGTH
from planner.stock_report import Giving, StockReport
from screens.answers import Question, fits_status
from screens.plain.lines import WIDTH, common, verdict
from screens.stock_told import groups, headline, sentences
from screens.wording import name_of, wrapped


def status(question: Question) -> int:
    """Whether all fits."""
    return fits_status(question.plan.fits)


def lines(question: Question) -> list[str]:
    """The verdict and what runs out, then group by group, what is short first."""
    plan = question.plan
    reports = stock_reports_of(question.project, plan)
    found = [*verdict(plan), "", *wrapped([headline(plan, reports)], WIDTH)]
    for group in groups(reports, plan.now.date()):
        found += ["", group.title]
        for report in group.reports:
            found += [f"  {line}" for line in wrapped([name_of(plan, report.id)], WIDTH - 2)]
            found += [f"    {text}" for text in wrapped(sentences(plan, report), WIDTH - 4)]
    return found


def as_json(question: Question) -> dict[str, Any]:
    """Every stock: amounts in metres, square metres or pieces."""
    plan = question.plan
    reports = stock_reports_of(question.project, plan)
    return {**common(plan), "stock": [_report_as_json(plan, report) for report in reports]}


def _report_as_json(plan: Plan, report: StockReport) -> dict[str, Any]:
    stock, suffices = report.stock, report.suffices
    return {
        "id": report.id,
        "name": name_of(plan, report.id),
        "unit": {LENGTH: "m", AREA: "m2"}.get(report.dimension, "piece"),
        "wanted": _number(report.wanted),
        "there": _number(report.there),
        "missing": _number(report.missing),
        "counted": _day(stock.counted),
        "coming": _number(report.coming),
        "undated": _number(report.undated),
        "arrivals": [
            {"amount": _number(one.amount.value), "arrives": _day(one.arrives)}
            for one in report.arrivals
        ],
        "short": _number(report.short),
        "first": report.first,
        "to_hand_by": _day(report.to_hand_by),
        "runs_out_at": report.runs_out_at,
        "runs_out_on": _day(report.runs_out_on),
        "lead": stock.lead,
        "order_by": _day(report.order_by),
        "again": stock.again,
        "suffices": None
        if suffices is None
        else {
            "wanted": _number(suffices.wanted),
            "changes": [_giving_as_json(one) for one in suffices.givings],
        },
        "steps": [
            {
                "step": use.step,
                "amount": _number(use.amount),
                "day": _day(use.day),
                "until": f"{use.until.isoformat()}T00:00:00" if use.until else None,
                "lacking": _number(use.lacking),
                "left": _number(use.left),
                "optional": use.optional,
            }
            for use in report.uses
        ],
    }


def _giving_as_json(giving: Giving) -> dict[str, Any]:
    return {
        "step": giving.step,
        "instead": giving.way.index if giving.way is not None else None,
        "left_off": giving.way is None,
        "amount": _number(giving.amount),
        "saved": _number(giving.saved),
        "missed": giving.missed,
    }


def _number(value: float) -> float:
    return round(value, 6)


def _day(day: date | None) -> str | None:
    return day.isoformat() if day is not None else None
