"""Names in fields, ids in files: what is chosen by its name is shown and read by its name.

A name stands for an id only where nothing else is called so; a thing that shares its name is
shown by its id. An id is read as well.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass

from planner.catalogue import techniques_with
from planner.model import STAGES, Ensemble, Project
from screens.forms.lookups import ensemble_of, garment_of, step_name
from screens.forms.tables import Plain
from screens.wording import clean


class Names:
    """What is shown for each id, and which id is meant by what is typed."""

    def __init__(self, pairs: Iterable[tuple[str, str]]) -> None:
        """``pairs`` are ids with their names."""
        known = dict(pairs)
        called = Counter(_folded(name) for name in known.values())
        ids = {_folded(ident): ident for ident in known}
        self._shown = {
            ident: name
            for ident, name in known.items()
            if name.strip()
            and called[_folded(name)] == 1
            and ids.get(_folded(name), ident) == ident
        }
        self._known = known
        self._ids = {_folded(name): ident for ident, name in self._shown.items()}

    def shown(self, ident: str) -> str:
        """The name of an id; an id that isn't known, or isn't alone with its name, itself."""
        return self._shown.get(ident, ident)

    def ident(self, text: str) -> str:
        """The id that is meant by an id or a name, however it is spaced and capitalised; what is
        neither stays as it is typed."""
        text = text.strip()
        return text if text in self._known else self._ids.get(_folded(text), text)

    def knows(self, text: str) -> bool:
        """Whether it is the name of something, or an id."""
        return text.strip() in self._known or _folded(text) in self._ids


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()


NO_NAMES = Names(())


@dataclass(frozen=True, slots=True, kw_only=True)
class StepNames:
    """The names for what a step refers to."""

    technique: Names = NO_NAMES
    after: Names = NO_NAMES
    stock: Names = NO_NAMES

    def shown(self, table: Plain) -> Plain:
        """A step's table with names in place of ids, its other ways' too."""
        named = deepcopy(table)
        self._name(named)
        ways = named.get("instead")
        for way in ways if isinstance(ways, list) else ():
            self._name(way)
        return named

    def _name(self, table: Plain) -> None:
        technique, after, uses = (table.get(key) for key in ("technique", "after", "uses"))
        if isinstance(technique, str):
            table["technique"] = self.technique.shown(technique)
        if isinstance(after, list):
            table["after"] = [self.after.shown(str(one)) for one in after]
        for use in uses if isinstance(uses, list) else ():
            if isinstance(use, dict) and "stock" in use:
                use["stock"] = self.stock.shown(str(use["stock"]))


def technique_names(project: Project) -> Names:
    """All techniques."""
    return Names((ident, clean(one.name)) for ident, one in
                 techniques_with(project.techniques).items())  # fmt: skip


def stock_names(ensemble: Ensemble) -> Names:
    """The stock of an ensemble."""
    return Names((one.id, clean(one.name)) for one in ensemble.stock)


def wanted_names(project: Project, ensemble: str, garment: str = "") -> Names:
    """Whatever a step can come after, or an occasion want: steps, garments, stages, occasions.

    ``garment`` is the full id of the garment it is said in, whose steps are called by their
    names alone; those of others by that of their garment too.
    """
    own = ensemble_of(project, ensemble)
    pairs: list[tuple[str, str]] = []
    if garment:
        pairs += [(one.id, step_name(project, one)) for one in garment_of(project, garment).steps]
    for other in (own, *(one for one in project.ensembles if one.id != ensemble)):
        of = "" if other.id == ensemble else f" of {clean(other.name) or other.id}"
        before = "" if other.id == ensemble else f"{other.id}/"
        pairs += _names_in(project, other, before, of, garment)
    return Names(pairs)


def _names_in(
    project: Project, ensemble: Ensemble, before: str, of: str, garment: str
) -> list[tuple[str, str]]:
    """What can be referred to in an ensemble."""
    pairs = [(f"{before}{one.id}", f"{clean(one.name)}{of}") for one in ensemble.occasions
             if clean(one.name)]  # fmt: skip
    for one in ensemble.garments:
        name = clean(one.name) or one.id
        pairs.append((f"{before}{one.id}", f"{name}{of}"))
        pairs += [(f"{before}{one.id}:{stage}", f"{name} {stage}{of}") for stage in STAGES]
        if f"{ensemble.id}/{one.id}" != garment:
            pairs += [
                (f"{before}{one.id}/{step.id}", f"{step_name(project, step)} of {name}{of}")
                for step in one.steps
            ]
    return pairs


def all_shown(names: Names, idents: Sequence[str]) -> list[str]:
    """Ids as their names."""
    return [names.shown(one) for one in idents]


def all_meant(names: Names, parts: Sequence[str]) -> list[str]:
    """Names or ids as ids; a name that was parted at its commas is put together again."""
    found: list[str] = []
    place = 0
    while place < len(parts):
        longest = range(len(parts), place + 1, -1)
        end = next((end for end in longest if names.knows(", ".join(parts[place:end]))), place + 1)
        found.append(names.ident(", ".join(parts[place:end])))
        place = end
    return found


def uses_meant(names: Names, tables: Sequence[Mapping[str, object]]) -> list[dict[str, object]]:
    """What is taken of stock, by the ids of the stock."""
    return [{**one, "stock": names.ident(str(one["stock"]))} for one in tables]
