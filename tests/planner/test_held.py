"""Past occasions: what is taken as done by them, and what becomes of it when somebody says so."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

from planner.diary_days import diary_days
from planner.exports.record import record_of
from planner.held import failed_at, past_occasions, taken_as_done, was_held, was_not_held
from planner.model import Project
from planner.planning import plan_project
from screens.diary_doing import opened_again
from screens.record_told import record_text
from tests.planner.little import BALL, ensemble, garment, project, step
from tests.planner.test_going import entry

PINS = '{ id = "pins", kind = "fitting", at = 2027-05-04T14:00:00 }'
AFTER = datetime(2027, 5, 4, 21)
FITTED = ensemble(
    garment("mock 30", 'fit 20 during="pins", after=["mock"]', 'hem 10 during="pins"', "sew 60"),
    f"{PINS}, {BALL}",
)
MOCK = entry("2027-05-03T20:00:00", "mock", 30)


def fitted(folder: Path, diary: str = MOCK, text: str = FITTED) -> Project:
    """A workroom whose fitting is over."""
    return project(folder, text, diary=diary)


def test_what_only_counts_as_done_is_told_from_what_was_logged(tmp_path: Path) -> None:
    """Steps of a past fitting are taken as done; one whose step before is open isn't."""
    it = fitted(tmp_path)
    (one,) = past_occasions(it, plan_project(it, AFTER))
    assert one.taken == ("e/g/fit", "e/g/hem") and one.presumed and not one.logged
    bare = fitted(tmp_path / "bare", diary="")
    (one,) = past_occasions(bare, plan_project(bare, AFTER))
    assert (one.taken, one.open) == (("e/g/hem",), ("e/g/fit",))
    logged = fitted(tmp_path / "logged", diary=MOCK + entry("2027-05-04T15:00:00", "hem", 10))
    (one,) = past_occasions(logged, plan_project(logged, AFTER))
    assert (one.taken, one.logged) == (("e/g/fit",), ("e/g/hem",))
    assert not past_occasions(it, plan_project(it, datetime(2027, 5, 4, 9)))


def test_said_to_be_held_the_diary_has_its_steps(tmp_path: Path) -> None:
    """Done with minutes or without; not done: open with what is left; nothing is taken then."""
    it = fitted(tmp_path)
    (one,) = past_occasions(it, plan_project(it, AFTER))
    after = was_held(it, one, {"e/g/fit": 25}, {"e/g/hem": 10})
    said = [(e.step, e.minutes, e.done, e.left) for e in after.diary.entries[1:]]
    assert said == [("e/g/fit", 25, True, None), ("e/g/hem", 0, False, 10)]
    assert all(e.at.date() == date(2027, 5, 4) for e in after.diary.entries[1:])
    plan = plan_project(after, AFTER)
    (one,) = past_occasions(after, plan)
    assert (one.taken, one.logged, one.again) == ((), ("e/g/fit",), ("e/g/hem",))
    assert one.said and not one.presumed
    assert (step(plan, "hem").done, step(plan, "hem").left) == (False, 10)


def test_said_not_to_be_held_its_steps_are_open(tmp_path: Path) -> None:
    """And said to be held after all they are done again."""
    it = fitted(tmp_path)
    (one,) = past_occasions(it, plan_project(it, AFTER))
    after = was_not_held(it, one)
    plan = plan_project(after, AFTER)
    assert not step(plan, "fit").done and not step(plan, "hem").done
    (one,) = past_occasions(after, plan)
    assert not one.held and one.open == one.steps
    again = was_held(after, one, {"e/g/fit": 0, "e/g/hem": 0}, {})
    assert step(plan_project(again, AFTER), "fit").done


def test_what_failed_at_it_has_two_rounds(tmp_path: Path) -> None:
    """Done over, a step that was only taken as done was done at the fitting first."""
    it = fitted(tmp_path)
    plan = plan_project(it, AFTER)
    after = opened_again(plan, ["e/g/fit"], AFTER, {"e/g/fit": 20}, "gapes").change(it)
    again = plan_project(after, AFTER)
    assert not step(again, "fit").done and step(again, "hem").done
    record = record_of(after, again, "e")
    rounds = next(one.rounds for one in record.steps if one.id == "e/g/fit")
    assert [(one.first.day, one.done) for one in rounds] == [(4, True), (4, False)]
    assert "### Done over again" in record_text(record) and "gapes" in record_text(record)
    # nothing is made up of what was logged
    assert failed_at(it, plan, ["e/g/mock"]) is it


def test_the_record_claims_nothing_nobody_logged(tmp_path: Path) -> None:
    """Held by a rule is told so; of an event only its date is known."""
    it = fitted(tmp_path)
    record = record_of(it, plan_project(it, AFTER), "e")
    by_id = {one.id: one for one in record.steps}
    assert by_id["e/g/fit"].taken and not by_id["e/g/mock"].taken
    told = record_text(record)
    assert "1 of 4 steps was done" in told and "2 steps are taken as done" in told
    assert told.count("taken as done (held)") == 2 and "counts as held" in told
    text = ensemble(garment('wear 20 during="ball"'), BALL)
    worn = fitted(tmp_path / "worn", diary="", text=text)
    told = record_text(record_of(worn, plan_project(worn, datetime(2027, 5, 20)), "e"))
    assert "by the date, not logged" in told and "8 May" not in told.split("How it was made")[1]
    assert "1 step is over by the date; nobody logged it." in told


def test_the_diary_has_past_occasions_on_their_days(tmp_path: Path) -> None:
    """Also on a day on which nothing was logged."""
    it = fitted(tmp_path)
    plan = plan_project(it, AFTER)
    days = diary_days(it, AFTER, (), past_occasions(it, plan))
    assert [[o.id for o in one.occasions] for one in days if one.date.day in (4, 3)] == [
        ["e/pins"], [],
    ]  # fmt: skip
    assert set(taken_as_done(it, plan)) == {"e/g/fit", "e/g/hem"}


def test_entries_of_one_minute_stand_as_they_were_written(tmp_path: Path) -> None:
    """Whatever seconds keep them apart."""
    diary = "".join(entry(f"2027-05-03T20:00:{s:02}", "mock", s + 1, "") for s in (0, 1, 0, 1, 2))
    it = fitted(tmp_path, diary=diary)
    (day,) = [one for one in diary_days(it, AFTER) if one.logged]
    assert [one.index for one in day.logged] == [0, 1, 2, 3, 4]
