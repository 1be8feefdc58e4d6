"""Earliest and latest of a step from its own chain, worked out by hand."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from planner.plan import Plan
from tests.planner.little import BALL, EVENINGS, ensemble, every, garment, plan, step


def chain(found: Plan, *names: str) -> list[tuple[str, str]]:
    """Earliest and latest as "day hh:mm"."""
    rows = []
    for name in names:
        s = step(found, name)
        assert s.earliest is not None and s.latest is not None
        rows.append((f"{s.earliest:%-d %H:%M}", f"{s.latest:%-d %H:%M}"))
    return rows


def test_a_single_step(tmp_path: Path) -> None:
    """From the first minute of hours to the last one before the ball."""
    found = plan(tmp_path, ensemble(garment("a 60")))
    assert chain(found, "a") == [("3 19:00", "7 21:00")]


def test_a_chain_of_two(tmp_path: Path) -> None:
    """b begins when a's hour is done, a ends before b's hour."""
    found = plan(tmp_path, ensemble(garment("a 60", 'b 60 after=["a"]')))
    assert chain(found, "a", "b") == [("3 19:00", "7 20:00"), ("3 20:00", "7 21:00")]


def test_a_chain_over_evenings(tmp_path: Path) -> None:
    """150 minutes are an evening and a half."""
    found = plan(tmp_path, ensemble(garment("a 150", 'b 150 after=["a"]')))
    # b: 30 minutes on the 6th and 120 on the 7th
    assert chain(found, "a", "b") == [("3 19:00", "6 20:30"), ("4 19:30", "7 21:00")]


def test_nights_between(tmp_path: Path) -> None:
    """After the evening of the 3rd two nights are the 5th; before b on the 7th, the 5th."""
    found = plan(tmp_path, ensemble(garment('a 60 wait="2 nights"', 'b 60 after=["a"]')))
    assert chain(found, "a", "b") == [("3 19:00", "5 21:00"), ("5 19:00", "7 21:00")]


def test_hours_between(tmp_path: Path) -> None:
    """Half an hour's wait by the clock."""
    found = plan(tmp_path, ensemble(garment('a 60 wait="30m"', 'b 30 after=["a"]')))
    assert chain(found, "a", "b") == [("3 19:00", "7 20:00"), ("3 20:30", "7 21:00")]


def test_a_wait_before_the_occasion(tmp_path: Path) -> None:
    """Four hours before midnight is 20:00; two nights before the 8th is the 6th."""
    found = plan(tmp_path, ensemble(garment('a 60 wait="4h"', 'b 60 wait="2 nights"')))
    assert chain(found, "a", "b") == [("3 19:00", "7 20:00"), ("3 19:00", "6 21:00")]


def test_latest_ignores_releases(tmp_path: Path) -> None:
    """b is released on the 6th: its earliest says so, and a's latest doesn't care."""
    steps = garment("a 60", 'b 60 after=["a"], not_before=2027-05-06')
    found = plan(tmp_path, ensemble(steps))
    assert chain(found, "a", "b") == [("3 19:00", "7 20:00"), ("6 19:00", "7 21:00")]


def test_the_narrowest_follower_sets_the_latest(tmp_path: Path) -> None:
    """Two followers, one of them wanted by the fitting of the 6th."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-06T18:00:00, wants = ["g/b"] }'
    steps = garment("a 60", 'b 90 after=["a"]', 'c 10 after=["a"]')
    found = plan(tmp_path, ensemble(steps, f"{pins}, {BALL}"))
    assert chain(found, "a", "b", "c") == [
        ("3 19:00", "5 19:30"),
        ("3 20:00", "5 21:00"),
        ("3 20:00", "7 21:00"),
    ]


def test_minutes_count_in_the_steps_own_kinds_of_hours(tmp_path: Path) -> None:
    """A sofa step has the sofa's hour too; a workroom step only the evening's two."""
    hours = EVENINGS + every("sofa", "21:00-22:00")
    steps = garment('a 180 place="sofa"', 'b 60 after=["a"]')
    found = plan(tmp_path, ensemble(steps), hours)
    # a: 3rd 19:00-22:00, so b on the 4th; back from b's 20:00 on the 7th: 60 + 120 of the 6th
    assert chain(found, "a", "b") == [("3 19:00", "7 20:00"), ("4 19:00", "7 21:00")]


def test_two_hands_count_helper_hours(tmp_path: Path) -> None:
    """The helper is there from 20:00."""
    hours = EVENINGS + every("helper", "20:00-21:00")
    steps = garment("a 90 hands=2", 'b 30 after=["a"]')
    found = plan(tmp_path, ensemble(steps), hours)
    # a: 60 on the 3rd and 30 on the 4th to 20:30
    assert chain(found, "a", "b") == [("3 20:00", "7 20:30"), ("4 20:30", "7 21:00")]


def test_latest_may_precede_the_plan_where_it_does_not_fit(tmp_path: Path) -> None:
    """Twenty hours in ten: a ought to have ended before now."""
    found = plan(tmp_path, ensemble(garment("a 600", 'b 600 after=["a"]')))
    late = step(found, "a").latest
    assert late is not None and late <= datetime(2027, 5, 3, 19)


def test_minutes_between_earliest_and_latest(tmp_path: Path) -> None:
    """The reason knows how many minutes there are: five evenings less b's hour."""
    found = plan(tmp_path, ensemble(garment("a 60", 'b 60 after=["a"]')))
    assert step(found, "a").reason.minutes == 540
    assert step(found, "b").reason.minutes == 540


@pytest.mark.parametrize("minutes", [1, 60, 119, 120])
def test_a_step_of_one_evening_may_end_with_the_last_minute(minutes: int, tmp_path: Path) -> None:
    """However short: latest is the last minute of hours."""
    found = plan(tmp_path, ensemble(garment(f"a {minutes}")))
    assert step(found, "a").latest == datetime(2027, 5, 7, 21)
