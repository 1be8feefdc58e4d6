"""`wearby export record`: printed, saved, never over somebody's words."""

from __future__ import annotations

import json
import os
from datetime import datetime
from pathlib import Path

import pytest
from markdown_it import MarkdownIt

from planner.editing.after_wearing import after_wearing
from planner.exports.record import record_of
from planner.files.reading import read_project
from planner.planning import plan_project
from planner.problems import InputError
from screens.command import main
from screens.record_told import record_text
from screens.recording import is_ours, save_record, save_text
from screens.wording import clean
from tests.screens.test_pictures import same
from tests.screens.workrooms import a_copy

SAMPLE = Path("sample_projects/oldmere_regatta")
TODAY = ("--today", "2027-06-07")


def run(*words: str) -> int:
    """A command of the export."""
    return main(["export", *words, *TODAY])


def test_it_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    """Without a file it stands on standard output, and reads as it did when somebody last read."""
    assert run("record", str(SAMPLE)) == 0
    same("record.md", capsys.readouterr().out)


def test_every_word_of_the_maker_is_in_it(capsys: pytest.CaptureFixture[str]) -> None:
    """Names of garments, steps, stock and occasions, notes and things to pack, as a reader of
    Markdown shows them."""
    run("record", str(SAMPLE))
    written = capsys.readouterr().out
    tokens = MarkdownIt("gfm-like", {"linkify": False}).parse(written)
    shown = "\n".join(
        "".join(child.content for child in token.children or [])
        for token in tokens
        if token.type == "inline"
    )
    (ensemble,) = read_project(SAMPLE).ensembles
    diary = read_project(SAMPLE).diary
    texts = [
        ensemble.name, *(g.name for g in ensemble.garments), *(o.name for o in ensemble.occasions),
        *(s.name for g in ensemble.garments for s in g.steps if s.name), *ensemble.pack,
        *(s.name for s in ensemble.stock), *(entry.note for entry in diary.entries),
    ]  # fmt: skip
    assert len(texts) > 60
    assert [text for text in texts if clean(text) not in shown] == []


def test_it_is_saved_and_over_itself(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A record as wearby wrote it is written over without a word; nothing else is."""
    file = tmp_path / "coat.md"
    assert run("record", str(SAMPLE), "--to", str(file)) == 0
    assert str(file) in capsys.readouterr().out
    first = file.read_text("utf-8")
    assert run("record", str(SAMPLE), "--to", str(file)) == 0
    assert file.read_text("utf-8") == first
    file.write_text(first.replace("Made;", "Made with love;", 1), "utf-8")
    assert run("record", str(SAMPLE), "--to", str(file)) == 2
    assert "not as wearby wrote it" in capsys.readouterr().err
    assert "Made with love;" in file.read_text("utf-8")
    assert run("record", str(SAMPLE), "--to", str(file), "--over") == 0
    assert file.read_text("utf-8") == first


@pytest.mark.parametrize(
    "there", [b"", b"my own words\n", b"\xff\xfe", b"<!-- wearby record x -->"]
)
def test_what_isnt_a_record_stays(tmp_path: Path, there: bytes) -> None:
    """Also a file that is empty or no text."""
    file = tmp_path / "x.md"
    file.write_bytes(there)
    assert not is_ours(file)
    with pytest.raises(InputError):
        save_text(file, "# x\n")
    assert file.read_bytes() == there


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may write everywhere")
def test_where_nothing_can_be_written_it_says_so(tmp_path: Path) -> None:
    """A folder that can only be read is a problem with its remedy."""
    tmp_path.chmod(0o500)
    with pytest.raises(InputError):
        save_text(tmp_path / "x.md", "# x\n")


def test_no_folder_no_record(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A path that leads nowhere is told, with what to do."""
    assert run("record", str(SAMPLE), "--to", str(tmp_path / "gone" / "x.md")) == 2
    assert "folder is gone" in capsys.readouterr().err


def test_beside_the_ensemble(tmp_path: Path) -> None:
    """The program saves it as the ensemble's id with .record.md, which is no ensemble's file."""
    folder = a_copy(tmp_path)
    project = read_project(folder)
    path = save_record(project, plan_project(project, datetime(2027, 5, 3)), "ferrywoman", folder)
    assert path == folder / "ferrywoman.record.md"
    assert path.read_text("utf-8").startswith("# Ferrywoman's Sunday clothes\n\nIt is being made")
    assert [one.id for one in read_project(folder).ensembles] == ["ferrywoman"]


def test_after_the_event_it_is_no_longer_being_made() -> None:
    """It was worn; what was not logged is told as that, the aftercare apart and not counted."""
    now = datetime(2027, 6, 28)
    before = read_project(SAMPLE)
    bare = record_text(record_of(before, plan_project(before, now), "signal_master"))
    cared = after_wearing(before, "signal_master/regatta")
    told = record_text(record_of(cared, plan_project(cared, now), "signal_master"))
    for text in (bare, told):
        assert "It is being made" not in text
        assert "planned:" not in text
        # not that it was worn: that nobody can know of so few
        assert "The event was on 26 June 2027: Oldmere Lock regatta; 20 of 81 steps are" in text
        assert "worn on" not in text
        assert "not logged" in text
    assert "## After wearing" not in bare
    making, after = told.split("## After wearing", 1)
    assert "13 steps, 0 done" in after
    assert "Wash it" not in making.split("## How it was made")[1]
    assert "| 82 |" in after


def test_a_stranger_could_rebuild() -> None:
    """Notes by the numbers of their steps, what each takes and follows, and where no measurement
    was written down, that."""
    project = read_project(SAMPLE)
    plan = plan_project(project, datetime(2027, 6, 7))
    told = record_text(record_of(project, plan, "signal_master"))
    assert "- Step 13, “Mock-up fit, arm up with the flag” (Signal-master's coat)" in told
    assert "takes 3.4 yd of harbour-blue wool, 60 in wide | 10, 18 |" in told
    assert "(noted beneath)" in told
    assert "rests a night" in told
    neckcloth = told.split("### Neckcloth")[1].split("###")[0]
    assert "No measurements of it were written down" in neckcloth
    assert "No measurements" not in told.split("### White waistcoat")[1].split("###")[0]


def test_as_data(capsys: pytest.CaptureFixture[str]) -> None:
    """With --json the record is data, with the verdict every command begins with."""
    assert run("record", str(SAMPLE), "--json") == 0
    data = json.loads(capsys.readouterr().out)
    assert data["saved"] is None
    assert data["verdict"] == "does not fit"
    assert data["record"]["ensemble"] == "signal_master"
    assert len(data["record"]["garments"]) == 7


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("recipe", str(SAMPLE)), "“recipe” can't be exported: write record."),
        (("record", "sample_projects/hallow_skerry"), "Say which of the 2 ensembles"),
        (("record", str(SAMPLE), "--ensemble", "coat"), "There is no ensemble “coat”"),
        ((), "following arguments are required: WHAT"),
    ],
)
def test_what_cant_be_exported(
    words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each mistake has a sentence of its own and status 2."""
    assert run(*words) == 2
    assert said in capsys.readouterr().err
