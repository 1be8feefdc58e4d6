"""What the README says can be typed works on the sample that it opens."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

from screens.command import main

README = Path("README.md").read_text(encoding="utf-8")
SAMPLE, TODAY = re.findall(r"wearby (sample_projects/\w+) --today (\S+)", README)[0]


def row(command: str) -> str:
    """What the table says of a command."""
    (found,) = re.findall(rf"^\| `wearby {command} FOLDER.*$", README, re.M)
    return str(found)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The sample, in a folder that may be changed."""
    return Path(shutil.copytree(SAMPLE, tmp_path / "sample"))


@pytest.mark.parametrize("typed", re.findall(r"`([a-z][^`]+)`", row("delay"))[1:])
def test_each_delay(folder: Path, typed: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Understood, whether it fits or not; nothing is asked for."""
    assert main(["delay", str(folder), *shlex.split(typed), "--today", TODAY]) in (0, 1)
    said = capsys.readouterr()
    assert "Moves" in said.out and not said.err


def test_each_delay_is_there() -> None:
    """None is passed over by the reading of the row."""
    known = ["tonight", "away Friday", "delivery sealer 11 March", "occasion fitting Sunday"]
    assert re.findall(r"`([a-z][^`]+)`", row("delay"))[1:] == [*known, "helper", "afresh"]


def test_pace_by_hand(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Set, forgotten, not learnt; each is said, and the file is then as it was, but for that."""
    before = (folder / "workroom.toml").read_text()
    for typed in re.findall(r"`(--[a-z][^`]+)`", row("pace")):
        assert main(["pace", str(folder), *typed.split(), "--today", TODAY]) in (0, 1), typed
        if "forget" in typed:
            assert (folder / "workroom.toml").read_text() == before
    assert "learn = false" in (folder / "workroom.toml").read_text()
    assert not capsys.readouterr().err


@pytest.mark.parametrize(
    "typed",
    [
        ["check"], ["plan"], ["day"], ["before"], ["before", "--by-garment"], ["handwork"],
        ["stock"], ["now", "--minutes", "20", "--place", "sofa", "--tired"], ["export", "record"],
    ],
    ids=" ".join,
)  # fmt: skip
def test_what_needs_nothing_else(
    folder: Path, typed: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """As it stands there."""
    name = "export record" if typed[0] == "export" else typed[0]
    assert all(word in row(name) for word in typed)
    words = 2 if typed[0] == "export" else 1
    given = [*typed[:words], str(folder), *typed[words:], "--today", TODAY]
    assert main(given) in (0, 1)
    said = capsys.readouterr()
    assert said.out and not said.err


def test_what_moved_since_the_day_before(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Once a plan of an earlier day was kept."""
    assert main(["delay", str(folder), "afresh", "--keep", "--today", TODAY]) in (0, 1)
    later = TODAY[:-1] + str(int(TODAY[-1]) + 2)
    assert main(["moved", str(folder), "--since", TODAY, "--today", later]) in (0, 1)
    assert not capsys.readouterr().err
