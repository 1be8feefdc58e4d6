"""`wearby pace`: the table in words, set by hand and taken back, as data."""

from __future__ import annotations

import json
from pathlib import Path
from shutil import copytree

import pytest

from planner.files.reading import read_project
from screens.command import main

REGATTA = Path("sample_projects/oldmere_regatta")
MASQUE = Path("sample_projects/copper_wood_masque")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A workroom with a diary, that may be changed."""
    return copytree(REGATTA, tmp_path / "regatta")


def pace(path: Path, *words: str) -> int:
    """Run the command."""
    return main(["pace", str(path), *words, "--today", "2027-06-07"])


def test_the_table(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A sentence, then all work, kinds and techniques with ratio, words, range and steps."""
    assert pace(path) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("By 18 steps you are a tenth slower than the catalogue; slowest at")
    (whole,) = (line for line in lines if line.startswith("all work"))
    assert whole.split() == [
        "all", "work", "1.10", "a", "tenth", "slower", "0.96", "to", "1.29", "18",
    ]  # fmt: skip
    assert any(line.startswith("  machine sewing ") for line in lines)
    assert any(line.startswith("    sew straight seams ") for line in lines)
    assert all(len(line) <= 80 for line in lines)


def test_nothing_is_learnt_yet(capsys: pytest.CaptureFixture[str]) -> None:
    """What to do about it is said, and there is no table."""
    assert main(["pace", str(MASQUE), "--today", "2027-03-06"]) == 0
    text = capsys.readouterr().out
    assert text.startswith("Nothing is learnt yet")
    assert "wearby log PATH STEP 45 done" in text
    assert "80 %" not in text


def test_set_by_hand_and_taken_back(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The file says so, what became of the plan is told, and what the diary says stands beside;
    the maker's own lines stay."""
    before = (path / "workroom.toml").read_text(encoding="utf-8")
    pace(path, "--set", "machine=1,2", "--set", "backstitch-seam=0.8")
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("The pace of machine set to 1.2, a fifth slower, the pace of")
    assert any("a fifth slower        by hand" in line for line in lines)
    assert "    the diary says 1.15, by 4 steps" in lines
    assert read_project(path).workroom.pace.by_hand == {"machine": 1.2, "backstitch-seam": 0.8}
    pace(path, "--forget", "machine", "--forget", "backstitch-seam")
    assert read_project(path).workroom.pace.by_hand == {}
    pace(path, "--learn", "no")
    out = capsys.readouterr().out
    assert "Learning is off" in out and "--learn yes" in out
    assert not read_project(path).workroom.pace.learn
    pace(path, "--learn", "yes")
    after = (path / "workroom.toml").read_text(encoding="utf-8")
    # the table stays, as what a maker may have noted in it does
    assert [line for line in after.splitlines() if line not in ("", "[pace]")] == [
        line for line in before.splitlines() if line
    ]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--set", "machin=1.2"], 'Is "machine" meant?'),
        (["--set", "machine=99"], "lies between 0.1 and 10"),
        (["--set", "machine"], "write --set hand=1.2"),
        (["--set", "machine=slow"], "“slow” is no number"),
        (["--set", "machine=nan"], "lies between 0.1 and 10"),
        (["--forget", "machine"], "nothing is"),
        (["--learn", "maybe"], "maybe"),
    ],
)
def test_what_cant_be_meant_is_refused(
    path: Path, capsys: pytest.CaptureFixture[str], words: list[str], told: str
) -> None:
    """With a sentence; nothing is saved."""
    before = (path / "workroom.toml").read_text(encoding="utf-8")
    assert pace(path, *words) == 2
    assert told in capsys.readouterr().err
    assert (path / "workroom.toml").read_text(encoding="utf-8") == before


def test_a_lone_ensemble_keeps_its_own(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A file that works alone holds its pace itself."""
    file = tmp_path / "one.toml"
    file.write_text(
        'format = 1\noccasion = [{ id = "ball", kind = "event", at = 2027-07-08 }]\n'
        '[[garment]]\nid = "g"\nstep = [{ id = "a", hours = "1h", work = "hand" }]\n',
        encoding="utf-8",
    )
    pace(file, "--set", "hand=1.2")
    assert "  hand sewing                   1.20  a fifth slower" in capsys.readouterr().out
    assert "[pace]\nhand = 1.2\n" in file.read_text(encoding="utf-8")


def test_as_data(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every pace with the steps it rests on, and every step with how much it counted."""
    pace(path, "--json")
    found = json.loads(capsys.readouterr().out)
    assert found["learn"] is True and found["by_hand"] == {}
    whole = found["paces"][0]
    assert (whole["level"], whole["key"], whole["ratio"]) == ("all", "all", 1.1)
    assert len(whole["steps"]) == len(found["steps"]) == 18
    assert {one["step"] for one in found["steps"] if one["far"]} == {"signal_master/waistcoat/fit"}
    assert all(0 < one["weight"] <= 1 for one in found["steps"])


def test_a_split_in_the_workroom_is_at_its_pace(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`wearby split` and `wearby garments` tell the hours this maker would take."""

    def minutes(*words: str) -> int:
        main(["split", "petticoat", *words, "--json"])
        found: int = json.loads(capsys.readouterr().out)["total"]["typical"]
        return found

    usual, here = minutes(), minutes("--workroom", str(path))
    assert here > usual
    main(["garments", str(path), "--json"])
    listed = {one["id"]: one for one in json.loads(capsys.readouterr().out)}
    assert listed["petticoat"]["minutes"]["typical"] == here
