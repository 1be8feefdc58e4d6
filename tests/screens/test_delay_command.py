"""`wearby delay`: says what a delay moves, and writes it only when told to."""

from __future__ import annotations

import json
from datetime import date, datetime
from pathlib import Path

import pytest

from planner.files.clock_running import write_clock
from planner.files.reading import read_project
from planner.sitting_down import SatDown
from screens.command import main
from screens.finding import find_stock
from tests.screens.workrooms import a_copy

TODAY = "2027-05-03"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The screens' own workroom, to be written in."""
    return a_copy(tmp_path)


def _delay(folder: Path, *words: str) -> int:
    return main(["delay", str(folder), *words, "--today", TODAY])


def _texts(folder: Path) -> dict[str, str]:
    return {one.name: one.read_text() for one in sorted(folder.rglob("*.toml"))}


WHATS = [
    ("tonight",),
    ("away", "Thursday"),
    ("delivery", "braid", "6", "May"),
    ("occasion", "body-fitting", "Sunday"),
    ("helper",),
    ("afresh",),
]


@pytest.mark.parametrize("words", WHATS, ids=lambda words: words[0])
def test_nothing_is_written_unless_it_is_kept(
    folder: Path, words: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    """It is told what would move, and the files stay as they were."""
    before = _texts(folder)
    assert _delay(folder, *words) in (0, 1)
    told = capsys.readouterr().out
    assert "Nothing was written; with --keep it is." in told
    assert "\nThen         " in told and "\nMoves        " in told
    assert _texts(folder) == before


def test_away_until_a_day(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What would be short is told with the steps that move, from when to when, and why."""
    assert _delay(folder, "away", "Wednesday") == 1
    told = capsys.readouterr().out
    assert "Short        newly 1 h 05 before the Body fitting" in told
    assert "c  cut the layers (Stays)                              Tue  4 May → Thu  6 May" in told
    assert "1 h 45 less tomorrow" in told


def test_kept_it_is_in_the_files(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With --keep the change is written, and the plan that follows is held on to."""
    assert _delay(folder, "occasion", "body-fitting", "SundayT16:00", "--keep") == 0
    assert "This is kept." in capsys.readouterr().out
    project = read_project(folder)
    assert project.ensembles[0].occasions[0].at == datetime(2027, 5, 9, 16)
    assert project.kept.as_of == datetime(2027, 5, 3)
    assert _delay(folder, "delivery", "braid", "6", "May", "--keep") == 0
    assert _delay(folder, "helper", "8 May", "--keep") in (0, 1)
    assert _delay(folder, "away", "Thursday", "--keep") in (0, 1)
    project = read_project(folder)
    (coming,) = project.ensembles[0].stock[0].coming
    assert coming.arrives == date(2027, 5, 6)
    helper, away = project.workroom.changes
    assert (helper.first, helper.helper, helper.workroom) == (date(2027, 5, 8), (), None)
    assert (away.first, away.last) == (date(2027, 5, 3), date(2027, 5, 5))


@pytest.mark.parametrize(
    "words",
    [
        ("braid", "6 May"), ("narrow wool braid", "6 May"), ("narrow", "wool", "braid", "6", "May"),
        ("wool", "6", "May"), ("Wool", "Thursday"), ("nar", "6 May"), ("ferrywoman/braid", "6 May"),
    ],
)  # fmt: skip
def test_stock_is_meant_by_any_of_its_names(folder: Path, words: tuple[str, ...]) -> None:
    """By its id, its shown name, a word of that or the beginning of one; without quotes, too."""
    assert _delay(folder, "delivery", *words, "--keep") == 0
    (coming,) = read_project(folder).ensembles[0].stock[0].coming
    assert coming.arrives == date(2027, 5, 6)


def test_what_could_be_several_stocks_names_them() -> None:
    """With their ids, which can be typed instead."""
    project = read_project(Path("sample_projects/copper_wood_masque"))
    assert find_stock(project, "flexible sealer") == ("copper_beetle/primer", "")
    assert find_stock(project, "foam 10") == ("copper_beetle/foam-10", "")
    # a whole word is meant before the beginning of another
    assert find_stock(project, "sealer") == find_stock(project, "seal")
    found, why = find_stock(project, "brown")
    assert found is None and "rust-brown linen (copper_beetle/linen)" in why
    assert "foam sheet 10 mm, contact cement" in find_stock(project, "wool")[1]


def test_what_is_lost_tonight_is_told_by_place(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As the reasons of the steps count the hours of their places; and what is being sat at."""
    text = (folder / "workroom.toml").read_text()
    day = '[[change]]\non = 2027-05-03\nworkroom = ["18:00-20:00"]\nsofa = ["20:30-21:15"]\n'
    (folder / "workroom.toml").write_text(f"{text}\n{day}")
    assert _delay(folder, "tonight") in (0, 1)
    said = " ".join(capsys.readouterr().out.split())
    lost = "1 h 45 in the workroom, 15 min of setting up there and 45 min on the sofa"
    lost = f"2 h 45 of hours today are lost: {lost}."
    assert lost in said and "sat at" not in said
    sat = SatDown(step="ferrywoman/stays/cut", since=datetime(2027, 5, 3, 17, 30))
    write_clock(folder, sat)
    assert _delay(folder, "tonight") in (0, 1)
    said = " ".join(capsys.readouterr().out.split())
    assert "What was sat at “cut the layers” since 17:30 isn't logged yet, and isn't lost" in said


def test_spread_out_afresh_keeps_another_plan(folder: Path) -> None:
    """The plan that was held on to goes, and the fresh one is held on to instead."""
    _delay(folder, "away", "Thursday", "--keep")
    _delay(folder, "occasion", "body-fitting", "Sunday", "--keep")
    held = read_project(folder).kept.hours
    _delay(folder, "afresh", "--keep")
    assert read_project(folder).kept.hours not in ((), held)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "Write tonight, away, delivery, occasion, helper or afresh."),
        (("rain",), "“rain” is nothing that is known to happen"),
        (("away",), "Say the day you are back"),
        (("away", "2027-05-01"), "Saturday 1 May is not after today"),
        (("away", "soon"), "“soon” is no date: write 14 May, 14 May 2027 or 2027-05-14."),
        (("delivery", "braid"), "Say what comes, and when"),
        (("delivery", "velvet", "6 May"), "no “velvet” in the stock; there is narrow wool braid."),
        (("delivery", "silk", "cord", "6", "May"), "There is no “silk cord” in the stock"),
        (("delivery", "wool", "braid", "soon"), "is no date"),
        (("delivery", "braid", "2027-05-01"), "Saturday 1 May is past"),
        (("occasion", "ball", "Sunday"), "There is no occasion “ball”"),
        (("occasion", "regatta", "Sunday 25:00"), "no time of a day"),
        (("helper", "Tuesday"), "Tomorrow has no helper hours."),
        (("tonight", "Sunday"), "Nothing is written behind tonight."),
    ],
)
def test_what_cannot_be_meant(
    folder: Path, words: tuple[str, ...], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A clear sentence, nothing written."""
    before = _texts(folder)
    assert _delay(folder, *words, "--keep") == 2
    assert told in capsys.readouterr().err
    assert _texts(folder) == before


def test_an_occasion_by_its_kind_or_a_word_of_its_name(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As the README writes it, where only one can be meant."""
    for word in ("fitting", "Body", "event"):
        assert _delay(folder, "occasion", word, "Sunday") in (0, 1)
        assert "moved to Sunday 9 May" in capsys.readouterr().out


def test_an_occasion_past_what_it_prepares_is_not_kept(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It is told what would come of it, and --keep is refused."""
    assert _delay(folder, "occasion", "fitting", "23 May") in (0, 1)
    assert "It would be after the Regatta" in capsys.readouterr().out
    before = _texts(folder)
    assert _delay(folder, "occasion", "fitting", "23 May", "--keep") == 2
    assert "Nothing was written: what comes after it is to be moved" in capsys.readouterr().err
    assert _texts(folder) == before


def test_the_help_of_the_command(capsys: pytest.CaptureFixture[str]) -> None:
    """What is written behind occasion is spelt as it is typed."""
    with pytest.raises(SystemExit):
        main(["delay", "--help"])
    assert "DATE TIME moves" in " ".join(capsys.readouterr().out.split())


def test_as_data(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The plan then and before in short, and what moved."""
    _delay(folder, "away", "Wednesday", "--json")
    found = json.loads(capsys.readouterr().out)
    assert (found["before"]["fits"], found["fits"]) == (True, False)
    assert (found["what"], found["kept"]) == ("away", False)
    first = found["moved"]["steps"][0]
    assert (first["step"], first["shifts"][0]["to"]) == ("ferrywoman/stays/cut", "2027-05-06")


@pytest.mark.parametrize(
    ("now", "lost"),
    [
        ("2027-05-04T10:00", "1 h 45 of hours today are lost: 1 h 30 in the workroom and 15 min"),
        # amid the setting up, and behind it
        ("2027-05-04T19:05", "1 h 40 of hours today are lost: 1 h 30 in the workroom and 10 min"),
        ("2027-05-04T20:00", "45 min of hours today are lost."),
    ],
)
def test_setting_up_is_told_apart(
    folder: Path, now: str, lost: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """So that the hours of the workroom are those that are planned."""
    text = (folder / "workroom.toml").read_text()
    day = '[[change]]\non = 2027-05-04\nworkroom = ["19:00-20:00", "20:00-20:45"]\nsofa = []\n'
    (folder / "workroom.toml").write_text(f"{text}\n{day}")
    assert main(["delay", str(folder), "tonight", "--now", now]) in (0, 1)
    assert lost in " ".join(capsys.readouterr().out.split())
