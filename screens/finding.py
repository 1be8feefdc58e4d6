"""Finding what the maker means by a few letters: occasions and stock by id, steps by letters."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date

from planner.model import Project, Stock
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
    """Full id of the stock that is called so (see ``stock_called``); else None, and why."""
    known = {f"{e.id}/{stock.id}": stock for e in project.ensembles for stock in e.stock}
    found = stock_called(known, wanted)
    asked = clean(wanted)
    if len(found) == 1:
        return found[0], ""
    if found:
        several = listed([f"{stock_words(known[one])} ({one})" for one in found], 5)
        return None, f"“{asked}” could be {several}: write the one you mean."
    if not known:
        return None, f"There is no “{asked}” in the stock, nor anything else yet."
    names = listed(list(dict.fromkeys(map(stock_words, known.values()))), 8)
    return None, f"There is no “{asked}” in the stock; there is {names}."


def stock_called(known: Mapping[str, Stock], wanted: str) -> list[str]:
    """Which of these stocks, by full or short id, is meant.

    The one of this id; else of this shown name, whole or up to its first comma; else those whose
    name or id has every word typed, or at least one that begins so.
    """
    low = " ".join(wanted.casefold().split())
    words = low.split()
    if not words:
        return []
    names = {one: clean(it.name).casefold() for one, it in known.items()}
    ways = (
        [one for one in known if wanted in (one, _short(one))],
        [one for one in known if low == _short(one).casefold()],
        [one for one, name in names.items() if name == low],
        [one for one, name in names.items() if name.partition(",")[0] == low],
        [one for one, name in names.items() if _has_words(f"{name} {_short(one)}", words)],
        [one for one, name in names.items() if begin_in(f"{name} {_short(one)}", words)],
    )
    return next((way for way in ways if way), [])


def stock_words(stock: Stock) -> str:
    """What a stock is called by one who types it: its shown name up to the first comma."""
    return clean(stock.name).partition(",")[0].strip() or clean(stock.id)


def _short(ident: str) -> str:
    return ident.rsplit("/", 1)[-1]


def _has_words(text: str, words: Sequence[str]) -> bool:
    """Whether every word is a word of a text, from its beginning to its end."""
    return set(words) <= set(re.findall(r"\w+", text.casefold()))


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
