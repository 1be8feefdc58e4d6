"""A story: seeing what must be there before a fitting, with keys only."""

from __future__ import annotations

import tomllib
from datetime import datetime
from pathlib import Path

from screens.before import Before
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import SAMPLE, a_copy

MONDAY = datetime(2027, 8, 30)


def test_what_must_be_there_before_the_second_fitting(tmp_path: Path) -> None:
    """Two ensembles, two fittings. The maker opens the program, asks what must be there before
    the second, whether it can be, what is done at it, and what can wait; then looks at the boat.
    """
    path = a_copy(tmp_path, SAMPLE)

    async def body(driven: Driven) -> None:
        # the run-up: the verdict; b goes to the next occasion, the first fitting
        assert driven.shows("Fits: tomorrow fullest, 73 %.")
        await driven.press("b")
        before = driven.app.screen
        assert isinstance(before, Before)
        text = " ".join(driven.text())
        assert "1 Sat 25 Sep fitting" in text and "2 Sat 16 Oct fitting" in text
        assert driven.shows("“Over the stays: bodice and doublet mock-ups” is on Saturday 25")

        # one key further: the second. What must be there, and that it can be, is said at once
        await driven.press("right")
        text = " ".join(" ".join(driven.text()[:12]).split())
        assert "is on Saturday 16 October, 14:00, in 47 days." in text
        assert "All of it can be done: 47 h 23 of work, 8 h 37 of it for the Tide-" in text
        assert "in 66 h 56 of hours that serve it; 19 h 33 left over" in text
        assert "Wanted fittable by then: Stays, Shoes, Petticoat and Skirt" in text
        assert "wearable: Hip roll" in text
        assert "as far as needed: Old linen shift and Boned bodice" in text

        # beneath, each step on its day with its minutes; the first is due tomorrow
        assert driven.shows("╌╌ to be fittable, 38 steps, 30:24 of 47:23, and 0:25 at a fitting")
        assert driven.shows("▸Tue 31 Aug")
        await driven.press("enter")
        assert driven.shows("It is done tomorrow")
        await driven.press("escape")

        # by garment: what the stays want, and by when they are there
        await driven.press("y", "home")
        assert driven.shows("╌╌ Stays: fittable Sat 25 Sep, 15 steps, 16:52 of 47:23")
        await driven.press("y")

        # its list: three things, over what, what the pins decide, and whether the time suffices
        await driven.press("a")
        text = " ".join(" ".join(driven.text()).split())
        assert "Saturday has three things to do, about 2 h 18, and it is planned to take" in text
        assert "0:50 f In cloth, with the breeches" in text
        assert "worn under it: Wide smock and Father's velvet breeches" in text
        await driven.press("down", "down")
        text = " ".join(" ".join(driven.text()).split())
        assert "decides: “sew and press darts”, then “sew curved or princess seams”" in text

        # down the list: what goes on under it and what it must be able to do; what can wait
        await driven.press(*["down"] * 3)
        text = " ".join(" ".join(driven.text()).split())
        assert "under it, in the order they go on" in text
        assert "Stays: fittable with “work eyelets by hand”" in text
        await driven.press("end")
        assert driven.shows("2:00  Wearing and mending: Mend what the trial showed")
        assert before.subject[0] == "wait"

        # back at the top, r shows the step's day in the run-up, and b comes back to this fitting
        await driven.press("a", "a", "r")
        assert driven.screen == "RunUp"
        await driven.press("b")
        assert before.chosen == "lamp_keeper/second-fitting"

        # the boat: what to pack, in dressing order; the shift goes in
        await driven.press("5", "a")
        text = " ".join(" ".join(driven.text()).split())
        assert "all must be ready by the end of Wednesday 10 November" in text
        assert "0 of 15 things are packed." in text
        await driven.press("space")
        assert driven.shows("▸× Old linen shift") and driven.shows("1 of 15 things are packed.")

    drive(body, path=path, now=MONDAY)
    saved = tomllib.loads((path / "lamp_keeper.toml").read_text("utf-8"))
    assert saved["packed"] == ["shift"]
