"""Edits as pure functions from one project to another.

Every one leaves every reference meaning what it meant: in ``after``, ``during``, ``wants``, in
``uses`` and amounts, in other ways of a step, in other ensembles and in the diary. Things are
named by their full ids (``ensemble/garment/step``, ``ensemble/garment``, ``ensemble/occasion``,
``ensemble/stock``).

What isn't there is a KeyError, an id that is none or is taken a ValueError with a sentence; an
order of work that was sound and would no longer be is an InputError with its places. Whether
amounts, techniques and dates make sense is for planning to say. Edits of hours name no ids but
dates, places and the indices of changes.
"""

from planner.day_hours import DaySpans
from planner.editing.garments import (
    add_garment,
    dressing_order,
    duplicate_garment,
    leave_off_garment,
    move_garment,
    remove_garment,
    replace_garment,
)
from planner.editing.hours import (
    PLACES,
    add_change,
    away,
    check_change,
    check_days,
    check_spans,
    day_spans,
    present,
    remove_change,
    replace_change,
    set_day,
    set_week,
    taken_back,
)
from planner.editing.occasions import add_occasion, remove_occasion, replace_occasion
from planner.editing.renaming import (
    rename_garment,
    rename_measurement,
    rename_occasion,
    rename_step,
    rename_stock,
)
from planner.editing.steps import (
    add_step,
    duplicate_step,
    fix_step,
    leave_off_step,
    move_step,
    remove_step,
    replace_step,
)
from planner.editing.stock import add_stock, remove_stock, replace_stock, with_pack, with_packed
from planner.editing.whole import (
    add_ensemble,
    free_name,
    free_step,
    free_stock,
    replace_ensemble,
    replace_workroom,
)

__all__ = [
    "PLACES",
    "DaySpans",
    "add_change",
    "add_ensemble",
    "add_garment",
    "add_occasion",
    "add_step",
    "add_stock",
    "away",
    "check_change",
    "check_days",
    "check_spans",
    "day_spans",
    "dressing_order",
    "duplicate_garment",
    "duplicate_step",
    "fix_step",
    "free_name",
    "free_step",
    "free_stock",
    "leave_off_garment",
    "leave_off_step",
    "move_garment",
    "move_step",
    "present",
    "remove_change",
    "remove_garment",
    "remove_occasion",
    "remove_step",
    "remove_stock",
    "rename_garment",
    "rename_measurement",
    "rename_occasion",
    "rename_step",
    "rename_stock",
    "replace_change",
    "replace_ensemble",
    "replace_garment",
    "replace_occasion",
    "replace_step",
    "replace_stock",
    "replace_workroom",
    "set_day",
    "set_week",
    "taken_back",
    "with_pack",
    "with_packed",
]
