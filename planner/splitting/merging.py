"""Three steps into one: as split before, as the maker has it now, as split anew.

What the maker changed by hand stays; the rest is as split anew.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, replace
from typing import Any, Final

from planner.model import Step, Use, Way
from planner.quantity import Quantity

_BY_THEMSELVES: Final = ("id", "where", "after", "uses", "instead")
_HOW: Final = ("technique", "amount", "hours", "low", "high", "work")
"""Keys that make sense only together: another technique may not be counted by the same amount."""
_KEYS: Final = tuple(f.name for f in fields(Step) if f.name not in (*_BY_THEMSELVES, *_HOW))


def merged_step(base: Step, mine: Step, theirs: Step) -> Step:
    """The step key by key, without the references that are new (``added_references``).

    All three name the same stock and, where a step isn't there, what stands before it.
    """
    keys: dict[str, Any] = {
        key: getattr(theirs if getattr(mine, key) == getattr(base, key) else mine, key)
        for key in _KEYS
    }
    own_way = any(getattr(mine, key) != getattr(base, key) for key in _HOW)
    keys |= {key: getattr(mine if own_way else theirs, key) for key in _HOW}
    return replace(
        mine,
        **keys,
        after=tuple(r for r in mine.after if r not in base.after or r in theirs.after),
        uses=_uses(base.uses, mine.uses, theirs.uses),
        instead=_ways(base.instead, mine.instead, theirs.instead),
    )


def added_references(base: Step, mine: Step, theirs: Step) -> tuple[str, ...]:
    """What the step follows anew."""
    return tuple(r for r in theirs.after if r not in base.after and r not in mine.after)


def _uses(base: Sequence[Use], mine: Sequence[Use], theirs: Sequence[Use]) -> tuple[Use, ...]:
    """What it takes, stock by stock."""
    old, new = _by_stock(base), _by_stock(theirs)
    found: list[Use] = []
    for key, use in _by_stock(mine).items():
        if key not in old or use != old[key]:
            found.append(_use(old.get(key), use, new.get(key)))
        elif key in new:
            found.append(new[key])
    held = _by_stock(mine)
    found += [use for key, use in new.items() if key not in old and key not in held]
    return tuple(found)


def _use(base: Use | None, mine: Use, theirs: Use | None) -> Use:
    """One that the maker changed: by its share or by its amount."""
    if base is None or theirs is None:
        return mine
    return Use(
        stock=mine.stock,
        extra=theirs.extra if mine.extra == base.extra else mine.extra,
        amount=theirs.amount if mine.amount == base.amount else mine.amount,
    )


def _by_stock(uses: Sequence[Use]) -> dict[tuple[str, int], Use]:
    """By stock and how often that was named before."""
    found: dict[tuple[str, int], Use] = {}
    for use in uses:
        count = sum(stock == use.stock for stock, _ in found)
        found[use.stock, count] = use
    return found


def _ways(base: Sequence[Way], mine: Sequence[Way], theirs: Sequence[Way]) -> tuple[Way, ...]:
    """Other ways as split anew, the one chosen still chosen; unless the maker changed them."""

    def plain(ways: Sequence[Way]) -> list[Way]:
        return [replace(way, chosen=False) for way in ways]

    if plain(mine) != plain(base):
        return tuple(mine)
    chosen = [(way.technique, way.name) for way in mine if way.chosen]
    found = []
    for way in plain(theirs):
        taken = (way.technique, way.name) in chosen
        chosen = [] if taken else chosen
        found.append(replace(way, chosen=taken))
    return tuple(found)


def looked_through(
    after: Sequence[str], gone: Mapping[str, Sequence[str]], present: Sequence[str] = ()
) -> tuple[str, ...]:
    """References with the steps that are gone replaced by what these followed.

    ``gone``: by id of such a step, what it followed.
    """
    found: dict[str, None] = {}
    todo, seen = list(after), set(present)
    while todo:
        name = todo.pop(0)
        if name not in gone:
            found[name] = None
        elif name not in seen:
            seen.add(name)
            todo = [*gone[name], *todo]
    return tuple(found)


def merged_order(mine: Sequence[str], theirs: Sequence[str]) -> list[str]:
    """The maker's order, with what is new behind what it stands behind when split anew."""
    found = list(mine)
    for index, name in enumerate(theirs):
        if name in found:
            continue
        above = next((t for t in reversed(theirs[:index]) if t in found), None)
        found.insert(0 if above is None else found.index(above) + 1, name)
    return found


def merged_measurements(
    base: Mapping[str, Quantity],
    mine: Mapping[str, Quantity],
    theirs: Mapping[str, Quantity],
    named: frozenset[str],
) -> dict[str, Quantity]:
    """Measurements and figures as split anew; those changed by hand, the maker's own, and those
    still ``named`` by a step stay."""
    found: dict[str, Quantity] = {}
    for name, quantity in mine.items():
        if name in theirs:
            changed = name in base and quantity != base[name]
            found[name] = quantity if changed or name not in base else theirs[name]
        elif name not in base or quantity != base[name] or name in named:
            found[name] = quantity
    return found | {name: q for name, q in theirs.items() if name not in found}
