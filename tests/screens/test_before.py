"""Before driven by keys and mouse."""

from __future__ import annotations

import tomllib
from collections.abc import Awaitable, Callable
from datetime import datetime
from pathlib import Path

import pytest

from screens.before import Before
from screens.garments import Garments
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, SMALL, a_copy

Body = Callable[[Driven, Before], Awaitable[None]]
BOAT = """
[[occasion]]
id = "boat"
name = "Ferry"
kind = "departure"
at = 2027-05-21T18:00:00
"""


def on_before(
    path: Path, body: Body, size: tuple[int, int] = (80, 24), now: datetime = MONDAY
) -> None:
    """Open a workroom on what must be there before its next occasion."""

    async def run(driven: Driven) -> None:
        await driven.press("b")
        screen = driven.app.screen
        assert isinstance(screen, Before)
        await body(driven, screen)

    drive(run, size, path, now)


@pytest.fixture
def packing(tmp_path: Path) -> Path:
    """The small workroom with a departure and things to pack."""
    path = a_copy(tmp_path)
    file = path / "ferrywoman.toml"
    text = file.read_text("utf-8").replace("format = 1", 'format = 1\npack = ["shoes"]', 1)
    file.write_text(text.replace("\n[[stock]]", f"{BOAT}\n[[stock]]", 1), encoding="utf-8")
    return path


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=str)
def test_opens_on_the_next_occasion(size: tuple[int, int]) -> None:
    """Its answer first, then the steps with their days; the cursor on the first of them."""

    async def body(driven: Driven, screen: Before) -> None:
        assert screen.chosen == "ferrywoman/body-fitting"
        assert driven.shows("The Body fitting is on Saturday 8 May, 14:00, in 5 days.")
        assert "All of it can be done: 5 h 35 of work" in " ".join(" ".join(driven.text()).split())
        assert driven.shows("╌╌ as far as needed, 4 steps, 5:35")
        assert driven.shows("▸Tue  4 May  1:00  c  cut the layers")

    on_before(SMALL, body, size)


def test_choosing_an_occasion() -> None:
    """By arrows, brackets, digits and clicks; the edges hold."""

    async def body(driven: Driven, screen: Before) -> None:
        first, last = "ferrywoman/body-fitting", "ferrywoman/regatta"
        for key, chosen in (
            ("left", first), ("right", last), ("right", last), ("left_square_bracket", first),
            ("2", last), ("9", last), ("1", first), ("right_square_bracket", last),
        ):  # fmt: skip
            await driven.press(key)
            assert screen.chosen == chosen, key
        assert "all must be ready by the end of" in " ".join(" ".join(driven.text()).split())
        await driven.pilot.click("Occasions", offset=(5, 0))
        await driven.settle()
        assert screen.chosen == first

    on_before(SMALL, body)


def test_the_one_last_looked_at_is_kept_while_it_is_ahead() -> None:
    """Coming back finds it; one that is past gives way to the next."""

    async def body(driven: Driven, screen: Before) -> None:
        await driven.press("2", "u", "b")
        assert screen.chosen == "signal_master/second-fitting"
        await driven.press("1")
        assert driven.shows("It lacked nothing.")
        await driven.press("u", "b")
        assert screen.chosen == "signal_master/second-fitting"
        await driven.press("3", "u", "b")
        assert screen.chosen == "signal_master/trial"

    on_before(Path("sample_projects/oldmere_regatta"), body, now=datetime(2027, 6, 7))


def test_gone_to_from_elsewhere() -> None:
    """The app opens it on an occasion by its id, also when it is first shown then."""

    async def body(driven: Driven) -> None:
        driven.app.open_occasion("ferrywoman/regatta")
        await driven.settle()
        screen = driven.app.screen
        assert isinstance(screen, Before) and screen.chosen == "ferrywoman/regatta"

    drive(body, path=SMALL, now=MONDAY)


def test_gone_to_from_the_garments() -> None:
    """The palette of the garments offers what the occasion under the cursor needs."""

    async def body(driven: Driven) -> None:
        await driven.press("g", "down", "down", "down")
        title = "See what must be there before Regatta"
        garments = driven.app.screen
        assert isinstance(garments, Garments)
        offered = {one.title: one.callback for one in garments.get_commands()}
        offered[title]()
        await driven.settle()
        screen = driven.app.screen
        assert isinstance(screen, Before) and screen.chosen == "ferrywoman/regatta"

    drive(body, path=SMALL, now=MONDAY)


def test_a_step_opens_and_goes_to_its_day() -> None:
    """Enter tells why and what to watch; r shows it in the run-up."""

    async def body(driven: Driven, screen: Before) -> None:
        assert not driven.shows("close the blade")
        await driven.press("enter")
        assert driven.shows("It is done") and driven.shows("close the blade after")
        await driven.press("escape")
        assert not driven.shows("close the blade")
        await driven.press("down", "r")
        assert driven.screen == "RunUp"
        assert driven.run_up.opened.cursor is not None
        assert driven.run_up.opened.cursor.endswith("ferrywoman/stays/channels")

    on_before(SMALL, body)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=str)
def test_to_its_list_and_back(size: tuple[int, int]) -> None:
    """One key goes to what is done at it, and back to the work."""

    async def body(driven: Driven, screen: Before) -> None:
        await driven.press("a")
        assert screen.subject == ("thing", "ferrywoman/stays/lace")
        assert driven.shows("Saturday has two things to do")
        assert driven.shows("worn under it: Stays")
        await driven.press("down", "down")
        assert screen.subject == ("under", "ferrywoman/stays")
        await driven.press("enter")
        assert driven.shows("boning channels")
        await driven.press("a")
        assert screen.subject == ("step", "ferrywoman/stays/cut")

    on_before(SMALL, body, size)


def test_by_garment_and_by_stage() -> None:
    """One key groups the same steps the other way; the cursor stays on its step."""

    async def body(driven: Driven, screen: Before) -> None:
        await driven.press("down", "y")
        assert driven.shows("╌╌ Stays: as far as “bones in front” Sat 8 May, 3 steps, 3:50")
        assert screen.subject == ("step", "ferrywoman/stays/channels")
        await driven.press("y")
        assert driven.shows("╌╌ as far as needed, 4 steps")

    on_before(SMALL, body)


def packed(path: Path) -> object:
    """What the file says is packed."""
    return tomllib.loads((path / "ferrywoman.toml").read_text("utf-8")).get("packed")


def test_ticking_off(packing: Path) -> None:
    """Space ticks what is under the cursor, is saved at once, and is undone; so does a click."""

    async def body(driven: Driven, screen: Before) -> None:
        await driven.press("2")
        assert screen.chosen == "ferrywoman/boat"
        await driven.press("a", "space")
        assert packed(packing) == ["stays"]
        assert driven.shows("Stays packed.") and driven.shows("1 of 3 things are packed.")
        assert driven.shows("▸× Stays")
        assert screen.subject == ("item", "ferrywoman/stays")
        await driven.press("down", "down", "space")
        assert packed(packing) == ["stays", "shoes"]
        await driven.press("up", "up", "space")
        assert packed(packing) == ["shoes"] and driven.shows("Stays unpacked.")
        await driven.press("ctrl+z", "ctrl+z")
        assert packed(packing) == ["stays"]
        await driven.press("up")  # and so what was told is read
        row = next(y for y, line in enumerate(driven.text()) if "· Jacket bodice" in line)
        await driven.pilot.click(offset=(1, row))
        await driven.settle()
        assert packed(packing) == ["stays", "bodice"]

    on_before(packing, body)


def test_space_elsewhere_goes_to_what_is_packed(packing: Path) -> None:
    """On a step there is nothing to tick: it goes to the list, and changes nothing."""

    async def body(driven: Driven, screen: Before) -> None:
        await driven.press("2", "space")
        assert screen.subject == ("item", "ferrywoman/stays") and packed(packing) is None
        await driven.press("1", "space")
        assert screen.chosen == "ferrywoman/body-fitting" and packed(packing) is None

    on_before(packing, body)


def test_listing_more_to_pack(packing: Path) -> None:
    """A key opens the list in its form; what is added is there to be ticked."""

    async def body(driven: Driven, screen: Before) -> None:
        await driven.press("2", "i")
        assert driven.shows("Must be there too")
        await driven.press("end", *", fan", "ctrl+s")
        assert driven.screen == "Before"
        text = (packing / "ferrywoman.toml").read_text("utf-8")
        assert tomllib.loads(text)["pack"] == ["shoes", "fan"]
        await driven.press("end")
        assert driven.shows("▸· fan")

    on_before(packing, body)


def test_its_form(packing: Path) -> None:
    """A key edits the occasion; back again, it is still looked at."""

    async def body(driven: Driven, screen: Before) -> None:
        await driven.press("2", "e")
        assert driven.screen == "Form" and driven.shows("Ferry")
        await driven.press("escape")
        assert driven.app.screen is screen and screen.chosen == "ferrywoman/boat"

    on_before(packing, body)


def test_without_an_occasion(tmp_path: Path) -> None:
    """It says so, and what to do next; no key fails."""
    path = a_copy(tmp_path)
    (path / "ferrywoman.toml").write_text("format = 1\nname = 'F'\n", encoding="utf-8")

    async def body(driven: Driven, screen: Before) -> None:
        assert driven.shows("There is no occasion yet")
        await driven.press("left", "right", "1", "a", "y", "space", "r", "i", "e", "enter")
        assert isinstance(driven.app.screen, Before)

    on_before(path, body)


def test_the_list_reads_on_while_files_change(packing: Path) -> None:
    """A step done by an editor leaves the list; the cursor stays on its own step."""

    async def body(driven: Driven, screen: Before) -> None:
        await driven.press("down")
        assert screen.subject == ("step", "ferrywoman/stays/channels")
        file = packing / "ferrywoman.toml"
        text = file.read_text("utf-8").replace('hours = "1h"\n', 'hours = "1h"\ndone = true\n', 1)
        file.write_text(text, encoding="utf-8")
        driven.app.look()
        await driven.settle()
        assert screen.subject == ("step", "ferrywoman/stays/channels")
        assert not driven.shows("cut the layers")

    on_before(packing, body)


def test_every_occasion_is_in_the_palette() -> None:
    """What keys do can be found by name."""

    async def body(driven: Driven, screen: Before) -> None:
        names = [one.title for one in screen.get_commands()]
        assert "Look at what Sat 22 May event needs" in names
        for name in ("Arrange by garment", "Go to its list", "Edit this occasion"):
            assert name in names
        for one in list(screen.get_commands()):
            if one.title.startswith("Look at"):
                one.callback()
        await driven.settle()
        assert screen.chosen == "ferrywoman/regatta"
        assert "List what else must be packed" in [one.title for one in screen.get_commands()]

    on_before(SMALL, body)


def test_from_narrow_to_wide_and_back() -> None:
    """Its list stands beside the work from 110 columns on, beneath it else."""

    async def body(driven: Driven, screen: Before) -> None:
        assert not screen.own.display
        for width, beside in ((130, True), (90, False)):
            await driven.pilot.resize_terminal(width, 30)
            await driven.settle()
            assert screen.own.display is beside
            assert screen.own.parts == (("own",) if beside else ())
            assert driven.shows("╌ ╎╌╌ to do at it") is beside

    on_before(SMALL, body)
