"""Finding what the maker means by a few letters: occasions and stock by id, steps by letters."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date

from planner.model import Project
from planner.plan import Plan, PlannedOccasion, PlannedStep
from screens.wording import clean, listed, occasion_name


def find_occasion(plan: Plan, wanted: str | None) -> PlannedOccasion | str:
    """The occasion with this id (short or full) or name, or a sentence why there is none.

    Where none is called so, the only one (else the only one ahead) of this kind, or with these
    words in its name or id.
    """
    if wanted is None:
        return _which_occasion(plan)
    exact = [one for one in plan.occasions if wanted in (one.id, one.id.rsplit("/", 1)[-1])]
    low = wanted.casefold()
    found = exact or [one for one in plan.occasions if occasion_name(one).casefold() == low]
    found = found or _of_kind_or_words(plan.occasions, low)
    if len(found) == 1:
        return found[0]
    asked = clean(wanted)
    if found:
        ids = listed([one.id for one in found], 5)
        return f"“{asked}” could be {ids}: write the one you mean."
    if not plan.occasions:
        return f"There is no occasion “{asked}”, nor any other yet."
    near = _nearest(wanted, plan.occasions)
    if near:
        return f"There is no occasion “{asked}”; did you mean {near}?"
    ids = listed([one.id.rsplit("/", 1)[-1] for one in plan.occasions], 6)
    return f"There is no occasion “{asked}”; there is {ids}."


def _of_kind_or_words(occasions: Sequence[PlannedOccasion], low: str) -> list[PlannedOccasion]:
    """The occasions of this kind, else those with these words; of several, those ahead."""
    words = low.split()
    ways = (
        [one for one in occasions if one.kind.value == low],
        [one for one in occasions if words and begin_in(_called(one), words)],
    )
    found = next((way for way in ways if way), [])
    return [one for one in found if not one.past] or found


def _called(one: PlannedOccasion) -> str:
    """What an occasion may be called by: its kind, its name, its short id."""
    return f"{one.kind.value} {occasion_name(one)} {one.id.rsplit('/', 1)[-1]}"


def _which_occasion(plan: Plan) -> str:
    """What to say where none was named."""
    ids = listed([clean(one.id.rsplit("/", 1)[-1]) for one in plan.occasions], 12)
    return f"Say which occasion: there is {ids}." if ids else "There is no occasion yet."


def _nearest(wanted: str, occasions: Sequence[PlannedOccasion]) -> str | None:
    """The id that reads most like what was typed."""
    from difflib import get_close_matches

    ids: dict[str, str] = {}
    for occasion in occasions:
        short = occasion.id.rsplit("/", 1)[-1]
        ids[short.casefold()] = short
        ids[occasion.id.casefold()] = occasion.id
        ids.setdefault(occasion_name(occasion).casefold(), short)
    close = get_close_matches(wanted.casefold(), ids, n=1, cutoff=0.5)
    return clean(ids[close[0]]) if close else None


def find_stock(project: Project, wanted: str) -> tuple[str | None, str]:
    """Full id of the stock with this id (short or full) or name; else None, and a sentence why."""
    known = {f"{e.id}/{stock.id}": stock for e in project.ensembles for stock in e.stock}
    low = wanted.casefold()
    found = [ident for ident in known if wanted in (ident, ident.rsplit("/", 1)[-1])]
    found = found or [ident for ident, it in known.items() if clean(it.name).casefold() == low]
    asked = clean(wanted)
    if len(found) == 1:
        return found[0], ""
    if found:
        return None, f"“{asked}” could be {listed(found, 5)}: write the one you mean."
    if not known:
        return None, f"There is no “{asked}” in the stock, nor anything else yet."
    ids = listed([stock.id for stock in known.values()], 8)
    return None, f"There is no “{asked}” in the stock; there is {ids}."


def find_steps(plan: Plan, letters: str, most: int = 50) -> list[PlannedStep]:
    """Steps whose garment and name hold every word typed: first those with words that begin so,
    by their days, those done last."""
    words = letters.casefold().split()
    if not words:
        return []
    texts = {step.id: f"{step.garment} {step.name} {step.id}" for step in plan.steps}
    found = [step for step in plan.steps if holds(texts[step.id], words)]
    found.sort(
        key=lambda step: (
            not begin_in(texts[step.id], words),
            step.done or step.left_off,
            step.first_day or date.max,
        )
    )
    return found[:most]


def holds(text: str, words: Sequence[str]) -> bool:
    """Whether a text holds every word; ``words`` are casefolded."""
    text = text.casefold()
    return all(word in text for word in words)


def begin_in(text: str, words: Sequence[str]) -> bool:
    """Whether every word stands in a text where a word of it begins."""
    text = text.casefold()
    return all(re.search(rf"(?<!\w){re.escape(word)}", text) for word in words)
