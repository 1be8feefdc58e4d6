"""`wearby log`: steps and what is said of them, all problems at once, what became of the plan."""

from __future__ import annotations

import json
import re
import shlex
import shutil
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from planner.files.kept_before import kept_before
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


def test_stock_is_meant_by_its_shown_name_or_a_word_of_it(path: Path) -> None:
    """Logged by its id."""
    for used in ("wool=1 m", "Narrow wool braid=1 m", "braid=1 m"):
        log(path, "trim", "20", used)
    assert {one.stock for entry in entries(path) for one in entry.used} == {"braid"}
    assert len(entries(path)) == 3


def test_why_the_plan_loses_more_than_was_logged(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What was quicker than planned, or had no minutes, is told; nothing where all agrees."""
    log(path, "cut", "45", "done", "mock-up", "done")
    told = " ".join(capsys.readouterr().out.split())
    why = "(quicker than planned, and 1 step without minutes)"
    assert f"That was planned as 2 h 45; 45 min were logged {why}." in told
    log(path, "channels", "20")
    assert "That was planned" not in capsys.readouterr().out
    log(path, "trim", "10", "left=4h")
    assert "That was planned" not in capsys.readouterr().out


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
        (
            ("cut", "5", "--at", "21:30"),
            'That is still to come: today, 21:30. For yesterday write --at "yesterday 21:30".',
        ),
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


# how it may be typed


@pytest.mark.parametrize(
    ("words", "text"),
    [
        (("cut", "-5"), "MINUTES: “-5”: minutes are more than 0."),
        (("cut", "left=-5"), "left: “-5”: minutes are more than 0."),
        (("cut", "99999999"), "MINUTES: “99999999” is more than any step takes; minutes are up to"),
        (("cut", "5", "at=yesterday"), "AT: Write --at yesterday, not at=yesterday."),
        (("cut", "5", "at=yesterday 21:00"), 'AT: Write --at "yesterday 21:00", not'),
        (("cut", "minutes=5"), "MINUTES: Write the minutes alone: 5, not minutes=5."),
        (("Cut", "the", "layers", "45"), 'STEP: Write a name of several words in quotes: "Cut the'),
        (("trim", "5", "Bones", "in", "front", "9"), 'in quotes: "Bones in front".'),
        (("bodice/bones", "5"), "STEP: There is no step “bodice/bones”."),
        (("stays/chanels", "5"), "STEP: There is no step “stays/chanels”; did you mean stays/chan"),
        (("bodice/braid", "5"), "there is no step “bodice/braid”; did you mean bodice/trim?"),
        (("fittings on the way", "5"), "There is no step “fittings on the way”."),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, tuple) else "",
)
def test_slips_are_told_with_what_to_write(
    path: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], text: str
) -> None:
    """In one sentence; what might be meant only where it is near."""
    (line,) = refused(path, capsys, *words)
    assert text.casefold() in line.casefold()


@pytest.mark.parametrize("name", ["Hem", "hem by", "BODICE/HEM", "Jacket bodice/hem"])
def test_capitals_and_the_rest_of_a_name_may_be_left_out(path: Path, name: str) -> None:
    """As long as only one step is called so."""
    log(path, name, "10")
    assert entries(path)[0].step == "ferrywoman/bodice/hem"


@pytest.mark.parametrize(
    ("text", "now", "at"),
    [
        ("yesterday 23:30", "2027-05-03T20:00", datetime(2027, 5, 2, 23, 30)),
        ("today 19:30", "2027-05-03T20:00", datetime(2027, 5, 3, 19, 30)),
        ("23:30", "2027-05-04T00:10", datetime(2027, 5, 3, 23, 30)),
        ("23:30", "2027-05-04T00:00", datetime(2027, 5, 3, 23, 30)),
        ("0:05", "2027-05-04T00:10", datetime(2027, 5, 4, 0, 5)),
    ],
)
def test_last_night(
    path: Path, capsys: pytest.CaptureFixture[str], text: str, now: str, at: datetime
) -> None:
    """By name; just after midnight also a time alone, and then the day is told."""
    log(path, "cut", "45", "--at", text, now=now)
    assert entries(path)[0].at == at
    told = " ".join(capsys.readouterr().out.split())
    behind = at.date() < datetime.fromisoformat(now).date()
    assert (f"As of yesterday, {at:%H:%M}." in told) is behind


def test_a_step_that_is_done_already_is_said(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Its minutes are logged all the same."""
    log(path, "cut", "45", "done", now="2027-05-03T20:00")
    assert "is done already" not in capsys.readouterr().out
    log(path, "cut", "10", "done", now="2027-05-05T20:00")
    told = " ".join(capsys.readouterr().out.split())
    assert "(Stays) is done already since Monday 3 May; logged as more minutes." in told
    log(path, "cut", "left=10", now="2027-05-05T20:10")
    assert "is done already" not in capsys.readouterr().out
    assert len(entries(path)) == 3


def test_what_is_logged_in_one_minute_stands_in_its_order(path: Path) -> None:
    """Each a second behind the one before; undo takes the last."""
    for minutes in ("1", "2", "3", "4"):
        log(path, "cut", minutes)
    assert [one.at.second for one in entries(path)] == [0, 1, 2, 3]
    log(path, "--undo")
    assert [one.minutes for one in entries(path)] == [1, 2, 3]


def test_far_more_of_a_stock_is_said(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Than was planned or is there; logged all the same, with how to take it back."""
    log(path, "trim", "30", "braid=3.3m", "--json")
    assert json.loads(capsys.readouterr().out)["notes"] == [
        "3.3 m of narrow wool braid is more than the 2.5 m there is of it.",
        "If that is a slip, --undo takes it back.",
    ]
    log(path, "trim", "30", "braid=99m")
    told = " ".join(capsys.readouterr().out.split())
    assert "99 m of narrow wool braid is far more than the 3.1 m planned and more than the" in told
    assert "If that is a slip, --undo takes it back." in told
    log(path, "trim", "30", "braid=2m")
    assert "slip" not in capsys.readouterr().out


def test_lines_of_the_diary_that_cant_be_read_are_told(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """With where they stand by now; the entry is logged."""
    log(path, "cut", "5")
    with (path / "diary.toml").open("a", encoding="utf-8") as file:
        file.write("\n[[entry]]\nat = 2027-05\nstep = ferry\n")
    capsys.readouterr()
    log(path, "cut", "6")
    told = " ".join(capsys.readouterr().out.split())
    first = next(
        number
        for number, line in enumerate((path / "diary.toml").read_text("utf-8").splitlines(), 1)
        if line.startswith("# broken")
    )
    assert f"diary.toml, lines {first} to" in told and "can't be read as an entry" in told
    assert [one.minutes for one in entries(path)] == [5, 6]


def _plan(path: Path, capsys: pytest.CaptureFixture[str], now: str = EVENING) -> str:
    """The plan as it is printed."""
    capsys.readouterr()
    main(["plan", str(path), "--now", now])
    return capsys.readouterr().out


def test_undo_brings_back_the_plan_too(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Not only the diary: what was planned before is planned again."""
    log(path, "mock-up", "20", "left=4h")
    log(path, "--undo")
    before = _plan(path, capsys)
    log(path, "channels", "90", "left=6h", "cut", "done")
    assert _plan(path, capsys) != before
    log(path, "--undo")
    assert _plan(path, capsys) == before


def test_undo_brings_back_no_plan_of_other_hours(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What was planned before is of no use where hours have changed since, or another log came."""
    log(path, "channels", "90", "left=6h")
    project = read_project(path)
    assert kept_before(path, project) is not None
    workroom = replace(project.workroom, fill_to=0.9)
    assert kept_before(path, replace(project, workroom=workroom)) is None
    diary = replace(project.diary, entries=project.diary.entries[:-1])
    assert kept_before(path, replace(project, diary=diary)) is None


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01"])
@pytest.mark.parametrize("command", ["plan", "log", "now", "stock", "moved"])
def test_a_day_far_off_is_refused(
    path: Path, capsys: pytest.CaptureFixture[str], command: str, day: str
) -> None:
    """In a sentence, whatever is asked."""
    for option, text in (("--now", f"{day}T00:00"), ("--today", day)):
        assert main([command, str(path), option, text]) == 2
        assert f"{option}: “{text}” is too far off" in capsys.readouterr().err


def test_the_readmes_example_works_on_the_sample(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As it is typed there, on the sample that the README opens."""
    readme = Path("README.md").read_text(encoding="utf-8")
    (words,) = re.findall(r"`wearby log FOLDER ([^`\]\[]+)`", readme)
    (sample,) = re.findall(r"wearby (sample_projects/\w+) --today", readme)
    there = tmp_path / "sample"
    shutil.copytree(sample, there)
    assert log(there, *shlex.split(words), now="2027-03-06T20:00") in (0, 1)
    assert [one.minutes for one in entries(there)] == [45, 90]
    assert "slip" not in capsys.readouterr().out
