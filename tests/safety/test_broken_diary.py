"""A diary that is broken at its end, or elsewhere: the rest counts, and no word of it is lost."""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path

import pytest

from planner.editing.diary import log
from planner.files.backups import earlier_states
from planner.files.broken_diary import MARK, mended
from planner.files.reading import read_project
from planner.model import Entry, Project
from screens.session import Session
from tests.screens.driving import Driven, drive

NOW = datetime(2027, 5, 3, 19, 40)
ENTRY = """\
[[entry]]
at = 2027-05-0{n}T21:30:00
step = "ferrywoman/stays/cut"
minutes = 1{n}
note = "word {n} of [[entry]]"

"""
WHOLE = "format = 1\n\n" + "".join(ENTRY.format(n=n) for n in (1, 2, 3))


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A workroom whose diary a test writes."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return Path(shutil.copytree("tests/screens/a_workroom", tmp_path / "workroom"))


def another(project: Project) -> Project:
    """One more entry."""
    return log(project, [Entry(at=NOW, step="ferrywoman/stays/cut", minutes=47, note="new")])


def minutes(folder: Path) -> list[int]:
    """What is logged."""
    return [one.minutes for one in read_project(folder).diary.entries]


def warned(folder: Path) -> list[str]:
    """What is said of the diary, with its place."""
    return [
        f"{one.place}: {one.text}"
        for one in read_project(folder).warnings
        if one.file.endswith("diary.toml")
    ]


def test_cut_off_anywhere(folder: Path) -> None:
    """Wherever a whole diary was cut off, it opens with all whole entries before, a new one is
    saved, and every line of the rest is still there, as it was or as a comment."""
    diary = folder / "diary.toml"
    ends = [WHOLE.index(f"word {n}") + len(f'word {n} of [[entry]]"') for n in (1, 2, 3)]
    for cut in range(len(WHOLE) + 1):
        diary.write_text(WHOLE[:cut], encoding="utf-8")
        whole = [11, 12, 13][: sum(end <= cut for end in ends)]
        found = minutes(folder)
        assert found[: len(whole)] == whole, WHOLE[:cut]
        assert len(found) <= len(whole) + 1
        if cut % 7:
            continue
        Session(folder, lambda: NOW).apply("logged", another)
        text = diary.read_text(encoding="utf-8")
        assert minutes(folder) == [*found, 47]
        lines = {line.removeprefix(MARK) for line in text.splitlines()}
        assert [line for line in WHOLE[:cut].splitlines() if line not in lines] == []


@pytest.mark.parametrize(
    ("broken", "there", "lines"),
    [
        (WHOLE[:-20] + '"\nnote = "half', [11, 12], "lines 15 to 19"),
        (WHOLE.replace("minutes = 12", "minutes = = 12"), [11, 13], "lines 9 to 13"),
        (WHOLE + "[[entry]]\nat = 2027-05-04T21:30:00\n", [11, 12, 13], "lines 21 to 22"),
        (WHOLE + "[[entry]]\n", [11, 12, 13], "line 21"),
        (WHOLE + "\0" * 40, [11, 12, 13], "line 21"),
        (WHOLE.replace("format = 1", "form"), [11, 12, 13], "line 1"),
        (WHOLE + "<<<<<<< theirs\n", [11, 12], "lines 15 to 19"),
    ],
    ids=["in a text", "in the middle", "after a line", "a heading", "zeros", "the head", "a mark"],
)
def test_what_is_broken_is_told_and_kept(
    folder: Path, broken: str, there: list[int], lines: str
) -> None:
    """With file, lines and remedy; also once it was saved as comments; undo has it as it was."""
    diary = folder / "diary.toml"
    diary.write_text(broken, encoding="utf-8")
    assert minutes(folder) == there
    (said,) = [one for one in warned(folder) if "can't be read as an entry" in one][:1]
    assert said.startswith(lines[:7])
    assert "write the entry anew, then remove these lines" in said
    session = Session(folder, lambda: NOW)
    session.apply("logged", another)
    assert minutes(folder) == [*there, 47]
    assert any("can't be read as an entry" in one for one in warned(folder))
    assert earlier_states(diary)[0].path.read_text(encoding="utf-8") == broken
    session.undo()
    assert diary.read_text(encoding="utf-8") == broken


def test_bytes_that_are_no_letters(folder: Path) -> None:
    """They are spelled out in the comment, and kept as they were among the earlier states."""
    diary = folder / "diary.toml"
    data = WHOLE.encode() + b'[[entry]]\nnote = "\xff\xfe"\n'
    diary.write_bytes(data)
    assert minutes(folder) == [11, 12, 13]
    Session(folder, lambda: NOW).apply("logged", another)
    assert minutes(folder) == [11, 12, 13, 47]
    assert '# broken: note = "\\xff\\xfe"\n' in diary.read_text(encoding="utf-8")
    assert earlier_states(diary)[0].path.read_bytes() == data


@pytest.mark.parametrize(
    "text",
    [WHOLE, WHOLE.replace("\n", "\r\n"), "\ufeff" + WHOLE, "", "format = 1\nentry = [{at = 2]\n"],
    ids=["whole", "other line ends", "with a mark", "empty", "one list"],
)
def test_what_is_whole_or_can_not_be_told_apart_stays(text: str) -> None:
    """Nothing is made a comment needlessly, nor guessed at."""
    assert mended(text) == text


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_lines_keep_their_numbers_and_ends(newline: str) -> None:
    """What is mended has the same lines, so that places told are right."""
    whole = WHOLE.replace("\n", newline)
    found = mended(f"{whole}[[entry]]{newline}at = 20")
    assert found == f"{whole}{MARK}[[entry]]{newline}{MARK}at = 20\n"


def test_it_is_told_where_the_program_opens(folder: Path) -> None:
    """The program opens, and says which lines can't be read."""
    (folder / "diary.toml").write_text(WHOLE + "[[entry]]\nat = 2027", encoding="utf-8")

    async def body(driven: Driven) -> None:
        told = " ".join(line.strip() for line in driven.text()[:6])
        assert "diary.toml, lines 21 to 22: this can't be read as an entry" in told

    drive(body, path=folder, now=NOW)


def test_a_diary_of_which_nothing_can_be_read(folder: Path) -> None:
    """Rubbish is all comments: the program opens, warns, and logging loses none of it."""
    diary = folder / "diary.toml"
    diary.write_text("no diary at all\n{{{\n", encoding="utf-8")
    assert minutes(folder) == []
    assert "lines 1 to 2: this can't be read as an entry" in warned(folder)[0]
    Session(folder, lambda: NOW).apply("logged", another)
    text = diary.read_text(encoding="utf-8")
    assert minutes(folder) == [47]
    assert f"{MARK}no diary at all\n{MARK}{{{{{{\n" in text
