"""What the maker's references mean.

``after`` and ``wants`` name a step of the same garment, a garment, ``garment:stage``,
``garment/step``, an occasion, or with a leading ``ensemble/`` any of these elsewhere. A
name that could mean two things is an error that says which.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from planner.model import STAGES, Ensemble, Garment, Occasion, Step


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """What a reference stands for."""

    steps: tuple[str, ...] = ()
    """Full ids of the steps that must be done."""
    occasion: str | None = None
    """Full id, where an occasion is named."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """What a reference names, before anybody asks which steps that are."""

    kind: str
    """"step", "garment" or "occasion"."""
    id: str
    """Its full id."""
    stage: str = ""
    """Of a garment, where the reference says so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Index:
    """Everything that can be named, by full id."""

    steps: Mapping[str, Step]
    garments: Mapping[str, Garment]
    occasions: Mapping[str, Occasion]
    ensembles: tuple[str, ...]


def index_of(ensembles: Sequence[Ensemble]) -> Index:
    """The index of all ensembles of a workroom."""
    steps: dict[str, Step] = {}
    garments: dict[str, Garment] = {}
    occasions: dict[str, Occasion] = {}
    for ensemble in ensembles:
        for occasion in ensemble.occasions:
            occasions[f"{ensemble.id}/{occasion.id}"] = occasion
        for garment in ensemble.garments:
            garments[f"{ensemble.id}/{garment.id}"] = garment
            for step in garment.steps:
                steps[f"{ensemble.id}/{garment.id}/{step.id}"] = step
    return Index(
        steps=steps,
        garments=garments,
        occasions=occasions,
        ensembles=tuple(e.id for e in ensembles),
    )


def required_steps(index: Index, garment: str) -> tuple[str, ...]:
    """The steps with which a garment (full id) is finished; those left off don't count."""
    return tuple(
        f"{garment}/{s.id}"
        for s in index.garments[garment].steps
        if s.required and not s.left_off
    )


def stage_steps(index: Index, garment: str, stage: str) -> tuple[str, ...]:
    """The steps that carry a stage; of a garment without it, those that finish it."""
    carriers = tuple(
        f"{garment}/{s.id}"
        for s in index.garments[garment].steps
        if s.stage == stage and not s.left_off
    )
    return carriers or required_steps(index, garment)


def _candidates(index: Index, path: str, ensemble: str, garment: str | None) -> list[str]:
    """Full ids that ``path`` may stand for, each with its kind in front."""
    parts = path.split("/")
    found: list[str] = []
    if len(parts) == 1:
        if garment is not None:
            found.append(f"step {ensemble}/{garment}/{path}")
        found += [f"garment {ensemble}/{path}", f"occasion {ensemble}/{path}"]
    elif len(parts) == 2:
        found += [f"step {ensemble}/{path}", f"garment {path}", f"occasion {path}"]
    elif len(parts) == 3:
        found.append(f"step {path}")
    tables: dict[str, Mapping[str, object]] = {
        "step": index.steps,
        "garment": index.garments,
        "occasion": index.occasions,
    }
    return [f for f in found if f.split(" ", 1)[1] in tables[f.split(" ", 1)[0]]]


def _nearest(index: Index, path: str, ensemble: str, garment: str | None) -> str:
    """A hint with the nearest name there is, or nothing."""
    names = {n.removeprefix(f"{ensemble}/") for n in (*index.garments, *index.occasions)}
    names |= {n.removeprefix(f"{ensemble}/") for n in index.steps}
    if garment is not None:
        names |= {s.id for s in index.garments[f"{ensemble}/{garment}"].steps}
    near = get_close_matches(path, sorted(names), n=1, cutoff=0.5)
    return f' Did you mean "{near[0]}"?' if near else ""


def meanings(
    index: Index, text: str, ensemble: str, garment: str | None
) -> tuple[Named, ...]:
    """All that ``text`` could name, written in a step of ``garment`` or in an occasion (None)."""
    path, colon, stage = text.partition(":")
    if colon and stage not in STAGES:
        return ()
    found = [f.split(" ", 1) for f in _candidates(index, path, ensemble, garment)]
    return tuple(
        Named(kind=kind, id=id, stage=stage)
        for kind, id in found
        if kind == "garment" or not colon
    )


def named(index: Index, text: str, ensemble: str, garment: str | None) -> Named:
    """What ``text`` names, written in a step of ``garment`` or in an occasion (None).

    Raises ValueError with a sentence for the maker when it means nothing or two things.
    """
    path, colon, stage = text.partition(":")
    if colon and stage not in STAGES:
        raise ValueError(
            f'"{text}": "{stage}" is no stage; a garment is {STAGES[0]}, {STAGES[1]} or '
            f"{STAGES[2]}."
        )
    found = meanings(index, text, ensemble, garment)
    if not found:
        what = "garment" if colon else "step, garment or occasion"
        raise ValueError(
            f'"{text}" names no {what} there is.{_nearest(index, path, ensemble, garment)}'
        )
    if len(found) > 1:
        either = " or the ".join(f"{it.kind} {it.id}" for it in found)
        raise ValueError(
            f'"{text}" could mean the {either}; write it out in full '
            "or give one of them another id."
        )
    return found[0]


def resolve(index: Index, text: str, ensemble: str, garment: str | None) -> Target:
    """What must be done or over for ``text``, written in a step of ``garment`` or in an occasion.

    Raises ValueError as ``named`` does.
    """
    it = named(index, text, ensemble, garment)
    if it.kind == "step":
        return Target(steps=(it.id,))
    if it.kind == "occasion":
        return Target(occasion=it.id)
    if it.stage:
        return Target(steps=stage_steps(index, it.id, it.stage))
    return Target(steps=required_steps(index, it.id))
