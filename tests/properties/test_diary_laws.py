"""Laws of the diary: what is logged counts as it says, is taken back, and files say the same."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.carrying import bare
from planner.editing.diary import log, logged_last, remove_entry, reopen
from planner.estimate import LEAST_LEFT, is_done_by_diary, minutes_left
from planner.files.reading import read_project
from planner.files.writing import write_diary
from planner.ground import all_operations
from planner.model import Entry, PaceChoices, Project, Used
from planner.quantity import LENGTH, Quantity
from planner.when_logged import own_moment
from tests.planner.little import BALL, ensemble, garment, project

START = datetime(2027, 5, 3, 18)
STEPS = ("e/g/a", "e/g/b")
LAWS = settings(max_examples=150, deadline=None, derandomize=True)


@cache
def room() -> Project:
    """Two steps and some tape; the maker's pace isn't learnt, so that estimates stay."""
    with tempfile.TemporaryDirectory() as folder:
        tape = '{ id = "tape", have = "5 m" }'
        it = project(Path(folder), ensemble(garment("a 60", "b 90 done=true"), BALL, tape))
    return replace(it, workroom=replace(it.workroom, pace=PaceChoices(learn=False)))


@st.composite
def entry(draw: st.DrawFn) -> Entry:
    """Anything that can be said of a step."""
    says = draw(st.sampled_from(["", "done", "left"]))
    tape = Used(stock="tape", amount=Quantity(value=draw(st.integers(1, 40)) / 8, dimension=LENGTH))
    return Entry(
        at=START + timedelta(minutes=draw(st.integers(-3000, 3000))),
        step=draw(st.sampled_from(STEPS)),
        minutes=draw(st.integers(0, 200)),
        done=says == "done",
        left=draw(st.integers(0, 120)) if says == "left" else None,
        note=draw(st.sampled_from(["", "knot", 'half "done"\n"""'])),
        used=(tape,) if draw(st.booleans()) else (),
    )


together = st.lists(st.lists(entry(), min_size=1, max_size=3), min_size=1, max_size=4)


def left(it: Project, step: str) -> int:
    """Minutes left of a step."""
    mine = [one for one in it.diary.entries if one.step == step]
    return minutes_left(all_operations(it)[step], mine)


def done(it: Project, step: str) -> bool:
    """Whether the diary says that a step is done."""
    return is_done_by_diary([one for one in it.diary.entries if one.step == step])


def logged(it: Project, entries: list[Entry], at: datetime) -> Project:
    """What a command or the sheet does: all of one moment of its own."""
    own = own_moment(it.diary, at)
    return log(it, [replace(one, at=own) for one in entries])


@LAWS
@given(together)
def test_what_was_logged_last_is_taken_back(groups: list[list[Entry]]) -> None:
    """Group by group, the last first, till nothing is left; each time what was before is back."""
    it, before = room(), []
    for entries in groups:
        before.append(it.diary)
        it = logged(it, entries, entries[0].at)
        assert len(logged_last(it)) == len(entries)
    while before:
        for _ in logged_last(it):
            it = remove_entry(it, len(it.diary.entries) - 1)
        assert bare(it.diary) == bare(before.pop())


@LAWS
@given(together)
def test_the_last_word_counts(groups: list[list[Entry]]) -> None:
    """A step is done where the last said so; guessed anew, that much is left."""
    it = room()
    for entries in groups:
        it = logged(it, entries, entries[0].at)
        for step in STEPS:
            said = [one for one in entries if one.step == step]
            last = said[-1] if said else None
            if last is not None and last.done:
                assert done(it, step)
                assert left(it, step) == 0
            elif last is not None and last.left is not None:
                assert not done(it, step)
                assert left(it, step) == max(last.left, LEAST_LEFT)


@LAWS
@given(together, st.integers(1, 200))
def test_minutes_of_before_a_guess_leave_it(groups: list[list[Entry]], minutes: int) -> None:
    """Whoever guessed last knew of them; later minutes make it less."""
    it = room()
    for entries in groups:
        it = log(it, entries)
    latest = START + timedelta(days=10)
    it = log(it, [Entry(at=latest, step="e/g/a", left=50)])
    early = log(it, [Entry(at=START, step="e/g/a", minutes=minutes)])
    assert left(early, "e/g/a") == 50
    late = log(it, [Entry(at=latest, step="e/g/a", minutes=minutes)])
    assert left(late, "e/g/a") == max(50 - minutes, LEAST_LEFT)


@LAWS
@given(together, st.integers(5, 120))
def test_what_is_opened_again_is_open(groups: list[list[Entry]], guess: int) -> None:
    """Whatever was said before, with as much left as is said, else its estimate."""
    it = room()
    for entries in groups:
        it = log(it, entries)
    it = reopen(it, STEPS, START, left={"e/g/b": guess})
    assert not any(step.done for step in it.ensembles[0].garments[0].steps)
    assert (left(it, "e/g/a"), left(it, "e/g/b")) == (60, guess)


@LAWS
@given(together)
def test_files_say_the_same(groups: list[list[Entry]]) -> None:
    """Group by group into the file, and out of it again: moments to the second, what was used."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder)
        it = project(path, ensemble(garment("a 60", "b 90"), BALL, '{ id = "tape", have = "5 m" }'))
        for entries in groups:
            after = logged(it, entries, entries[0].at)
            old = it.diary if (path / "diary.toml").exists() else None
            write_diary(path / "diary.toml", old, after.diary)
            it = read_project(path)
            assert bare(it.diary) == bare(after.diary)
