"""Plans of random workrooms checked by an independent reading of the rules.

``WEARBY_SEEDS=500`` in the environment checks so many seeds instead of the ordinary sixty.
"""

from __future__ import annotations

import copy
import os
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.independent.checker import faults, tight_spot_faults
from tests.independent.random_workrooms import write_workroom
from tests.independent.run_validity import plan_of

SEEDS = int(os.environ.get("WEARBY_SEEDS", "60"))
TOLD = (20055,)
"""Seeds on which a fault was found once: here what was unplaced once held up what it follows."""
Json = dict[str, Any]

WORKROOM = """\
format = 1
fill_to = "100%"
setting_up = "10m"

[workroom_hours]
tuesday = ["19:00-21:00"]
thursday = ["19:00-21:00"]
saturday = ["10:00-13:00", "14:00-17:00"]

[sofa_hours]
monday = ["20:30-22:00"]

[helper_hours]
saturday = ["14:00-17:00"]
"""
ENSEMBLE = """\
format = 1
name = "Orchard warden"

[[occasion]]
id = "pinning"
kind = "fitting"
at = 2027-03-11T20:00:00

[[occasion]]
id = "blossom-walk"
kind = "event"
at = 2027-03-27T09:00:00

[[stock]]
id = "tape"
have = "1 m"

[[stock.coming]]
amount = "4 m"
arrives = 2027-03-13

[[garment]]
id = "tunic"

[[garment.step]]
id = "draft"
hours = "1h30"
work = "drafting"
place = "workroom"

[[garment.step]]
id = "cut"
hours = "1h"
work = "cutting"
place = "workroom"
after = ["draft"]

[[garment.step]]
id = "fit"
hours = "30m"
work = "fitting"
place = "workroom"
hands = 2
during = "pinning"
after = ["cut"]

[[garment.step]]
id = "bind"
hours = "2h"
work = "hand"
place = "sofa"
after = ["fit"]
uses = [{ stock = "tape", amount = "3 m" }]

[[garment.step]]
id = "level"
hours = "40m"
work = "fitting"
place = "workroom"
hands = 2
after = ["fit"]

[[garment.step]]
id = "hang"
hours = "20m"
work = "checks"
place = "workroom"
after = ["level"]
wait = "2 nights"

[[garment.step]]
id = "hem"
hours = "3h"
work = "machine"
place = "workroom"
after = ["hang", "bind"]

[[garment.step]]
id = "label"
hours = "15m"
work = "checks"
place = "workroom"
on = 2027-03-18
"""


@pytest.mark.parametrize("seed", [*range(SEEDS), *TOLD])
def test_plans_of_random_workrooms_keep_every_rule(seed: int, tmp_path: Path) -> None:
    """An independent reading of the files finds no fault in the plan of a random workroom."""
    write_workroom(tmp_path, seed)
    assert faults(tmp_path, plan_of(tmp_path)) == []


@pytest.mark.parametrize("seed", [3, 41])
def test_a_seed_always_writes_the_same_workroom(seed: int, tmp_path: Path) -> None:
    """Random workrooms are told by their seed alone."""
    for name in ("one", "two"):
        write_workroom(tmp_path / name, seed)
    for path in (tmp_path / "one").iterdir():
        assert path.read_bytes() == (tmp_path / "two" / path.name).read_bytes()


# ---------------------------------------------------------------- planted faults


def _write_orchard(folder: Path) -> None:
    """A small workroom whose plan is known to be right."""
    (folder / "workroom.toml").write_text(WORKROOM, encoding="utf-8")
    (folder / "orchard-warden.toml").write_text(ENSEMBLE, encoding="utf-8")


def _full(step: str) -> str:
    """Full id of a step of the tunic."""
    return f"orchard-warden/tunic/{step}"


def _of(plan: Json, step: str) -> Json:
    """The first sitting of a step."""
    found: Json = next(one for one in plan["sittings"] if one["step"] == _full(step))
    return found


def _move(sitting: Json, start: datetime) -> None:
    """Let a sitting begin at another moment."""
    sitting["start"] = start.isoformat()
    sitting["end"] = (start + timedelta(minutes=sitting["minutes"])).isoformat()
    sitting["date"] = start.date().isoformat()


def _break_order(plan: Json) -> None:
    """Cut on the first evening, before the drafting."""
    _move(_of(plan, "cut"), datetime(2027, 3, 2, 19, 10))


def _break_wait(plan: Json) -> None:
    """Hang on the day before the hem, which wants two nights."""
    day = datetime.fromisoformat(_of(plan, "hem")["start"])
    _move(_of(plan, "hang"), day.replace(hour=10, minute=10) - timedelta(days=1))


def _after_due(plan: Json) -> None:
    """Cut after the fitting that wants it cut."""
    _move(_of(plan, "cut"), datetime(2027, 3, 13, 10, 10))


def _before_release(plan: Json) -> None:
    """Level before the fitting it follows is over."""
    _move(_of(plan, "level"), datetime(2027, 3, 6, 14, 0))


def _before_stock(plan: Json) -> None:
    """Bind on the evening of the fitting, two days before the tape comes."""
    _of(plan, "bind")["where"] = "workroom"
    _move(_of(plan, "bind"), datetime(2027, 3, 11, 20, 40))


def _wrong_place(plan: Json) -> None:
    """Hem on the sofa, where there is no machine."""
    _of(plan, "hem")["where"] = "sofa"
    _move(_of(plan, "hem"), datetime(2027, 3, 22, 20, 30))


def _lose_a_minute(plan: Json) -> None:
    """One minute of the binding goes missing."""
    sitting = _of(plan, "bind")
    sitting["minutes"] -= 1
    sitting["end"] = (datetime.fromisoformat(sitting["end"]) - timedelta(minutes=1)).isoformat()


def _invent_a_minute(plan: Json) -> None:
    """A second sitting of the label comes from nowhere."""
    again = copy.deepcopy(_of(plan, "label"))
    _move(again, datetime(2027, 3, 16, 19, 10))
    plan["sittings"].append(again)


def _move_the_fixed_day(plan: Json) -> None:
    """The label leaves its day and nothing is said."""
    _move(_of(plan, "label"), datetime(2027, 3, 16, 19, 10))


def _overlap(plan: Json) -> None:
    """The label is sewn while the hem is."""
    hem = datetime.fromisoformat(_of(plan, "hem")["start"])
    _move(_of(plan, "label"), hem + timedelta(minutes=1))


def _miscount_over(plan: Json) -> None:
    """Ten minutes are said to be over where none is."""
    _of(plan, "cut")["over"] = 10


def _two_hands_alone(plan: Json) -> None:
    """Levelling on an evening without a helper."""
    _move(_of(plan, "level"), datetime(2027, 3, 16, 19, 10))


def _miscount_a_day(plan: Json) -> None:
    """A day claims five minutes more than it plans."""
    plan["days"][1]["workroom_planned"] += 5


def _hide_the_peak(plan: Json) -> None:
    """The fullest window is said to be half full."""
    plan["peak_load"] = plan["peak_load"] / 2


def _work_at_night(plan: Json) -> None:
    """The draft is laid at three in the night."""
    _move(_of(plan, "draft"), datetime(2027, 3, 5, 3, 0))


def _contradict(plan: Json) -> None:
    """It is said not to fit with nothing late or over."""
    plan["fits"], plan["verdict"] = False, "does not fit"


def _forget_a_want(plan: Json) -> None:
    """The event is said not to want the hem."""
    event = next(o for o in plan["occasions"] if o["kind"] == "event")
    event["wants"].remove(_full("hem"))


def _stretch_the_fitting(plan: Json) -> None:
    """The fitting is said to take an hour more."""
    next(o for o in plan["occasions"] if o["kind"] == "fitting")["takes"] += 60


PLANTED: list[tuple[Callable[[Json], None], str]] = [
    (_break_order, "order"),
    (_break_wait, "wait"),
    (_after_due, "due"),
    (_before_release, "release"),
    (_before_stock, "stock"),
    (_wrong_place, "place"),
    (_lose_a_minute, "sum"),
    (_invent_a_minute, "sum"),
    (_move_the_fixed_day, "fixed day"),
    (_overlap, "overlap"),
    (_miscount_over, "over"),
    (_two_hands_alone, "two hands"),
    (_miscount_a_day, "days"),
    (_hide_the_peak, "peak"),
    (_work_at_night, "place"),
    (_contradict, "verdict"),
    (_forget_a_want, "wants"),
    (_stretch_the_fitting, "takes"),
]


@pytest.mark.parametrize(("spoil", "kind"), PLANTED, ids=lambda it: getattr(it, "__name__", it))
def test_a_planted_fault_is_found(spoil: Callable[[Json], None], kind: str, tmp_path: Path) -> None:
    """A right plan has no fault; spoilt in one way, the checker names a fault of that kind."""
    _write_orchard(tmp_path)
    plan = plan_of(tmp_path)
    assert faults(tmp_path, plan) == []
    spoil(plan)
    assert kind in {fault.partition(":")[0] for fault in faults(tmp_path, plan)}


def _claim_a_proof(spot: Json) -> None:
    """Claims a proof where there is enough."""
    spot["proven"] = True


def _count_an_hour_twice(spot: Json) -> None:
    """Names the same hours twice and sums them."""
    spot["hours"].append(copy.deepcopy(spot["hours"][0]))
    spot["available"] += spot["hours"][0]["minutes"]
    spot["short"] -= spot["hours"][0]["minutes"]


def _want_more(spot: Json) -> None:
    """Wants more than its steps hold."""
    spot["wanted"] += 7


def _prove_too_much(spot: Json) -> None:
    """Names too few hours for steps that could be done in others too."""
    spot["hours"] = spot["hours"][:1]
    spot["available"] = spot["hours"][0]["minutes"]
    spot["short"] = spot["wanted"] - spot["available"]
    spot["proven"] = True


@pytest.mark.parametrize(
    "spoil", [_claim_a_proof, _count_an_hour_twice, _want_more, _prove_too_much]
)
def test_a_false_tight_spot_is_found(spoil: Callable[[Json], None], tmp_path: Path) -> None:
    """A tight spot whose sums, hours or proof are false doesn't pass the recount."""
    _write_orchard(tmp_path)
    plan = plan_of(tmp_path)
    assert tight_spot_faults(tmp_path, plan) == []
    spoil(plan["tight_spot"])
    assert tight_spot_faults(tmp_path, plan)
