"""The plan as plain JSON values; the keys are documented in ``JSON.md`` beside this module.

Minutes are integers, dates and times ISO 8601 without offset, ids full.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

from planner.model import Entry, Wait, Warned
from planner.plan import (
    Day,
    Note,
    Plan,
    PlannedOccasion,
    PlannedStep,
    PlannedWindow,
    Reason,
    Sitting,
    SpotHours,
    TightSpot,
    Unplaced,
)
from planner.problems import Problem

Json = dict[str, Any]


def plan_as_json(plan: Plan) -> Json:
    """The whole plan."""
    return {
        "now": _at(plan.now),
        "fits": plan.fits,
        "verdict": plan.verdict.value,
        "peak_load": plan.peak_load,
        "lower_bound": plan.lower_bound,
        "begin_by": _at(plan.begin_by),
        "wearable_on": {name: _at(day) for name, day in plan.wearable_on.items()},
        "finished_on": {name: _at(day) for name, day in plan.finished_on.items()},
        "wearable_left": dict(plan.wearable_left),
        "hand_sewing_limit": plan.hand_sewing_limit,
        "days": [day_as_json(day) for day in plan.days],
        "windows": [window_as_json(window) for window in plan.windows],
        "sittings": [sitting_as_json(sitting) for sitting in plan.sittings],
        "steps": [step_as_json(step) for step in plan.steps],
        "occasions": [occasion_as_json(occasion) for occasion in plan.occasions],
        "tight_spot": tight_spot_as_json(plan.tight_spot),
        "unplaced": [unplaced_as_json(one) for one in plan.unplaced],
        "warnings": [warned_as_json(one) for one in plan.warnings],
        "names": dict(plan.names),
    }


def problems_as_json(problems: Sequence[Problem]) -> Json:
    """Wrong input: every problem with its file and place."""
    return {
        "problems": [{"file": one.file, "place": one.place, "text": one.text} for one in problems]
    }


def day_as_json(day: Day) -> Json:
    """One day with its minutes and notes."""
    return {
        "date": _at(day.date),
        "workroom_available": day.workroom_available,
        "workroom_planned": day.workroom_planned,
        "sofa_available": day.sofa_available,
        "sofa_planned": day.sofa_planned,
        "take_along_available": day.take_along_available,
        "take_along_planned": day.take_along_planned,
        "hand_minutes": day.hand_minutes,
        "peak": day.peak,
        "notes": [note_as_json(note) for note in day.notes],
    }


def window_as_json(window: PlannedWindow) -> Json:
    """A cut window and what is planned in it."""
    return {
        "start": _at(window.start),
        "end": _at(window.end),
        "date": _at(window.day),
        "place": place_as_json(window.place),
        "helper": window.helper,
        "minutes": window.minutes,
        "planned": window.planned,
    }


def sitting_as_json(sitting: Sitting) -> Json:
    """One stretch of work on one step."""
    return {
        "date": _at(sitting.date),
        "start": _at(sitting.start),
        "end": _at(sitting.end),
        "minutes": sitting.minutes,
        "over": sitting.over,
        "where": sitting.where.value,
        "step": sitting.step,
        "window": sitting.window,
    }


def step_as_json(step: PlannedStep) -> Json:
    """A step with everything the plan knows of it."""
    return {
        "id": step.id,
        "name": step.name,
        "garment": step.garment,
        "technique": step.technique,
        "work": step.work.value,
        "place": place_as_json(step.place),
        "hands": step.hands,
        "one_sitting": step.one_sitting,
        "wait": wait_as_json(step.wait),
        "during": step.during,
        "minutes": step.minutes,
        "by_catalogue": step.by_catalogue,
        "low": step.low,
        "high": step.high,
        "left": step.left,
        "after": list(step.after),
        "stage": step.stage,
        "optional": step.optional,
        "missed": step.missed,
        "on": _at(step.on),
        "left_off": step.left_off,
        "done": step.done,
        "wanted": step.wanted,
        "released": _at(step.released),
        "due": _at(step.due),
        "due_for": step.due_for,
        "earliest": _at(step.earliest),
        "latest": _at(step.latest),
        "first_day": _at(step.first_day),
        "last_day": _at(step.last_day),
        "to_spare": step.to_spare,
        "to_spare_exact": step.to_spare_exact,
        "reason": reason_as_json(step.reason),
        "notes": [note_as_json(note) for note in step.notes],
    }


def entry_as_json(entry: Entry) -> Json:
    """An entry of the diary."""
    return {
        "at": _at(entry.at),
        "step": entry.step,
        "minutes": entry.minutes,
        "done": entry.done,
        "left": entry.left,
        "note": entry.note,
    }


def occasion_as_json(occasion: PlannedOccasion) -> Json:
    """An occasion and how it stands."""
    return {
        "id": occasion.id,
        "name": occasion.name,
        "kind": occasion.kind.value,
        "at": _at(occasion.at),
        "end": _at(occasion.end),
        "ready_by": _at(occasion.ready_by),
        "takes": occasion.takes,
        "fits": occasion.fits,
        "short": occasion.short,
        "full": occasion.full,
        "wants": list(occasion.wants),
        "during": list(occasion.during),
        "late": list(occasion.late),
        "past": occasion.past,
    }


def reason_as_json(reason: Reason) -> Json:
    """Why a step is on its day."""
    return {
        "because": reason.because.value,
        "names": list(reason.names),
        "chain": list(reason.chain),
        "minutes": reason.minutes,
    }


def note_as_json(note: Note) -> Json:
    """A note: its kind, and only the fields that are filled."""
    filled: Json = {
        "step": note.step,
        "minutes": note.minutes,
        "subject": note.subject,
        "until": _at(note.until),
        "text": note.text or None,
    }
    return {
        "kind": note.kind.value,
        **{key: value for key, value in filled.items() if value is not None},
    }


def tight_spot_as_json(spot: TightSpot | None) -> Json | None:
    """The tight spot with its arithmetic, or null."""
    if spot is None:
        return None
    return {
        "from": _at(spot.start),
        "to": _at(spot.end),
        "hours": [_spot_hours(hours) for hours in spot.hours],
        "steps": [{"id": step.id, "minutes": step.minutes} for step in spot.steps],
        "wanted": spot.wanted,
        "available": spot.available,
        "short": spot.short,
        "proven": spot.proven,
        "chains": {
            step.id: {"begins": list(step.begins), "ends": list(step.ends)} for step in spot.steps
        },
    }


def unplaced_as_json(unplaced: Unplaced) -> Json:
    """A step for which there is no time."""
    return {"step": unplaced.step, "minutes": unplaced.minutes, "reason": unplaced.reason}


def warned_as_json(warned: Warned) -> Json:
    """A warning with its file and place."""
    return {"file": warned.file, "place": warned.place, "text": warned.text}


def wait_as_json(wait: Wait) -> Json:
    """A wait in nights and minutes; both 0 where there is none."""
    return {"nights": wait.nights, "minutes": wait.minutes}


def _spot_hours(hours: SpotHours) -> Json:
    return {
        "from": _at(hours.start),
        "to": _at(hours.end),
        "place": place_as_json(hours.place),
        "minutes": hours.minutes,
    }


def place_as_json(place: str) -> str:
    """A place as a key: ``take_along``, as in ``where``."""
    return str(place).replace("-", "_")


def _at(moment: date | datetime | None) -> str | None:
    """ISO 8601: "2027-05-08", "2027-05-08T14:00:00"."""
    return None if moment is None else moment.isoformat()
