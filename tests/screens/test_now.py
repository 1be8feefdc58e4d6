"""The screen Now, and `wearby now`: the choices, what can be done by them, the bag."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import cast

import pytest

from planner.doable import Choices
from planner.model import Place
from screens.command import main
from screens.now import Now, as_words
from screens.widgets.choices_line import placed
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import by_the_catalogue

SAMPLE = by_the_catalogue(Path("sample_projects/oldmere_regatta"))
MONDAY = datetime(2027, 6, 7, 20, 45)
"""An hour and a quarter of sofa hours is left."""
HEAD_BAND = "signal_master/hat/band"
BUTTONS = "signal_master/waistcoat/make-buttons"


def now_of(driven: Driven) -> Now:
    """The screen."""
    return cast(Now, driven.app.screen)


def line(driven: Driven, part: str) -> str:
    """The first line that holds this."""
    return next(line for line in driven.text() if part in line)


def test_the_hours_say_what_there_is_until_the_maker_does() -> None:
    """The rest of the sofa hours; then each key changes one choice, and what can be done."""

    async def body(driven: Driven) -> None:
        await driven.press("n")
        assert "‹1 h 15›   workroom ‹sofa› on the way   ‹fresh› tired" in line(driven, "‹sofa›")
        assert driven.shows("1:15 of 1:25  h  Four more thread buttons")
        await driven.press("m")
        assert now_of(driven).chosen == Choices(minutes=90, place=Place.SOFA)
        await driven.press("M", "M")
        assert now_of(driven).chosen.minutes == 45
        await driven.press("2", "0")
        assert driven.shows("0:20 of 1:25  h  Four more thread buttons")
        await driven.press("backspace", "5")
        assert now_of(driven).chosen.minutes == 25
        await driven.press("p")
        assert driven.shows("workroom  sofa ‹on the way›")
        assert not driven.shows("Head band  ")
        await driven.press("p", "f", "a")
        assert now_of(driven).chosen == Choices(
            minutes=25, place=Place.WORKROOM, tired=True, helper=True
        )
        assert driven.shows("left out: cutting")
        # what was said is kept while one looks elsewhere
        await driven.press("u", "n")
        assert driven.shows("‹25 min›  ‹workroom› sofa  on the way    fresh ‹tired›")

    drive(body, path=SAMPLE, now=MONDAY)


def test_minutes_of_more_than_a_day_are_not_taken() -> None:
    """A digit too many is ignored; the digits begin anew after another key."""

    async def body(driven: Driven) -> None:
        await driven.press("n", *"9999")
        assert now_of(driven).chosen.minutes == 999
        await driven.press("down", "0", "8")
        assert now_of(driven).chosen.minutes == 8

    drive(body, path=SAMPLE, now=MONDAY)


def test_a_step_opens_its_reason_and_leads_to_its_day() -> None:
    """Enter tells the caution, why it stands there, what it takes; d goes to the run-up."""

    async def body(driven: Driven) -> None:
        await driven.press("n", "2", "0", "enter")
        assert driven.shows("Rest your hands a few minutes in every half hour")
        assert driven.shows("Before “Four more thread buttons” (White waistcoat), since")
        assert driven.shows("It takes 24.4 in of petersham ribbon")
        assert driven.shows("“line a hat” (Low round hat) follows it")
        await driven.press("escape")
        assert not driven.shows("Rest your hands")
        await driven.press("down", "r")
        assert driven.screen == "RunUp"
        assert driven.shows("Four more thread buttons")
        assert driven.run_up.opened.cursor is not None
        assert driven.run_up.opened.cursor.endswith(BUTTONS)

    drive(body, path=SAMPLE, now=MONDAY)


def test_the_bag_is_a_list_of_its_own() -> None:
    """Tab goes to it; its steps open, and lead to their day."""

    async def body(driven: Driven) -> None:
        await driven.press("n")
        assert driven.shows("Tonight's bag, for tomorrow: 30 min on the way, 07:50-08:20")
        await driven.press("tab", "enter")
        assert driven.focus == "bag"
        assert driven.shows("▸take   0:30 of 1:25  h  Four more thread buttons")
        assert driven.shows("“sew on buttons”")
        await driven.press("r")
        assert driven.screen == "RunUp"

    drive(body, path=SAMPLE, now=MONDAY)


def test_words_are_clicked() -> None:
    """A click on a word chooses it, on the chosen one the next."""

    async def body(driven: Driven) -> None:
        await driven.press("n")
        at = line(driven, "‹sofa›").index("on the way")
        y = driven.text().index(line(driven, "‹sofa›"))
        await driven.pilot.click(offset=(at, y))
        await driven.settle()
        assert now_of(driven).chosen.place is Place.TAKE_ALONG
        await driven.pilot.click(offset=(line(driven, "‹1 h 15›").index("‹"), y))
        await driven.settle()
        assert now_of(driven).chosen.minutes == 90
        await driven.pilot.click(offset=(line(driven, "tired").index("tired"), y))
        await driven.pilot.click(offset=(line(driven, "helper").index("helper"), y))
        await driven.settle()
        assert now_of(driven).chosen.tired and now_of(driven).chosen.helper

    drive(body, path=SAMPLE, now=MONDAY)


def test_everything_is_in_the_palette() -> None:
    """Each choice by its name, and back to the hours."""

    async def body(driven: Driven) -> None:
        await driven.press("n", "f")
        titles = {one.title: one for one in now_of(driven).get_commands()}
        assert {"I have 2 h", "I am in the workroom", "I am on the way"} <= set(titles)
        assert {"I am fresh", "Somebody is here to help", "Go to its day"} <= set(titles)
        titles["I am in the workroom"].callback()
        await driven.settle()
        assert now_of(driven).chosen == Choices(minutes=75, place=Place.WORKROOM, tired=True)
        titles["Go by the hours again"].callback()
        await driven.settle()
        assert now_of(driven).chosen == Choices(minutes=75)
        assert now_of(driven).choices is None

    drive(body, path=SAMPLE, now=MONDAY)


def test_the_cursor_stays_while_its_step_can_be_done() -> None:
    """Fewer minutes don't move it; where its step goes, the first has it."""

    async def body(driven: Driven) -> None:
        await driven.press("n", "down", "2", "0")
        able = now_of(driven).able
        assert able.cursor == BUTTONS
        await driven.press("p", "p", "down", "up", "home", "down", "down", "down")
        assert able.cursor == HEAD_BAND
        await driven.press("p", "p")
        assert now_of(driven).chosen.place is Place.TAKE_ALONG
        assert able.cursor == BUTTONS

    drive(body, path=SAMPLE, now=MONDAY)


def test_the_screen_keeps_to_the_minute() -> None:
    """Coming back later, the plan is of that minute, and so are the hours that are left."""

    async def body(driven: Driven) -> None:
        await driven.press("n")
        assert driven.shows("‹1 h 15›")
        driven.app.clock = lambda: datetime(2027, 6, 7, 21, 15)
        await driven.press("u", "n")
        assert driven.shows("‹45 min›")

    drive(body, path=SAMPLE, now=MONDAY)


def test_choices_shorten_where_there_is_no_room() -> None:
    """All minutes stand there when they fit, else only those there are; the rest stays whole."""
    words = as_words(Choices(minutes=25))
    wide = placed(words, 118)
    assert [one.text.strip() for one in wide[:4]] == ["10", "20", "‹25›", "30"]
    narrow = placed(words, 78)
    assert narrow[0].text == "‹25 min›" and narrow[0].word is None
    assert [one.text.strip() for one in narrow[1:4]] == ["workroom", "‹sofa›", "on the way"]
    assert narrow[-1].end <= 78


# the command


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    """Status, output, errors."""
    status = main(["now", str(SAMPLE), "--now", "2027-06-07T20:45", *words])
    out, err = capsys.readouterr()
    return status, out, err


def test_the_command_says_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    """Minutes and place as typed, what can be done, what is left out, the bag; status as ever."""
    status, out, _ = run(capsys, "--minutes", "20", "--place", "workroom", "--tired")
    assert status == 1
    assert "20 min in the workroom, tired:" in out
    assert "0:10 ends it  h  Tailor's tacks" in out
    assert "You are tired, so left out: cutting" in out
    assert "Nearly possible:" in out
    assert "Tonight's bag, for tomorrow: 30 min on the way, 07:50-08:20." in out
    assert out.count("Rest your hands") == 1


def test_the_command_takes_the_hours_that_are_on(capsys: pytest.CaptureFixture[str]) -> None:
    """Without a word the sofa hours; another place has no hours of its own now."""
    assert "1 h 15 on the sofa:" in run(capsys)[1]
    elsewhere = run(capsys, "--place", "workroom", "--helper")[1]
    assert "20 min in the workroom with a helper:" in elsewhere
    assert "1 h 30 on the sofa:" in run(capsys, "--minutes", "1h30")[1]


def test_the_command_as_data(capsys: pytest.CaptureFixture[str]) -> None:
    """The keys JSON.md lists."""
    _, out, _ = run(capsys, "--minutes", "20", "--json", "--tired")
    data = json.loads(out)
    assert (data["minutes"], data["place"], data["tired"], data["helper"]) == (
        20, "sofa", True, False,
    )  # fmt: skip
    first = data["doable"][0]
    assert (first["step"], first["minutes"], first["left"]) == (HEAD_BAND, 12, 12)
    assert first["uses"][0]["stock"] == "signal_master/petersham"
    assert {"left_out", "nearly", "in_workroom", "not_yet", "sentences", "fits"} <= set(data)
    assert data["nearly"][0]["kept"][0]["by"] == "after"
    bag = data["bag"]
    assert (bag["date"], bag["minutes"], bag["empty"]) == ("2027-06-08", 30, 0)
    assert bag["also"][0]["step"] == BUTTONS


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--place", "train"), "“train” is no place: write workroom, sofa or take-along."),
        (("--minutes", "soon"), "“soon” is no time: write minutes as 20, or 1h30."),
        (("--minutes", "0"), "“0” must be from 1 minute to 24h."),
        (("--minutes", "25h"), "“25h” must be from 1 minute to 24h."),
    ],
)
def test_wrong_choices_are_told(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], told: str
) -> None:
    """What was typed wrong says what to write."""
    status, out, err = run(capsys, *words)
    assert status == 2 and not out
    assert told in err
