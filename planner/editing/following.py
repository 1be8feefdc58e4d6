"""References that follow an edit: each goes on meaning what it meant, however it is written.

A text stays as the maker wrote it as long as it still means the same; else it is written anew,
in as many words as the maker used if that is enough, and never in a way that could mean two
things.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from planner.model import Ensemble, Occasion, Project, Step
from planner.references import Index, Named, index_of, meanings


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """What a reference stands in."""

    key: str
    """"after", "during" or "wants"."""
    ensemble: str
    garment: str | None = None
    """Id of the step's garment, as it is after the edit; None in an occasion."""


Moved = Callable[[Named, Holder], tuple[Named, ...]]
"""What has taken the place of what was named; nothing where it is gone."""


def stays(target: Named, holder: Holder) -> tuple[Named, ...]:
    """Everything is still what it was."""
    return (target,)


def followed(
    before: Project,
    after: Project,
    moved: Moved = stays,
    *,
    came_from: Mapping[str, str] | None = None,
    fresh: frozenset[str] = frozenset(),
) -> Project:
    """``after`` with the references it has from ``before`` meaning what they meant.

    ``came_from`` gives, by full id of a garment of ``after``, the id within its ensemble that it
    had before. ``fresh`` are full ids of steps, garments, occasions and ensembles that are new
    or given as they are to be: their own references are left alone, and so are those that meant
    nothing before. Raises ValueError where there are no words that mean one thing alone.
    """
    work = _Following(
        old=index_of(before.ensembles),
        new=index_of(after.ensembles),
        moved=moved,
        came_from=came_from or {},
        fresh=fresh,
    )
    return replace(after, ensembles=tuple(work.ensemble(e) for e in after.ensembles))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Following:
    old: Index
    new: Index
    moved: Moved
    came_from: Mapping[str, str]
    fresh: frozenset[str]

    def ensemble(self, ensemble: Ensemble) -> Ensemble:
        if ensemble.id in self.fresh:
            return ensemble
        garments = []
        for garment in ensemble.garments:
            full = f"{ensemble.id}/{garment.id}"
            if full not in self.fresh:
                steps = [self._step(step, ensemble.id, garment.id) for step in garment.steps]
                if any(a is not b for a, b in zip(steps, garment.steps, strict=True)):
                    garment = replace(garment, steps=tuple(steps))
            garments.append(garment)
        occasions = [self._occasion(occasion, ensemble.id) for occasion in ensemble.occasions]
        pairs = (
            *zip(garments, ensemble.garments, strict=True),
            *zip(occasions, ensemble.occasions, strict=True),
        )
        if all(a is b for a, b in pairs):
            return ensemble
        return replace(ensemble, garments=tuple(garments), occasions=tuple(occasions))

    def _step(self, step: Step, ensemble: str, garment: str) -> Step:
        if f"{ensemble}/{garment}/{step.id}" in self.fresh:
            return step
        after, during = step.after, step.during
        if after:
            after = self._texts(after, Holder(key="after", ensemble=ensemble, garment=garment))
        if during is not None:
            holder = Holder(key="during", ensemble=ensemble, garment=garment)
            during = next(iter(self._texts((during,), holder)), None)
        if (after, during) == (step.after, step.during):
            return step
        return replace(step, after=after, during=during)

    def _occasion(self, occasion: Occasion, ensemble: str) -> Occasion:
        if not occasion.wants or f"{ensemble}/{occasion.id}" in self.fresh:
            return occasion
        wants = self._texts(occasion.wants, Holder(key="wants", ensemble=ensemble))
        return occasion if wants == occasion.wants else replace(occasion, wants=wants)

    def _texts(self, texts: tuple[str, ...], holder: Holder) -> tuple[str, ...]:
        found: dict[str, None] = {}
        for text in texts:
            found.update(dict.fromkeys(self._text(text, holder)))
        return tuple(found)

    def _text(self, text: str, holder: Holder) -> tuple[str, ...]:
        garment = holder.garment
        if garment is not None:
            garment = self.came_from.get(f"{holder.ensemble}/{garment}", garment)
        target = meaning(self.old, text, replace(holder, garment=garment))
        if target is None:
            return (text,)
        return tuple(written(self.new, one, holder, text) for one in self.moved(target, holder))


def meaning(index: Index, text: str, holder: Holder) -> Named | None:
    """What a text means where it stands; None where it means nothing, or two things."""
    if holder.key == "during":
        id = text if "/" in text else f"{holder.ensemble}/{text}"
        return Named(kind="occasion", id=id) if id in index.occasions else None
    found = meanings(index, text, holder.ensemble, holder.garment)
    return found[0] if len(found) == 1 else None


def written(index: Index, target: Named, holder: Holder, like: str) -> str:
    """The words for ``target`` where they stand: ``like`` itself if it means that, else those
    of as many parts, else the fewest that will do.

    Raises ValueError where none mean it alone.
    """
    forms = [like, *sorted(_forms(target, holder), key=lambda f: f.count("/") != like.count("/"))]
    for form in forms:
        if meaning(index, form, holder) == target:
            return form
    raise ValueError(
        f'no words could tell the {target.kind} "{target.id}" from something else: give one of '
        "them another id"
    )


def _forms(target: Named, holder: Holder) -> list[str]:
    """The ways to write a target, the shortest first."""
    forms = [target.id]
    if target.id.startswith(f"{holder.ensemble}/"):
        forms.append(target.id.removeprefix(f"{holder.ensemble}/"))
        if target.kind == "step" and forms[-1].startswith(f"{holder.garment}/"):
            forms.append(forms[-1].removeprefix(f"{holder.garment}/"))
    stage = f":{target.stage}" if target.stage else ""
    return [form + stage for form in reversed(forms)]
