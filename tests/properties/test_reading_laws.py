"""Laws of reading: any file is read or refused, never anything else."""

from __future__ import annotations

import copy
import re
import tempfile
from pathlib import Path
from typing import Any

import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

import planner.files
from planner.files.reading import read_project
from planner.problems import InputError

FORMAT = Path(planner.files.__file__).parent / "FORMAT.md"

WHOLE: dict[str, Any] = {
    "format": 1,
    "fill_to": "70%",
    "setting_up": "15m",
    "workroom_hours": {"monday": ["10:00-12:00"]},
    "change": [
        {"rule": "FREQ=WEEKLY;BYDAY=TU", "sofa": []},
        {"from": 1, "to": 2, "helper": ["1:00-2:00"]},
    ],
    "occasion": [{"id": "o", "kind": "event", "at": 1, "wants": ["g"], "margin": "1 day"}],
    "stock": [{"id": "s", "have": "2 m", "lead": "3 days", "coming": [{"amount": 2}]}],
    "garment": [
        {
            "id": "g",
            "layer": 1,
            "measurements": {"hem": "1 m"},
            "step": [
                {
                    "id": "t",
                    "hours": "1h",
                    "amount": ["hem", 2],
                    "after": ["t"],
                    "uses": [{"stock": "s", "extra": "5%"}],
                    "instead": [{"hours": "1h", "uses": []}],
                }
            ],
        }
    ],
    "entry": [{"at": 1, "step": "a/b/c", "minutes": 3}],
    "technique": [{"id": "x", "work": "hand", "typical": 3, "each": {"typical": 1}}],
}

keys = st.sampled_from(["id", "hours", "at", "step", "garment", "hem", "", "a.b", 'q"', "on"])
plain = st.recursive(
    st.booleans()
    | st.integers()
    | st.floats()
    | st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=6)
    | st.sampled_from(["1h", "0m", "99999h", "1 night", "9999 nights", "FREQ=DAILY", "2 m", "70%"])
    | st.dates()
    | st.datetimes()
    | st.times(),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(keys, inner, max_size=2),
    max_leaves=4,
)


def paths(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """All paths in a plain document."""
    found = [path] if path else []
    items = value.items() if isinstance(value, dict) else enumerate(value)
    if isinstance(value, dict | list):
        for key, inner in items:
            found += paths(inner, (*path, key)) if isinstance(inner, dict | list) else [
                (*path, key)
            ]  # fmt: skip
    return found


@settings(max_examples=300, deadline=None, derandomize=True)
@given(data=st.data(), changes=st.integers(1, 2))
def test_any_value_anywhere_is_read_or_refused(data: st.DataObject, changes: int) -> None:
    """Whatever stands in place of a value, reading gives a project or problems with places."""
    document = copy.deepcopy(WHOLE)
    for _ in range(changes):
        *above, last = data.draw(st.sampled_from(paths(document)))
        holder = document
        for part in above:
            holder = holder[part]
        holder[last] = data.draw(plain)
    text = tomlkit.dumps(document)
    with tempfile.TemporaryDirectory() as folder:
        for name in ("workroom.toml", "heron.toml", "diary.toml", "techniques.toml"):
            Path(folder, name).write_text(text, encoding="utf-8")
        Path(folder, "alone").mkdir()
        Path(folder, "alone", "heron.toml").write_text(text, encoding="utf-8")
        for path in (Path(folder), Path(folder, "heron.toml"), Path(folder, "alone")):
            try:
                read_project(path)
            except InputError as error:
                assert all(problem.file and problem.text for problem in error.problems)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(content=st.binary(max_size=60))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    """A file of any bytes is read or refused with a problem."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "heron.toml")
        path.write_bytes(content)
        try:
            read_project(path)
        except InputError as error:
            assert error.problems


def test_the_examples_of_the_reference_are_read() -> None:
    """The reference's small ensemble reads without a problem, and with no key unknown."""
    text = FORMAT.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        blocks = re.findall(r"```toml\n(.*?)```", text, re.DOTALL)
        (hours,) = [block for block in blocks if block.startswith("[workroom_hours]")]
        (ensemble,) = [block for block in blocks if block.startswith("# millwright.toml")]
        Path(folder, "workroom.toml").write_text(f"format = 1\n{hours}")
        Path(folder, "millwright.toml").write_text(ensemble)
        project = read_project(Path(folder))
    assert project.warnings == ()
    assert [g.id for g in project.ensembles[0].garments] == ["smock"]
