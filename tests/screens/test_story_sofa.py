"""A story: twenty minutes on the sofa. Keys only; at each station what the maker sees."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from tests.screens.driving import Driven, drive
from tests.screens.workrooms import a_copy, by_the_catalogue

MONDAY = datetime(2027, 6, 7, 20, 45)
WORKROOM = by_the_catalogue(Path("sample_projects/oldmere_regatta"))


def place_of(driven: Driven, part: str) -> int:
    """The line on which this stands."""
    return next(y for y, line in enumerate(driven.text()) if part in line)


def test_twenty_minutes_on_the_sofa(tmp_path: Path) -> None:
    """Tired, after a week of fever: what can be done now, what better not, what to pack."""

    async def body(driven: Driven) -> None:
        # she opens the workroom: it doesn't fit, and she is asked nothing
        assert driven.screen == "RunUp"
        assert driven.shows("Does not fit: 1 h 24 short before")

        # what can be done now? the sofa hours have an hour and a quarter left
        await driven.press("n")
        assert driven.shows("‹1 h 15›   workroom ‹sofa› on the way   ‹fresh› tired")
        assert driven.shows("1:15 of 1:25  h  Four more thread buttons")

        # she has twenty minutes of it, and is tired
        await driven.press("2", "0", "f")
        assert driven.shows("‹20 min›   workroom ‹sofa› on the way    fresh ‹tired›")
        # the most useful first, and what can be ended is said to be
        assert driven.shows("▸0:12 ends it  h  Head band")
        assert driven.shows("0:20 of 1:25  h  Four more thread buttons")
        assert place_of(driven, "Head band") < place_of(driven, "Four more thread buttons")
        # nothing on the list is cut, and nothing needs a table
        assert not driven.shows("cut lining")
        # what would come next, and what is before it
        assert driven.shows("line a hat")
        assert driven.shows("after “Head band”, 12 min")

        # why the band? it can be ended, and the lining waits for it; and mind the hands
        await driven.press("enter")
        assert driven.shows("since it can be ended")
        assert driven.shows("It takes 24.4 in of petersham ribbon")
        assert driven.shows("for “line a hat” (Low round hat) follows it")
        assert driven.shows("Rest your hands a few minutes in every half hour")
        await driven.press("enter")

        # would the workroom be wiser? more could be done, but no cutting tonight
        await driven.press("p", "p")
        assert driven.shows("‹workroom›")
        assert driven.shows("Tailor's tacks")
        assert driven.shows("You are tired, so left out: cutting")
        assert driven.shows("“cut lining or interlining panels”")
        # no: back to the sofa, and to the band
        await driven.press("p", "home")
        assert driven.shows("▸0:12 ends it  h  Head band")
        assert not driven.shows("left out")

        # before bed: what goes into the bag for tomorrow's train?
        assert driven.shows("Tonight's bag, for tomorrow: 30 min on the way, 07:50-08:20")
        await driven.press("tab")
        assert driven.focus == "bag"
        assert driven.shows("▸take   0:30 of 1:25  h  Four more thread buttons")
        assert driven.shows("With it needle, thread, thimble and small scissors.")

        # when would the plan have the buttons? in the run-up, opened
        await driven.press("r")
        assert driven.screen == "RunUp"
        assert driven.shows("Four more thread buttons")
        assert driven.shows("for “sew on buttons”")

        # and back: nothing she said is forgotten
        await driven.press("n")
        assert driven.shows("‹20 min›   workroom ‹sofa› on the way    fresh ‹tired›")

    drive(body, path=a_copy(tmp_path, WORKROOM), now=MONDAY)
