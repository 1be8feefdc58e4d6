"""The plan as JSON."""

from __future__ import annotations

import json
import re
from pathlib import Path

from planner.exports.as_json import plan_as_json
from tests.screens.a_plan import a_plan

DOCUMENT = Path("planner/exports/JSON.md")


def test_it_is_plain_json_with_iso_dates() -> None:
    """Nothing but JSON's own values; dates and times are ISO 8601; minutes whole numbers."""
    told = json.loads(json.dumps(plan_as_json(a_plan()), allow_nan=False))
    assert told["now"] == "2027-05-05T00:00:00"
    assert told["days"][3]["date"] == "2027-05-08"
    first = told["sittings"][0]
    assert (first["start"], first["end"]) == ("2027-05-05T19:45:00", "2027-05-05T20:45:00")
    assert first["where"] == "workroom"
    assert told["sittings"][4]["where"] == "take_along"
    assert isinstance(first["minutes"], int)


def test_notes_hold_only_what_is_filled() -> None:
    """A note has its kind and the fields its kind fills."""
    told = plan_as_json(a_plan())
    assert told["days"][0]["notes"] == [{"kind": "over", "minutes": 30}]


def test_waits_and_the_tight_spot() -> None:
    """A wait is nights and minutes; the tight spot's sums come out."""
    told = plan_as_json(a_plan())
    hem = next(step for step in told["steps"] if step["id"].endswith("bodice/hem"))
    assert hem["wait"] == {"nights": 1, "minutes": 0}
    spot = told["tight_spot"]
    assert sum(hours["minutes"] for hours in spot["hours"]) == spot["available"]
    assert sum(step["minutes"] for step in spot["steps"]) == spot["wanted"]
    assert spot["short"] == 105
    assert set(spot["chains"]) == {step["id"] for step in spot["steps"]}


def test_every_key_is_documented() -> None:
    """JSON.md names every key the plan prints."""
    named = set(re.findall(r"`([a-z_]+)`", DOCUMENT.read_text(encoding="utf-8")))
    told = plan_as_json(a_plan())
    keys = set(told)
    for name in ("days", "windows", "sittings", "steps", "occasions", "unplaced", "warnings"):
        keys |= set(told[name][0])
    keys |= set(told["tight_spot"]) | set(told["steps"][0]["reason"])
    assert keys <= named, keys - named
