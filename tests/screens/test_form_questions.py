"""What the forms ask and what their texts come to, without a screen."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from planner.catalogue import techniques_with
from planner.catalogue.shelf import orders
from planner.files.writing import write_ensemble
from planner.model import OccasionKind, Place, Source, Use, Wait, Way, Work
from planner.planning import plan_project
from planner.quantity import LENGTH, Quantity
from planner.splitting.answers import usual
from planner.splitting.joining import join
from planner.splitting.split import split
from screens.dressing import occasion_heading
from screens.forms.answers import ANSWER, answer_fields, answers_from
from screens.forms.fields import Wrong
from screens.forms.garment import NEW, EnsembleQuestions, GarmentQuestions
from screens.forms.lookups import step_name
from screens.forms.measure import MeasureQuestions
from screens.forms.occasion import OccasionQuestions
from screens.forms.questions import Questions
from screens.forms.step import StepQuestions
from screens.forms.stock import StockQuestions
from screens.splits import each_way
from screens.state import State
from tests.screens.workrooms import SAMPLE, SMALL, garment_in, state_of, step_in, typed_into

E = "ferrywoman"
HEM = f"{E}/bodice/hem"


@pytest.fixture(scope="module")
def state() -> State:
    """The small workroom."""
    return state_of(SMALL)


def a_step(state: State, ident: str = HEM) -> StepQuestions:
    """The form of a step."""
    return StepQuestions(state, ident.rpartition("/")[0], ident)


def keys_of_the_format(heading: str) -> set[str]:
    """The keys that FORMAT.md lists under a heading."""
    text = Path("planner/files/FORMAT.md").read_text(encoding="utf-8")
    section = re.split(r"^#+ ", text.split(heading, 1)[1], flags=re.MULTILINE)[0]
    rows = re.findall(r"^\| (`\w+`(?:, `\w+`)*) \|", section, re.MULTILINE)
    return {key for row in rows for key in re.findall(r"`(\w+)`", row)}


ASKED: list[tuple[str, Callable[[State], Questions], set[str]]] = [
    ("### Steps: `[[garment.step]]`", lambda state: a_step(state), {"stock", "extra"}),
    (
        "### Occasions: `[[occasion]]`",
        lambda state: OccasionQuestions(state, E, f"{E}/regatta"),
        set(),
    ),
    ("### Stock: `[[stock]]`", lambda state: StockQuestions(state, E, f"{E}/braid"), set()),
    ("### Garments: `[[garment]]`", lambda state: GarmentQuestions(state, E, f"{E}/stays"), set()),
]


@pytest.mark.parametrize(
    ("heading", "make", "within"), ASKED, ids=[one[0].split("`")[1] for one in ASKED]
)
def test_every_key_of_the_format_is_asked(
    state: State, heading: str, make: Callable[[State], Questions], within: set[str]
) -> None:
    """A form asks every key that a file can hold; some stand within the text of another."""
    known = keys_of_the_format(heading) - within - {"amount", "arrives", "chosen"}
    assert known
    asked = {field.key for field in make(state).fields({})}
    asked |= {"instead"} if "ways" in asked else set()
    assert known <= asked


def test_every_key_of_another_way_is_asked(state: State) -> None:
    """Another way of a step has a field for each of its keys."""
    fields = a_step(state).fields({"ways": "1"})
    asked = {field.key.rpartition(".")[2] for field in fields if field.key.startswith("instead.0.")}
    assert asked == {field.name for field in Way.__dataclass_fields__.values()}


def test_every_field_has_a_label_and_a_sentence(state: State) -> None:
    """No field leaves the maker alone: each says what to write."""
    for _, make, _ in ASKED:
        for field in make(state).fields({"ways": "1"}):
            assert field.label
            assert field.help.endswith("."), field.key


def test_a_step_takes_every_key(state: State) -> None:
    """What is typed in a step's form comes to the same as what a file would hold."""
    reading = typed_into(
        a_step(state),
        name="Hem, at last",
        technique="",
        hours="2h",
        low="1h30",
        high="4h",
        effort="1.5",
        work="hand",
        place="take-along",
        after="press, stays:fittable",
        stage="finished",
        wait="2 nights",
        uses="braid: 3 m × 2 + 5%",
        hands="2",
        one_sitting="yes",
        optional="yes",
        missed="5",
        on="16 May 2027",
        not_before="10 May 14:00",
        no_way_back="no",
        caution="good light",
        ways="1",
        instead__0__hours="45m",
        instead__0__missed="2",
        instead__0__uses="braid",
        instead__0__chosen="yes",
    )
    assert not reading.wrong and reading.change is not None
    step = step_in(reading.change(state.project), "bodice", "hem")
    was = step_in(state.project, "bodice", "hem")
    length = Quantity(value=3.0, dimension=LENGTH)
    assert step == replace(
        was,
        name="Hem, at last",
        hours=120,
        low=90,
        high=240,
        effort=1.5,
        work=Work.HAND,
        place=Place.TAKE_ALONG,
        after=("press", "stays:fittable"),
        stage="finished",
        wait=Wait(nights=2),
        uses=(Use(stock="braid", extra=0.05, amount=(length, Quantity(value=2.0))),),
        hands=2,
        one_sitting=True,
        optional=True,
        missed=5,
        on=date(2027, 5, 16),
        not_before=datetime(2027, 5, 10, 14),
        no_way_back=False,
        caution="good light",
        instead=(Way(hours=45, missed=2, uses=(Use(stock="braid"),), chosen=True),),
    )


def test_what_is_not_typed_stays(state: State) -> None:
    """Only what was typed is read anew: the rest stays, also what changed meanwhile."""
    questions = a_step(state)
    was = step_in(state.project, "bodice", "hem")
    changed = replace(was, hours=77, name="bell\x07 hem")
    project = replace(
        state.project,
        ensembles=tuple(
            replace(
                one,
                garments=tuple(
                    replace(g, steps=tuple(changed if s is was else s for s in g.steps))
                    for g in one.garments
                ),
            )
            for one in state.project.ensembles
        ),
    )
    questions.renew(replace(state, project=project))
    reading = typed_into(questions, missed="1")
    assert reading.change is not None
    assert step_in(reading.change(project), "bodice", "hem") == replace(changed, missed=1)


def test_what_has_gone_is_said(state: State) -> None:
    """A step that was removed meanwhile can't be kept; the form says so."""
    questions = a_step(state)
    bare = replace(
        state.project,
        ensembles=tuple(replace(one, garments=()) for one in state.project.ensembles),
    )
    questions.renew(replace(state, project=bare))
    reading = typed_into(questions, missed="1")
    assert reading.change is None
    assert "no longer in the files" in reading.wrong[0].text


@pytest.mark.parametrize(
    ("key", "text", "said"),
    [
        ("hours", "long", "is not a duration"),
        ("missed", "9", "is out of bounds"),
        ("effort", "0", "is out of bounds"),
        ("on", "soon", "write a date"),
        ("wait", "a while", "is not a wait"),
        ("uses", "braid: 2 ells", "is not an amount"),
        ("id", "a/b", "which join ids"),
        ("low", "3h", "more than hours"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(state: State, key: str, text: str, said: str) -> None:
    """A form says what reading a file would say, at the field it was typed in."""
    reading = typed_into(a_step(state), **{key: text})
    assert reading.change is None
    assert [one.key for one in reading.wrong] == [key]
    assert said in reading.wrong[0].text


@pytest.mark.parametrize(
    ("key", "text", "said"),
    [
        ("after", "nothing-here", "nothing-here"),
        ("after", "trim", ""),
        ("technique", "hem-by-hnad", "hem-by-hand"),
        ("uses", "silver", "silver"),
        ("id", "press", "already"),
    ],
)
def test_what_leads_nowhere_is_said_at_its_field(
    state: State, key: str, text: str, said: str
) -> None:
    """References, circles and techniques are checked before anything is kept."""
    questions = a_step(state)
    wrong = questions.check(typed_into(questions, **{key: text}))
    assert wrong and any(said in one.text for one in wrong)
    if said:
        assert {one.key for one in wrong} == {key}


def test_a_new_step_follows_the_one_above(state: State) -> None:
    """A new step is named by its technique, waits for the one above, and gets an id."""
    sample = state_of(SAMPLE, datetime(2027, 9, 1))
    garment = "lamp_keeper/petticoat"
    first = garment_in(sample.project, "petticoat").steps[0].id
    questions = StepQuestions(sample, garment, index=1)
    assert typed_into(questions).wrong == (
        Wrong(key="name", text="Give it a name, or a technique."),
    )
    reading = typed_into(questions, technique="hem-by-hand", amount="2 m")
    assert reading.change is not None and "from" in reading.told
    steps = garment_in(reading.change(sample.project), "petticoat").steps
    assert steps[1].id == "hem-by-hand"
    assert steps[1].after == (first,)


def test_a_new_step_goes_in_between() -> None:
    """What follows the step above follows the new one in its place, unless it is taken out;
    elsewhere nothing changes, and steps that are there aren't asked for it."""
    sample = state_of(SAMPLE, datetime(2027, 9, 1))
    garment = "lamp_keeper/petticoat"
    steps = garment_in(sample.project, "petticoat").steps
    place = next(i for i, one in enumerate(steps) if any(one.id in s.after for s in steps))
    above = steps[place]
    followers = [one.id for one in steps if above.id in one.after]
    questions = StepQuestions(sample, garment, index=place + 1)
    fields = {field.key: field for field in questions.fields({})}
    called = {one.id: step_name(sample.project, one) for one in steps}
    assert fields["after"].value == called[above.id]
    assert fields["before"].value == ", ".join(called[one] for one in followers)
    keys = list(fields)
    assert keys.index("before") == keys.index("after") + 1
    reading = typed_into(questions, technique="hem-by-hand", amount="2 m")
    assert reading.change is not None and not questions.check(reading)
    after = reading.change(sample.project)
    for one in garment_in(after, "petticoat").steps:
        before = next((old for old in steps if old.id == one.id), None)
        if one.id in followers and before is not None:
            assert "hem-by-hand" in one.after and above.id not in one.after
            others = [text for text in before.after if text != above.id]
            assert [text for text in one.after if text != "hem-by-hand"] == others
        elif before is not None:
            assert one.after == before.after
    out = typed_into(questions, technique="hem-by-hand", amount="2 m", before="")
    assert out.change is not None
    untouched = garment_in(out.change(sample.project), "petticoat").steps
    assert [one.after for one in untouched if one.id != "hem-by-hand"] == [s.after for s in steps]
    assert "before" not in {
        field.key for field in a_step(sample, f"{garment}/{above.id}").fields({})
    }


def test_a_new_step_before_another_of_the_garment(state: State) -> None:
    """A step that didn't follow the one above gets the new one besides; what is none of the
    garment is said."""
    sample = state_of(SAMPLE, datetime(2027, 9, 1))
    garment = "lamp_keeper/petticoat"
    steps = garment_in(sample.project, "petticoat").steps
    questions = StepQuestions(sample, garment, index=1)
    last = steps[-1]
    reading = typed_into(questions, name="New", hours="1h", work="hand", before=last.id)
    assert reading.change is not None
    after = step_in(reading.change(sample.project), "petticoat", last.id).after
    assert after == (*(text for text in last.after if text != steps[0].id), "new")
    wrong = typed_into(questions, name="New", hours="1h", work="hand", before="brim").wrong
    assert wrong == (
        Wrong(key="before", text="“brim” is no step of this garment; ^f looks them up."),
    )
    in_order = StepQuestions(state, f"{E}/stays", index=1)
    assert "before" not in {field.key for field in in_order.fields({})}


CIRCLES = [
    (
        f"{E}/stays/channels",
        {"after": "lace"},
        "after",
        "That would be a circle: this step, then “bones in front” (Stays), then “lace up” (Stays),"
        " then this step again. Change what it comes after: “lace up” (Stays) comes after it"
        " already.",
    ),
    (
        f"{E}/bodice/seams",
        {"during": "body-fitting"},
        "during",
        "That would be a circle: the Body fitting, then “corrections onto the pattern” (Jacket"
        " bodice), then the Body fitting again. Have it done at another occasion, or change what"
        " it comes after.",
    ),
]


@pytest.mark.parametrize(("ident", "texts", "key", "told"), CIRCLES, ids=["after", "during"])
def test_a_circle_is_told_in_names(
    state: State, ident: str, texts: dict[str, str], key: str, told: str
) -> None:
    """A circle is told at the field that closes it, whole, in names, with what to change."""
    questions = a_step(state, ident)
    assert questions.check(typed_into(questions, **texts)) == (Wrong(key=key, text=told),)


def test_what_comes_before_is_looked_up_by_name() -> None:
    """Steps are offered by their names, or their techniques'; the id, which the field will hold,
    stands faintly beside it."""
    sample = state_of(SAMPLE, datetime(2027, 9, 1))
    garment = "lamp_keeper/petticoat"
    questions = StepQuestions(sample, garment, index=1)
    (after,) = [field for field in questions.fields({}) if field.key == "after"]
    assert after.found is not None
    offered = {one.key: one for one in after.found()}
    for step in garment_in(sample.project, "petticoat").steps:
        one = offered[step.id]
        technique = techniques_with(())[step.technique].name if step.technique else ""
        assert one.name == (step.name or technique)
        assert one.told == step.id


def test_an_id_is_followed(state: State) -> None:
    """With another id everything that named the step names it anew."""
    reading = typed_into(a_step(state, f"{E}/stays/lace"), id="lace-up")
    assert reading.change is not None
    after = reading.change(state.project)
    assert step_in(after, "stays", "lace-up").during == "body-fitting"


def test_names_stay_literal(state: State, tmp_path: Path) -> None:
    """Brackets, quotes, emoji and right-to-left letters are kept and read back as typed."""
    name = '[red] "silk" 🧵 עברית é'
    reading = typed_into(a_step(state), name=name)
    assert reading.change is not None
    after = reading.change(state.project).ensembles[0]
    write_ensemble(tmp_path / "it.toml", None, after)
    text = (tmp_path / "it.toml").read_text(encoding="utf-8")
    assert "🧵" in text and "עברית" in text
    assert step_in(reading.change(state.project), "bodice", "hem").name == name


def test_a_garment(state: State) -> None:
    """A garment's form changes and adds measurements; its steps are as they are."""
    questions = GarmentQuestions(state, E, f"{E}/bodice")
    reading = typed_into(
        questions, source="alter", layer="5", wearer="Ama", **{NEW: "hem = 2.9 m, hooks = 8"}
    )
    assert reading.change is not None
    garment = garment_in(reading.change(state.project), "bodice")
    was = garment_in(state.project, "bodice")
    assert (garment.source, garment.layer, garment.wearer) == (Source.ALTER, 5, "Ama")
    assert garment.measurements == {
        "hem": Quantity(value=2.9, dimension=LENGTH),
        "hooks": Quantity(value=8.0),
    }
    assert [step.id for step in garment.steps] == [step.id for step in was.steps]
    wrong = typed_into(questions, layer="top", **{NEW: "hem = 3 ells"}).wrong
    assert {one.key for one in wrong} == {"layer", NEW}


def test_a_new_garment_goes_to_its_layer(state: State) -> None:
    """A new garment needs a name, gets an id, and stands where it is put on."""
    questions = GarmentQuestions(state, E)
    assert typed_into(questions).wrong
    reading = typed_into(questions, name="Quilted petticoat", layer="3")
    assert reading.change is not None
    garments = reading.change(state.project).ensembles[0].garments
    assert [one.id for one in garments] == ["stays", "quilted-petticoat", "bodice"]


def test_an_occasion(state: State) -> None:
    """An occasion's form reads dates as people write them."""
    questions = OccasionQuestions(state, E)
    assert {one.key for one in typed_into(questions).wrong} == {"at"}
    reading = typed_into(
        questions,
        name="Wear it once",
        kind="trial wear",
        at="15 May 10:00",
        takes="2h",
        wants="bodice:wearable",
        margin="1 day",
    )
    assert reading.change is not None
    found = reading.change(state.project).ensembles[0].occasions[1]
    assert (found.id, found.kind) == ("wear-it-once", OccasionKind.TRIAL_WEAR)
    assert found.at == datetime(2027, 5, 15, 10)
    assert (found.takes, found.wants, found.margin.days) == (120, ("bodice:wearable",), 1)
    wrong = questions.check(typed_into(questions, at="15 May", wants="nobody"))
    assert {one.key for one in wrong} == {"wants"}


@pytest.mark.parametrize(
    ("kind", "typed", "at"),
    [
        ("fitting", "15 May", datetime(2027, 5, 15, 14)),
        ("trial wear", "2027-05-15", datetime(2027, 5, 15, 14)),
        ("departure", "15 May", datetime(2027, 5, 15, 8)),
        ("event", "15 May", datetime(2027, 5, 15)),
        ("fitting", "tomorrow", datetime(2027, 5, 4, 14)),
        ("fitting", "30 Jan", datetime(2028, 1, 30, 14)),
        ("trial wear", "2028-01-30 16:30", datetime(2028, 1, 30, 16, 30)),
    ],
)
def test_a_day_without_a_time(state: State, kind: str, typed: str, at: datetime) -> None:
    """A bare day is from the hour such an occasion usually is, new or edited; an event takes
    its whole day."""
    new = typed_into(OccasionQuestions(state, E), name="New", kind=kind, at=typed, gather="no")
    assert new.change is not None
    after = new.change(state.project).ensembles[0].occasions
    assert next(one for one in after if one.id == "new").at == at
    there = OccasionQuestions(state, E, f"{E}/body-fitting")
    edited = typed_into(there, kind=kind, at=typed)
    assert edited.change is not None
    after = edited.change(state.project).ensembles[0].occasions
    assert next(one for one in after if one.id == "body-fitting").at == at


def test_an_event_of_a_whole_day_has_no_hour(state: State) -> None:
    """Its form, heading and line show the date alone; what wasn't typed stays as it is."""
    reading = typed_into(OccasionQuestions(state, E, f"{E}/regatta"), at="22 May")
    assert reading.told == "Saturday 22 May, all day" and reading.change is not None
    project = reading.change(state.project)
    there = replace(state, project=project)
    questions = OccasionQuestions(there, E, f"{E}/regatta")
    (at,) = [field for field in questions.fields({}) if field.key == "at"]
    assert at.value == "2027-05-22" and at.help.endswith("Without a time, all day.")
    renamed = typed_into(questions, name="Boats").change
    assert renamed is not None
    regatta = renamed(project).ensembles[0].occasions[-1]
    assert (regatta.name, regatta.at) == ("Boats", datetime(2027, 5, 22))
    plan = plan_project(project, state.now)
    planned = next(one for one in plan.occasions if one.id == f"{E}/regatta")
    assert occasion_heading(plan, planned) == "Regatta: Saturday 22 May, all day"


def test_stock(state: State) -> None:
    """Stock with what is coming, each delivery with its day."""
    reading = typed_into(
        StockQuestions(state, E, f"{E}/braid"),
        have="1.5 m",
        counted="1 May 2027",
        lead="10 days",
        again="yes",
        coming="3 m on 10 May 2027, 1 m",
    )
    assert reading.change is not None
    stock = reading.change(state.project).ensembles[0].stock[0]
    assert (stock.lead, stock.again, stock.counted) == (10, True, date(2027, 5, 1))
    assert [one.arrives for one in stock.coming] == [date(2027, 5, 10), None]
    wrong = typed_into(StockQuestions(state, E, f"{E}/braid"), coming="lots").wrong
    assert {one.key for one in wrong} == {"coming"}


def test_what_must_be_there_too(state: State) -> None:
    """The list of an ensemble is typed as one text."""
    reading = typed_into(EnsembleQuestions(state, E), pack="shoes, lacing cord", name="Sunday")
    assert reading.change is not None
    ensemble = reading.change(state.project).ensembles[0]
    assert (ensemble.pack, ensemble.name) == (("shoes", "lacing cord"), "Sunday")


def test_questions_of_an_order() -> None:
    """An order's questions are fields with their usual answers; wrong answers are told."""
    order = orders()["petticoat"]
    answers = usual(order)
    fields = answer_fields(order, answers, {}, "metric")
    assert {field.key.removeprefix(ANSWER) for field in fields} >= {
        one.id for one in order.measurements if one.asked and not one.when
    }
    assert any(field.further for field in fields)
    same, wrong = answers_from(order, answers, {}, "metric")
    assert same == answers and not wrong
    key = f"{ANSWER}{order.measurements[0].id}"
    _, wrong = answers_from(order, answers, {key: "9000"}, "metric")
    assert [one.key for one in wrong] == [key]


def with_a_split_petticoat(state: State) -> State:
    """The small workroom with a petticoat as its order makes it."""
    order = orders()["petticoat"]
    joined = join(
        state.project.ensembles[0], split(order, usual(order)), orders=orders(), now=state.now
    )
    project = replace(state.project, ensembles=(joined.ensemble,))
    return State(project=project, plan=plan_project(project, state.now), now=state.now)


def test_measured_anew(state: State) -> None:
    """Other answers split a garment again; hours and cloth are shown at once."""
    petticoat = f"{E}/petticoat"
    questions = MeasureQuestions(with_a_split_petticoat(state), petticoat)
    key = f"{ANSWER}{questions.order.measurements[0].id}"
    same = typed_into(questions)
    assert same.change is not None and "steps" in same.told
    field = next(one for one in questions.fields({}) if one.key == key)
    number = re.match(r"[\d.]+", field.value)
    assert number is not None
    more = f"{float(number[0]) * 1.5:g}{field.value[number.end() :]}"
    reading = typed_into(questions, **{key: more})
    assert reading.change is not None and reading.told != same.told
    told = " ".join(run.text for line in questions.beside({}, None, 60) for run in line.runs)
    assert "It takes" in told
    after = garment_in(reading.change(questions.state.project), "petticoat")
    before = garment_in(questions.state.project, "petticoat")
    assert after.measurements != before.measurements


def test_measured_anew_with_steps_of_ones_own() -> None:
    """A garment its maker changed much in shows its own steps as they would become."""
    state = state_of(SAMPLE, datetime(2027, 9, 1))
    questions = MeasureQuestions(state, "lamp_keeper/petticoat")
    assert typed_into(questions).told == ""
    told = [run.text for line in questions.beside({}, None, 60) for run in line.runs]
    assert any("with what you changed by hand" in text for text in told)


def test_where_a_garment_comes_from(state: State) -> None:
    """Each way has its hours; owning it leaves off what would have been sewn."""
    petticoat = f"{E}/petticoat"
    there = with_a_split_petticoat(state)
    pace = there.plan.pace
    ways = {way.source: way for way in each_way(there.project, petticoat, there.now, pace)}
    made, owned = ways[Source.MAKE], ways[Source.OWN]
    assert made.now and made.change is None
    assert made.minutes is not None and owned.minutes is not None
    assert owned.minutes.typical < made.minutes.typical
    assert owned.change is not None
    after = garment_in(owned.change(there.project), "petticoat")
    assert after.source is Source.OWN
    kept = [step for step in after.steps if not step.left_off]
    assert len(kept) == owned.steps


def test_where_a_garment_without_an_order_comes_from(state: State) -> None:
    """Without an order of construction only the word changes, and its steps stay."""
    pace = state.plan.pace
    ways = {way.source: way for way in each_way(state.project, f"{E}/stays", state.now, pace)}
    change = ways[Source.BORROW].change
    assert change is not None and ways[Source.BORROW].minutes is None
    after = garment_in(change(state.project), "stays")
    assert after == replace(garment_in(state.project, "stays"), source=Source.BORROW)
