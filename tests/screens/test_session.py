"""Edits saved at once, taken back without limit, and never half of one."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from planner.files.writing import ChangedMeanwhile
from planner.model import (
    Diary,
    Ensemble,
    Entry,
    Garment,
    Occasion,
    OccasionKind,
    Project,
    Step,
    Work,
)
from planner.problems import InputError
from screens import saves
from screens.session import Session

NOW = datetime(2027, 3, 1, 8)
WORKROOM = """\
format = 1
fill_to = "60%"    # no more

[workroom_hours]
monday = ["18:00-21:00"]
saturday = ["10:00-16:00"]
"""
HEATH = """\
format = 1
name = "Heath warden"

[[occasion]]
id = "fair"
kind = "event"
at = 2027-05-01

# the good cloth
[[garment]]
id = "cape"
name = "Cape [long]"

[[garment.step]]
id = "cut"       # with the shears
hours = "1h"
work = "cutting"

[[garment.step]]
id = "hem"
hours = "2h"
work = "hand"
after = ["cut"]

[[garment]]
id = "hood"

[[garment.step]]
id = "sew"
hours = "3h"
work = "machine"
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A workroom of one ensemble."""
    (tmp_path / "workroom.toml").write_text(WORKROOM, encoding="utf-8")
    (tmp_path / "heath.toml").write_text(HEATH, encoding="utf-8")
    return tmp_path


@pytest.fixture
def session(folder: Path) -> Session:
    """A run of the program on it."""
    return Session(folder, lambda: NOW)


def texts(folder: Path) -> dict[str, str]:
    """What every file says."""
    files = sorted(file for file in folder.iterdir() if file.is_file())
    return {file.name: file.read_text(encoding="utf-8") for file in files}


def step_with(step: str, **values: object) -> Callable[[Project], Project]:
    """A change of one step, by ``garment/step``."""
    garment_id, step_id = step.split("/")

    def change(project: Project) -> Project:
        ensemble = project.ensembles[0]
        garments = tuple(
            garment
            if garment.id != garment_id
            else replace(
                garment,
                steps=tuple(
                    one if one.id != step_id else replace(one, **values)  # type: ignore[arg-type]
                    for one in garment.steps
                ),
            )
            for garment in ensemble.garments
        )
        return replace(project, ensembles=(replace(ensemble, garments=garments),))

    return change


def with_garment(ident: str) -> Callable[[Project], Project]:
    """One garment more."""

    def change(project: Project) -> Project:
        ensemble = project.ensembles[0]
        more = Garment(id=ident, steps=(Step(id="make", hours=60, work=Work.BENCH),))
        found = replace(ensemble, garments=(*ensemble.garments, more))
        return replace(project, ensembles=(found, *project.ensembles[1:]))

    return change


def with_ensemble(ident: str) -> Callable[[Project], Project]:
    """One ensemble more."""
    ensemble = Ensemble(
        id=ident,
        name="Ferry hand",
        occasions=(Occasion(id="day", kind=OccasionKind.EVENT, at=datetime(2027, 4, 1, 9)),),
        garments=(Garment(id="shirt", steps=(Step(id="sew", hours=90, work=Work.HAND),)),),
    )
    return lambda project: replace(project, ensembles=(*project.ensembles, ensemble))


def test_an_edit_is_saved_and_read_again(session: Session, folder: Path) -> None:
    """The file holds the change, every comment, and the session what the file says."""
    session.apply("hem left off", step_with("cape/hem", left_off=True))
    text = texts(folder)["heath.toml"]
    assert "left_off = true" in text
    assert "# with the shears" in text
    assert session.project.ensembles[0].garments[0].steps[1].left_off
    assert texts(folder)["workroom.toml"] == WORKROOM


def test_everything_is_undone_and_done_again(session: Session, folder: Path) -> None:
    """Fifty edits are taken back one by one to the same bytes, and made again."""
    before, seen = texts(folder), []
    for number in range(50):
        session.apply(f"edit {number}", step_with("cape/cut", hours=61 + number))
        seen.append(texts(folder))
    for number in reversed(range(50)):
        assert texts(folder) == seen[number]
        assert session.undo() == f"edit {number}"
    assert texts(folder) == before
    assert session.undo() is None
    for number in range(50):
        assert session.redo() == f"edit {number}"
        assert texts(folder) == seen[number]
    assert session.redo() is None


def test_a_new_edit_ends_what_could_be_done_again(session: Session) -> None:
    """After an undo a new edit takes the place of what was undone."""
    session.apply("longer", step_with("cape/cut", hours=90))
    session.undo()
    session.apply("shorter", step_with("cape/cut", hours=30))
    assert session.redo() is None
    assert session.undo() == "shorter"


def test_an_edit_that_changes_nothing_is_not_in_the_history(session: Session) -> None:
    """There is nothing to take back of it."""
    session.apply("nothing", lambda project: project)
    assert session.undo() is None


def test_what_an_editor_changed_elsewhere_stays(session: Session, folder: Path) -> None:
    """An undo takes back the edit alone; a later edit reads the files first."""
    session.apply("hem left off", step_with("cape/hem", left_off=True))
    file = folder / "heath.toml"
    file.write_text(file.read_text().replace('"3h"', '"4h"') + "\n# mine\n", encoding="utf-8")
    session.apply("cut shorter", step_with("cape/cut", hours=30))
    assert 'hours = "4h"' in file.read_text()
    assert session.undo() == "cut shorter"
    assert session.undo() == "hem left off"
    text = file.read_text()
    assert "left_off" not in text
    assert 'hours = "4h"' in text
    assert "# mine" in text


def test_an_undo_whose_place_was_changed_is_refused(session: Session, folder: Path) -> None:
    """It says what was changed, nothing is lost, and it can be tried again."""
    session.apply("cut longer", step_with("cape/cut", hours=90))
    file = folder / "heath.toml"
    changed = file.read_text().replace('"1h30"', '"5h"')
    assert changed != file.read_text()
    file.write_text(changed, encoding="utf-8")
    with pytest.raises(ChangedMeanwhile, match=r'"cut longer".*cape/cut'):
        session.undo()
    assert file.read_text() == changed
    file.write_text(changed.replace('"5h"', '"1h30"'), encoding="utf-8")
    assert session.undo() == "cut longer"
    assert file.read_text() == HEATH


def test_files_that_are_broken_meanwhile_are_left_alone(session: Session, folder: Path) -> None:
    """An edit of a file that can't be read is refused with its problem."""
    session.apply("hem left off", step_with("cape/hem", left_off=True))
    (folder / "heath.toml").write_text("format = ", encoding="utf-8")
    with pytest.raises(InputError):
        session.apply("cut longer", step_with("cape/cut", hours=90))
    with pytest.raises(InputError):
        session.undo()
    assert texts(folder)["heath.toml"] == "format = "


def test_what_can_not_be_planned_is_not_saved(session: Session, folder: Path) -> None:
    """A reference that leads nowhere, and a circle, are problems and no edits."""
    before = texts(folder)
    for after in (("no-such",), ("hem",)):
        with pytest.raises(InputError):
            session.apply("cut last", step_with("cape/cut", after=after))
    assert texts(folder) == before
    assert session.undo() is None


def test_a_project_with_problems_can_be_mended(session: Session, folder: Path) -> None:
    """What was wrong before the edit doesn't stand in its way."""
    file = folder / "heath.toml"
    file.write_text(HEATH.replace('after = ["cut"]', 'after = ["cat"]'), encoding="utf-8")
    session.apply("hood longer", step_with("hood/sew", hours=240))
    session.apply("hem after cut", step_with("cape/hem", after=("cut",)))
    assert 'after = ["cut"]' in file.read_text()


def test_a_new_ensemble_has_its_own_file(session: Session, folder: Path) -> None:
    """An undo removes it, and a redo brings it back."""
    before = texts(folder)
    session.apply("Ferry hand begun", with_ensemble("ferry"))
    made = texts(folder)
    assert 'name = "Ferry hand"' in made["ferry.toml"]
    assert session.undo() == "Ferry hand begun"
    assert texts(folder) == before
    session.redo()
    assert texts(folder) == made


def test_a_file_with_words_of_the_makers_is_not_removed(session: Session, folder: Path) -> None:
    """What was added to a new ensemble's file since keeps an undo from removing it."""
    session.apply("Ferry hand begun", with_ensemble("ferry"))
    file = folder / "ferry.toml"
    file.write_text(file.read_text() + "\n# linen from the chest\n", encoding="utf-8")
    with pytest.raises(ChangedMeanwhile, match="more than wearby wrote"):
        session.undo()
    assert "# linen" in file.read_text()


def test_a_removed_ensemble_comes_back_with_its_comments(session: Session, folder: Path) -> None:
    """Removing an ensemble and undoing it leaves the same bytes."""
    session.apply("Ferry hand begun", with_ensemble("ferry"))
    before = texts(folder)
    session.apply(
        "Heath warden removed", lambda project: replace(project, ensembles=project.ensembles[:1])
    )
    assert "heath.toml" not in texts(folder)
    session.undo()
    assert texts(folder) == before


def test_a_removed_garment_comes_back_with_its_comments(session: Session, folder: Path) -> None:
    """What the file said of it is there again to the letter."""

    def change(project: Project) -> Project:
        ensemble = project.ensembles[0]
        return replace(project, ensembles=(replace(ensemble, garments=ensemble.garments[1:]),))

    session.apply("Cape removed", change)
    assert "# with the shears" not in texts(folder)["heath.toml"]
    session.undo()
    assert texts(folder)["heath.toml"] == HEATH
    session.redo()
    assert "cape" not in texts(folder)["heath.toml"]


def test_the_last_ensemble_stays(session: Session, folder: Path) -> None:
    """A workroom without an ensemble couldn't be read again."""
    before = texts(folder)
    with pytest.raises(InputError, match="the last one stays"):
        session.apply("all removed", lambda project: replace(project, ensembles=()))
    assert texts(folder) == before


def test_one_ensemble_by_itself_stays_alone(folder: Path) -> None:
    """A single file, and a folder without a workroom.toml, take no second ensemble."""
    (folder / "workroom.toml").unlink()
    (folder / "heath.toml").write_text(HEATH + "\n" + WORKROOM.split("\n", 3)[3], encoding="utf-8")
    for path in (folder, folder / "heath.toml"):
        session = Session(path, lambda: NOW)
        session.apply("hem left off", step_with("cape/hem", left_off=True))
        before = texts(folder)
        with pytest.raises(InputError, match=r"write a workroom\.toml"):
            session.apply("Ferry hand begun", with_ensemble("ferry"))
        assert texts(folder) == before
        session.undo()


def test_several_files_are_saved_together(session: Session, folder: Path) -> None:
    """Workroom, ensemble and a new diary in one edit, taken back in one."""
    before = texts(folder)

    def change(project: Project) -> Project:
        entry = Entry(at=datetime(2027, 2, 27, 10), step="heath/cape/cut", minutes=20)
        return replace(
            step_with("cape/hem", hours=150)(project),
            workroom=replace(project.workroom, fill_to=0.8),
            diary=Diary(entries=(entry,)),
        )

    session.apply("an evening's work", change)
    after = texts(folder)
    assert "80%" in after["workroom.toml"]
    assert "# no more" in after["workroom.toml"]
    assert "heath/cape/cut" in after["diary.toml"]
    session.undo()
    assert texts(folder)["workroom.toml"] == before["workroom.toml"]
    assert texts(folder)["heath.toml"] == before["heath.toml"]
    assert not session.project.diary.entries
    session.redo()
    assert [entry.minutes for entry in session.project.diary.entries] == [20]


def test_a_failure_half_way_leaves_all_files_as_they_were(
    session: Session, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the second of two files can't be written the first is as before."""
    before = texts(folder)

    def refuse(path: Path, *_: object) -> None:
        raise saves.refused(path, "the disk is full")

    monkeypatch.setattr(saves, "write_workroom", refuse)

    def change(project: Project) -> Project:
        return replace(
            with_garment("belt")(project), workroom=replace(project.workroom, fill_to=0.8)
        )

    with pytest.raises(InputError, match="the disk is full"):
        session.apply("belt added", change)
    assert texts(folder) == before
    assert session.undo() is None
    monkeypatch.undo()
    session.apply("belt added", change)
    assert "belt" in texts(folder)["heath.toml"]


def test_names_of_any_letters_survive(session: Session, folder: Path) -> None:
    """Brackets, quotes, accents, emoji and right-to-left letters go there and back."""
    name = 'Überrock [Süd] "ß" \U0001f9f5 \u05de\u05e2\u05d9\u05dc \\n'
    session.apply("renamed", step_with("cape/cut", name=name))
    assert session.project.ensembles[0].garments[0].steps[0].name == name
    session.undo()
    assert texts(folder)["heath.toml"] == HEATH


def test_the_samples_are_edited_and_undone_to_the_byte(tmp_path: Path) -> None:
    """Every step of a sample left off in turn, then all taken back."""
    folder = Path(shutil.copytree("sample_projects/oldmere_regatta", tmp_path / "copy"))
    before = texts(folder)
    session = Session(folder, lambda: datetime(2027, 5, 1, 8))
    for garment in session.project.ensembles[0].garments[:4]:
        for step in garment.steps:
            change = step_with(f"{garment.id}/{step.id}", left_off=not step.left_off)
            try:
                session.apply(step.id, change)
            except InputError:
                continue
    assert len(session.done) > 5
    while session.undo():
        pass
    assert texts(folder) == before
