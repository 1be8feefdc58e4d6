"""Occasions: what they take, ready-bys and margins, past and held ones, what each kind wants."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from planner.plan import Because, NoteKind, Where
from tests.planner.little import (
    BALL,
    EVENINGS,
    ensemble,
    every,
    garment,
    last_day,
    notes,
    occasion,
    plan,
    short,
    step,
    times,
)

FIT = 'fit 30 work="fitting", during="pins"'


def pins(at: str = "2027-05-06T18:00:00", kind: str = "fitting", keys: str = "") -> str:
    """An occasion "pins"."""
    return f'{{ id = "pins", kind = "{kind}", at = {at}{", " if keys else ""}{keys} }}'


@pytest.mark.parametrize(
    ("kind", "steps", "minutes"),
    [
        # its steps and ten minutes
        ("fitting", (FIT, 'more 25 during="pins"'), 65),
        ("fitting", ("a 10",), 10),
        # at least an hour and a half
        ("trial wear", (FIT,), 90),
        ("trial wear", (FIT, 'more 60 during="pins"'), 100),
        # from 18:00 to midnight
        ("departure", ("a 10",), 360),
        ("event", ("a 10",), 360),
    ],
)
def test_what_an_occasion_takes_by_default(
    kind: str, steps: tuple[str, ...], minutes: int, tmp_path: Path
) -> None:
    """A fitting its steps and ten minutes, a trial wear 1h30 at least, others the day."""
    found = plan(tmp_path, ensemble(garment(*steps), f"{pins(kind=kind)}, {BALL}"))
    assert occasion(found, "pins").takes == minutes


def test_takes_as_written_wins(tmp_path: Path) -> None:
    """``takes`` is kept whatever is done at the occasion."""
    found = plan(tmp_path, ensemble(garment(FIT), pins(keys='takes = "20m"') + ", " + BALL))
    assert occasion(found, "pins").end == datetime(2027, 5, 6, 18, 20)


def test_an_occasions_time_is_taken_out_of_the_hours(tmp_path: Path) -> None:
    """A fitting at 19:30 of 30 + 10 minutes leaves 19:00-19:30 and 20:10-21:00."""
    found = plan(tmp_path, ensemble(garment(FIT), f"{pins('2027-05-06T19:30:00')}, {BALL}"))
    assert [(str(w.start.time()), w.minutes) for w in found.windows if w.day.day == 6] == [
        ("19:00:00", 30),
        ("20:10:00", 50),
    ]


def test_what_is_done_at_an_occasion_takes_no_hours(tmp_path: Path) -> None:
    """The step's sitting is at the occasion and in no window."""
    found = plan(tmp_path, ensemble(garment(FIT), f"{pins()}, {BALL}"))
    (sitting,) = found.sittings
    assert (sitting.where, sitting.window) == (Where.OCCASION, None)
    assert times(found, "fit") == ["6 18:00-18:30"]
    assert sum(w.planned for w in found.windows) == 0
    assert step(found, "fit").reason.because is Because.AT_OCCASION
    assert step(found, "fit").reason.names == ("e/pins",)


def test_steps_at_one_occasion_follow_each_other(tmp_path: Path) -> None:
    """Two steps of one fitting are done one after the other, in their order."""
    steps = garment('second 20 during="pins", after=["fit"]', FIT)
    found = plan(tmp_path, ensemble(steps, f"{pins()}, {BALL}"))
    assert times(found, "fit") == ["6 18:00-18:30"]
    assert times(found, "second") == ["6 18:30-18:50"]


def test_what_does_not_fit_into_the_time_of_an_occasion_is_over(tmp_path: Path) -> None:
    """Of 30 minutes in an occasion of 20, ten are over; the next has no clock time."""
    steps = garment(FIT, 'second 20 during="pins", after=["fit"]')
    found = plan(tmp_path, ensemble(steps, pins(keys='takes = "20m"') + ", " + BALL))
    assert {s.step: (s.over, s.start is None, s.end is None) for s in found.sittings} == {
        "e/g/fit": (10, False, False),
        "e/g/second": (20, True, True),
    }


def test_sittings_are_in_order_of_time_also_where_over(tmp_path: Path) -> None:
    """What is wholly over at the fitting of the 6th stands behind the evening of the 5th."""
    steps = garment("make 60", f'{FIT}, after=["make"]', 'second 20 during="pins", after=["fit"]')
    found = plan(tmp_path, ensemble(steps, pins(keys='takes = "20m"') + ", " + BALL))
    assert [s.step for s in found.sittings] == ["e/g/make", "e/g/fit", "e/g/second"]


def test_what_follows_a_step_at_an_occasion_begins_after_its_end(tmp_path: Path) -> None:
    """The fitting ends at 18:40: nothing that follows its step can begin earlier."""
    steps = garment(FIT, 'sew 60 after=["fit"]')
    found = plan(tmp_path, ensemble(steps, f"{pins()}, {BALL}"))
    assert step(found, "sew").released == datetime(2027, 5, 6, 18, 40)
    assert step(found, "sew").earliest == datetime(2027, 5, 6, 19)


def test_the_wait_of_a_step_at_an_occasion_counts_from_its_end(tmp_path: Path) -> None:
    """Two hours after a fitting that ends at 18:40; a night after the date of ``at``."""
    for wait, released in (("2h", datetime(2027, 5, 6, 20, 40)), ("1 night", datetime(2027, 5, 7))):
        steps = garment(f'{FIT}, wait="{wait}"', 'sew 60 after=["fit"]')
        found = plan(tmp_path, ensemble(steps, f"{pins()}, {BALL}"))
        assert step(found, "sew").released == released


@pytest.mark.parametrize(
    ("margin", "by"),
    [
        ("2 days", datetime(2027, 5, 6)),
        ("1 day", datetime(2027, 5, 7)),
        ("3h", datetime(2027, 5, 8, 8)),
        ("15h", datetime(2027, 5, 7, 20)),
    ],
)
def test_margins_bring_the_ready_by(margin: str, by: datetime, tmp_path: Path) -> None:
    """Whole days end at 00:00 of a date; hours count by the clock from 11:00."""
    ball = f'{{ id = "ball", kind = "event", at = 2027-05-08T11:00:00, margin = "{margin}" }}'
    found = plan(tmp_path, ensemble(garment("a 60"), ball))
    assert occasion(found, "ball").ready_by == by
    assert all(s.end is not None and s.end <= by for s in found.sittings)


def test_hours_are_cut_at_a_ready_by(tmp_path: Path) -> None:
    """A ready-by at 20:00 cuts the evening in two."""
    ball = '{ id = "ball", kind = "event", at = 2027-05-08T11:00:00, margin = "15h" }'
    found = plan(tmp_path, ensemble(garment("a 60"), ball))
    assert [w.minutes for w in found.windows if w.day.day == 7] == [60, 60]
    assert times(found, "a") == ["7 19:00-20:00"]


def test_a_bare_date_is_its_midnight(tmp_path: Path) -> None:
    """An event on a date is at 00:00, so the evening of that date is too late."""
    found = plan(tmp_path, ensemble(garment("a 60")))
    assert occasion(found, "ball").at == datetime(2027, 5, 8)
    assert last_day(found, "a") == 7


def test_what_an_occasion_lacks_when_its_ready_by_is_past_is_late(tmp_path: Path) -> None:
    """Two days' margin from the 8th is over on the 7th: late, and done by the beginning."""
    ball = '{ id = "ball", kind = "event", at = 2027-05-08T11:00:00, margin = "2 days" }'
    found = plan(tmp_path, ensemble(garment("a 60"), ball), now=datetime(2027, 5, 7))
    assert [n.subject for n in notes(found, "a", NoteKind.LATE)] == ["e/ball"]
    assert step(found, "a").due == datetime(2027, 5, 8, 11)
    assert last_day(found, "a") == 7
    assert found.fits is False
    assert occasion(found, "ball").late == ("e/g/a",)
    assert occasion(found, "ball").ready_by == datetime(2027, 5, 6)


def test_an_occasion_is_past_only_when_its_end_is(tmp_path: Path) -> None:
    """At 18:39 a fitting from 18:00 to 18:40 is not past, at 18:40 it is."""
    text = ensemble(garment(FIT), f"{pins()}, {BALL}")
    for minute, past in ((39, False), (40, True)):
        found = plan(tmp_path, text, now=datetime(2027, 5, 6, 18, minute))
        assert occasion(found, "pins").past is past
        assert step(found, "fit").done is past


PAST = pins("2027-05-02T18:00:00")
MISSED = pins("2027-05-02T18:00:00", keys="held = false")


def test_what_was_to_be_done_at_a_held_occasion_is_done(tmp_path: Path) -> None:
    """A past fitting counts as held, its step as done."""
    found = plan(tmp_path, ensemble(garment(FIT, 'sew 60 after=["fit"]'), f"{PAST}, {BALL}"))
    assert step(found, "fit").done
    assert step(found, "fit").reason.because is Because.DONE
    assert [s.step for s in found.sittings] == ["e/g/sew"]
    assert found.fits is True


def test_at_a_held_occasion_what_follows_an_open_step_is_not_done(tmp_path: Path) -> None:
    """The mock-up was never made, so it wasn't fitted: both are planned in workroom hours."""
    steps = garment("make 60", f'{FIT}, after=["make"], place="sofa"', 'sew 60 after=["fit"]')
    found = plan(tmp_path, ensemble(steps, f"{PAST}, {BALL}"))
    assert not step(found, "fit").done
    assert step(found, "fit").last_day == date(2027, 5, 7)
    assert all(s.where is Where.WORKROOM for s in found.sittings)
    assert [s.step for s in found.sittings] == ["e/g/make", "e/g/make", "e/g/fit", "e/g/sew"]


def test_what_a_past_fitting_lacked_is_late_for_it(tmp_path: Path) -> None:
    """The open step is late for the fitting and wanted by the event."""
    steps = garment("make 60", f'{FIT}, after=["make"]')
    found = plan(tmp_path, ensemble(steps, f"{PAST}, {BALL}"))
    assert [n.subject for n in notes(found, "make", NoteKind.LATE)] == ["e/pins"]
    assert step(found, "make").due_for == "e/ball"
    assert found.fits is False


def test_an_occasion_not_held_leaves_its_steps_to_be_done(tmp_path: Path) -> None:
    """held = false: the step is planned in workroom hours, also where it needs only a sofa."""
    steps = garment(f'{FIT}, place="sofa"', 'sew 60 after=["pins"]')
    hours = EVENINGS + every("sofa", "21:30-22:30")
    found = plan(tmp_path, ensemble(steps, f"{MISSED}, {BALL}"), hours)
    assert times(found, "fit") == ["7 19:00-19:30"]
    assert times(found, "sew") == ["7 19:30-20:30"]


def test_what_was_not_held_keeps_its_two_hands(tmp_path: Path) -> None:
    """A two-hand step of a fitting not held waits for the helper."""
    helper = '[helper_hours]\nwednesday = ["20:00-21:00"]\n'
    steps = garment(FIT + ", hands=2")
    found = plan(tmp_path, ensemble(steps, f"{MISSED}, {BALL}"), EVENINGS + helper)
    assert times(found, "fit") == ["5 20:00-20:30"]


def test_held_false_of_a_coming_occasion_changes_nothing(tmp_path: Path) -> None:
    """Only a past occasion can have been held or not."""
    found = plan(tmp_path, ensemble(garment(FIT), pins(keys="held = false") + ", " + BALL))
    assert times(found, "fit") == ["6 18:00-18:30"]


def test_a_past_event_ends_its_demands(tmp_path: Path) -> None:
    """What only a past event wanted is not planned, is noted and warned about."""
    ball = '{ id = "ball", kind = "event", at = 2027-05-01T11:00:00 }'
    found = plan(tmp_path, ensemble(garment("a 60"), ball))
    assert not step(found, "a").wanted
    assert step(found, "a").reason.because is Because.NOT_WANTED
    assert len(notes(found, "a", NoteKind.NOT_WANTED)) == 1
    assert any("1 step is still open and no occasion lies ahead" in w.text for w in found.warnings)
    assert found.sittings == ()


def wants(folder: Path, garments: str, first: str) -> list[str]:
    """What the occasion "pins" wants, besides a ball."""
    return short(occasion(plan(folder, ensemble(garments, f"{first}, {BALL}")), "pins").wants)


def test_a_fitting_wants_what_its_steps_follow(tmp_path: Path) -> None:
    """And what that follows; not what has nothing to do with it."""
    steps = garment("a 10", 'b 10 after=["a"]', "free 10", f'{FIT}, after=["b"]')
    assert wants(tmp_path, steps, pins()) == ["a", "b"]


def test_a_fitting_without_steps_and_wants_is_warned_about(tmp_path: Path) -> None:
    """It wants nothing, and the warning stands at its place."""
    found = plan(tmp_path, ensemble(garment("a 10"), f"{pins()}, {BALL}"))
    assert occasion(found, "pins").wants == ()
    assert [w.place for w in found.warnings] == ["occasion[0]"]


def test_a_trial_wear_wants_every_garment_wearable(tmp_path: Path) -> None:
    """Up to the wearable step, not the trim; of a garment without that stage all required."""
    hat = garment("block 10", "wire 10", "feather 10 optional=true", id="hat")
    coat = garment("sew 10", 'hem 10 after=["sew"], stage="wearable"', 'trim 10 after=["hem"]')
    assert wants(tmp_path, hat + coat, pins(kind="trial wear")) == ["block", "wire", "sew", "hem"]


@pytest.mark.parametrize("kind", ["departure", "event"])
def test_departures_and_events_want_every_step(kind: str, tmp_path: Path) -> None:
    """Optional ones too, and garments that follow nothing."""
    steps = garment("a 10", "b 10 optional=true") + garment("c 10", id="hat")
    assert wants(tmp_path, steps, pins(kind=kind)) == ["a", "b", "c"]


def test_wants_as_written_takes_the_place_of_the_kind(tmp_path: Path) -> None:
    """An event with ``wants`` wants that and what it follows."""
    steps = garment("a 10", 'b 10 after=["a"]', "c 10")
    assert wants(tmp_path, steps, pins(kind="event", keys='wants = ["g/b"]')) == ["a", "b"]


def test_wants_as_written_keeps_what_steps_at_it_follow(tmp_path: Path) -> None:
    """Also one that names ``wants`` wants what the steps done at it follow."""
    steps = garment("a 10", "b 10", f'{FIT}, after=["a"]')
    assert wants(tmp_path, steps, pins(keys='wants = ["g/b"]')) == ["a", "b"]


def test_a_garment_wanted_whole_leaves_out_what_is_optional(tmp_path: Path) -> None:
    """wants = a garment: its required steps."""
    steps = garment("a 10", "b 10 optional=true")
    assert wants(tmp_path, steps, pins(keys='wants = ["g"]')) == ["a"]


def test_no_occasion_wants_what_comes_after_it_or_a_later_one(tmp_path: Path) -> None:
    """A departure on the 5th wants nothing of what a fitting on the 6th decides."""
    leave = '{ id = "leave", kind = "departure", at = 2027-05-05T18:00:00, takes = "1h" }'
    steps = garment("a 10", f'{FIT}, after=["a"]', 'b 10 after=["fit"]', 'c 10 after=["pins"]')
    found = plan(tmp_path, ensemble(steps, f"{leave}, {pins()}, {BALL}"))
    assert short(occasion(found, "leave").wants) == ["a"]
    assert short(occasion(found, "ball").wants) == ["a", "fit", "b", "c"]


def test_an_occasion_wants_nothing_of_another_ensemble(tmp_path: Path) -> None:
    """Each event wants its own ensemble, and what that follows elsewhere."""
    feast = '{ id = "feast", kind = "event", at = 2027-05-09 }'
    other = ensemble(garment("m 10", "n 10", id="cap"), feast)
    found = plan(tmp_path, ensemble(garment('a 10 after=["f/cap/m"]')), f=other)
    assert occasion(found, "ball").wants == ("f/cap/m", "e/g/a")


def test_from_a_departure_to_the_next_event_there_are_no_hours(tmp_path: Path) -> None:
    """Away from the 5th, 12:00, to the end of the 8th: the last evening is the 4th."""
    leave = '{ id = "leave", kind = "departure", at = 2027-05-05T12:00:00 }'
    found = plan(tmp_path, ensemble(garment("a 60"), f"{leave}, {BALL}"))
    assert [w.day.day for w in found.windows] == [3, 4]
    assert last_day(found, "a") == 4


def test_steps_at_a_coming_occasion_take_place_though_what_they_follow_is_late(
    tmp_path: Path,
) -> None:
    """The mock-up can't be there by the 3rd at noon; the fitting takes place all the same."""
    steps = garment("make 60", f'{FIT}, after=["make"]')
    found = plan(tmp_path, ensemble(steps, f"{pins('2027-05-03T12:00:00')}, {BALL}"))
    assert times(found, "fit") == ["3 12:00-12:30"]
    assert [n.subject for n in notes(found, "make", NoteKind.LATE)] == ["e/pins"]
    assert last_day(found, "make") == 7
    assert occasion(found, "pins").fits is False
    assert occasion(found, "ball").fits is True


def test_what_a_past_trial_wear_lacked_is_late_and_wanted_by_the_event(tmp_path: Path) -> None:
    """The open hem is late for the trial; the trim, which it didn't want, isn't."""
    steps = garment("sew 60 done=true", 'hem 60 after=["sew"], stage="wearable"', "trim 10")
    trial = pins("2027-05-01T10:00:00", "trial wear")
    found = plan(tmp_path, ensemble(steps, f"{trial}, {BALL}"))
    assert [n.subject for n in notes(found, "hem", NoteKind.LATE)] == ["e/pins"]
    assert notes(found, "trim", NoteKind.LATE) == []
    assert step(found, "hem").due_for == "e/ball"


def test_what_follows_a_held_occasion_is_free(tmp_path: Path) -> None:
    """After a fitting that was held nothing is left to wait for."""
    text = ensemble(garment(FIT, 'sew 60 after=["pins"]'), f"{PAST}, {BALL}")
    assert step(plan(tmp_path, text), "sew").released is None


def test_a_margin_in_hours_and_a_wait_add_up(tmp_path: Path) -> None:
    """Ready by 21:00 on the 7th, an hour to dry: done by 20:00."""
    ball = '{ id = "ball", kind = "event", at = 2027-05-08, margin = "3h" }'
    found = plan(tmp_path, ensemble(garment('a 60 wait="1h"'), ball))
    assert times(found, "a") == ["7 19:00-20:00"]
    found = plan(tmp_path, ensemble(garment('a 61 wait="1h"'), ball))
    assert step(found, "a").latest == datetime(2027, 5, 7, 20)
    assert all(s.end is not None and s.end <= datetime(2027, 5, 7, 20) for s in found.sittings)
