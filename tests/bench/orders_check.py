"""Orders of construction as their authors want to see them: problems, then the steps.

``python -m tests.bench.orders_check [KIND ...] [name=value ...]``
"""

from __future__ import annotations

import sys
from collections.abc import Mapping

from planner.catalogue import techniques
from planner.catalogue.order import Order
from planner.catalogue.shelf import orders, source_orders
from planner.estimate import operations
from planner.files.phrasing import write_quantity
from planner.model import Source
from planner.problems import InputError
from planner.splitting.answers import asked, understood
from planner.splitting.split import Split, alone, hours, split


def main(words: list[str]) -> int:
    """Print every order named, or all; the number of those with problems."""
    pairs = dict(word.split("=", 1) for word in words if "=" in word)
    kinds = [word for word in words if "=" not in word]
    shelf: dict[str, Order] = {}
    wrong = 0
    for kind in kinds or [*orders(), *source_orders()]:
        try:
            if kind in orders():
                shelf[kind] = orders()[kind]
            else:
                shelf[kind] = source_orders()[Source(kind)]
            show(split(shelf[kind], understood(shelf[kind], {"source": "make", **pairs})))
        except InputError as error:
            print(f"\n{error}", file=sys.stderr)
            wrong += 1
        except (KeyError, ValueError):
            print(f"\nno order {kind}", file=sys.stderr)
            wrong += 1
    return wrong


def _show_answers(found: Split) -> None:
    total = hours(found, techniques())
    questions = asked(found.order, found.answers)
    at_once = sum(question.asked for question in questions)
    print(
        f"\n== {found.order.id}: {total.typical / 60:.1f} h ({total.low / 60:.1f} to "
        f"{total.high / 60:.1f}), {at_once} questions at once"
    )
    amounts = {
        name: str(write_quantity(amount, "metric"))
        for name, amount in found.garment.measurements.items()
    }
    given = {**amounts, **found.garment.choices}
    for question in questions:
        print(
            f"   {question.id} = {given[question.id]}{'' if question.asked else ' (not at once)'}"
        )
    asked_for = {question.id for question in questions}
    for name in (name for name in amounts if name not in asked_for):
        print(f"   figure {name} = {amounts[name]}")


def show(found: Split) -> None:
    """Print a split: its questions, its steps with minutes, and what they take."""
    _show_answers(found)
    for operation in operations(alone(found), techniques()):
        step, minutes = operation.step, operation.minutes
        part = found.parts[step.id]
        marks: Mapping[str, object] = {
            step.stage or "": step.stage,
            f"at {part.at}": part.at,
            f"wait {operation.wait.nights} n {operation.wait.minutes} min": operation.wait,
            "no way back": operation.no_way_back,
            "2 hands": operation.hands == 2,
            f"optional, missed {step.missed}": step.optional,
            f"x {step.effort}": step.effort != 1,
            "over " + ", ".join(f"{'/'.join(o.roles)}:{o.stage}" for o in part.over): part.over,
            "takes " + ", ".join(u.stock for u in step.uses): step.uses,
        }
        print(
            f"  {operation.work.letter} {step.id:24} {operation.name[:38]:38} "
            f"{minutes.low:5.0f} {minutes.typical:5.0f} {minutes.high:5.0f}  {operation.place:10} "
            f"after {', '.join(step.after) or '-'}"
        )
        said = "; ".join(mark for mark, holds in marks.items() if holds)
        if said:
            print(f"      {said}")
    for wanted in found.wanted:
        print(f"   stock {wanted.material.name}: {write_quantity(wanted.amount, 'metric')}")


if __name__ == "__main__":
    sys.exit(min(1, main(sys.argv[1:])))
