"""What is done, how much is left, and the waits of done steps."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from planner.plan import Because
from tests.planner.little import BALL, ensemble, garment, last_day, plan, step, times


def entry(at: str, minutes: int = 0, keys: str = "", of: str = "e/g/a") -> str:
    """An entry of the diary."""
    return f'[[entry]]\nat = {at}\nstep = "{of}"\nminutes = {minutes}\n{keys}\n'


CHAIN = ensemble(garment('a 60 wait="2 nights"', 'b 60 after=["a"]'))


def test_a_step_done_before_the_diary_holds_up_nobody(tmp_path: Path) -> None:
    """done = true: no minutes, and no wait either."""
    text = ensemble(garment('a 60 wait="2 nights", done=true', 'b 60 after=["a"]'))
    found = plan(tmp_path, text)
    assert (step(found, "a").done, step(found, "a").left) == (True, 0)
    assert step(found, "a").reason.because is Because.DONE
    assert step(found, "b").released is None
    assert step(found, "b").earliest == datetime(2027, 5, 3, 19)


def test_the_nights_of_a_done_step_run_from_its_last_entry(tmp_path: Path) -> None:
    """Done on the 3rd, two nights: the follower may begin on the 5th."""
    diary = entry("2027-05-02T20:00:00", 30) + entry("2027-05-03T10:00:00", 30, "done = true")
    found = plan(tmp_path, CHAIN, now=datetime(2027, 5, 3, 12), diary=diary)
    assert step(found, "b").released == datetime(2027, 5, 5)
    assert step(found, "b").earliest == datetime(2027, 5, 5, 19)


def test_a_wait_in_hours_runs_from_the_last_entry(tmp_path: Path) -> None:
    """Done at 19:30, an hour: the follower may begin at 20:30 and the evening is cut there."""
    text = ensemble(garment('a 60 wait="1h"', 'b 60 after=["a"]'))
    diary = entry("2027-05-03T19:30:00", 60, "done = true")
    found = plan(tmp_path, text, now=datetime(2027, 5, 3, 19, 45), diary=diary)
    assert step(found, "b").earliest == datetime(2027, 5, 3, 20, 30)
    assert [w.minutes for w in found.windows if w.day.day == 3] == [45, 30]


@pytest.mark.parametrize(
    ("entries", "left"),
    [
        ([(20, "")], 40),
        ([(20, ""), (15, "")], 25),
        # at least five once anything is logged
        ([(58, "")], 5),
        ([(90, "")], 5),
        # the maker's guess less what was logged since
        ([(20, "left = 50")], 50),
        ([(20, "left = 50"), (15, "")], 35),
        ([(30, "done = true"), (0, "left = 10")], 10),
        ([(10, "left = 10"), (30, "done = true")], 0),
    ],
)
def test_minutes_left(entries: list[tuple[int, str]], left: int, tmp_path: Path) -> None:
    """Of 60 minutes what the diary leaves is what is planned."""
    diary = "".join(entry(f"2027-05-0{k + 1}T10:00:00", m, w) for k, (m, w) in enumerate(entries))
    found = plan(tmp_path, ensemble(garment("a 60")), now=datetime(2027, 5, 3), diary=diary)
    assert step(found, "a").left == left
    assert sum(s.minutes for s in found.sittings) == left
    assert step(found, "a").done is (left == 0)


def test_the_last_word_on_done_wins(tmp_path: Path) -> None:
    """An entry with neither done nor left after a done one leaves it done."""
    diary = entry("2027-05-01T10:00:00", 60, "done = true") + entry("2027-05-02T10:00:00", 5)
    assert step(plan(tmp_path, ensemble(garment("a 60")), diary=diary), "a").done


def test_what_stands_before_a_done_step_stays_to_be_done(tmp_path: Path) -> None:
    """a isn't ticked though b behind it is: a is planned, and c doesn't wait for it."""
    steps = garment("a 60", 'b 60 after=["a"], done=true', 'c 60 after=["b"]', "d 60")
    found = plan(tmp_path, ensemble(steps))
    assert not step(found, "a").done
    assert last_day(found, "a") is not None
    assert step(found, "c").earliest == datetime(2027, 5, 3, 19)
    # with c free of a, a's own latest is the end of the last evening
    assert step(found, "a").latest == datetime(2027, 5, 7, 21)


def test_the_wait_of_a_step_held_at_a_past_occasion_counts_from_its_end(tmp_path: Path) -> None:
    """Held from 23:30 on the 2nd into the 3rd, one night: nights count from the date of at."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-02T23:30:00, takes = "1h" }'
    for wait, released in (
        ("1 night", None),
        ("2 nights", datetime(2027, 5, 4)),
        ("20h", datetime(2027, 5, 3, 20, 30)),
    ):
        steps = garment(f'fit 30 during="pins", wait="{wait}"', 'b 60 after=["fit"]')
        text = ensemble(steps, pins + ', { id = "ball", kind = "event", at = 2027-05-08 }')
        found = plan(tmp_path, text, now=datetime(2027, 5, 3, 12))
        assert step(found, "fit").done
        assert step(found, "b").released == released


def test_not_before_is_a_release(tmp_path: Path) -> None:
    """A date counts from its midnight; a moment cuts the evening."""
    found = plan(tmp_path, ensemble(garment("a 60 not_before=2027-05-06")))
    assert step(found, "a").released == datetime(2027, 5, 6)
    found = plan(tmp_path, ensemble(garment("a 30 not_before=2027-05-07T20:15:00")))
    assert times(found, "a") == ["7 20:15-20:45"]


def test_hours_before_now_are_gone(tmp_path: Path) -> None:
    """At 20:15:30 the evening has 44 minutes left."""
    ball = '{ id = "ball", kind = "event", at = 2027-05-04 }'
    found = plan(
        tmp_path, ensemble(garment("a 44"), ball), now=datetime(2027, 5, 3, 20, 15, 30)
    )
    assert times(found, "a") == ["3 20:16-21:00"]
    assert found.peak_load == 1.0


PINS = '{ id = "pins", kind = "fitting", at = 2027-05-04T14:00:00 }'
PINNED = garment("mock 30", 'fit 20 during="pins", after=["mock"]', 'sew 60 after=["fit"]')
LATE_MOCK = entry("2027-05-04T20:00:00", 30, "done = true", "e/g/mock")


@pytest.mark.parametrize(
    ("at", "held", "done"),
    [
        ("2027-05-03T20:00:00", "", True),
        ("2027-05-04T14:30:00", "", True),  # just in time: it takes 20 and 10 minutes
        ("2027-05-04T14:30:41", "", True),  # seconds only keep entries apart
        ("2027-05-04T14:31:00", "", False),
        ("2027-05-04T20:00:00", "", False),
        ("2027-05-04T20:00:00", ", held = true", True),
        ("2027-05-03T20:00:00", ", held = false", False),
    ],
)
def test_a_step_counts_as_done_at_a_fitting_if_what_it_follows_was_done_in_time(
    tmp_path: Path, at: str, held: str, done: bool
) -> None:
    """Logged only later, what a fitting lacked ticks nothing that was to be done at it."""
    text = ensemble(PINNED, f"{PINS[:-2]}{held} }}, {BALL}")
    diary = entry(at, 30, "done = true", "e/g/mock")
    found = plan(tmp_path, text, now=datetime(2027, 5, 5), diary=diary)
    assert step(found, "fit").done is done
    assert step(found, "fit").left == (0 if done else 20)
    assert bool(times(found, "fit")) is not done


def test_what_was_done_before_the_diary_was_done_in_time(tmp_path: Path) -> None:
    """``done = true`` in the file has no moment."""
    text = ensemble(PINNED.replace('id = "mock"', 'id = "mock", done = true'), f"{PINS}, {BALL}")
    assert step(plan(tmp_path, text, now=datetime(2027, 5, 5)), "fit").done


def test_what_is_done_again_after_a_fitting_was_not_done_at_it(tmp_path: Path) -> None:
    """The entry counts that did it: the first behind the last that says that something is left."""
    again = entry("2027-05-04T18:00:00", 0, "left = 20", "e/g/mock")
    first = entry("2027-05-03T20:00:00", 30, "done = true", "e/g/mock")
    more = entry("2027-05-04T20:00:00", 10, "done = true", "e/g/mock")
    text = ensemble(PINNED, f"{PINS}, {BALL}")
    now = datetime(2027, 5, 5)
    for name, diary, done in (("more", first + more, True), ("again", first + again + more, False)):
        assert step(plan(tmp_path / name, text, now=now, diary=diary), "fit").done is done


def test_a_step_of_a_later_fitting_follows_one_that_counts_as_done(tmp_path: Path) -> None:
    """What is taken as done at an occasion by then is in time; at a later one it isn't."""
    steps = garment("mock 30", 'fit 20 during="pins", after=["mock"]',
                    'look 10 during="{at}", after=["fit"]')  # fmt: skip
    for at, done in (("2027-05-04T18:00:00", True), ("2027-05-03T10:00:00", False)):
        second = f'{{ id = "second", kind = "fitting", at = {at} }}'
        text = ensemble(steps.replace("{at}", "second"), f"{PINS}, {second}, {BALL}")
        diary = entry("2027-05-02T20:00:00", 30, "done = true", "e/g/mock")
        found = plan(tmp_path / at[:10], text, now=datetime(2027, 5, 5), diary=diary)
        assert step(found, "fit").done and step(found, "look").done is done


TRIAL = '{ id = "try", kind = "trial wear", at = 2027-05-04T14:00:00'
TRIED = (
    garment("sew 30", 'hem 20 stage="wearable", after=["sew"]', "bow 10 optional=true")
    + garment('mend 30 during="try"', 'adjust 10 during="try", after=["mend"]',
              'put-by 10 after=["mend"]', id="care")
)  # fmt: skip


@pytest.mark.parametrize(
    ("hem", "held", "done"),
    [
        ("2027-05-04T10:00:00", "", True),
        ("2027-05-04T16:00:00", "", False),
        (None, "", False),
        (None, ", held = true", True),
        (None, ', wants = ["g/sew"]', True),
    ],
)
def test_what_nothing_goes_before_is_done_at_a_trial_wear_of_what_could_be_worn(
    tmp_path: Path, hem: str | None, held: str, done: bool
) -> None:
    """Without all that makes it wearable by then nothing was tried; what comes after the trial
    wear, and the garment of which only that is left, doesn't keep it."""
    diary = entry("2027-05-03T20:00:00", 30, "done = true", "e/g/sew")
    if hem:
        diary += entry(hem, 20, "done = true", "e/g/hem")
    text = ensemble(TRIED, f"{TRIAL}{held} }}, {BALL}")
    found = plan(tmp_path, text, now=datetime(2027, 5, 5), diary=diary)
    assert [step(found, one).done for one in ("care/mend", "care/adjust")] == [done, done]
