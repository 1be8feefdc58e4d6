"""The catalogue: techniques with their rates, and the readers of technique tables.

The built-in techniques are read from ``techniques.toml`` beside this module, each only when
it is first asked for: a plan of one ensemble needs a third of them, and the whole file takes
longer to parse than the plan may.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pkgutil import get_data

from planner.catalogue.reading import parse_technique, parse_techniques
from planner.model import Technique
from planner.problems import InputError

__all__ = ["parse_technique", "parse_techniques", "techniques", "techniques_with"]

_FILE = "techniques.toml"
_HEADER = "[[technique]]\n"
_ID = re.compile(r'^id = "([^"]+)"$', re.MULTILINE)


class _Shelf(Mapping[str, Technique]):
    """The built-in techniques by id, in the order of the file, parsed one by one."""

    def __init__(self, text: str) -> None:
        """``text`` is a TOML file of ``[[technique]]`` tables, each with a plain ``id`` line."""
        self._tables: dict[str, str] = {}
        for table in text.split(_HEADER)[1:]:
            found = _ID.search(table)
            if found is None or found[1] in self._tables:
                raise ValueError(f"{_FILE}: a technique without an id of its own: {table[:60]!r}")
            self._tables[found[1]] = table
        self._parsed: dict[str, Technique] = {}

    def __getitem__(self, technique_id: str) -> Technique:
        if technique_id not in self._parsed:
            table = tomllib.loads(self._tables[technique_id])
            technique, problems, _ = parse_technique(table, _FILE, technique_id)
            if technique is None:
                raise InputError(problems)
            self._parsed[technique_id] = technique
        return self._parsed[technique_id]

    def __iter__(self) -> Iterator[str]:
        return iter(self._tables)

    def __len__(self) -> int:
        return len(self._tables)

    def __contains__(self, technique_id: object) -> bool:
        return technique_id in self._tables


@cache
def techniques() -> Mapping[str, Technique]:
    """The built-in techniques by id, in the order of the catalogue."""
    # pkgutil and not importlib.resources, whose import takes a twentieth of a plan's time
    data = get_data(__name__, _FILE)
    if data is None:
        raise FileNotFoundError(_FILE)
    return _Shelf(data.decode("utf-8"))


class _Layered(Mapping[str, Technique]):
    """The maker's own techniques over the built-in ones."""

    def __init__(self, own: Mapping[str, Technique], built_in: Mapping[str, Technique]) -> None:
        self._own = own
        self._built_in = built_in

    def __getitem__(self, technique_id: str) -> Technique:
        if technique_id in self._own:
            return self._own[technique_id]
        return self._built_in[technique_id]

    def __iter__(self) -> Iterator[str]:
        yield from self._own
        yield from (known for known in self._built_in if known not in self._own)

    def __len__(self) -> int:
        return len(self._built_in) + sum(known not in self._built_in for known in self._own)

    def __contains__(self, technique_id: object) -> bool:
        return technique_id in self._own or technique_id in self._built_in


def techniques_with(own: Iterable[Technique]) -> Mapping[str, Technique]:
    """The maker's ``own`` techniques, then the built-in ones that they don't replace, by id."""
    return _Layered({technique.id: technique for technique in own}, techniques())
