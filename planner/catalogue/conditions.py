"""Conditions of an order: which options of which choices must have been chosen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from planner.catalogue.order import Choice
from planner.files.checks import Table
from planner.files.findings import nearest, shown

Conditions = Mapping[str, frozenset[str]]
"""Options by choice; under "is" the roles of the garment."""

ROLES: Final = "is"
"""Stands for the garment's roles where else a choice is named."""
_MOST_LISTED: Final = 12


def all_hold(when: Conditions, chosen: Mapping[str, str], roles: frozenset[str]) -> bool:
    """Whether every choice named has one of its options, and "is" one of the roles.

    ``chosen`` holds the choices that apply; one that doesn't has none of its options.
    """
    return all(_holds(name, options, chosen, roles) for name, options in when.items())


def any_holds(unless: Conditions, chosen: Mapping[str, str], roles: frozenset[str]) -> bool:
    """Whether any choice named has one of its options, or "is" one of the roles."""
    return any(_holds(name, options, chosen, roles) for name, options in unless.items())


def _holds(
    name: str, options: frozenset[str], chosen: Mapping[str, str], roles: frozenset[str]
) -> bool:
    if name == ROLES:
        return not options.isdisjoint(roles)
    return chosen.get(name) in options


def read_conditions(table: Table, key: str, choices: Sequence[Choice]) -> Conditions:
    """The conditions under ``key``: none where it isn't written.

    ``choices`` are those that may be named here.
    """
    inner = table.table(key)
    if inner is None:
        return {}
    by_id = {choice.id: choice for choice in choices}
    found: dict[str, frozenset[str]] = {}
    for name in inner.data:
        if name == ROLES:
            found[name] = frozenset(inner.words(name) or ())
        elif name in by_id:
            options = [option.id for option in by_id[name].options]
            found[name] = frozenset(known_words(inner, name, options, f"option of {name}"))
        else:
            inner.problem(name, unknown(name, by_id, "choice"))
        if inner.data[name] == []:
            inner.problem(name, "this can't hold: name an option, or take it out")
    return found


def known_words(table: Table, key: str, known: Iterable[str], what: str) -> tuple[str, ...]:
    """The texts of a list that are among ``known``; a problem for each that isn't."""
    words = list(known)
    found = []
    for where, item in table.items(key) or ():
        if isinstance(item, str) and item in words:
            found.append(item)
        else:
            table.findings.problem(where, unknown(item, words, what))
    return tuple(found)


def unknown(name: object, known: Iterable[str], what: str) -> str:
    """That there is no such ``what`` ("choice"), with the nearest or, of a few, all there are."""
    words = list(known)
    near = nearest(name, words) if isinstance(name, str) else None
    if near:
        return f'there is no {what} {shown(name)}: did you mean "{near}"?'
    if not words:
        return f"there is no {what} {shown(name)}, and none at all here: take it out"
    if len(words) > _MOST_LISTED:
        return f"there is no {what} {shown(name)}: check the word, or leave it out"
    return f"there is no {what} {shown(name)}: write {one_of(words)}"


def one_of(words: Sequence[str]) -> str:
    """ "a, b or c"; there must be at least one."""
    return " or ".join(filter(None, (", ".join(words[:-1]), words[-1])))
