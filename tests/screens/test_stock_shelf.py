"""The stock driven by keys and mouse: what runs out, counted, coming, come."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from planner.files.reading import read_project
from planner.model import Stock
from screens.command import main
from screens.run_up import RunUp
from screens.stock import StockShelf
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, SMALL, a_copy

MORE = """
[[stock]]
id = "linen"
name = "bleached linen"
have = "2 m"
lead = "5 days"

[[stock.coming]]
amount = "1.5 m"
arrives = 2027-05-06

[[garment]]
"""


def with_linen(folder: Path, keys: str = "") -> Path:
    """The small workroom with linen, of which the stays take three metres."""
    path = a_copy(folder)
    file = path / "ferrywoman.toml"
    text = file.read_text(encoding="utf-8").replace("\n[[garment]]\n", MORE, 1)
    made = text.replace(
        'name = "cut the layers"',
        'name = "cut the layers"\nuses = [{ stock = "linen", amount = ["3 m"] }]',
    )
    assert made != text
    file.write_text(made, encoding="utf-8")
    return path


def shelf(driven: Driven) -> StockShelf:
    """The screen."""
    screen = driven.app.screen
    assert isinstance(screen, StockShelf)
    return screen


def stock_in(path: Path, ident: str) -> Stock:
    """A stock as the files say now."""
    return next(one for one in read_project(path).ensembles[0].stock if one.id == ident)


def test_what_runs_out_is_answered_by_the_first_look() -> None:
    """What, by how much, at which step and when, that it can't be had again, what would do."""

    async def body(driven: Driven) -> None:
        await driven.press("s")
        text = driven.text()
        assert text[3].strip() == "1 of 1 runs out: “narrow wool braid” by 0.6 m."
        assert driven.shows("Runs out, can't be bought again")
        assert driven.shows("wanted  there  short")
        assert driven.shows("3.1 m  2.5 m  0.6 m")
        assert driven.shows("decide Wed 19 May")
        said = " ".join(" ".join(text).split())
        assert "it runs out at “braid, two rows” (Jacket bodice), on Wednesday 19 May." in said
        assert "Without that step, none of it is wanted. Decide before that step." in said
        assert driven.shows("runs out: 0.6 m short")

    drive(body, path=SMALL, now=MONDAY)


def test_a_recount_is_typed_in_place(tmp_path: Path) -> None:
    """c, the amount, enter: what comes of it is told before, it is kept, ^z takes it back."""
    path = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("s", "c")
        assert driven.shows("narrow wool braid, there today:")
        await driven.press(*"3.2")
        assert driven.shows("then: it is enough, 0.1 m is left over; fits, but tightly")
        await driven.press("enter")
        assert driven.shows("Narrow wool braid counted: 3.2 m.")
        assert driven.focus == "stock"
        found = stock_in(path, "braid")
        assert (found.have.value, found.counted) == (3.2, date(2027, 5, 3))
        assert driven.shows("Nothing runs out.")
        await driven.press("ctrl+z")
        assert stock_in(path, "braid").have.value == 2.5
        assert driven.shows("1 of 1 runs out")

    drive(body, path=path, now=MONDAY)


def test_what_is_no_amount_is_said_and_escape_drops_it(tmp_path: Path) -> None:
    """Nothing is kept."""
    path = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("s", "c", *"3 m2", "enter")
        assert driven.shows("It is kept in m: write the amount so.")
        assert shelf(driven).line.asking
        await driven.press("escape")
        assert not shelf(driven).line.asking
        assert driven.focus == "stock"
        assert stock_in(path, "braid").counted is None

    drive(body, path=path, now=MONDAY)


def test_letters_typed_in_the_line_do_nothing_else(tmp_path: Path) -> None:
    """They are text, not keys of the screens; brackets are no markup."""

    async def body(driven: Driven) -> None:
        await driven.press("s", "c", *"hqg[/]")
        assert shelf(driven).line.text.value == "hqg[/]"

    drive(body, path=SMALL, now=MONDAY)


def test_deliveries_are_written_and_come(tmp_path: Path) -> None:
    """d types what is coming, k takes the one due first in."""
    path = with_linen(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("s", "down")
        assert shelf(driven).stock.cursor == "ferrywoman/linen"
        assert driven.shows("needs what comes on Thursday 6 May.")
        await driven.press("d", *", 2 m", "enter")
        assert [one.amount.value for one in stock_in(path, "linen").coming] == [1.5, 2]
        assert driven.shows("3.5 m ?")
        await driven.press("k")
        found = stock_in(path, "linen")
        assert (found.have.value, [one.arrives for one in found.coming]) == (3.5, [None])
        assert driven.shows("1.5 m of bleached linen has come.")

    drive(body, path=path, now=MONDAY)


def test_what_an_editor_changed_meanwhile_is_said_before_it_is_kept(tmp_path: Path) -> None:
    """What is typed stays, and the files' own is told beneath it."""
    path = with_linen(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("s", "down", "d", *", 2 m")
        file = path / "ferrywoman.toml"
        text = file.read_text(encoding="utf-8")
        file.write_text(text.replace('amount = "1.5 m"', 'amount = "9 m"'), encoding="utf-8")
        driven.app.replan()
        await driven.settle()
        assert driven.shows("The files say now: 9 m on 2027-05-06; enter keeps what stands here.")
        assert shelf(driven).line.text.value == "1.5 m on 2027-05-06, 2 m"
        await driven.press("enter")
        assert [one.amount.value for one in stock_in(path, "linen").coming] == [1.5, 2]

    drive(body, path=path, now=MONDAY)


def test_the_account_leads_to_the_steps_and_takes_deliveries_in(tmp_path: Path) -> None:
    """Enter on a step goes to its day, on a delivery it has come."""
    path = with_linen(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("s", "down", "enter")
        assert driven.focus == "opened"
        await driven.press("escape")
        assert driven.focus == "stock"
        await driven.press("enter", "down", "enter")
        screen = driven.app.screen
        assert isinstance(screen, RunUp)
        await driven.press("s", "home", "enter")
        assert stock_in(path, "linen").have.value == 3.5

    drive(body, path=path, now=MONDAY)


def test_a_adds_e_edits_and_delete_removes(tmp_path: Path) -> None:
    """As in the garments."""
    path = with_linen(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("s", "a", *"lining", "down", *"2 m", "ctrl+s")
        assert stock_in(path, "lining").have.value == 2
        assert shelf(driven).stock.cursor == "ferrywoman/lining"
        assert driven.shows("No step wants it")
        await driven.press("e", "down", "backspace", "backspace", "backspace", *"3 m", "ctrl+s")
        assert stock_in(path, "lining").have.value == 3
        await driven.press("delete")
        assert "lining" not in [one.id for one in read_project(path).ensembles[0].stock]
        assert driven.shows("Lining removed from the stock.")
        await driven.press("ctrl+z")
        assert stock_in(path, "lining").have.value == 3

    drive(body, path=path, now=MONDAY)


def test_nothing_in_stock_says_what_to_do(tmp_path: Path) -> None:
    """a adds the first."""
    path = a_copy(tmp_path)
    file = path / "ferrywoman.toml"
    text = file.read_text(encoding="utf-8")
    begin, end = text.index("[[stock]]"), text.index("[[garment]]")
    text = (text[:begin] + text[end:]).replace(
        'uses = [{ stock = "braid", amount = ["3.1 m"] }]\n', ""
    )
    file.write_text(text, encoding="utf-8")

    async def body(driven: Driven) -> None:
        await driven.press("s")
        assert driven.shows("No cloth, trim or notions are written down yet. a adds the first")
        await driven.press("c", "k", "e", "delete")
        assert not shelf(driven).line.asking
        await driven.press("a")
        assert driven.screen == "Form"

    drive(body, path=path, now=MONDAY)


def test_a_click_chooses_and_the_palette_knows_what_can_be_done(tmp_path: Path) -> None:
    """Each delivery can be taken in by name."""
    path = with_linen(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("s")
        row = next(k for k, line in enumerate(driven.text()) if "bleached linen" in line)
        await driven.pilot.click(offset=(4, row))
        await driven.settle()
        assert shelf(driven).stock.cursor == "ferrywoman/linen"
        names = [command.title for command in shelf(driven).get_commands()]
        assert "1.5 m of bleached linen has come" in names
        assert {"Add to the stock", "Count bleached linen", "Edit bleached linen"} < set(names)

    drive(body, path=path, now=MONDAY)


def answered(capsys: pytest.CaptureFixture[str], path: Path) -> list[dict[str, Any]]:
    """What the command says of the stock."""
    main(["stock", str(path), "--today", "2027-05-03", "--json"])
    found: list[dict[str, Any]] = json.loads(capsys.readouterr().out)["stock"]
    return found


def test_the_command_answers_in_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Days, amounts, what is left after each step, and what would do."""
    braid, linen = answered(capsys, with_linen(tmp_path))
    assert (braid["short"], braid["again"], braid["order_by"]) == (0.6, False, None)
    assert braid["runs_out_at"] == braid["first"] == "ferrywoman/bodice/trim"
    assert braid["runs_out_on"] == braid["to_hand_by"] == "2027-05-19"
    assert braid["suffices"] == {
        "wanted": 0.0,
        "changes": [
            {
                "step": "ferrywoman/bodice/trim",
                "instead": None,
                "left_off": True,
                "amount": 0.0,
                "saved": 3.1,
                "missed": 3,
            }
        ],
    }
    assert (linen["wanted"], linen["there"], linen["coming"], linen["short"]) == (3, 2, 1.5, 0)
    assert linen["arrivals"] == [{"amount": 1.5, "arrives": "2027-05-06"}]
    (step,) = linen["steps"]
    assert (step["until"], step["left"], step["lacking"]) == ("2027-05-06T00:00:00", 0.5, 0)
