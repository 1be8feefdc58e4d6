"""Beginning a workroom or an ensemble: new files, and never over what is there."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.files.beginning import LONGEST, begin, id_from
from planner.files.checks import id_problem
from planner.files.plain import plain_ensemble, plain_workroom
from planner.files.reading import read_project
from planner.model import (
    Ensemble,
    Garment,
    Occasion,
    OccasionKind,
    Step,
    Wait,
    Work,
    Workroom,
)
from planner.planning import plan_project
from planner.problems import InputError
from planner.quantity import parse_quantity
from planner.week import parse_week

ROOM = Workroom(workroom_hours=parse_week("sat 10:00-16:00"), setting_up=10, units="imperial")
FAIR = Ensemble(
    id="lantern-fair",
    name="Lantern fair [first]",
    pack=("shoes",),
    occasions=(Occasion(id="fair", kind=OccasionKind.EVENT, at=datetime(2027, 5, 22, 11)),),
    garments=(
        Garment(
            id="cloak",
            choices={"lining": "full"},
            measurements={"hem": parse_quantity("36 in")},
            steps=(Step(id="hem", technique="hem-by-hand", amount=("hem",), effort=1.5),),
        ),
    ),
)


def files(folder: Path) -> dict[str, bytes]:
    """Every file of a folder, hidden ones too."""
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_a_new_workroom_is_planned_at_once(tmp_path: Path) -> None:
    """The folder is made with those above it; what was said is read back and makes a plan."""
    folder = tmp_path / "sewing" / "fair"
    begin(folder, FAIR, ROOM)
    assert sorted(files(folder)) == ["lantern-fair.toml", "workroom.toml"]
    project = read_project(folder)
    assert project.warnings == ()
    assert plain_workroom(project.workroom) == plain_workroom(ROOM)
    assert plain_ensemble(project.ensembles[0], "metric") == plain_ensemble(FAIR, "metric")
    assert plan_project(project, datetime(2027, 5, 3)).fits
    assert 'hem = "36 in"' in (folder / "lantern-fair.toml").read_text(encoding="utf-8")


def test_a_new_ensemble_in_a_workroom_that_is_there(tmp_path: Path) -> None:
    """The other files stay as they are; lengths are written as the workroom has it."""
    begin(tmp_path, FAIR, ROOM)
    before = files(tmp_path)
    begin(tmp_path, replace(FAIR, id="harvest"), None)
    after = files(tmp_path)
    assert b'"36 in"' in after.pop("harvest.toml")
    assert after == before
    assert [e.id for e in read_project(tmp_path).ensembles] == ["harvest", "lantern-fair"]


def test_an_empty_folder_is_begun_in(tmp_path: Path) -> None:
    """A folder may be there already, with files that are none of ours."""
    (tmp_path / "pattern.pdf").write_bytes(b"%PDF")
    begin(tmp_path, FAIR, ROOM)
    assert len(files(tmp_path)) == 3


@pytest.mark.parametrize(
    ("id", "room", "there", "said"),
    [
        ("fair", ROOM, {"workroom.toml": "format = 1\n"}, "a workroom here already"),
        ("fair", ROOM, {"old.toml": "format = 1\n"}, "ensembles here and no workroom.toml"),
        ("fair", None, {}, "there is no workroom.toml here"),
        ("fair", None, {"workroom.toml": "", "fair.toml": "x = 1"}, "of this name already"),
        ("fair", None, {"workroom.toml": "", "Fair.toml": "x = 1"}, "of this name already"),
        ("Workroom", None, {"workroom.toml": ""}, "no ensemble can have"),
        ("diary", ROOM, {}, "no ensemble can have"),
        (".hidden", ROOM, {}, "no ensemble can have"),
        ("a/b", ROOM, {}, "join ids"),
        ("", ROOM, {}, "the id is empty"),
        ("x" * 300, ROOM, {}, "too long"),
    ],
)
def test_what_stands_in_the_way_is_said_and_stays(
    id: str, room: Workroom | None, there: dict[str, str], said: str, tmp_path: Path
) -> None:
    """No file is written over, and none is left half begun."""
    for name, text in there.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="Nothing was saved") as raised:
        begin(tmp_path, replace(FAIR, id=id), room)
    assert said in str(raised.value)
    assert files(tmp_path) == {name: text.encode() for name, text in there.items()}


def test_a_file_in_place_of_the_folder(tmp_path: Path) -> None:
    """It is said, and the file stays."""
    path = tmp_path / "fair"
    path.write_text("mine", encoding="utf-8")
    for folder in (path, path / "below"):
        with pytest.raises(InputError, match="Nothing was saved"):
            begin(folder, FAIR, ROOM)
    assert files(tmp_path) == {"fair": b"mine"}


def test_what_no_file_can_say_leaves_nothing_behind(tmp_path: Path) -> None:
    """The workroom's file and the folders that were made go again."""
    odd = Step(id="a", hours=60, work=Work.HAND, wait=Wait(nights=1, minutes=5))
    garment = replace(FAIR.garments[0], steps=(odd,))
    with pytest.raises(ValueError, match="nights or time"):
        begin(tmp_path / "a" / "b", replace(FAIR, garments=(garment,)), ROOM)
    assert files(tmp_path) == {}


@pytest.mark.parametrize(
    ("name", "id"),
    [
        ("Miller's smock", "millers-smock"),
        ("  Häkelschal [blau], 2. Fassung ", "hakelschal-blau-2-fassung"),
        ("Straße", "strasse"),
        ("שמלה לבנה", "שמלה-לבנה"),
        ("のれん がうん", "のれん-がうん"),
        ("한복 저고리", "한복-저고리"),
        ("a/b:c", "a-b-c"),
        ("🧵🪡", "piece"),
        ("\x1b\x07", "piece"),
        ("", "piece"),
        ("The long lost cloak of a lamp's keeper's aunt", "the-long-lost-cloak-of-a-lamps-keepers"),
        ("W" * 90, "w" * LONGEST),
    ],
)  # fmt: skip
def test_ids_are_made_of_names(name: str, id: str) -> None:
    """Letters and figures of any script, without accents, joined by hyphens."""
    assert id_from(name, ()) == id


def test_an_id_is_taken_only_once() -> None:
    """A number behind it tells the next ones apart, whatever capitals those before have."""
    assert id_from("Cloak", ["cloak"]) == "cloak-2"
    assert id_from("Cloak", ["CLOAK", "cloak-2", "cloak-3"]) == "cloak-4"
    assert id_from("🧵", ["step"], otherwise="step") == "step-2"


@settings(max_examples=200, deadline=None, derandomize=True)
@given(names=st.lists(st.text(), min_size=1, max_size=5))
def test_any_names_make_ids_that_can_be_told_apart(names: list[str]) -> None:
    """Ids are valid, and no two are alike."""
    taken: list[str] = []
    for name in names:
        id = id_from(name, taken)
        assert id_problem(id) is None and id not in taken
        assert id == id.strip() and len(id) <= LONGEST + 3
        taken.append(id)
