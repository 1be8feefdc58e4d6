"""The command line: answers, exit statuses, and what it says of wrong input."""

from __future__ import annotations

import json
import os
from dataclasses import replace
from pathlib import Path

import pytest

from planner.problems import InputError, Problem
from screens.command import main
from screens.wording import cells
from tests.screens.a_plan import a_fitting_plan, a_plan, an_empty_plan
from tests.screens.conftest import Given

TODAY = ("--today", "2027-05-05")
COMMANDS = (
    ("plan", "."),
    ("check", "."),
    ("before", ".", "body-fitting"),
    ("before", ".", "regatta"),
    ("day", ".", "2027-05-08"),
    ("handwork", "."),
)
Printed = pytest.CaptureFixture[str]


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_every_answer_is_plain_text_of_eighty_columns(
    words: tuple[str, ...], given: Given, capsys: Printed
) -> None:
    """Answers begin with the two lines of the verdict and keep to 80 columns."""
    main([*words, *TODAY])
    printed = capsys.readouterr()
    lines = printed.out.splitlines()
    assert lines[0].startswith("Ferrywoman's Sunday clothes: Regatta")
    assert lines[1].startswith("Does not fit: 1 h 45 short")
    assert max(cells(line) for line in lines) <= 80
    assert "\x1b" not in printed.out
    assert printed.err == ""


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_every_answer_is_also_json(words: tuple[str, ...], given: Given, capsys: Printed) -> None:
    """With --json one object is printed, with the verdict of the whole plan."""
    main([*words, *TODAY, "--json"])
    told = json.loads(capsys.readouterr().out)
    assert told["verdict"] == "does not fit"
    assert told["fits"] is False
    assert told["now"] == "2027-05-05T00:00:00"


def test_exit_statuses(given: Given) -> None:
    """0 where it fits, 1 where it does not or is undecided."""
    assert main(["plan", ".", *TODAY]) == 1
    given(a_fitting_plan())
    assert main(["plan", ".", *TODAY]) == 0
    assert main(["before", ".", "regatta", *TODAY]) == 0
    given(replace(a_fitting_plan(), fits=None))
    assert main(["plan", ".", *TODAY]) == 1


def test_problems_are_listed_with_file_and_place(given: Given, capsys: Printed) -> None:
    """Every problem is on standard error, cleaned; with --json also an object on output."""
    problem = Problem(file="ball.toml", place="garment[0].step[1]", text="Say\x1b hours.")
    other = Problem(file="workroom.toml", place="", text="Not TOML.")
    given(InputError([problem, other]))
    assert main(["check", ".", "--json"]) == 2
    printed = capsys.readouterr()
    assert printed.err.splitlines() == [
        "ball.toml, garment[0].step[1]: Say hours.",
        "workroom.toml: Not TOML.",
    ]
    assert [one["file"] for one in json.loads(printed.out)["problems"]] == [
        "ball.toml",
        "workroom.toml",
    ]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("plan", ".", "--today", "8 May"), "--today: “8 May” is no date"),
        (("plan", ".", "--now", "soon"), "--now: “soon” is no date and time"),
        (("plan", ".", "--now", "2027-05-05T10:00+02:00"), "Leave the offset off"),
        (("plan", ".", *TODAY, "--now", "2027-05-05"), "either --today or --now"),
        (("before", ".", "regata", *TODAY), "did you mean regatta?"),
        (("before", ".", "zzz", *TODAY), "there is body-fitting and regatta"),
        (("day", ".", "2027-06-30", *TODAY), "goes from Wednesday 5 May to Saturday 22 May"),
        (("day", ".", "May", *TODAY), "DATE: “May” is no date"),
        (("plan",), "required"),
        ((), "Say which workroom to open: wearby FOLDER"),
        (("plan", ".", "--wide"), "--wide"),
    ],
)
def test_wrong_words_get_a_clear_message(
    words: tuple[str, ...], said: str, given: Given, capsys: Printed
) -> None:
    """What was typed wrongly is said with its place, status 2, and never a traceback."""
    assert main(words) == 2
    printed = capsys.readouterr()
    assert said in printed.err
    assert printed.err.startswith("command line")
    assert printed.out == ""


def test_the_program_without_a_terminal_prints_the_plan(given: Given, capsys: Printed) -> None:
    """`wearby PATH` prints the plan where nobody sits at a terminal; options may come first."""
    assert main([".", *TODAY]) == 1
    alone = capsys.readouterr().out
    assert main([*TODAY, "plan", "."]) == 1
    assert capsys.readouterr().out == alone


def test_a_workroom_is_opened_where_one_stands_in_it(
    given: Given, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without a path the folder one is in is meant, where it is a workroom."""
    monkeypatch.chdir(tmp_path)
    assert main([*TODAY]) == 2
    (tmp_path / "workroom.toml").write_text("format = 1\n")
    assert main([*TODAY]) == 1


def test_help_names_every_command(capsys: Printed) -> None:
    """Help lists the commands in their own words and ends with status 0."""
    with pytest.raises(SystemExit) as left:
        main(["--help"])
    assert left.value.code == 0
    told = capsys.readouterr().out
    for name in ("plan", "check", "before", "day", "handwork", "stock"):
        assert f"\n  {name} " in told


def test_an_empty_workroom_is_answered(given: Given, capsys: Printed) -> None:
    """Nothing written yet: every command says so and what to do next."""
    given(an_empty_plan())
    for words in (["plan", "."], ["check", "."], ["handwork", "."]):
        assert main([*words, *TODAY]) == 0
        assert "Nothing to plan yet" in capsys.readouterr().out


def test_names_cannot_reach_the_terminal(given: Given, capsys: Printed) -> None:
    """Control characters in names are taken out of every answer."""
    plan = a_plan()
    names = {key: f"\x1b[2J{name}\x07" for key, name in plan.names.items()}
    steps = tuple(replace(step, name=f"\x1b{step.name}") for step in plan.steps)
    given(replace(plan, names=names, steps=steps))
    for words in COMMANDS:
        main([*words, *TODAY])
        out = capsys.readouterr().out
        assert "\x1b" not in out and "\x07" not in out


def test_a_closed_pipe_is_no_error(given: Given, monkeypatch: pytest.MonkeyPatch) -> None:
    """A reader that leaves early changes neither status nor screen."""
    reader, writer = os.pipe()
    os.close(reader)
    with open(writer, "w", encoding="utf-8") as closed:
        monkeypatch.setattr("sys.stdout", closed)
        assert main(["plan", ".", *TODAY]) == 1


def test_ctrl_c_stops_quietly(monkeypatch: pytest.MonkeyPatch, capsys: Printed) -> None:
    """Ctrl-C says that nothing was changed."""

    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("screens.state.read_and_plan", stop)
    assert main(["plan", ".", *TODAY]) == 130
    assert capsys.readouterr().err == "Stopped; nothing was changed.\n"
