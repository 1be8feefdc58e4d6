"""Saving: what a careful person would write, and never half a file."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest

from planner.files.document import Document
from planner.files.phrasing import (
    write_duration,
    write_margin,
    write_quantity,
    write_share,
    write_wait,
)
from planner.files.reading import read_project
from planner.files.saving import save_atomically
from planner.files.writing import (
    ChangedMeanwhile,
    write_diary,
    write_ensemble,
    write_workroom,
)
from planner.model import (
    Change,
    Diary,
    Ensemble,
    Entry,
    Garment,
    Margin,
    Occasion,
    OccasionKind,
    PaceChoices,
    Span,
    Step,
    Stock,
    Use,
    Wait,
    Way,
    Workroom,
)
from planner.problems import InputError
from planner.quantity import Quantity, parse_quantity

TEXT = """\
format = 1
name = "Beekeeper"

# the fair
[[occasion]]
id = "fair"
kind = "event"
at = 2027-08-01

[[garment]]
id = "veil"

# first of all
[[garment.step]]
id = "cut"          # with the good shears
hours = "1h"
mine = [ 1,2 ]

[[garment.step]]
id = "hem"
hours = "2h"
after = ["cut"]

# the hat is borrowed
[[garment]]
id = "hat"
source = "borrow"
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A beekeeper's ensemble in a file of its own."""
    found = tmp_path / "beekeeper.toml"
    found.write_text(TEXT)
    return found


def read(path: Path) -> Ensemble:
    """The one ensemble of a file."""
    return read_project(path).ensembles[0]


def with_step(ensemble: Ensemble, at: int, **changes: Any) -> Ensemble:
    """The ensemble with keys of a step of its first garment changed."""
    garment = ensemble.garments[0]
    steps = list(garment.steps)
    steps[at] = replace(steps[at], **changes)
    return with_steps(ensemble, tuple(steps))


def with_steps(ensemble: Ensemble, steps: tuple[Step, ...]) -> Ensemble:
    """The ensemble with other steps of its first garment."""
    garment = replace(ensemble.garments[0], steps=steps)
    return replace(ensemble, garments=(garment, *ensemble.garments[1:]))


def test_only_the_changed_value_changes(path: Path) -> None:
    """A changed value is replaced where it stands; not one other character is."""
    before = read(path)
    write_ensemble(path, before, with_step(before, 0, hours=90))
    assert path.read_text() == TEXT.replace('hours = "1h"\n', 'hours = "1h30"\n')


def test_a_renamed_step_keeps_its_place_and_comments(path: Path) -> None:
    """An item that is the same but for its id is renamed in place."""
    before = read(path)
    write_ensemble(path, before, with_step(before, 0, id="cut-net"))
    assert path.read_text() == TEXT.replace('id = "cut" ', 'id = "cut-net" ')


def test_a_new_key_stands_in_its_customary_place(path: Path) -> None:
    """A new key goes behind those that customarily stand before it, above the next heading."""
    before = read(path)
    write_ensemble(path, before, with_step(before, 1, wait=Wait(nights=1), stage="wearable"))
    assert 'hours = "2h"\nwait = "1 night"\nafter = ["cut"]\nstage = "wearable"\n\n# the hat' in (
        path.read_text()
    )


def test_a_key_at_its_default_is_taken_out(path: Path) -> None:
    """A value set back to its default leaves no line behind."""
    before = read(path)
    write_ensemble(path, before, with_step(before, 1, after=()))
    assert path.read_text() == TEXT.replace('after = ["cut"]\n', "")


def test_a_new_step_has_its_own_heading(path: Path) -> None:
    """A step is added under a heading between its neighbours, with blank lines around."""
    before = read(path)
    steps = before.garments[0].steps
    new = Step(
        id="press",
        technique="press-seams",
        amount=("hem", parse_quantity("2.4 m"), Quantity(value=2.0)),
        uses=(Use(stock="net", extra=0.05),),
        optional=True,
        missed=2,
        instead=(Way(hours=10, missed=1),),
    )
    write_ensemble(path, before, with_steps(before, (steps[0], new, steps[1])))
    added = """\
[[garment.step]]
id = "press"
technique = "press-seams"
amount = ["hem", "2.4 m", 2]
uses = [{ stock = "net", extra = "5%" }]
optional = true
missed = 2
instead = [{ hours = "10m", missed = 1 }]

"""
    at = TEXT.index('[[garment.step]]\nid = "hem"')
    assert path.read_text() == TEXT[:at] + added + TEXT[at:]


def test_a_removed_garment_goes_with_its_steps(path: Path) -> None:
    """A garment is taken out with its steps; comments of its neighbours stay."""
    before = read(path)
    write_ensemble(path, before, replace(before, garments=before.garments[1:]))
    start, end = TEXT.index('[[garment]]\nid = "veil"'), TEXT.index("# the hat")
    assert path.read_text() == TEXT[:start] + TEXT[end:]


def test_garments_change_places_with_their_comments(path: Path) -> None:
    """Items put in another order are moved whole, with the comment above them."""
    before = read(path)
    write_ensemble(path, before, replace(before, garments=before.garments[::-1]))
    start, end = TEXT.index('[[garment]]\nid = "veil"'), TEXT.index("# the hat")
    assert path.read_text() == TEXT[:start] + TEXT[end:] + "\n" + TEXT[start:end].rstrip() + "\n"


def test_a_first_occasion_stock_and_measurement(tmp_path: Path) -> None:
    """What a file has none of yet is put in the customary order: occasion, stock, garment."""
    path = tmp_path / "hat.toml"
    path.write_text('# my hat\nname = "Hat"\n\n[[garment]]\nid = "hat"\n')
    before = read(path)
    after = replace(
        before,
        occasions=(Occasion(id="fair", kind=OccasionKind.EVENT, at=datetime(2027, 8, 1, 10)),),
        stock=(Stock(id="felt", have=parse_quantity("36 in"), counted=date(2027, 7, 1)),),
        garments=(replace(before.garments[0], measurements={"brim": parse_quantity("60 cm")}),),
    )
    write_ensemble(path, before, after, "imperial")
    assert path.read_text() == (
        '# my hat\nname = "Hat"\n\n[[occasion]]\nid = "fair"\nkind = "event"\n'
        'at = 2027-08-01T10:00:00\n\n[[stock]]\nid = "felt"\nhave = "36 in"\n'
        'counted = 2027-07-01\n\n[[garment]]\nid = "hat"\n\n[garment.measurements]\n'
        'brim = "60 cm"\n'
    )


def test_a_change_of_days_is_exchanged_whole(tmp_path: Path) -> None:
    """A day, a span and a rule never stand side by side after an edit."""
    path = tmp_path / "workroom.toml"
    path.write_text("[[change]]\nfrom = 2027-05-14   # ferry\nworkroom = []\n")
    (tmp_path / "hat.toml").write_text("")
    before = read_project(tmp_path).workroom
    rule = Change(rule="FREQ=WEEKLY;BYDAY=TU", sofa=(Span(start=1200, end=1440),))
    write_workroom(path, before, replace(before, changes=(rule,)))
    assert path.read_text() == (
        '[[change]]\nrule = "FREQ=WEEKLY;BYDAY=TU"\nsofa = ["20:00-24:00"]\n'
    )


def test_an_entry_is_added_at_the_end_of_the_diary(tmp_path: Path) -> None:
    """Logging adds an entry below the others."""
    path = tmp_path / "diary.toml"
    first = Entry(at=datetime(2027, 5, 4, 21, 30), step="beekeeper/veil/cut", minutes=45, left=20)
    write_diary(path, None, Diary(entries=(first,)))
    second = replace(first, left=None, done=True, note='so "fine"\nnow')
    write_diary(path, Diary(entries=(first,)), Diary(entries=(first, second)))
    assert path.read_text() == (
        'format = 1\n\n[[entry]]\nat = 2027-05-04T21:30:00\nstep = "beekeeper/veil/cut"\n'
        'minutes = 45\nleft = "20m"\n\n[[entry]]\nat = 2027-05-04T21:30:00\n'
        'step = "beekeeper/veil/cut"\nminutes = 45\ndone = true\nnote = "so \\"fine\\"\\nnow"\n'
    )


def test_comments_in_a_list_stay_with_their_items(tmp_path: Path) -> None:
    """A list over several lines keeps its comments when one item is added."""
    text = 'after = [\n  "cut",   # the net\n  "fit",\n]   # both\n'
    document = Document(text)
    document.set((), "after", ["cut", "fit", "press"])
    assert "# the net" in document.text and "# both" in document.text
    assert "press" in document.text


def test_a_file_changed_meanwhile_is_left_alone(path: Path) -> None:
    """When an editor saved the file in between, nothing is overwritten."""
    before = read(path)
    path.write_text(TEXT.replace('"2h"', '"3h"'))
    with pytest.raises(ChangedMeanwhile, match="changed since it was read"):
        write_ensemble(path, before, with_step(before, 0, hours=90))
    assert '"3h"' in path.read_text()


def test_comments_added_meanwhile_are_kept(path: Path) -> None:
    """A file that still says the same may have got new comments: they are kept."""
    before = read(path)
    path.write_text("# new\n" + TEXT)
    write_ensemble(path, before, with_step(before, 0, hours=90))
    assert path.read_text().startswith("# new\n")


def test_a_new_file_never_replaces_one(path: Path) -> None:
    """Writing a new ensemble over a file that is there is refused."""
    with pytest.raises(InputError, match="already"):
        write_ensemble(path, None, Ensemble(id="beekeeper"))
    assert path.read_text() == TEXT


def test_what_no_file_can_say_is_refused(path: Path) -> None:
    """A value that would be a problem on reading isn't written."""
    before = read(path)
    with pytest.raises(InputError, match=r"garment\[0\]\.step\[0\]\.missed"):
        write_ensemble(path, before, with_step(before, 0, missed=9))
    with pytest.raises(InputError):
        write_ensemble(path, before, replace(before, garments=(Garment(id="a/b"),)))
    with pytest.raises(ValueError, match="both"):
        write_ensemble(path, before, with_step(before, 0, wait=Wait(nights=1, minutes=1)))
    assert path.read_text() == TEXT


def test_a_workroom_inside_an_ensemble_s_file(path: Path) -> None:
    """Hours are saved into the file of an ensemble that works alone."""
    hours = ((Span(start=600, end=660),), *((),) * 6)
    before = read_project(path).workroom
    write_workroom(path, before, replace(before, workroom_hours=hours, fill_to=0.8))
    project = read_project(path)
    assert project.workroom.workroom_hours == hours
    assert project.workroom.fill_to == 0.8
    assert project.ensembles[0].garments[0].steps[0].hours == 60


@pytest.mark.parametrize(
    ("minutes", "text"), [(0, "0m"), (45, "45m"), (60, "1h"), (90, "1h30"), (605, "10h05")]
)
def test_durations_as_a_person_writes_them(minutes: int, text: str) -> None:
    """Minutes below an hour carry m, whole hours h, others both."""
    assert write_duration(minutes) == text


@pytest.mark.parametrize(
    ("text", "units", "written"),
    [
        ("2.4 m", "metric", "2.4 m"),
        ("15 cm", "metric", "15 cm"),
        ("4 mm", "metric", "4 mm"),
        ("0 m", "metric", "0 m"),
        ("36 in", "imperial", "36 in"),
        ("2.5 yd", "imperial", "2.5 yd"),
        ("10 in", "imperial", "10 in"),
        ("2.4 m", "imperial", "2.4 m"),
        ("40 cm2", "metric", "40 cm2"),
        ("12", "metric", 12),
        ("2.5", "metric", 2.5),
    ],
)
def test_lengths_in_the_workroom_s_units(text: str, units: str, written: object) -> None:
    """A length is written in the units' own where that is exact, else as it can be."""
    assert write_quantity(parse_quantity(text), units) == written


def test_waits_margins_and_shares() -> None:
    """Nights, days and per cent are written in words."""
    assert write_wait(Wait(nights=1)) == "1 night"
    assert write_wait(Wait(nights=2)) == "2 nights"
    assert write_wait(Wait(minutes=20)) == "20m"
    assert write_wait(Wait()) == "0h"
    assert write_margin(Margin(days=1)) == "1 day"
    assert write_margin(Margin(minutes=180)) == "3h"
    assert [write_share(s) for s in (0.7, 0.05, 0.055)] == ["70%", "5%", "5.5%"]
    with pytest.raises(ValueError, match="both"):
        write_margin(Margin(days=1, minutes=1))
    with pytest.raises(ValueError, match="per cent"):
        write_share(float("nan"))
    with pytest.raises(ValueError, match="count, a length"):
        write_quantity(Quantity(value=1.0, dimension=3), "metric")


def failing(code: int) -> Callable[..., Any]:
    """A function that fails as the system does."""

    def fail(*args: Any, **kwargs: Any) -> Any:
        raise OSError(code, os.strerror(code))

    return fail


@pytest.mark.parametrize("function", ["fsync", "replace", "open", "chmod"])
@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EIO, errno.EROFS])
def test_a_failed_save_leaves_the_old_file(
    path: Path, monkeypatch: pytest.MonkeyPatch, function: str, code: int
) -> None:
    """Whatever fails, the old file is whole, no temporary is left, and the error says why."""
    with monkeypatch.context() as patch:
        patch.setattr(os, function, failing(code))
        with pytest.raises(InputError, match="Nothing was saved") as caught:
            save_atomically(path, "new")
    assert caught.value.problems[0].file == str(path)
    assert path.read_text() == TEXT
    assert os.listdir(path.parent) == [path.name]


def test_a_disk_that_fills_up_while_writing(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A write that runs out of room leaves the old file and says that the disk is full."""
    real = open

    class Full:
        def __init__(self, handle: int, mode: str) -> None:
            self.file = real(handle, mode)

        def __enter__(self) -> Full:
            return self

        def __exit__(self, *args: object) -> None:
            self.file.close()

        def write(self, data: bytes) -> None:
            self.file.write(data[:2])
            raise OSError(errno.ENOSPC, "no space")

    monkeypatch.setattr("planner.files.saving.open", Full, raising=False)
    with pytest.raises(InputError, match="disk is full"):
        save_atomically(path, "new")
    assert path.read_text() == TEXT
    assert os.listdir(path.parent) == [path.name]


def test_an_interrupted_save_leaves_no_temporary(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl+C while saving is passed on, with the old file whole and nothing left over."""

    def interrupt(*args: Any) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupt)
    with pytest.raises(KeyboardInterrupt):
        save_atomically(path, "new")
    assert path.read_text() == TEXT
    assert os.listdir(path.parent) == [path.name]


def test_a_folder_that_cannot_be_synced(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Some network disks can't sync a folder: the save counts all the same."""
    real = os.fsync

    def fsync(handle: int) -> None:
        if stat.S_ISDIR(os.fstat(handle).st_mode):
            raise OSError(errno.EINVAL, "no")
        real(handle)

    monkeypatch.setattr(os, "fsync", fsync)
    save_atomically(path, "new")
    assert path.read_text() == "new"


def test_a_disk_that_fails_at_the_very_end(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When only the folder's sync fails, the error says that the new file is in place."""
    real = os.fsync

    def fsync(handle: int) -> None:
        if stat.S_ISDIR(os.fstat(handle).st_mode):
            raise OSError(errno.EIO, "no")
        real(handle)

    monkeypatch.setattr(os, "fsync", fsync)
    with pytest.raises(InputError, match="is saved, but the disk did not confirm"):
        save_atomically(path, "new")
    assert path.read_text() == "new"


def test_a_save_keeps_mode_and_link(tmp_path: Path) -> None:
    """The file's mode stays, and a link still points to the file it pointed to."""
    kept = tmp_path / "kept"
    kept.mkdir()
    real, link = kept / "hat.toml", tmp_path / "hat.toml"
    real.write_text("old")
    real.chmod(0o640)
    link.symlink_to(real)
    save_atomically(link, "näw\r\n")
    assert link.is_symlink()
    assert real.read_bytes() == "näw\r\n".encode()
    assert stat.S_IMODE(real.stat().st_mode) == 0o640


def test_a_write_protected_file_is_not_replaced(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Protection the maker set on a file is respected, though its folder could be written."""
    monkeypatch.setattr(os, "access", lambda *args: False)
    with pytest.raises(InputError, match="may not be written"):
        save_atomically(path, "new")
    assert path.read_text() == TEXT


def test_places_where_nothing_can_be_saved(tmp_path: Path) -> None:
    """A missing folder, a folder in the file's place and a loop of links are said so."""
    (tmp_path / "folder.toml").mkdir()
    (tmp_path / "loop.toml").symlink_to(tmp_path / "loop.toml")
    for name, words in [
        ("gone/hat.toml", "folder is gone"),
        ("folder.toml", "a folder of this name"),
        ("loop.toml", "in a circle"),
    ]:
        with pytest.raises(InputError, match=words):
            save_atomically(tmp_path / name, "new")
    with pytest.raises(InputError, match="half a character"):
        save_atomically(tmp_path / "hat.toml", "\ud800")
    assert sorted(os.listdir(tmp_path)) == ["folder.toml", "loop.toml"]


def test_an_empty_workroom_is_written(tmp_path: Path) -> None:
    """A new workroom's file begins with its format."""
    write_workroom(tmp_path / "workroom.toml", None, Workroom(setting_up=15))
    assert (tmp_path / "workroom.toml").read_text() == 'format = 1\nsetting_up = "15m"\n'


@pytest.mark.parametrize(
    ("there", "then"),
    [
        ("[pace]\nhand = 1.2\n\n", ""),
        # what the maker wrote stays, and so does its heading
        ("# my pace\n[pace]\nhand = 1.2\n\n", "# my pace\n[pace]\n\n"),
        ("[pace]\n# measured in May\nhand = 1.2\n\n", "[pace]\n# measured in May\n\n"),
        ("[pace]  # mine\nhand = 1.2\n\n", "[pace]  # mine\n\n"),
    ],
)
def test_a_pace_of_which_nothing_is_left_goes_with_its_heading(
    tmp_path: Path, there: str, then: str
) -> None:
    """Unless somebody wrote something there."""
    head, rest = "format = 1\n\n", '[workroom_hours]\nfriday = ["18:00-20:00"]\n'
    path = tmp_path / "workroom.toml"
    path.write_text(f"{head}{there}{rest}")
    (tmp_path / "bees.toml").write_text(TEXT)
    before = read_project(tmp_path).workroom
    write_workroom(path, before, replace(before, pace=PaceChoices()))
    assert path.read_text() == f"{head}{then}{rest}"
    assert read_project(tmp_path).workroom.pace == PaceChoices()
