"""The diary edited: entries logged, put right and taken back; steps opened again; what was really
used; and what keeps its entries when it is renamed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from planner.editing import rename_garment, rename_step, rename_stock, replace_stock
from planner.editing.diary import (
    done_before,
    log,
    logged_last,
    remove_entry,
    reopen,
    replace_entry,
)
from planner.exports.account import stock_reports_of
from planner.files.reading import read_project
from planner.model import Entry, Project, Used
from planner.plan import Plan
from planner.planning import plan_project
from planner.problems import InputError
from planner.quantity import LENGTH, Quantity
from tests.planner.little import BALL, NOW, ensemble, garment, plan, project, step

EVENING = datetime(2027, 5, 2, 21)
TAPE = '{ id = "tape", have = "5 m" }'
OF_TAPE = 'uses=[{ stock = "tape", amount = ["3 m"] }]'


def metres(value: float, stock: str = "tape") -> Used:
    """So much was taken."""
    return Used(stock=stock, amount=Quantity(value=value, dimension=LENGTH))


def room(folder: Path, *steps: str, diary: str = "", stock: str = TAPE) -> Project:
    """A garment with these steps, and tape."""
    return project(folder, ensemble(garment(*steps), BALL, stock), diary=diary)


def entry(id: str, minutes: int = 0, **keys: object) -> Entry:
    """An entry of Sunday evening for a step of the garment."""
    at = keys.pop("at", EVENING)
    return Entry(at=at, step=f"e/g/{id}", minutes=minutes, **keys)  # type: ignore[arg-type]


def texts(error: pytest.ExceptionInfo[InputError]) -> list[str]:
    """What is said, with its place."""
    return [f"{one.place}: {one.text}" for one in error.value.problems]


# logging


def test_entries_are_put_behind_all_there_are(tmp_path: Path) -> None:
    """In their order, each at the place its file will give it; steps stand as they say."""
    it = log(room(tmp_path, "a 60", "b 60"), [entry("a", 20)])
    it = log(it, [entry("b", 30, done=True), entry("a", 10, left=25)])
    assert [(e.step, e.minutes) for e in it.diary.entries] == [
        ("e/g/a", 20),
        ("e/g/b", 30),
        ("e/g/a", 10),
    ]
    assert [e.where for e in it.diary.entries] == ["entry[0]", "entry[1]", "entry[2]"]
    found = plan_project(it, NOW)
    assert (step(found, "a").left, step(found, "b").done) == (25, True)


def test_what_cant_be_logged_is_said_all_at_once(tmp_path: Path) -> None:
    """Steps and stock that there are not, with the nearest; two words at once; other measures."""
    it = room(tmp_path, "hem 60", diary="")
    with pytest.raises(InputError) as error:
        log(
            it,
            [
                entry("hme", 10),
                entry("hem", 10, done=True, left=5),
                entry("hem", -1),
                entry("hem", used=(metres(1, "tap"), Used(stock="tape", amount=Quantity(value=2)))),
            ],
        )
    assert texts(error) == [
        'entry[0].step: there is no step "e/g/hme". Is "e/g/hem" meant?',
        "entry[1].left: the step is done and has minutes left: keep one of the two",
        "entry[2].minutes: minutes are from 0 to 10 000 hours",
        'entry[3].used[0].stock: there is no stock "tap" in this ensemble. Is "tape" meant?',
        "entry[3].used[1].amount: `tape` is kept by a length, and this is a count: use the same"
        " for both",
    ]
    assert it.diary.entries == ()


def test_minutes_that_a_later_guess_knew_of_leave_it_as_it_is(tmp_path: Path) -> None:
    """Sunday's forty minutes, told after Monday's guess of 25 left, are in it; Tuesday's aren't."""
    monday, tuesday = datetime(2027, 5, 3, 21), datetime(2027, 5, 4, 21)
    guessed = log(room(tmp_path, "a 90"), [entry("a", 30, left=25, at=monday)])
    sunday = log(guessed, [entry("a", 40)])
    assert step(plan_project(sunday, NOW), "a").left == 25
    later = log(sunday, [entry("a", 10, at=tuesday)])
    assert step(plan_project(later, NOW), "a").left == 15
    # and so again
    assert step(plan_project(log(later, [entry("a", 40)]), NOW), "a").left == 15
    done = log(guessed, [entry("a", 20, done=True, at=tuesday), entry("a", 40)])
    assert step(plan_project(done, NOW), "a").done


def test_an_entry_is_put_right_or_taken_out(tmp_path: Path) -> None:
    """One among others; the rest keep their order."""
    it = log(room(tmp_path, "a 60"), [entry("a", 20), entry("a", 30), entry("a", 40)])
    it = replace_entry(it, 1, entry("a", 35, note="lamp on"))
    it = remove_entry(it, 0)
    assert [(e.minutes, e.note, e.where) for e in it.diary.entries] == [
        (35, "lamp on", "entry[0]"),
        (40, "", "entry[1]"),
    ]
    for index in (2, -1):
        with pytest.raises(InputError, match="no entry"):
            remove_entry(it, index)
        with pytest.raises(InputError, match="no entry"):
            replace_entry(it, index, entry("a"))


def test_an_entry_whose_step_is_gone_can_be_put_right(tmp_path: Path) -> None:
    """Its minutes may change while it names the same lost step, but it can't name another."""
    it = room(tmp_path, "a 60", diary='[[entry]]\nat = 2027-05-01\nstep = "e/g/gone"\n')
    it = replace_entry(it, 0, entry("gone", 15))
    assert it.diary.entries[0].minutes == 15
    with pytest.raises(InputError, match="no step"):
        replace_entry(it, 0, entry("gone-too", 15))


def test_the_entries_logged_last_are_those_of_one_moment(tmp_path: Path) -> None:
    """From the end back to where the moment is another."""
    assert logged_last(room(tmp_path, "a 60")) == ()
    earlier = entry("a", 5, at=datetime(2027, 5, 1))
    it = log(room(tmp_path, "a 60"), [earlier, entry("a", 20), entry("a", 30)])
    assert [e.minutes for e in logged_last(it)] == [20, 30]


# open again, done before


def test_a_done_step_is_opened_again(tmp_path: Path) -> None:
    """With the minutes that are left, or with its whole estimate; what follows it stays done."""
    it = log(room(tmp_path, "a 60", 'b 45 after=["a"]'), [entry("a", 30, done=True)])
    it = log(it, [entry("b", 20, done=True)])
    again = reopen(it, ["e/g/a"], NOW, note="gapes at the front")
    found = plan_project(again, NOW)
    assert (step(found, "a").done, step(found, "a").left) == (False, 60)
    assert step(found, "b").done
    assert again.diary.entries[-1].note == "gapes at the front"
    both = reopen(it, ["e/g/a", "e/g/b"], NOW, left={"e/g/b": 15})
    found = plan_project(both, NOW)
    assert (step(found, "a").left, step(found, "b").left) == (60, 15)


def test_a_step_done_before_the_diary_is_opened_again(tmp_path: Path) -> None:
    """Its own word goes, or it would win; also where only an entry says that some is left."""
    it = room(tmp_path, "a 60 done=true")
    assert step(plan_project(reopen(it, ["e/g/a"], NOW), NOW), "a").left == 60
    assert step(plan_project(log(it, [entry("a", left=25)]), NOW), "a").left == 25
    assert step(plan_project(log(it, [entry("a", 10)]), NOW), "a").done


def test_steps_done_before_the_diary_teach_nothing(tmp_path: Path) -> None:
    """They are done without an entry."""
    it = done_before(room(tmp_path, "a 60", "b 60"), ["e/g/a"])
    assert it.diary.entries == ()
    found = plan_project(it, NOW)
    assert (step(found, "a").done, step(found, "b").done) == (True, False)


@pytest.mark.parametrize("edit", [lambda it, ids: reopen(it, ids, NOW), done_before])
def test_what_is_no_step_is_neither_opened_nor_done(edit: object, tmp_path: Path) -> None:
    """All of them are said."""
    with pytest.raises(InputError) as error:
        edit(room(tmp_path, "hem 60"), ["e/g/hme", "x"])  # type: ignore[operator]
    assert len(error.value.problems) == 2


FITTING = '{ id = "fitting", kind = "fitting", at = 2027-05-01T14:00:00 }'


def test_the_diary_wins_over_a_held_fitting(tmp_path: Path) -> None:
    """What was to be done at it is presumed done, unless the diary says that some is left."""
    text = ensemble(garment('fit 30 during="fitting"', 'b 60 after=["fit"]'), f"{FITTING}, {BALL}")
    assert step(plan(tmp_path, text), "fit").done
    it = read_project(tmp_path)
    open_again = log(it, [entry("fit", 20, left=15)])
    found = plan_project(open_again, NOW)
    assert (step(found, "fit").done, step(found, "fit").left) == (False, 15)
    fit = [s for s in found.sittings if s.step == "e/g/fit"]
    assert sum(s.minutes for s in fit) == 15
    begins = min(s.start for s in found.sittings if s.step == "e/g/b" and s.start)
    assert begins >= max(s.end for s in fit if s.end)
    # what was left before it says nothing of what was done at it
    early = entry("fit", 20, left=15, at=datetime(2027, 5, 1, 10))
    assert step(plan_project(log(it, [early]), NOW), "fit").done
    # minutes alone say nothing of what is left, and a later done wins again
    assert step(plan_project(log(it, [entry("fit", 20)]), NOW), "fit").done
    done = log(open_again, [entry("fit", 15, done=True)])
    assert step(plan_project(done, NOW), "fit").done


# what was really used


def test_what_was_really_used_is_taken_off(tmp_path: Path) -> None:
    """The sum of a done step's entries in place of its three metres."""
    it = room(tmp_path, f"a 60 {OF_TAPE}", f"b 60 {OF_TAPE}")
    (estimated,) = stock_reports_of(*both(log(it, [entry("a", 60, done=True)])))
    assert (estimated.there, estimated.wanted, estimated.short) == (2, 3, 1)
    entries = [entry("a", 30, used=(metres(1.5),)), entry("a", 20, done=True, used=(metres(0.4),))]
    (really,) = stock_reports_of(*both(log(it, entries)))
    assert really.there == pytest.approx(3.1)
    assert (really.wanted, really.short) == (3, 0)


def test_a_step_that_has_taken_some_wants_the_rest(tmp_path: Path) -> None:
    """Begun, with a metre taken: four are there, two more are wanted; never less than none."""
    it = room(tmp_path, f"a 60 {OF_TAPE}")
    (some,) = stock_reports_of(*both(log(it, [entry("a", 20, used=(metres(1),))])))
    assert (some.there, some.wanted) == (4, 2)
    (more,) = stock_reports_of(*both(log(it, [entry("a", 20, used=(metres(4),))])))
    assert (more.there, more.wanted) == (1, 0)


def test_what_was_used_before_the_count_is_in_it(tmp_path: Path) -> None:
    """Counted on the 1st: what was taken on that day is off already."""
    stock = '{ id = "tape", have = "5 m", counted = 2027-05-01 }'
    it = room(tmp_path, f"a 60 {OF_TAPE}", stock=stock)
    before = entry("a", 20, used=(metres(2),), at=datetime(2027, 5, 1, 12))
    after = entry("a", 40, done=True, used=(metres(0.5),))
    (found,) = stock_reports_of(*both(log(it, [before, after])))
    assert (found.there, found.wanted) == (4.5, 0)


def test_stock_taken_by_a_step_that_was_to_take_none(tmp_path: Path) -> None:
    """It is gone all the same."""
    it = room(tmp_path, "a 60", f"b 60 {OF_TAPE}")
    (found,) = stock_reports_of(*both(log(it, [entry("a", 60, done=True, used=(metres(1),))])))
    assert (found.there, found.wanted) == (4, 3)


def test_used_stock_that_is_lost_is_warned_about(tmp_path: Path) -> None:
    """With the nearest; it changes nothing."""
    diary = (
        '[[entry]]\nat = 2027-05-01\nstep = "e/g/a"\ndone = true\n'
        'used = [{ stock = "tap", amount = "1 m" }]\n'
    )
    it = room(tmp_path, f"a 60 {OF_TAPE}", diary=diary)
    (warned,) = [one for one in it.warnings if "stock" in one.text]
    assert warned.place == "entry[0].used[0].stock"
    assert 'did you mean "tape"?' in warned.text
    (found,) = stock_reports_of(*both(it))
    assert found.there == 2


def both(it: Project) -> tuple[Project, Plan]:
    """A project with its plan."""
    return it, plan_project(it, NOW)


# renamed


def test_a_renamed_step_garment_and_stock_keep_their_entries(tmp_path: Path) -> None:
    """Minutes, word and what was used go with the new ids; a form's rename does the same."""
    it = room(tmp_path, f"a 60 {OF_TAPE}", "b 30")
    it = log(it, [entry("a", 50, done=True, used=(metres(2.5),)), entry("b", 10)])
    it = rename_step(it, "e/g/a", "hem")
    it = rename_garment(it, "e/g", "skirt")
    it = rename_stock(it, "e/tape", "braid")
    assert [e.step for e in it.diary.entries] == ["e/skirt/hem", "e/skirt/b"]
    assert it.diary.entries[0].used == (metres(2.5, "braid"),)
    (found,) = stock_reports_of(*both(it))
    assert found.there == 2.5
    stock = it.ensembles[0].stock[0]
    it = replace_stock(it, "e/braid", replace(stock, id="ribbon", counted=date(2027, 4, 1)))
    assert it.diary.entries[0].used[0].stock == "ribbon"


def test_a_renamed_stock_of_another_ensemble_is_left_alone(tmp_path: Path) -> None:
    """Each ensemble has its own tape."""
    text = ensemble(garment(f"a 60 {OF_TAPE}"), BALL, TAPE)
    it = log(project(tmp_path, text, f=text), [entry("a", used=(metres(1),))])
    it = rename_stock(it, "f/tape", "braid")
    assert it.diary.entries[0].used[0].stock == "tape"


def test_entries_of_a_file_renamed_by_hand_say_which_is_meant(tmp_path: Path) -> None:
    """Whether the folder is opened or the file alone; other ensembles' entries are no matter."""
    diary = (
        '[[entry]]\nat = 2027-05-01\nstep = "e/g/a"\n\n'
        '[[entry]]\nat = 2027-05-01\nstep = "other/g/a"\n'
    )
    room(tmp_path, "a 60", diary=diary)
    (tmp_path / "other.toml").write_text(ensemble(garment("a 60")), encoding="utf-8")
    assert read_project(tmp_path).warnings == ()
    assert read_project(tmp_path / "e.toml").warnings == ()
    (tmp_path / "e.toml").rename(tmp_path / "quayside-gown.toml")
    for path in (tmp_path, tmp_path / "quayside-gown.toml"):
        (warned,) = read_project(path).warnings
        assert warned.place == "entry[0].step"
        assert 'there is no step "e/g/a": did you mean "' in warned.text
    assert '"quayside-gown/g/a"?' in read_project(tmp_path / "quayside-gown.toml").warnings[0].text
