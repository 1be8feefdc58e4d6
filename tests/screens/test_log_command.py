"""`wearby log`: steps and what is said of them, all problems at once, what became of the plan."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

import pytest

from planner.files.reading import read_project
from planner.model import Entry
from screens.command import main
from tests.screens.workrooms import a_copy

EVENING = "2027-05-03T20:00"
AT = datetime(2027, 5, 3, 20)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A workroom that may be changed."""
    return a_copy(tmp_path)


def entries(path: Path) -> list[Entry]:
    """What the diary holds."""
    return list(read_project(path).diary.entries)


def said(entry: Entry) -> tuple[str, int, bool, int | None]:
    """An entry's step, minutes, done and left."""
    return entry.step.partition("/")[2], entry.minutes, entry.done, entry.left


def log(path: Path, *words: str, now: str = EVENING) -> int:
    """Run the command."""
    return main(["log", str(path), *words, "--now", now])


def refused(
    path: Path, capsys: pytest.CaptureFixture[str], *words: str, now: str = EVENING
) -> list[str]:
    """What it says is wrong, without the "command line" before it; nothing is saved."""
    before = entries(path)
    assert log(path, *words, now=now) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert entries(path) == before
    return [line.removeprefix("command line, ") for line in printed.err.splitlines()]


def test_several_steps_each_with_what_is_said_of_it(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Minutes in every form, done, what is left, a note; then the plan of what is left."""
    assert (
        log(path, "cut", "45", "done", "stays/channels", "1h30", "left=30m", "mock-up", "1:05") == 0
    )
    assert [said(one) for one in entries(path)] == [
        ("stays/cut", 45, True, None),
        ("stays/channels", 90, False, 30),
        ("bodice/mock-up", 65, False, None),
    ]
    assert {one.at for one in entries(path)} == {AT}
    told = " ".join(capsys.readouterr().out.split())
    assert "Done: “cut the layers” (Stays), 45 min." in told
    assert "Left: 30 min of “boning channels” (Stays) after 1 h 30; 40 min of “mock-up”" in told
    assert told.startswith("Ferrywoman's Sunday clothes: Regatta")
    assert "less to do" in told


def test_options_are_for_all(path: Path) -> None:
    """Done and a note for every step, but for what is said of one."""
    log(path, "cut", "45", "channels", "left=20", "note=gap at the top", "--done", "--note", "lamp")
    assert [(*said(one)[1:], one.note) for one in entries(path)] == [
        (45, True, None, "lamp"),
        (0, False, 20, "gap at the top"),
    ]


def test_of_a_single_step_options_say_what_is_left_and_used(path: Path) -> None:
    """A decimal comma does; stock behind the step says the same."""
    assert log(path, "trim", "30", "--left", "1h", "--used", "braid=1,5 m") == 0
    log(path, "trim", "20", "braid=0.4m")
    first, second = entries(path)
    assert said(first)[1:] == (30, False, 60)
    amounts = [one.amount.value for entry in (first, second) for one in entry.used]
    assert amounts == [1.5, 0.4]


@pytest.mark.parametrize(
    "name",
    ["ferrywoman/bodice/hem", "bodice/hem", "hem", "hem by hand", "Jacket Bodice:  hem by hand"],
)
def test_a_step_by_any_of_its_names(path: Path, name: str) -> None:
    """Full id, garment/step, id, shown name, with its garment's before it."""
    log(path, name, "10")
    assert entries(path)[0].step == "ferrywoman/bodice/hem"


def test_all_that_is_wrong_is_said_at_once(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each with what to write, and nothing is saved; not even what is right."""
    words = ("cut", "45", "hme", "channels", "30", "20", "left=9x", "trim", "brd=1m", "bones")
    assert refused(path, capsys, *words, "--at", "25:00") == [
        "--at: “25:00” is no moment: write it as 21:30, yesterday, 2027-05-08 or 2027-05-08T21:30.",
        "MINUTES: “channels” has two times: give it one.",
        "left: “9x” is no time: write minutes as 45, or 1h30, or 1:30.",
        "STEP: There is no step “hme”; did you mean hem?",
        "--used: There is no stock “brd” here; did you mean braid?",
    ]


@pytest.mark.parametrize(
    ("words", "text"),
    [
        (("bones",), "Say what was done of “bones”: minutes, done, or left=30m."),
        (("bones", "done", "left=20"), "“bones” is done and has minutes left: keep one"),
        (("cut", "5", "bones", "5", "--left", "20"), "With several steps write it behind the one"),
        (("cut", "5", "bones", "5", "--used", "braid=1m"), "behind the one you mean: braid=2 m"),
        (("cut", "5", "--used", "braid"), "“braid” names no stock: write braid=2.9m."),
        (("trim", "5", "--used", "braid=3"), "“braid” is measured otherwise: there is"),
        (("cut", "5", "--at", "21:30"), "That is still to come: today, 21:30."),
        (("--done",), "Say which step: wearby log PATH STEP MINUTES --done."),
        (("cut", "--undo"), "It takes back what was logged last: give it no steps."),
        (("--undo",), "Nothing is logged yet."),
        (("cut", "99h99"), "“99h99” is no time"),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, tuple) else "",
)
def test_what_cant_be_meant(
    path: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], text: str
) -> None:
    """One sentence, with what to write instead."""
    (line,) = refused(path, capsys, *words)
    assert text in line


def test_an_id_of_two_steps_wants_its_garment(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Both are named."""
    file = path / "ferrywoman.toml"
    file.write_text(file.read_text("utf-8").replace('id = "cut"', 'id = "hem"', 1), "utf-8")
    (line,) = refused(path, capsys, "hem", "20")
    assert "“hem” could be ferrywoman/stays/hem and ferrywoman/bodice/hem: write the one" in line


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("19:15", datetime(2027, 5, 3, 19, 15)),
        ("2027-05-02T21:05", datetime(2027, 5, 2, 21, 5)),
        # the end of the day's hours
        ("2027-05-01", datetime(2027, 5, 1, 17, 0)),
        ("yesterday", datetime(2027, 5, 2, 12, 0)),
        ("today", AT),
    ],
)
def test_the_moment_of_it(path: Path, text: str, at: datetime) -> None:
    """A time of today, a day, or both; else now."""
    log(path, "cut", "45", "--at", text)
    assert entries(path)[0].at == at


def test_from_the_beginning_of_a_day_all_of_it_may_be_told(path: Path) -> None:
    """--today stands for 00:00, and who says it logs that day."""
    assert main(["log", str(path), "cut", "45", "--at", "21:00", "--today", "2027-05-03"]) in (0, 1)
    assert entries(path)[0].at == datetime(2027, 5, 3, 21)


def test_what_was_logged_last_is_taken_back(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One command at a time, though two were of the same minute."""
    log(path, "cut", "45", "done", "channels", "30")
    log(path, "mock-up", "20")
    capsys.readouterr()
    assert log(path, "--undo") == 0
    told = capsys.readouterr().out
    assert "Taken back:\ntoday, 20:00: “mock-up” (Jacket bodice), 20 min.\n" in told
    assert [said(one)[0] for one in entries(path)] == ["stays/cut", "stays/channels"]
    log(path, "--undo")
    assert entries(path) == []


def test_without_a_step_it_lists(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What was logged last, and what is planned today and isn't logged; nothing is written."""
    assert log(path, now="2027-05-04T12:00") == 0
    told = capsys.readouterr().out
    assert "Nothing is logged yet. Write what was done as wearby log PATH hem 45 done" in told
    assert "Planned today, not logged yet:\n   1:00  c  cut the layers" in told
    assert not (path / "diary.toml").exists()
    assert not (path / "kept.toml").exists()
    log(path, "cut", "45", "--note", "shears want grinding", now="2027-05-04T12:00")
    capsys.readouterr()
    log(path, now="2027-05-04T13:00")
    told = " ".join(capsys.readouterr().out.split())
    assert "today, 12:00: “cut the layers” (Stays), 45 min, “shears want grinding”" in told
    assert "c cut the layers" not in told


def test_as_data(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The entries as the file has them, and what became of the plan."""
    log(path, "trim", "30", "braid=1.5m", "--json")
    found = json.loads(capsys.readouterr().out)
    (entry,) = found["logged"]
    assert entry == {
        "at": "2027-05-03T20:00:00",
        "step": "ferrywoman/bodice/trim",
        "minutes": 30,
        "done": False,
        "left": None,
        "note": "",
        "used": [{"stock": "braid", "amount": "1.5 m"}],
    }
    assert found["last"] == [entry]
    assert found["taken_back"] == []
    assert "less to do" in found["became"]
    assert found["fits"] is True
    log(path, "--json")
    assert json.loads(capsys.readouterr().out)["became"] is None


def test_a_done_step_is_open_again(path: Path) -> None:
    """left=... on one that was done before the diary, too."""
    file = path / "ferrywoman.toml"
    file.write_text(
        file.read_text("utf-8").replace('id = "cut"\n', 'id = "cut"\ndone = true\n', 1), "utf-8"
    )
    log(path, "cut", "left=25")
    assert not next(
        step
        for g in read_project(path).ensembles[0].garments
        for step in g.steps
        if step.id == "cut"
    ).done


def test_the_plan_it_makes_is_kept(path: Path) -> None:
    """So that the program holds on to it later."""
    log(path, "cut", "45", "done")
    assert "stays/channels" in (path / "kept.toml").read_text("utf-8")
