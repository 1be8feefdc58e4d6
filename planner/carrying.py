"""Carrying a change over to a value that has meanwhile changed elsewhere: taking edits back.

A change is given by the values before and after it. Carried over to a third value it changes
there what it changed, and nothing else: field by field, and item by item where items have ids.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields, is_dataclass, replace
from difflib import SequenceMatcher
from typing import Any, Final, TypeVar

from planner.model import Entry, Project

T = TypeVar("T")

_PLACES: Final = frozenset(("where", "file"))
"""Fields that say where a value was read, not what it is."""


class Conflict(Exception):
    """What was to be changed has itself been changed."""

    def __init__(self, what: str, file: str) -> None:
        super().__init__(what)
        self.what = what
        """Which part, by its ids: "stays/bones"."""
        self.file = file
        """The file it was read from; empty where it is of none."""


def bare(value: Any) -> Any:
    """A value without the places it was read from: what is equal so says the same.

    Of a project, without its warnings and the plan that was kept, too. The result is for
    comparing only.
    """
    if isinstance(value, tuple):
        return tuple(bare(item) for item in value)
    if isinstance(value, Mapping):
        return {key: bare(item) for key, item in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        kept = [bare(getattr(value, name)) for name in _names(type(value))]
        return (type(value).__name__, *kept)
    return value


def _names(kind: type[Any]) -> tuple[str, ...]:
    """The fields of a value that say something."""
    left_out = _PLACES | {"warnings", "kept"} if kind is Project else _PLACES
    return tuple(f.name for f in fields(kind) if f.name not in left_out)


def carried_over(current: Project, base: Project, to: Project) -> Project:
    """``current`` with what differs between ``base`` and ``to`` changed likewise.

    Raises Conflict where ``current`` differs from ``base`` in the very place.
    """
    found: Project = _carried(current, base, to, "", "")
    return found


def _carried(current: Any, base: Any, to: Any, what: str, file: str) -> Any:
    """One value, whatever it is."""
    before, after = bare(base), bare(to)
    if before == after:
        return current
    if bare(current) == before:
        return to
    if bare(current) == after:
        return current  # both changed it likewise
    values = (current, base, to)
    if all(type(one) is type(to) and is_dataclass(one) for one in values):
        file = getattr(current, "file", "") or file
        found = {}
        for name in _names(type(to)):
            mine, old, new = (getattr(one, name) for one in values)
            found[name] = _carried(mine, old, new, what or _called(name), file)
        return replace(current, **found)
    if all(isinstance(one, Mapping) for one in values):
        return _keyed(current, base, to, what, file)
    if all(_has_ids(one) for one in values):
        mine, old, new = ({item.id: item for item in one} for one in values)
        return tuple(_listed(mine, old, new, what, file))
    if all(isinstance(one, tuple) and all(isinstance(i, Entry) for i in one) for one in values):
        return _entries(current, base, to, what, file)
    raise Conflict(what or "this", file)


def _entries(
    current: Sequence[Entry], base: Sequence[Entry], to: Sequence[Entry], what: str, file: str
) -> tuple[Entry, ...]:
    """The diary's entries, which have no ids: told apart by what they say, and by their order.

    Entries that both added stay, those of ``current`` first.
    """
    mine, old, new = ([repr(bare(item)) for item in one] for one in (current, base, to))
    at: dict[int, int] = {}
    for i, k, size in SequenceMatcher(None, old, mine, False).get_matching_blocks():
        at.update(zip(range(i, i + size), range(k, k + size), strict=True))
    found = list(current)
    steps = SequenceMatcher(None, old, new, False).get_opcodes()
    for tag, start, end, to_start, to_end in reversed(steps):
        if tag == "equal":
            continue
        if any(i not in at for i in range(start, end)):
            raise Conflict(f"{what or 'the diary'}'s entry of {base[start].step}", file)
        after = [at[i] for i in range(end, len(old)) if i in at]
        place = at[start] if end > start else after[0] if after else len(current)
        for i in reversed(range(start, end)):
            del found[at[i]]
        found[place:place] = to[to_start:to_end]
    return tuple(found)


def _called(name: str) -> str:
    """A field of the project, as a word."""
    return {"workroom": "the workroom's hours", "diary": "the diary"}.get(name, "")


def _has_ids(value: object) -> bool:
    return isinstance(value, tuple) and all(hasattr(item, "id") for item in value)


def _keyed(
    current: Mapping[str, T], base: Mapping[str, T], to: Mapping[str, T], what: str, file: str
) -> dict[str, T]:
    """A table, key by key."""
    found = dict(current)
    for key in (*base, *to):
        if base.get(key) == to.get(key):
            continue
        if current.get(key) not in (base.get(key), to.get(key)):
            raise Conflict(f"{what}, {key}" if what else key, file)
        if key in to:
            found[key] = to[key]
        else:
            found.pop(key, None)
    return found


def _listed(
    current: Mapping[str, Any], base: Mapping[str, Any], to: Mapping[str, Any], what: str, file: str
) -> list[Any]:
    """A list of items by their ids: those changed, gone, new, and in another order."""

    def named(ident: str) -> str:
        return f"{what}/{ident}" if what else ident

    found: dict[str, Any] = {}
    for ident in _in_order(list(current), list(base), list(to), named, file):
        item = current.get(ident)
        if ident not in base and ident in to and item is not None:
            raise Conflict(named(ident), file)
        if ident in base and ident in to and item is not None:
            file_of = getattr(item, "file", "") or file
            item = _carried(item, base[ident], to[ident], named(ident), file_of)
        found[ident] = to[ident] if item is None else item
    for ident in base.keys() - to.keys():
        if ident in current and bare(current[ident]) != bare(base[ident]):
            raise Conflict(named(ident), getattr(current[ident], "file", "") or file)
    for ident in base.keys() & to.keys() - current.keys():
        if bare(base[ident]) != bare(to[ident]):
            raise Conflict(named(ident), file)
    return list(found.values())


def _in_order(
    current: Sequence[str],
    base: Sequence[str],
    to: Sequence[str],
    named: Callable[[str], str],
    file: str,
) -> list[str]:
    """Ids of the result: those of ``current`` less what went, with what came in its place."""
    order = [ident for ident in current if ident in to or ident not in base]
    was, becomes = _both(base, to), _both(to, base)
    if was != becomes:
        mine = _both(order, was)
        if mine != _both(was, order):
            raise Conflict(named("the order of its parts"), file)
        turned = iter(_both(becomes, mine))
        order = [next(turned) if ident in mine else ident for ident in order]
    for k, ident in enumerate(to):
        if ident not in base and ident not in order:
            before = next((i for i in reversed(to[:k]) if i in order), None)
            order.insert(0 if before is None else order.index(before) + 1, ident)
    return order


def _both(these: Sequence[str], those: Iterable[str]) -> list[str]:
    """Those of the first that are in the second, in the order of the first."""
    there = set(those)
    return [ident for ident in these if ident in there]
