"""Edits as pure functions: what each does, and that references go on meaning what they meant."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

import pytest

from planner import editing as e
from planner.model import (
    Coming,
    Diary,
    Ensemble,
    Entry,
    Garment,
    Occasion,
    OccasionKind,
    Project,
    Step,
    Stock,
    Use,
    Way,
    Work,
    Workroom,
)
from planner.network import order_problems
from planner.problems import InputError
from planner.quantity import Quantity, parse_quantity

NOON = datetime(2027, 5, 22, 12)


def step(id: str, *after: str, **keys: object) -> Step:
    """An hour of hand sewing."""
    it = Step(id=id, hours=60, work=Work.HAND, after=after)
    return replace(it, **keys)  # type: ignore[arg-type]  # keys are those of Step


STAYS = Garment(
    id="stays",
    name="Stays",
    layer=2,
    measurements={"edge": parse_quantity("2 m"), "bones": Quantity(value=12.0)},
    steps=(
        step("cut", uses=(Use(stock="coutil", amount=("edge",)),)),
        step("sew", "cut", stage="fittable"),
        step("fit", "sew", during="fitting"),
        step("bind", "fit", stage="wearable", amount=("edge", Quantity(value=2.0)), instead=(
            Way(amount=("edge",), hours=20, uses=(
                Use(stock="coutil", amount=("edge",)), Use(stock="tape", amount=("bones",)),
            )),
        )),
    ),
)  # fmt: skip
GOWN = Garment(
    id="gown",
    name="Gown",
    layer=4,
    steps=(
        step("mock-up", "stays:fittable"),
        step("fit", "mock-up", "stays/sew", during="fitting"),
        step("sew", "fit", "stays"),
        step("hem", "sew", "fitting", stage="wearable"),
        step("lace", "hem", optional=True),
    ),
)
BALL = Ensemble(
    id="ball",
    name="Ball",
    file="ball.toml",
    occasions=(
        Occasion(id="fitting", kind=OccasionKind.FITTING, at=NOON.replace(month=4)),
        Occasion(
            id="trial",
            kind=OccasionKind.TRIAL_WEAR,
            at=NOON.replace(day=2),
            wants=("stays:wearable", "gown/hem", "fitting"),
        ),
        Occasion(id="night", kind=OccasionKind.EVENT, at=NOON),
    ),
    stock=(
        Stock(id="coutil", have=parse_quantity("9 m")),
        Stock(id="tape"),
        Stock(id="lace", have=parse_quantity("1 m")),
    ),
    garments=(STAYS, GOWN),
)
PAGE = Ensemble(
    id="page",
    file="page.toml",
    occasions=(Occasion(id="walk", kind=OccasionKind.EVENT, at=NOON, wants=("cap", "ball/trial")),),
    garments=(
        Garment(
            id="cap",
            in_order=True,
            steps=(
                step("block", "ball/gown/sew", "ball/stays:wearable"),
                step("trim", "ball/fitting"),
                step("wear", during="ball/trial"),
            ),
        ),
    ),
)
ROOM = Project(
    workroom=Workroom(),
    ensembles=(BALL, PAGE),
    diary=Diary(
        entries=(
            Entry(at=NOON.replace(month=3), step="ball/stays/cut", done=True),
            Entry(at=NOON.replace(month=3), step="ball/gown/mock-up", minutes=20),
        )
    ),
)


def after(project: Project, full: str) -> tuple[str, ...]:
    """What a step says it follows."""
    ensemble, garment, id = full.split("/")
    return next(
        s.after
        for it in project.ensembles if it.id == ensemble
        for g in it.garments if g.id == garment
        for s in g.steps if s.id == id
    )  # fmt: skip


def garment(project: Project, full: str) -> Garment:
    """A garment by its full id."""
    ensemble, id = full.split("/")
    return next(g for it in project.ensembles if it.id == ensemble for g in it.garments
                if g.id == id)  # fmt: skip


def wants(project: Project) -> tuple[str, ...] | None:
    """What the trial wear wants."""
    return next(o.wants for o in project.ensembles[0].occasions if o.id == "trial")


STEPS = [f"{it.id}/{g.id}/{s.id}" for it in ROOM.ensembles for g in it.garments for s in g.steps]


def test_the_examples_are_sound() -> None:
    """The workroom these tests begin with has no problem of order."""
    assert order_problems(ROOM.ensembles) == ()


def test_a_renamed_garment_is_followed_everywhere() -> None:
    """In its own steps, in other garments, other ensembles, wants and the diary."""
    project = e.rename_garment(ROOM, "ball/stays", "corset")
    assert after(project, "ball/gown/mock-up") == ("corset:fittable",)
    assert after(project, "ball/gown/fit") == ("mock-up", "corset/sew")
    assert after(project, "ball/gown/sew") == ("fit", "corset")
    assert after(project, "ball/corset/sew") == ("cut",)
    assert after(project, "page/cap/block") == ("ball/gown/sew", "ball/corset:wearable")
    assert wants(project) == ("corset:wearable", "gown/hem", "fitting")
    assert [entry.step for entry in project.diary.entries] == [
        "ball/corset/cut", "ball/gown/mock-up",
    ]  # fmt: skip
    back = e.rename_garment(project, "ball/corset", "stays")
    assert [after(back, f) for f in STEPS] == [after(ROOM, f) for f in STEPS]
    assert back.diary == ROOM.diary


def test_a_renamed_step_is_followed_everywhere() -> None:
    """Also by the diary; steps of the same id in other garments stay."""
    project = e.rename_step(ROOM, "ball/stays/sew", "assemble")
    assert after(project, "ball/stays/fit") == ("assemble",)
    assert after(project, "ball/gown/fit") == ("mock-up", "stays/assemble")
    assert after(project, "ball/gown/hem") == ("sew", "fitting")
    project = e.rename_step(project, "ball/stays/cut", "cut out")
    assert project.diary.entries[0].step == "ball/stays/cut out"
    assert project.diary.entries[1].step == "ball/gown/mock-up"


def test_a_renamed_occasion_is_followed_everywhere() -> None:
    """In after, during and wants, also of other ensembles."""
    project = e.rename_occasion(ROOM, "ball/fitting", "first fitting")
    assert after(project, "ball/gown/hem") == ("sew", "first fitting")
    assert garment(project, "ball/stays").steps[2].during == "first fitting"
    assert wants(project) == ("stays:wearable", "gown/hem", "first fitting")
    assert after(project, "page/cap/trim") == ("ball/first fitting",)
    project = e.rename_occasion(ROOM, "ball/trial", "try")
    assert garment(project, "page/cap").steps[2].during == "ball/try"
    assert project.ensembles[1].occasions[0].wants == ("cap", "ball/try")


def test_renamed_stock_and_measurements() -> None:
    """Uses follow the stock, amounts of steps, uses and ways follow the measurement."""
    project = e.rename_stock(ROOM, "ball/coutil", "ticking")
    cut, *_, bind = garment(project, "ball/stays").steps
    assert cut.uses[0].stock == "ticking"
    assert [u.stock for u in bind.instead[0].uses or ()] == ["ticking", "tape"]
    project = e.rename_measurement(ROOM, "ball/stays", "edge", "round [1]")
    it = garment(project, "ball/stays")
    assert list(it.measurements) == ["round [1]", "bones"]
    assert it.steps[0].uses[0].amount == ("round [1]",)
    assert it.steps[3].amount == ("round [1]", Quantity(value=2.0))
    assert it.steps[3].instead[0].amount == ("round [1]",)
    assert (it.steps[3].instead[0].uses or ())[1].amount == ("bones",)


def test_new_names_never_make_references_ambiguous() -> None:
    """Where a short name could mean two things, references are written out further."""
    project = e.rename_step(ROOM, "ball/gown/lace", "stays")
    assert after(project, "ball/gown/sew") == ("fit", "ball/stays")
    assert order_problems(project.ensembles) == ()
    project = e.add_step(ROOM, "ball/gown", 0, step("fitting"))
    assert after(project, "ball/gown/hem") == ("sew", "ball/fitting")


def test_a_removed_step_leaves_no_gap() -> None:
    """Its followers, also in other ensembles, follow what it followed; nobody wants it."""
    project = e.remove_step(ROOM, "ball/gown/sew")
    assert after(project, "ball/gown/hem") == ("fit", "stays", "fitting")
    assert after(project, "page/cap/block") == (
        "ball/gown/fit", "ball/stays", "ball/stays:wearable",
    )  # fmt: skip
    project = e.remove_step(ROOM, "ball/gown/hem")
    assert wants(project) == ("stays:wearable", "fitting")
    assert project.diary == ROOM.diary


def test_the_stage_of_a_removed_step_passes_on() -> None:
    """To what it followed in its garment; where that has one, who waited for it waits for those."""
    project = e.remove_step(ROOM, "ball/stays/sew")
    assert [s.stage for s in garment(project, "ball/stays").steps] == ["fittable", None, "wearable"]
    assert after(project, "ball/gown/mock-up") == ("stays:fittable",)
    project = e.remove_step(project, "ball/stays/cut")
    # nothing is fittable any more, and finished stays would come after the fitting they wait for
    assert after(project, "ball/gown/mock-up") == ()
    assert after(project, "ball/gown/sew") == ("fit", "stays")


def test_a_removed_step_of_a_garment_in_order() -> None:
    """The next step follows what it said it followed; what named it follows the one above too."""
    project = e.remove_step(ROOM, "page/cap/block")
    assert after(project, "page/cap/trim") == (
        "ball/fitting", "ball/gown/sew", "ball/stays:wearable",
    )  # fmt: skip
    named = e.replace_step(ROOM, "ball/gown/lace", step("lace", "page/cap/trim"))
    assert after(e.remove_step(named, "page/cap/trim"), "ball/gown/lace") == (
        "fitting", "page/cap/block",
    )  # fmt: skip


def test_a_removed_garment_is_waited_for_by_nothing() -> None:
    """References to it, its steps and its stages go, and stock that was only a wish for it."""
    project = e.remove_garment(ROOM, "ball/stays")
    assert after(project, "ball/gown/mock-up") == ()
    assert after(project, "ball/gown/fit") == ("mock-up",)
    assert wants(project) == ("gown/hem", "fitting")
    assert [s.id for s in project.ensembles[0].stock] == ["coutil", "lace"]
    assert project.diary == ROOM.diary
    coming = replace(BALL.stock[1], coming=(Coming(amount=Quantity(value=3.0)),))
    project = e.replace_stock(ROOM, "ball/tape", coming)
    assert len(e.remove_garment(project, "ball/stays").ensembles[0].stock) == 3


def test_a_removed_occasion() -> None:
    """Steps done at it are done in hours of their own; nothing waits for it or wants it."""
    project = e.remove_occasion(ROOM, "ball/fitting")
    assert garment(project, "ball/stays").steps[2].during is None
    assert after(project, "ball/gown/hem") == ("sew",)
    assert wants(project) == ("stays:wearable", "gown/hem")
    assert e.remove_occasion(project, "ball/trial").ensembles[1].occasions[0].wants == ("cap",)


def test_removed_stock_is_used_by_nothing() -> None:
    """Neither steps nor other ways use it; a way that used only that uses nothing."""
    project = e.remove_stock(ROOM, "ball/coutil")
    cut, *_, bind = garment(project, "ball/stays").steps
    assert cut.uses == ()
    assert [u.stock for u in bind.instead[0].uses or ()] == ["tape"]
    assert e.remove_stock(project, "ball/tape").ensembles[0].garments[0].steps[3].instead[
        0
    ].uses == ()  # fmt: skip


def test_a_duplicated_step_stands_below_and_is_not_done() -> None:
    """Everything else is as in the first, and nothing waits for it by name."""
    done = e.replace_step(ROOM, "ball/gown/lace", step("lace", "hem", done=True, optional=True))
    project = e.duplicate_step(done, "ball/gown/lace", "lace-2")
    assert garment(project, "ball/gown").steps[-1] == replace(
        step("lace-2", "hem", optional=True), where="garment[1].step[5]"
    )


def test_a_duplicated_garment_waits_for_itself_and_for_all_else_alike() -> None:
    """References among its steps, however written, are to the copy's own steps."""
    written = e.replace_step(
        ROOM, "ball/gown/lace", step("lace", "gown/hem", "ball/gown/sew", "gown:wearable")
    )
    project = e.duplicate_garment(written, "ball/gown", "gown-2", "Second gown")
    assert [g.id for g in project.ensembles[0].garments] == ["stays", "gown", "gown-2"]
    assert after(project, "ball/gown-2/fit") == ("mock-up", "stays/sew")
    assert after(project, "ball/gown-2/lace") == (
        "gown-2/hem", "ball/gown-2/sew", "gown-2:wearable",
    )  # fmt: skip
    assert after(project, "page/cap/block") == ("ball/gown/sew", "ball/stays:wearable")
    assert garment(project, "ball/gown-2").name == "Second gown"


def test_moving_steps_and_garments() -> None:
    """They go as far as there are places; a garment takes the layer of what it passes."""
    project = e.move_step(ROOM, "ball/gown/lace", -99)
    assert garment(project, "ball/gown").steps[0].id == "lace"
    project = e.move_garment(ROOM, "ball/stays", 1)
    assert [(g.id, g.layer) for g in project.ensembles[0].garments] == [("gown", 4), ("stays", 4)]
    assert [g.id for g in e.dressing_order(project.ensembles[0])] == ["gown", "stays"]
    assert e.move_garment(ROOM, "ball/stays", -1) == ROOM
    above = e.add_garment(ROOM, "ball", Garment(id="mantle"), 0)
    assert [g.id for g in e.dressing_order(above.ensembles[0])] == ["stays", "gown", "mantle"]
    down = e.move_garment(above, "ball/mantle", -1)
    assert [(g.id, g.layer) for g in down.ensembles[0].garments] == [
        ("stays", 2), ("mantle", 4), ("gown", 4),
    ]  # fmt: skip


def test_leaving_off_and_taking_back() -> None:
    """A step or a whole garment, and back again."""
    off = e.leave_off_step(ROOM, "ball/gown/lace", True)
    assert [s.left_off for s in garment(off, "ball/gown").steps] == [False] * 4 + [True]
    off = e.leave_off_garment(ROOM, "ball/gown", True)
    assert all(s.left_off for s in garment(off, "ball/gown").steps)
    assert not any(
        s.left_off for s in garment(e.leave_off_garment(off, "ball/gown", False), "ball/gown").steps
    )


def test_what_would_wait_in_a_circle_is_refused() -> None:
    """With the place it would have in the file, and nothing is changed."""
    with pytest.raises(InputError, match="in a circle") as raised:
        # without a fittable step, gown and stays would wait for finished stays at the fitting
        e.leave_off_step(ROOM, "ball/stays/sew", True)
    assert raised.value.problems[0].file == "ball.toml"
    with pytest.raises(InputError, match="in a circle"):
        e.add_step(ROOM, "ball/stays", 0, step("first", "gown:wearable", stage="fittable"))
    with pytest.raises(InputError, match=r"names no .*") as raised:
        e.add_step(ROOM, "ball/stays", 0, step("first", "crown"))
    assert raised.value.problems[0].place == "garment[0].step[0].after[0]"
    in_order = e.replace_garment(ROOM, "ball/gown", replace(GOWN, in_order=True))
    with pytest.raises(InputError, match="in a circle"):
        e.move_step(in_order, "ball/gown/hem", -1)


def test_a_workroom_that_was_unsound_can_be_mended_bit_by_bit() -> None:
    """Where references mean nothing already, edits aren't refused for it."""
    broken = replace(ROOM, ensembles=(replace(BALL, garments=(GOWN,)), PAGE))
    assert order_problems(broken.ensembles)
    mended = e.add_garment(broken, "ball", STAYS, 0)
    assert order_problems(mended.ensembles) == ()
    assert after(mended, "ball/gown/mock-up") == ("stays:fittable",)


def test_replacing_what_has_another_id_then() -> None:
    """A form may give another id along with everything else: it is a renaming too."""
    project = e.replace_step(ROOM, "ball/stays/sew", step("join", "cut", stage="fittable"))
    assert after(project, "ball/stays/fit") == ("join",)
    assert after(project, "ball/gown/fit") == ("mock-up", "stays/join")
    project = e.replace_occasion(ROOM, "ball/fitting", replace(BALL.occasions[0], id="pins"))
    assert after(project, "ball/gown/hem") == ("sew", "pins")
    project = e.replace_stock(ROOM, "ball/lace", Stock(id="trim", name="Trim"))
    assert project.ensembles[0].stock[2].name == "Trim"


def test_a_replaced_garment_is_still_waited_for() -> None:
    """What waited for a step it no longer has waits for what came before that."""
    shorter = replace(STAYS, steps=(STAYS.steps[0], step("fit", "cut", during="fitting"),
                                    step("bind", "fit", stage="wearable")))  # fmt: skip
    project = e.replace_garment(ROOM, "ball/stays", replace(shorter, id="corset"))
    # it has no fittable stage now, and finished it would come after the fitting
    assert after(project, "ball/gown/mock-up") == ("corset/cut",)
    assert after(project, "ball/gown/fit") == ("mock-up", "corset/cut")
    assert [s.id for s in garment(project, "ball/corset").steps] == ["cut", "fit", "bind"]
    assert order_problems(project.ensembles) == ()


def test_a_replaced_ensemble_is_still_waited_for() -> None:
    """What other ensembles say of things it no longer has goes as if these had been removed."""
    less = replace(BALL, occasions=BALL.occasions[2:], garments=(
        replace(STAYS, steps=(step("cut"), step("bind", "cut"))),
        replace(GOWN, steps=(step("cut"), step("hem", "cut", stage="wearable"))),
    ))  # fmt: skip
    project = e.replace_ensemble(ROOM, less)
    assert set(after(project, "page/cap/block")) == {
        "ball/stays", "ball/stays/cut", "ball/stays:fittable", "ball/stays:wearable",
    }  # fmt: skip
    assert after(project, "page/cap/trim") == ()
    assert garment(project, "page/cap").steps[2].during is None
    assert project.ensembles[1].occasions[0].wants == ("cap",)


def test_added_things_stand_where_they_belong() -> None:
    """Occasions by their date, ensembles by their name, others last unless said."""
    early = Occasion(id="tea", kind=OccasionKind.EVENT, at=NOON.replace(day=10))
    project = e.add_occasion(ROOM, "ball", early)
    assert [o.id for o in project.ensembles[0].occasions] == ["fitting", "trial", "tea", "night"]
    assert [o.where for o in project.ensembles[0].occasions][2] == "occasion[2]"
    project = e.add_stock(ROOM, "ball", Stock(id="silk"), 0)
    assert project.ensembles[0].stock[0].id == "silk"
    project = e.add_ensemble(ROOM, Ensemble(id="herald"))
    assert [it.id for it in project.ensembles] == ["ball", "herald", "page"]
    assert e.with_pack(ROOM, "ball", ["shoes", " ", "fan", "shoes"]).ensembles[0].pack == (
        "shoes", "fan",
    )  # fmt: skip
    assert e.replace_workroom(ROOM, Workroom(setting_up=5)).workroom.setting_up == 5


@pytest.mark.parametrize(
    "edit",
    [
        lambda: e.add_garment(ROOM, "ball", Garment(id="stays")),
        lambda: e.add_garment(ROOM, "ball", Garment(id="trial")),
        lambda: e.add_occasion(ROOM, "ball", replace(BALL.occasions[0], id="gown")),
        lambda: e.add_step(ROOM, "ball/gown", None, step("hem")),
        lambda: e.add_step(ROOM, "ball/gown", None, step("a/b")),
        lambda: e.add_stock(ROOM, "ball", Stock(id="lace")),
        lambda: e.add_ensemble(ROOM, Ensemble(id="page")),
        lambda: e.rename_garment(ROOM, "ball/gown", "night"),
        lambda: e.rename_step(ROOM, "ball/gown/hem", " "),
        lambda: e.rename_stock(ROOM, "ball/lace", "tape"),
        lambda: e.rename_measurement(ROOM, "ball/stays", "edge", "bones"),
        lambda: e.rename_measurement(ROOM, "ball/stays", "edge", " "),
        lambda: e.duplicate_step(ROOM, "ball/gown/hem", "sew"),
        lambda: e.duplicate_garment(ROOM, "ball/gown", "stays"),
    ],
)
def test_an_id_that_is_taken_or_none_is_a_mistake(edit: Callable[[], Project]) -> None:
    """In words, as a form shows them."""
    with pytest.raises(ValueError, match=r"already|write|use a word"):
        edit()


@pytest.mark.parametrize(
    "edit",
    [
        lambda: e.remove_step(ROOM, "ball/gown/none"),
        lambda: e.remove_garment(ROOM, "none/gown"),
        lambda: e.remove_garment(ROOM, "gown"),
        lambda: e.remove_occasion(ROOM, "ball/none"),
        lambda: e.remove_stock(ROOM, "ball/none"),
        lambda: e.rename_occasion(ROOM, "ball/none", "x"),
        lambda: e.rename_measurement(ROOM, "ball/gown", "none", "x"),
        lambda: e.move_step(ROOM, "ball/gown/none", 1),
        lambda: e.replace_ensemble(ROOM, Ensemble(id="none")),
    ],
)
def test_what_is_not_there_is_a_key_error(edit: Callable[[], Project]) -> None:
    """It is the program that asked for it."""
    with pytest.raises(KeyError):
        edit()


def test_free_ids_are_none_that_the_diary_knows() -> None:
    """A new step must not be taken for one that is gone and was done."""
    bare = e.remove_step(ROOM, "ball/stays/cut")
    assert e.free_step(bare, "ball/stays", "Cut") == "cut-2"
    assert e.free_step(ROOM, "ball/gown", "Stays") == "stays-2"
    assert e.free_name(ROOM, "ball", "The night") == "the-night"
    assert e.free_name(ROOM, "ball", "Night") == "night-2"
    assert e.free_name(e.remove_garment(ROOM, "ball/gown"), "ball", "Gown") == "gown-2"
    assert e.free_stock(ROOM, "ball", "Lace") == "lace-2"
