"""How quick the work has been so far: rounds of a step, and what counts of them."""

from __future__ import annotations

from datetime import datetime

from hypothesis import given
from hypothesis import strategies as st

from planner.model import Entry
from planner.so_far import MOST_TIMES, rounds, so_far


def entry(hour: int, minutes: int = 0, *, done: bool = False, left: int | None = None) -> Entry:
    """An entry on the third of May."""
    at = datetime(2027, 5, 3, hour)
    return Entry(at=at, step="e/g/a", minutes=minutes, done=done, left=left)


def test_a_step_counts_once_it_is_finished() -> None:
    """Its sittings together, from the beginning of the first."""
    (one,) = rounds("e/g/a", [entry(10, 30), entry(12, 45, done=True)])
    assert (one.planned, one.logged, one.begun) == (None, 75, datetime(2027, 5, 3, 9, 30))
    assert list(rounds("e/g/a", [entry(10, 30)])) == []


def test_what_was_ticked_without_a_time_tells_nothing() -> None:
    """Neither a tick alone nor one at the end of sittings: how long the last took isn't known."""
    assert list(rounds("e/g/a", [entry(10, done=True)])) == []
    assert list(rounds("e/g/a", [entry(10, 30), entry(12, done=True)])) == []


def test_done_over_again_is_a_round_of_its_own() -> None:
    """Opened again, its planned minutes are what was then guessed to be left."""
    found = list(
        rounds("e/g/a", [entry(10, 60, done=True), entry(11, left=40), entry(13, 50, done=True)])
    )
    assert [(one.planned, one.logged) for one in found] == [(None, 60), (40, 50)]


def test_a_guess_in_the_middle_is_no_new_round() -> None:
    """What is left of a step that isn't finished changes nothing of what was planned for it."""
    (one,) = rounds("e/g/a", [entry(10, 30, left=90), entry(12, 90, done=True)])
    assert (one.planned, one.logged) == (None, 120)


def test_a_wild_entry_counts_no_more_than_four_times_its_plan() -> None:
    """Ten hours typed for one weigh as four, and are told as ten."""
    entries = {"e/g/a": [entry(10, 600, done=True)], "e/g/b": [entry(10, 60, done=True)]}
    found = so_far(entries, {"e/g/a": 60, "e/g/b": 60}, {"e/g/a": 60, "e/g/b": 60})
    assert found is not None
    assert found.logged == 660
    assert found.ratio == (4 * 60 + 60) / 120


@given(st.lists(st.tuples(st.integers(1, 300), st.integers(0, 3000)), min_size=1, max_size=20))
def test_the_ratio_is_bounded_and_exact_within(pairs: list[tuple[int, int]]) -> None:
    """Between a quarter and four times, and plain minutes over minutes where nothing is wild."""
    names = [f"e/g/{n}" for n in range(len(pairs))]
    entries = {
        name: [Entry(at=datetime(2027, 5, 3), step=name, minutes=took, done=True)]
        for name, (_, took) in zip(names, pairs, strict=True)
    }
    planned = {name: estimate for name, (estimate, _) in zip(names, pairs, strict=True)}
    found = so_far(entries, planned, planned)
    timed = [(estimate, took) for estimate, took in pairs if took]
    if not timed:
        assert found is None
        return
    assert found is not None
    assert 1 / MOST_TIMES <= found.ratio <= MOST_TIMES
    if all(e / MOST_TIMES <= t <= e * MOST_TIMES for e, t in timed):
        assert abs(found.ratio - found.logged / found.planned) < 1e-9
