"""What the plan and day commands say of days behind, and at a glance."""

from __future__ import annotations

import json

import pytest

from screens.command import main

REGATTA = "sample_projects/oldmere_regatta"
NOW = ["--today", "2027-06-07"]


def said(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """What a command prints."""
    main([*words, *NOW])
    return capsys.readouterr().out


def test_a_day_behind_tells_what_was_done(capsys: pytest.CaptureFixture[str]) -> None:
    """Entry by entry, with the maker's notes; nothing planned is claimed of it."""
    text = said(capsys, "day", REGATTA, "2027-06-06")
    assert "Yesterday, Sun 6 Jun: 1:40 done" in text
    assert "stopped when my hands shook" in text
    data = json.loads(said(capsys, "day", REGATTA, "2027-06-06", "--json"))
    assert data["date"] == "2027-06-06" and data["day"] is None and data["sittings"] == []
    assert [entry["minutes"] for entry in data["entries"]] == [30, 40, 30]
    assert {step["id"] for step in data["steps"]} == {one["step"] for one in data["entries"]}


def test_a_day_nothing_is_known_of_is_an_error(capsys: pytest.CaptureFixture[str]) -> None:
    """Neither planned nor logged: a sentence says from when to when the plan goes."""
    assert main(["day", REGATTA, "2027-04-01", *NOW]) == 2
    assert "is not in the plan, which goes from Monday 7 June" in capsys.readouterr().err


def test_the_plan_begins_with_the_glance(capsys: pytest.CaptureFixture[str]) -> None:
    """Under the verdict what to know without reading on; the days behind before the others."""
    text = said(capsys, "plan", REGATTA)
    begins = text.index("Nothing today; tomorrow, ")
    assert begins < text.index("Sun  6 Jun") < text.index("Mon  7 Jun")
    seen = json.loads(said(capsys, "plan", REGATTA, "--json"))["at_a_glance"]
    assert sum(one["minutes"] for one in seen["lost"]) == 480
    assert len(seen["over"]) >= 3 and seen["short"] and seen["late"]
    assert seen["today"] is None and seen["ahead"]["date"] == "2027-06-08"
    assert not seen["outlooks"]["signal_master"]["wearable_now"]
