"""`wearby new`: by options and by answers, never over what is there, never half."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import pytest

from planner.files.reading import read_project
from planner.model import OccasionKind, Source
from screens import command
from screens.command import main
from screens.wording import cells
from tests.screens.test_split_command import OWN

Printed = pytest.CaptureFixture[str]
TODAY = ("--today", "2027-01-10")
NEEDED = (
    "--name", "Ferrywoman [of] the \"Märchen\" \u202e🧵", "--event", "Regatta", "--date",
    "2027-05-22", "--workroom-hours", "tue thu 19:30-21:30, sat sun 10:00-17:00",
)  # fmt: skip
GARMENTS = (
    "--garment", "stays panels=12 sewn=hand name='Green [stays] é'",
    "--garment", "shift 'hem=2.4 m'",
    "--garment", "stays source=alter",
)  # fmt: skip


def typing(monkeypatch: pytest.MonkeyPatch, lines: Sequence[str | type[BaseException]]) -> None:
    """Have somebody sit at the terminal and type these lines; then the line is cut off."""
    rest = iter(lines)

    def answer(prompt: str) -> str:
        assert "\x1b" not in prompt
        print(prompt, end="")
        line = next(rest, EOFError)
        if isinstance(line, str):
            print(line)
            return line
        raise line

    monkeypatch.setattr(command, "_has_terminal", lambda: True)
    monkeypatch.setattr("builtins.input", answer)


def test_everything_by_options(tmp_path: Path, capsys: Printed) -> None:
    """A script gets a workroom that reads and plans, with what it asked for."""
    folder = tmp_path / "sewing room"
    more = [
        "--time", "11:00", "--fitting", "2027-05-01T14:00", "--fitting", "2027-04-10T14:00",
        "--trial", "2027-05-15 14:00", "--departure", "2027-05-21", "--sofa-hours", "daily 20-21",
        "--take-along-hours", "mon-fri 7:30-8", "--helper-hours", "sat 14-17", "--whole",
        "--no-questions",
    ]  # fmt: skip
    status = main(["new", str(folder), *NEEDED, *more, *GARMENTS, *TODAY])
    printed = capsys.readouterr()
    assert status in (0, 1)
    assert printed.err == ""
    assert "\x1b" not in printed.out and "\u202e" not in printed.out
    assert 'wearby plan "' in printed.out
    project = read_project(folder)
    (ensemble,) = project.ensembles
    assert ensemble.name == NEEDED[1]
    assert ensemble.id == "ferrywoman-of-the-marchen"
    kinds = [(one.kind, one.id, one.at.isoformat()) for one in ensemble.occasions]
    assert kinds == [
        (OccasionKind.FITTING, "first-fitting", "2027-04-10T14:00:00"),
        (OccasionKind.FITTING, "second-fitting", "2027-05-01T14:00:00"),
        (OccasionKind.TRIAL_WEAR, "trial-wear", "2027-05-15T14:00:00"),
        (OccasionKind.DEPARTURE, "departure", "2027-05-21T08:00:00"),
        (OccasionKind.EVENT, "regatta", "2027-05-22T11:00:00"),
    ]
    garments = {one.id: one for one in ensemble.garments}
    assert list(garments) == ["shift", "stays", "stays-2", "whole-ensemble"]
    assert garments["stays"].name == "Green [stays] é"
    assert garments["stays"].measurements["panels"].value == 12
    assert garments["stays"].choices["sewn"] == "hand"
    assert garments["stays-2"].source is Source.ALTER
    assert garments["whole-ensemble"].measurements["garments"].value == 3
    assert all(project.workroom.sofa_hours)
    assert main(["plan", str(folder), *TODAY]) == status


def test_its_status_and_json_are_those_of_the_plan(tmp_path: Path, capsys: Printed) -> None:
    """0 where it fits, 1 where it does not; the JSON names what was written."""
    fits = ["new", str(tmp_path / "a"), *NEEDED, "--garment", "shift", *TODAY, "--json"]
    assert main(fits) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["fits"] is True
    assert [Path(one).name for one in told["written"]] == [
        "workroom.toml",
        f"{told['ensemble']}.toml",
    ]
    assert told["garments"][0]["minutes"] > 60
    late = [*NEEDED, "--date", "2027-01-11", *GARMENTS, *TODAY]
    assert main(["new", str(tmp_path / "b"), *late]) == 1


def test_in_a_workroom_it_adds_an_ensemble(tmp_path: Path, capsys: Printed) -> None:
    """A second ensemble stands beside the first, which isn't touched; hours aren't asked again."""
    assert main(["new", str(tmp_path), *NEEDED, *TODAY]) == 0
    before = {path: path.read_bytes() for path in tmp_path.iterdir()}
    capsys.readouterr()
    assert main(["new", str(tmp_path), *NEEDED, *TODAY]) == 2
    assert "--workroom-hours: The workroom here has its own" in capsys.readouterr().err
    assert main(["new", str(tmp_path), *NEEDED[:-2], "--garment", "shift", *TODAY]) == 0
    assert all(path.read_bytes() == text for path, text in before.items())
    project = read_project(tmp_path)
    assert [one.id for one in project.ensembles] == [
        "ferrywoman-of-the-marchen-2",
        "ferrywoman-of-the-marchen",
    ]


def test_what_is_missing_is_named_by_its_option(tmp_path: Path, capsys: Printed) -> None:
    """Where nobody can be asked, each thing that is needed is named; nothing is written."""
    folder = tmp_path / "room"
    assert main(["new", str(folder)]) == 2
    printed = capsys.readouterr()
    for option in ("--name", "--event", "--date", "--workroom-hours"):
        assert f"command line, {option}: " in printed.err
    assert printed.out == ""
    assert not folder.exists()


def test_all_that_is_wrong_is_told_at_once(tmp_path: Path, capsys: Printed) -> None:
    """Dates, hours and garments, each with its place; nothing is written."""
    wrong = [
        "--name", " ", "--event", "Ball", "--date", "2027-05-22", "--time", "noon",
        "--fitting", "2027-06-01T10:00", "--fitting", "soon", "--trial", "2026-01-01T10:00",
        "--workroom-hours", "tuesday", "--sofa-hours", "19-21", "--garment", "stais",
        "--garment", "stays panels=x sewn=glued extra", "--garment", "shift name='",
    ]  # fmt: skip
    assert main(["new", str(tmp_path / "room"), *wrong, *TODAY]) == 2
    said = capsys.readouterr().err
    for part in (
        "--name: ", "--time: “noon”", "--fitting: ", "--trial: ", "--workroom-hours: ",
        "--sofa-hours: ", "did you mean stays?", "--garment stays, panels: ",
        "--garment stays, sewn: ", "“extra” is no answer", "a quote that doesn't end",
    ):  # fmt: skip
        assert part in said, part
    assert not (tmp_path / "room").exists()


@pytest.mark.parametrize(
    ("option", "value", "said"),
    [
        ("--date", "2026-12-01", "is past"),
        ("--date", "2097-12-01", "more than 10 years ahead"),
        ("--date", "32 May", "is no date"),
        ("--fitting", "2027-06-01T10:00", "is not before what it is for"),
        ("--fitting", "1 May, 1 May 14:00", "at the same time"),
        ("--fitting", "2027-05-01T10:00+02:00", "offset"),
        ("--departure", "2027-06-01", "is not before what it is for"),
        ("--time", "noon", "is no time of day"),
        ("--units", "furlongs", "write metric or imperial"),
        ("--setting-up", "-5m", "0"),
    ],
)
def test_dates_that_cannot_be_meant(
    option: str, value: str, said: str, tmp_path: Path, capsys: Printed
) -> None:
    """Past, too far, after the event: said at the option, nothing is written."""
    assert main(["new", str(tmp_path / "x"), *NEEDED, option, value, *TODAY]) == 2
    printed = capsys.readouterr().err
    assert f"command line, {option}: " in printed
    assert said in printed


@pytest.mark.parametrize("day", ["22 May", "22. may 2027", "Sat 22 May", "2027-05-22"])
def test_dates_are_written_as_in_the_form(day: str, tmp_path: Path, capsys: Printed) -> None:
    """With a month's name, with or without the year, or in figures; times behind them."""
    more = ["--date", day, "--fitting", "8 May 16:30, 24 April", "--trial", "tomorrow at 10:00"]
    assert main(["new", str(tmp_path), *NEEDED, *more, *TODAY]) == 0
    occasions = read_project(tmp_path).ensembles[0].occasions
    assert [f"{one.at:%m-%d %H:%M}" for one in occasions] == [
        "04-24 14:00", "05-08 16:30", "01-11 10:00", "05-22 00:00",
    ]  # fmt: skip


def test_in_imperial_units_the_usual_is_round_on_a_tape(
    tmp_path: Path, capsys: Printed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Asked and written in inches and yards, and planned with what was shown."""
    typing(monkeypatch, [*HEAD[:-1], "imperial", "petticoat", "", "", "", "36 in", *[""] * 20])
    assert main(["new", str(tmp_path), *TODAY]) in (0, 1)
    out = capsys.readouterr().out
    assert " in]: " in out and " yd]: " in out and " m]: " not in out
    project = read_project(tmp_path)
    assert project.workroom.units == "imperial"
    lines = (tmp_path / "fairy-x.toml").read_text().splitlines()
    assert {'length = "36 in"', 'hem = "3.5 yd"'} <= {line.strip() for line in lines}


def test_nothing_is_ever_written_over(tmp_path: Path, capsys: Printed) -> None:
    """A folder with ensembles and no workroom, and a file where a folder should be, stay."""
    (tmp_path / "ball.toml").write_text("format = 1\n")
    assert main(["new", str(tmp_path), *NEEDED, *TODAY]) == 2
    assert main(["new", str(tmp_path / "ball.toml"), *NEEDED, *TODAY]) == 2
    assert [path.name for path in tmp_path.iterdir()] == ["ball.toml"]
    assert (tmp_path / "ball.toml").read_text() == "format = 1\n"


def test_own_orders_beside_it_can_be_used(tmp_path: Path, capsys: Printed) -> None:
    """Orders of construction that stand in the folder are known at once."""
    (tmp_path / "orders").mkdir()
    (tmp_path / "orders" / "mantelet.toml").write_text(OWN)
    assert main(["new", str(tmp_path), *NEEDED, "--garment", "mantelet 'hem=3 m'", *TODAY]) == 0
    assert read_project(tmp_path).ensembles[0].garments[0].kind == "mantelet"


HEAD = [
    "Fairy [x]", "Ball", "2027-05-22", "", "2027-04-10T14:00", "",
    "tue thu 19:30-21:30, sat sun 9-17", "mon 20-22", "", "none", "",
]  # fmt: skip


def test_asked_on_a_terminal(
    tmp_path: Path, capsys: Printed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Questions one after another: defaults by enter, a part of a name, hours and verdict."""
    typing(
        monkeypatch,
        [
            *HEAD,
            "pettic", "White [petticoat]", "", "5", "", "4.5 m", *[""] * 5,
            "shoes", "", "buy", *[""] * 8,
        ],
    )  # fmt: skip
    folder = tmp_path / "room"
    # the last lines are as many as are needed: each "" takes what stands in brackets
    assert main(["new", str(folder), *TODAY]) in (0, 1)
    out = capsys.readouterr().out
    assert "White [petticoat]: " in out
    assert "Fits" in out or "Does not fit" in out
    ensemble = read_project(folder).ensembles[0]
    garments = {one.id: one for one in ensemble.garments}
    assert list(garments) == ["shoes", "petticoat", "whole-ensemble"]
    assert garments["petticoat"].name == "White [petticoat]"
    assert garments["petticoat"].measurements["panels"].value == 5
    assert garments["petticoat"].measurements["hem"].value == 4.5
    assert garments["shoes"].source is Source.BUY
    assert [one.id for one in ensemble.occasions] == ["fitting", "ball"]


def test_every_answer_can_be_gone_back_to(
    tmp_path: Path, capsys: Printed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`back` asks the question before again, through garments to the very first one."""
    typing(
        monkeypatch,
        [
            "back", "Elf", "back", "Fairy", "Ball", "2027-05-23", "back", "2027-05-22", *HEAD[3:],
            "back", "back", "sat 19-21", "",
            "stays", "", "", "11", "back", "12", "first=yes", *[""] * 7,
            "back", "half", "",
            "", "back", "", "yes", "back", "no", "yes",
        ],
    )  # fmt: skip
    assert main(["new", str(tmp_path / "room"), *TODAY]) in (0, 1)
    assert "This is the first question." in capsys.readouterr().out
    project = read_project(tmp_path / "room")
    (ensemble,) = project.ensembles
    assert ensemble.name == "Fairy"
    assert ensemble.occasions[-1].at.day == 22
    assert project.workroom.helper_hours[5] != ()
    (garment,) = ensemble.garments
    assert garment.measurements["panels"].value == 12
    assert garment.choices["first"] == "yes"


def test_help_and_mistakes_ask_again(
    tmp_path: Path, capsys: Printed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`?` tells how it is taken; what can't be meant is said in a sentence, and asked again."""
    typing(
        monkeypatch,
        [
            "", "?", "Fairy", "Ball", "soon", "2027-05-22", *HEAD[3:],
            "?", "sta", "zzz", "stays", "?", "", "?", "steal", "make", "?", "x", "tassels=4",
            "12", *[""] * 20,
        ],
    )  # fmt: skip
    assert main(["new", str(tmp_path / "room"), *TODAY]) in (0, 1)
    out = capsys.readouterr().out
    for said in (
        "This can't be left out", "“soon” is no date", "There are drawers", "which: corset and",
        "no garment “zzz”", "alter (altered): ", '"steal"', "All pieces of one layer",
        '"x" is no count: write a whole number', '"tassels"',
    ):  # fmt: skip
        assert said in " ".join(out.split()), said


@pytest.mark.parametrize("stop", [KeyboardInterrupt, EOFError])
@pytest.mark.parametrize("after", [0, 3, len(HEAD), len(HEAD) + 6])
def test_leaving_writes_nothing(
    stop: type[BaseException],
    after: int,
    tmp_path: Path,
    capsys: Printed,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Ctrl+c and ctrl+d leave nothing behind, and say so."""
    lines = [*HEAD, "stays", *[""] * 20][:after]
    typing(monkeypatch, [*lines, stop])
    assert main(["new", str(tmp_path / "room"), *TODAY]) == 130
    assert "nothing was changed" in capsys.readouterr().err
    assert not (tmp_path / "room").exists()


def test_no_at_the_end_writes_nothing(
    tmp_path: Path, capsys: Printed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Saying no when it may be written leaves nothing."""
    typing(monkeypatch, [*HEAD, "", "no"])
    assert main(["new", str(tmp_path / "room"), *TODAY]) == 130
    assert not (tmp_path / "room").exists()


def test_only_what_is_not_given_is_asked(
    tmp_path: Path, capsys: Printed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Options answer questions beforehand; in a workroom its hours aren't asked for."""
    typing(monkeypatch, ["", "", "", "", "", "", "", "", "", "yes"])
    assert main(["new", str(tmp_path), *NEEDED, "--whole", *GARMENTS[:2], *TODAY]) in (0, 1)
    out = capsys.readouterr().out
    assert "What is the ensemble called" not in out
    assert "Hours in the workroom" not in out
    assert "Fittings" in out
    typing(monkeypatch, ["Second", "Ball", "2027-06-01", "", "", "", "", ""])
    assert main(["new", str(tmp_path), *TODAY]) in (0, 1)
    assert "Hours" not in capsys.readouterr().out.split("Written")[0]
    assert len(read_project(tmp_path).ensembles) == 2


def test_no_questions_asks_nothing(
    tmp_path: Path, capsys: Printed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With --no-questions, or --json, nobody is asked even at a terminal."""
    typing(monkeypatch, [])
    assert main(["new", str(tmp_path / "a"), *NEEDED, "--no-questions", *TODAY]) == 0
    assert main(["new", str(tmp_path / "b"), *NEEDED, "--json", *TODAY]) == 0
    assert main(["new", str(tmp_path / "c"), "--no-questions", *TODAY]) == 2


def test_its_words_keep_to_the_screen(tmp_path: Path, capsys: Printed) -> None:
    """What is printed at the end keeps to 80 columns, but for paths."""
    main(["new", str(tmp_path / "room"), *NEEDED, *GARMENTS, *TODAY])
    lines = [line for line in capsys.readouterr().out.splitlines() if str(tmp_path) not in line]
    assert max(cells(line) for line in lines) <= 80
