"""The record of how an ensemble was made, as values."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

from planner.exports.record import Record, record_of
from planner.exports.record_as_json import record_as_json
from planner.files.reading import read_project
from planner.model import Work
from planner.planning import plan_project
from tests.planner.little import BALL, ensemble, garment, project
from tests.planner.test_going import entry

LATER = datetime(2027, 5, 6)


def recorded(folder: Path, *steps: str, diary: str = "", stock: str = "", keys: str = "") -> Record:
    """The record of one garment's steps."""
    it = project(folder, ensemble(garment(*steps, keys=keys), BALL, stock), diary=diary)
    return record_of(it, plan_project(it, LATER), "e")


def test_steps_have_hours_days_and_state(tmp_path: Path) -> None:
    """What was logged stands beside the estimate, with the days of it; the rest as planned."""
    diary = entry("2027-05-03T20:00:00", "a", 40, "") + entry("2027-05-04T20:00:00", "a", 35)
    found = recorded(tmp_path, "a 60", 'b 30 after=["a"]', "c 20 done=true", diary=diary)
    a = next(step for step in found.steps if step.id == "e/g/a")
    assert (a.estimate, a.logged, a.timed, a.done) == (60, 75, True, True)
    assert (a.first, a.last) == (date(2027, 5, 3), date(2027, 5, 4))
    b = next(step for step in found.steps if step.id == "e/g/b")
    assert (b.done, b.logged, b.timed) == (False, 0, False)
    assert b.first is not None
    assert b.first >= LATER.date()
    assert [step.id for step in found.steps] == ["e/g/c", "e/g/a", "e/g/b"]
    assert next(step for step in found.steps if step.id == "e/g/c").before
    assert not found.finished


def test_a_step_done_over_again_has_its_rounds(tmp_path: Path) -> None:
    """Each with its days and minutes; a step done once has none."""
    diary = (
        entry("2027-05-03T20:00:00", "a", 60)
        + entry("2027-05-04T09:00:00", "a", 0, "left = 30")
        + entry("2027-05-05T20:00:00", "a", 45)
        + entry("2027-05-05T21:00:00", "b", 30)
    )
    found = recorded(tmp_path, "a 60", "b 30", diary=diary)
    by_id = {step.id: step for step in found.steps}
    assert [(one.logged, one.first.day, one.last.day) for one in by_id["e/g/a"].rounds] == [
        (60, 3, 3), (45, 4, 5),
    ]  # fmt: skip
    assert by_id["e/g/b"].rounds == ()
    assert found.finished


def test_what_was_taken_wins_over_what_was_wanted(tmp_path: Path) -> None:
    """Of a stock: wanted by all, used as the diary says, else as asked for; and what is to come."""
    stock = '{ id = "tape", name = "tape", have = "10 m" }'

    def step(name: str, metres: str) -> str:
        return f'{name} 30 uses=[{{ stock = "tape", amount = ["{metres} m"] }}]'

    taken = 'done = true\nused = [{ stock = "tape", amount = "2.5 m" }]'
    diary = entry("2027-05-03T20:00:00", "a", 30, taken) + entry("2027-05-04T20:00:00", "b", 30)
    steps = (step("a", "2"), step("b", "1"), step("c", "4"))
    (tape,) = recorded(tmp_path, *steps, diary=diary, stock=stock).materials
    assert (tape.wanted, tape.used, tape.to_come) == (7, 3.5, 4)
    assert not tape.counted
    assert tape.there == 6.5
    diary = entry("2027-05-03T20:00:00", "a", 30, taken)
    only = recorded(tmp_path / "only", step("a", "2"), diary=diary, stock=stock)
    assert only.materials[0].counted


def test_what_was_left_off_and_done_another_way(tmp_path: Path) -> None:
    """Left-off steps stand apart; of a chosen way it is told what it stands in place of."""
    ways = 'instead=[{ technique = "final-press", chosen = true }]'
    found = recorded(tmp_path, "a 60 left_off=true", f'b 30 name="iron it", {ways}')
    assert [step.id for step in found.garments[0].left_off] == ["e/g/a"]
    (b,) = found.steps
    assert (b.technique, b.instead, b.work) == ("press the whole garment", "iron it", Work.PRESSING)


def test_notes_keep_their_day_also_of_a_step_that_is_gone(tmp_path: Path) -> None:
    """In order of time, with the step's full id."""
    diary = entry("2027-05-04T20:00:00", "a", 30, 'note = "second"')
    diary += entry("2027-05-03T20:00:00", "gone", 30, 'note = "first"')
    found = recorded(tmp_path, "a 60", diary=diary)
    assert [(one.step, one.note) for one in found.notes] == [
        ("e/g/gone", "first"), ("e/g/a", "second"),
    ]  # fmt: skip


def test_the_estimate_is_that_without_what_was_learnt(tmp_path: Path) -> None:
    """Three steps at one and a half times their minutes don't change what was estimated."""
    diary = "".join(entry(f"2027-05-03T{h}:00:00", s, 33) for h, s in ((12, "a"), (14, "b")))
    press = '- technique="final-press"'
    found = recorded(tmp_path, f"a {press}", f"b {press}", f"c {press}", diary=diary)
    assert {step.estimate for step in found.steps if step.id != "e/g/a"} == {22}


def test_a_samples_record_holds_all_there_is() -> None:
    """Every step, every minute and every note of the sample stands in its record, once."""
    it = read_project(Path("sample_projects/oldmere_regatta"))
    plan = plan_project(it, datetime(2027, 6, 7))
    found = record_of(it, plan, "signal_master")
    off = {step.id for one in found.garments for step in one.left_off}
    ids = [step.id for step in found.steps]
    assert sorted([*ids, *off]) == sorted(step.id for step in plan.steps)
    assert sum(step.logged for step in found.steps) == sum(e.minutes for e in it.diary.entries)
    assert len(found.notes) == sum(bool(e.note) for e in it.diary.entries)
    after = {step.id: step.after for step in plan.steps}
    done = {step.id for step in found.steps if step.done}
    for place, ident in enumerate(ids):
        open_before = [p for p in after[ident] if p in ids and p not in done]
        assert all(ids.index(p) < place for p in open_before)
    layers = [one.layer for one in found.garments if one.layer is not None]
    assert layers == sorted(layers)


def test_as_data_it_says_the_same(tmp_path: Path) -> None:
    """The data of a record has its steps in working order, with minutes and days as written."""
    diary = entry("2027-05-03T20:00:00", "a", 75, 'done = true\nnote = "x"')
    data = record_as_json(recorded(tmp_path, "a 60", "b 30", diary=diary))
    assert [one["id"] for one in data["steps"]] == ["e/g/a", "e/g/b"]
    assert data["steps"][0]["logged"] == 75
    assert data["steps"][0]["first_day"] == "2027-05-03"
    assert data["garments"][0]["estimate"] == 90
    assert data["notes"] == [{"at": "2027-05-03T20:00:00", "step": "e/g/a", "note": "x"}]
    assert data["finished"] is False


def test_aftercare_is_no_part_of_the_making(tmp_path: Path) -> None:
    """What comes after an event, and what follows that, is told apart, and finishes nothing."""
    diary = entry("2027-05-03T20:00:00", "a", 60)
    ball = '{ id = "ball", kind = "event", at = 2027-05-04 }'
    steps = ("a 60", 'air 10 after=["e/ball"]', 'store 5 after=["air"]')
    it = project(tmp_path, ensemble(garment(*steps), ball), diary=diary)
    found = record_of(it, plan_project(it, LATER), "e")
    assert [one.id for one in found.making] == ["e/g/a"]
    assert [one.id for one in found.aftercare] == ["e/g/air", "e/g/store"]
    assert found.finished
    assert found.worn is not None
    assert found.worn.id == "e/ball"


def test_a_step_has_what_it_takes_and_follows(tmp_path: Path) -> None:
    """Its stock by name, the steps before it, and how long it rests then."""
    stock = '{ id = "tape", name = "white tape", have = "10 m" }'
    steps = ("a 60", 'b 30 after=["a"], uses=[{stock="tape", amount="2 m"}], wait="1 night"')
    found = recorded(tmp_path, *steps, stock=stock)
    b = next(one for one in found.steps if one.id == "e/g/b")
    assert b.follows == ("e/g/a",)
    assert [(name, used.value) for name, used in b.uses] == [("white tape", 2)]
    assert b.wait.nights == 1
