"""A day of the hours opened: place by place what is written, to be had and planned."""

from __future__ import annotations

from planner.editing import PLACES
from planner.hours_ahead import DayAhead, WindowAhead
from planner.plan import Plan, Sitting
from screens.hours_told import (
    NAMES,
    OF_PLACE,
    compact,
    day_heading,
    why_it_differs,
    window_full,
    window_told,
    without_window,
)
from screens.widgets.lines import CURSOR, Line, Run, plain
from screens.wording import clock, column, garment_of, name_of, occasion_name, wrapped
from screens.wording import when as hours_of

NAME = 12
"""Columns of a place's name."""
INDENT = 20
"""Columns before a step's name."""


def day_lines(
    plan: Plan, day: DayAhead, width: int, *, setting_up: int, cursor: str | None = None
) -> list[Line]:
    """The day's heading, why it differs from its week, occasions, then its hours and steps.

    A step has its id as key; the cursor's mark stands at ``cursor``. ``setting_up`` is what is
    off every stretch in the workroom.
    """
    today = plan.now.date()
    room = max(20, width - 2)
    found = [plain(f" {text}", "strong") for text in wrapped([day_heading(day, today)], room)]
    for sentence in why_it_differs(day.hours, today):
        found += [plain(f" {text}", "accent") for text in wrapped([sentence], room)]
    for occasion in day.occasions:
        found.append(plain(f" {hours_of(occasion)}  {occasion_name(occasion)}", "strong"))
    for place in PLACES:
        off = setting_up if place == "workroom" else 0
        found += _place(plan, day, place, off, width, cursor)
    return found


def _place(
    plan: Plan, day: DayAhead, place: str, off: int, width: int, cursor: str | None
) -> list[Line]:
    """A place's hours as written, and each of its windows with its steps."""
    spans = getattr(day.hours.spans, place)
    there = [one for one in day.windows if OF_PLACE[one.window.place] == place]
    if not spans and not there:
        return []
    told = f" {NAMES[place]:<{NAME}}{compact(spans)}"
    if nothing := without_window(day, place) if place != "helper" else "":
        told = f"{told}; {nothing}"
    elif off and there:
        told = f"{told}, less {column(off)} setting up"
    found = [plain(text) for text in _indented(told, width)]
    for one in there:
        found.append(_window(one))
        for sitting in one.sittings:
            found += _step(plan, sitting, width, cursor)
    return found


def _indented(text: str, width: int) -> list[str]:
    """A text whose further lines stand under its hours."""
    first, *rest = wrapped([text[NAME + 1 :]], max(20, width - NAME - 2)) or [""]
    return [text[: NAME + 1] + first, *(" " * (NAME + 1) + more for more in rest)]


def _window(there: WindowAhead) -> Line:
    """When it is to be had, what of it is planned, how full that is."""
    full = window_full(there)
    helped = ", with a helper" if there.window.helper else ""
    return Line(
        runs=(
            Run(text=f"   {window_told(there)}{helped}  ", style="faint"),
            Run(text=full.text, style="accent" if full.over else "faint", reverse=full.over),
        )
    )


def _step(plan: Plan, sitting: Sitting, width: int, cursor: str | None) -> list[Line]:
    """A step in its window: when, how long, which; its whole name."""
    key = f"{sitting.step} {sitting.start or sitting.date}"
    step = next((one for one in plan.steps if one.id == sitting.step), None)
    letter = step.work.letter if step else "?"
    start = clock(sitting.start) if sitting.start else "over"
    here = CURSOR if key == cursor else " "
    over = f"; over {column(sitting.over)}" if sitting.over and sitting.start else ""
    told = f"{name_of(plan, sitting.step)}; {garment_of(plan, sitting.step)}{over}"
    first, *rest = wrapped([told], max(16, width - INDENT - 1))
    runs = (
        Run(text=here, style="accent"),
        Run(text=f"    {start:<5} {column(sitting.minutes):>5}  ", style="faint"),
        Run(text=letter, style=letter),
        Run(text=f"  {first}"),
    )
    more = [Line(runs=(Run(text=" " * (INDENT + 1) + text),), click=key) for text in rest]
    return [Line(runs=runs, key=key), *more]


def step_of(key: str) -> str:
    """The step's id of a line's key."""
    return key.split(" ", 1)[0]
