"""What of a plan is kept: that which later plans hold on to and are compared with."""

from __future__ import annotations

from dataclasses import replace
from hashlib import blake2b

from planner.model import Kept, KeptHours, Project
from planner.plan import Plan


def kept_of(plan: Plan, project: Project | None = None) -> Kept:
    """A plan as it is kept; ``project`` is what it was made of, where that is known.

    Sittings at occasions aren't kept: these have their own time.
    """
    planned: dict[int, dict[str, int]] = {}
    for sitting in plan.sittings:
        if sitting.window is not None:
            mine = planned.setdefault(sitting.window, {})
            mine[sitting.step] = mine.get(sitting.step, 0) + sitting.minutes
    hours = [
        KeptHours(
            start=window.start,
            end=window.end,
            day=window.day,
            place=window.place,
            planned=tuple(planned[k].items()),
        )
        for k, window in enumerate(plan.windows)
        if k in planned
    ]
    return Kept(
        as_of=plan.now,
        hours=tuple(hours),
        verdict=plan.verdict.value,
        fullest=plan.peak_load,
        wearable={e: day for e, day in plan.wearable_on.items() if day is not None},
        short={o.id: o.short for o in plan.occasions if o.short},
        inputs="" if project is None else inputs_of(project),
    )


def inputs_of(project: Project) -> str:
    """Stands for the hours and ensembles of a project: as long as it is the same, only time has
    passed and the diary has grown."""
    ensembles = tuple(replace(one, file="") for one in project.ensembles)
    said = repr((replace(project.workroom, file=""), ensembles, project.techniques))
    return blake2b(said.encode("utf-8", "surrogatepass"), digest_size=12).hexdigest()


def kept_renamed(kept: Kept, old: str, new: str) -> Kept:
    """The same plan with another id for a garment, a step or an occasion (full ids), and for
    what lies in it."""

    def renamed(ident: str) -> str:
        inside = ident == old or ident.startswith(f"{old}/")
        return new + ident.removeprefix(old) if inside else ident

    hours = tuple(
        replace(one, planned=tuple((renamed(step), n) for step, n in one.planned))
        for one in kept.hours
    )
    short = {renamed(occasion): n for occasion, n in kept.short.items()}
    return kept if (hours, short) == (kept.hours, kept.short) else replace(
        kept, hours=hours, short=short
    )  # fmt: skip
