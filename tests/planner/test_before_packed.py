"""What is packed: kept in the ensemble's file, and followed by edits."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner import editing as e
from planner.files.reading import read_project
from planner.files.writing import write_ensemble
from planner.model import Project

FERRY = """\
format = 1
name = "Ferrywoman"                 # on Sundays
pack = ["shoes", "repair kit"]      # and no more
packed = [
    "stays",                        # in the trunk
    "feather",
]

[[occasion]]
id = "boat"
kind = "departure"
at = 2027-05-21T18:00:00

[[garment]]
id = "stays"

[[garment]]
id = "bodice"
"""


@pytest.fixture
def room(tmp_path: Path) -> Project:
    """A workroom of one ensemble, something of it packed."""
    (tmp_path / "ferry.toml").write_text(FERRY, encoding="utf-8")
    return read_project(tmp_path / "ferry.toml")


def packed(project: Project) -> tuple[str, ...]:
    """What is packed of the one ensemble."""
    return project.ensembles[0].packed


def test_something_unknown_is_kept_and_warned_about(room: Project) -> None:
    """Neither garment nor on the list: a warning with its place, and it stays packed."""
    assert packed(room) == ("stays", "feather")
    [warned] = [one for one in room.warnings if one.place.startswith("packed")]
    assert warned.place == "packed[1]"
    assert warned.text == '"feather" is no garment and not in pack: it is left as it is'


def test_ticks_are_saved_beside_what_the_maker_wrote(room: Project, tmp_path: Path) -> None:
    """A tick more is a line more; comments and what is unknown stay."""
    after = e.with_packed(e.with_packed(room, "ferry", "shoes", True), "ferry", "bodice", True)
    after = e.with_packed(after, "ferry", "bodice", False)
    assert packed(after) == ("stays", "feather", "shoes")
    path = tmp_path / "ferry.toml"
    write_ensemble(path, room.ensembles[0], after.ensembles[0])
    text = path.read_text("utf-8")
    assert text.replace('    "shoes",\n', "") == FERRY
    assert read_project(path).ensembles[0].packed == packed(after)


def test_the_last_tick_taken_off_takes_the_key(room: Project, tmp_path: Path) -> None:
    """Nothing packed says nothing in the file."""
    path = tmp_path / "ferry.toml"
    path.write_text(FERRY.replace('    "feather",\n', ""), encoding="utf-8")
    there = read_project(path)
    after = e.with_packed(there, "ferry", "stays", False)
    write_ensemble(path, there.ensembles[0], after.ensembles[0])
    assert "packed" not in path.read_text("utf-8")


def test_only_what_is_there_is_packed(room: Project) -> None:
    """A thing that is neither garment nor on the list is the program's mistake."""
    with pytest.raises(KeyError):
        e.with_packed(room, "ferry", "crinoline", True)


def test_edits_are_followed(room: Project) -> None:
    """A garment renamed stays packed; one removed, and what leaves the list, does not."""
    renamed = e.rename_garment(room, "ferry/stays", "corset")
    assert packed(renamed) == ("corset", "feather")
    assert packed(e.remove_garment(renamed, "ferry/corset")) == ("feather",)
    both = e.with_packed(room, "ferry", "shoes", True)
    assert packed(e.with_pack(both, "ferry", ["repair kit"])) == ("stays", "feather")
    assert packed(e.with_pack(both, "ferry", ["shoes", "fan"])) == packed(both)


def test_a_garment_and_a_thing_of_one_name(room: Project) -> None:
    """What is on the list too stays packed when the garment of its name is removed."""
    both = e.with_packed(e.with_pack(room, "ferry", ["stays"]), "ferry", "stays", True)
    assert "stays" in packed(e.remove_garment(both, "ferry/stays"))
