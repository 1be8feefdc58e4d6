"""Names in fields and ids in files: what is shown is read back as what the file holds."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from screens.forms.names import Names, StepNames, all_meant
from screens.forms.occasion import OccasionQuestions
from screens.forms.rows import TypedLast
from screens.forms.step import StepQuestions
from screens.forms.tables import Plain
from screens.forms.texts import stock_written, without_or_with, written
from tests.screens.workrooms import SAMPLE, SMALL, state_of, step_in, typed_into

REFERRING = ("technique", "after", "uses")
SAMPLES = sorted(path.parent for path in Path("sample_projects").glob("*/workroom.toml"))


def test_a_name_that_two_share_stands_for_neither() -> None:
    """Such a thing is shown by its id, and its name is read as typed."""
    names = Names([("front", "Front"), ("a", "Cut"), ("b", "cut "), ("hem", "Hem it")])
    assert [names.shown(one) for one in ("front", "a", "b", "hem")] == ["Front", "a", "b", "Hem it"]
    assert names.ident("cut") == "cut"
    assert names.ident(" hem  IT ") == "hem" and names.ident("b") == "b"
    assert names.shown("gone") == "gone" and names.ident("gone") == "gone"


def test_a_name_that_is_anothers_id_stands_for_nothing() -> None:
    """An id always means what has it."""
    names = Names([("hem", "Press"), ("press", "Press it well")])
    assert names.shown("hem") == "hem" and names.ident("press") == "press"


def test_a_name_with_commas_is_read_without_quotes() -> None:
    """The longest run of parts that is a name is meant; what is none stays as it is typed."""
    names = Names([("a", "Lace, then tie"), ("b", "tie"), ("c", "Lace")])
    assert all_meant(names, ["Lace", "then tie", "tie", "tie on"]) == ["a", "b", "tie on"]
    assert all_meant(names, ["lace", "tie"]) == ["c", "b"]
    assert all_meant(names, []) == []


NAMES = st.text(st.sampled_from("aAbB ,:+-\"\\/×1"), max_size=4)


@given(st.dictionaries(st.text("ab-1:/", min_size=1, max_size=3), NAMES, max_size=6))
def test_what_is_shown_is_read_as_its_id(pairs: dict[str, str]) -> None:
    """Whatever things are called: shown and read back, each is itself."""
    names = Names(pairs.items())
    for ident in pairs:
        assert names.ident(names.shown(ident)) == ident


def test_every_step_of_the_samples_is_read_as_it_is_shown() -> None:
    """Touching what a step refers to, and putting it back, changes nothing; no reference of a
    sample is shown by an id that has a name of its own."""
    for folder in SAMPLES:
        state = state_of(folder, datetime(2027, 3, 6))
        for ensemble in state.project.ensembles:
            for garment in ensemble.garments:
                for step in garment.steps[:6]:
                    owner = f"{ensemble.id}/{garment.id}"
                    questions = StepQuestions(state, owner, f"{owner}/{step.id}")
                    fields = {one.key: one for one in questions.fields({})}
                    shown = {key: fields[key].value for key in REFERRING if fields[key].value}
                    table = questions.typing.into(questions.was, shown)
                    assert table == questions.was, step.id
                    if step.technique is not None:
                        assert fields["technique"].value != step.technique


def test_a_technique_is_read_by_its_name_and_by_its_id() -> None:
    """Either gives the same step, whose file holds the id."""
    state = state_of(SMALL)
    for text in ("work eyelets by hand", "eyelet-by-hand", "  Work eyelets by  HAND "):
        questions = StepQuestions(state, "ferrywoman/bodice", "ferrywoman/bodice/hem")
        reading = typed_into(questions, technique=text, amount="6")
        assert reading.change is not None and not questions.check(reading)
        step = step_in(reading.change(state.project), "bodice", "hem")
        assert step.technique == "eyelet-by-hand"


def test_an_occasion_wants_by_names() -> None:
    """Stages and garments are shown by names, and written by ids."""
    state = state_of(SMALL)
    questions = OccasionQuestions(state, "ferrywoman", "ferrywoman/body-fitting")
    if questions.occasion is None:
        pytest.fail("the small workroom has lost its fitting")
    reading = typed_into(questions, wants="Stays fittable, STAYS")
    assert reading.change is not None and not questions.check(reading)
    after = next(
        one
        for one in reading.change(state.project).ensembles[0].occasions
        if one.id == "body-fitting"
    )
    assert after.wants == ("stays:fittable", "stays")
    again = OccasionQuestions(state_of(SAMPLE, datetime(2027, 9, 1)), "lamp_keeper")
    assert next(one for one in again.fields({}) if one.key == "wants").value == ""


def test_names_of_other_ways_are_shown_too() -> None:
    """Of what a step could be done instead."""
    names = StepNames(technique=Names([("hem-by-hand", "hem by hand")]))
    table: Plain = {"technique": "other", "instead": [{"technique": "hem-by-hand", "hours": "1h"}]}
    assert names.shown(table) == {
        "technique": "other",
        "instead": [{"technique": "hem by hand", "hours": "1h"}],
    }
    assert table["instead"] == [{"technique": "hem-by-hand", "hours": "1h"}]


def test_picking_writes_what_is_read() -> None:
    """A name with a comma stands in quotes; picked again it goes."""
    one, two = written("sew, then press"), stock_written("braid: flat")
    assert (one, two) == ('"sew, then press"', '"braid: flat"')
    assert without_or_with("cut", one) == 'cut, "sew, then press"'
    assert without_or_with('cut, "sew, then press"', one) == "cut"


def test_what_is_typed_letter_by_letter_is_taken_back_as_a_word() -> None:
    """A word at a time, and what was put in at once as a whole."""
    typing = TypedLast("hem")
    for text in ("hem ", "hem a", "hem ab", "hem ab c", "pasted over"):
        typing.came(text)
    assert [typing.back() for _ in range(4)] == ["hem ab c", "hem ab", "hem", "hem"]


@given(st.lists(st.text("ab ", max_size=5), max_size=8))
def test_all_that_was_taken_back_can_be_typed_again(texts: list[str]) -> None:
    """Back to the beginning, and forth to the end."""
    typing = TypedLast("begun")
    for text in texts:
        typing.came(text)
    last = typing.now
    for _ in range(len(texts) + 1):
        typing.back()
    assert typing.now == "begun"
    for _ in range(len(texts) + 1):
        typing.forth()
    assert typing.now == last
