"""What a maker would check of what is worn next to the skin, of supports and of skirts."""

from __future__ import annotations

import pytest

from planner.catalogue import techniques
from planner.catalogue.shelf import orders
from planner.estimate import Operation, operations
from planner.model import OccasionKind, Place, Source, Wait, Work
from planner.splitting.answers import asked, understood, usual
from planner.splitting.split import Split, alone, split

KINDS = (
    "shift",
    "drawers",
    "stays",
    "corset",
    "bustle-pad",
    "hoop",
    "petticoat",
    "gored-skirt",
    "overskirt",
    "stockings",
    "apron",
)
LACED_MOCK_UP = {"cut-mock-up", "sew-mock-up", "bone-mock-up", "lacing-strips", "fit-mock-up"}


def splitted(kind: str, **answers: str) -> Split:
    """A garment of a kind, made; "_" in names of questions stands for "-"."""
    pairs = {name.replace("_", "-"): text for name, text in answers.items()}
    order = orders()[kind]
    return split(order, understood(order, {"source": "make"} | pairs))


def done(found: Split) -> dict[str, Operation]:
    """Its operations by the step's id."""
    return {o.step.id: o for o in operations(alone(found), techniques())}


def wanted(found: Split) -> dict[str, float]:
    """Metres, square metres and pieces of each material."""
    return {w.material.id: w.amount.value for w in found.wanted}


def typical(found: Split, step: str) -> float:
    """Typical minutes of a step."""
    return done(found)[step].minutes.typical


def over(found: Split, step: str) -> set[tuple[str, str]]:
    """Roles of other garments a step waits for, and the stage of each."""
    return {(role, o.stage) for o in found.parts[step].over for role in o.roles}


def before(found: Split, step: str) -> set[str]:
    """Every step that must be done before one."""
    after = {s.id: s.after for s in found.garment.steps}
    seen: set[str] = set()
    todo = list(after[step])
    while todo:
        name = todo.pop()
        if name not in seen:
            seen.add(name)
            todo += after[name]
    return seen


# ---------------------------------------------------------------- all of them


@pytest.mark.parametrize("kind", KINDS)
def test_from_five_to_eight_questions(kind: str) -> None:
    """Every kind asks five to eight questions at once."""
    order = orders()[kind]
    at_once = [q.id for q in asked(order, usual(order, Source.MAKE)) if q.asked]
    assert 5 <= len(at_once) <= 8


@pytest.mark.parametrize("kind", KINDS)
def test_as_long_as_a_makers_own_list(kind: str) -> None:
    """With the usual answers there are 9 to 32 steps, none of them fixed hours."""
    steps = splitted(kind).garment.steps
    assert 9 <= len(steps) <= 32
    assert not [step.id for step in steps if step.hours is not None]


@pytest.mark.parametrize("kind", [k for k in KINDS if k != "corset"])
def test_by_hand_only_mock_ups_are_left_to_the_machine(kind: str) -> None:
    """Sewn by hand there is no machine step but in a mock-up."""
    by_hand = done(splitted(kind, sewn="hand"))
    machine = {id for id, o in by_hand.items() if o.work is Work.MACHINE}
    assert machine <= {"sew-mock-up", "lacing-strips"}


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_fitted_may_be_worn_later(kind: str) -> None:
    """Whatever must be done for it to be fitted comes before the last step that makes it wearable.

    Nothing of a trial wear is among it.
    """
    found = splitted(kind)
    steps = found.garment.steps
    last = {s.id for s in steps if s.stage == "wearable"}
    worn = last.union(*(before(found, id) for id in last))
    assert {s.id for s in steps if s.stage == "fittable"} <= worn
    assert not [id for id in worn if found.parts[id].at is OccasionKind.TRIAL_WEAR]


# ---------------------------------------------------------------- next to the skin


def test_linen_for_a_plain_shift() -> None:
    """Two widths of 1.05 m and a row of sleeves, with 8 % for shrinking.

    A hem of 2.20 m takes two widths of 1.50 m (1.47 m between selvedges), each 10 cm longer
    than the shift: 2.30 m. Sleeves 44 cm wide lie side by side: 42 cm and 5 cm of seams.
    """
    found = splitted("shift", hem="2.2 m", length="1.05 m", sleeve="42 cm", armhole="44 cm")
    # (2 x 1.15 + 0.47) x 1.08 = 2.9916, rounded up to the centimetre
    assert wanted(found)["linen"] == pytest.approx(3.0)


def test_a_shifts_fells_and_hems_go_in_a_bag() -> None:
    """Fells, hems and eyelets of a shift can be taken along; long seams by hand want a lap."""
    by_hand = done(splitted("shift", sewn="hand"))
    taken = {id for id, o in by_hand.items() if o.place is Place.TAKE_ALONG}
    assert taken >= {"fell-body-by-hand", "hem-edge-by-hand", "hem-sleeves-by-hand", "neck-string"}
    assert by_hand["close-sides-by-hand"].place is Place.SOFA


def test_fine_stitches_take_two_and_a_half_times_as_long() -> None:
    """At 25 to 30 stitches an inch sewing takes 2.5 times as long, set-up (3 minutes) not."""
    plain, fine = (splitted("shift", sewn="hand", stitches=s) for s in ("ordinary", "fine"))
    at_ordinary, at_fine = typical(plain, "hem-edge-by-hand"), typical(fine, "hem-edge-by-hand")
    # 2.2 m at 15 minutes a metre, the set-up with an earlier step
    assert at_ordinary == 33
    assert at_fine in (82, 83)
    assert typical(plain, "cut-body") == typical(fine, "cut-body")


def test_the_neck_waits_for_what_is_worn_over_it() -> None:
    """A shift can be fitted before its neck is cut, and its neck shows by the bodice or gown."""
    found = splitted("shift")
    assert over(found, "try-on") == {("bodice", "fittable"), ("gown", "fittable")}
    fitted = next(s.id for s in found.garment.steps if s.stage == "fittable")
    assert not {"try-on", "cut-neck"} & before(found, fitted)
    assert "cut-neck" in before(found, "neck-string")


def test_tucks_go_on_while_the_leg_is_flat() -> None:
    """Tucks and insertion of drawers come before the leg seams; without them the steps are gone."""
    found = splitted("drawers", tucks="3", trim="1")
    assert {"tucks", "insertion"} <= before(found, "leg-seams")
    plain = done(splitted("drawers", tucks="0", trim="0"))
    assert not {"tucks", "press-tucks", "insertion"} & set(plain)


def test_stockings_are_usually_there_already() -> None:
    """The first source of stockings is that they are owned, then bought."""
    assert orders()["stockings"].sources[:2] == (Source.OWN, Source.BUY)


# ---------------------------------------------------------------- stays and corset


@pytest.mark.parametrize("kind", ["stays", "corset"])
def test_without_a_mock_up_nothing_is_fitted_on_one(kind: str) -> None:
    """None, one and two mock-ups: no fitting of one, one fitting, two with corrections each."""
    none, one, two = (done(splitted(kind, mock_up=n)) for n in ("none", "one", "two"))
    assert not LACED_MOCK_UP & set(none)
    assert set(one) - set(none) == LACED_MOCK_UP | {"correct-pattern"}
    assert {"fit-second-mock-up", "correct-again"} <= set(two) - set(one)
    assert "correct-again" in before(splitted(kind, mock_up="two"), "cut-outer")


@pytest.mark.parametrize("kind", ["stays", "corset"])
def test_difficult_cloth_spares_the_mock_up(kind: str) -> None:
    """Slippery cloth makes cutting it longer, not the mock-up of calico."""
    plain, slippery = (splitted(kind, cloth=c) for c in ("ordinary", "slippery"))
    assert typical(plain, "sew-mock-up") == typical(slippery, "sew-mock-up")
    assert typical(slippery, "cut-outer") > typical(plain, "cut-outer")


@pytest.mark.parametrize("kind", ["stays", "corset"])
def test_laced_fittings_are_over_the_shift(kind: str) -> None:
    """Both fittings want two hands, the shift, a fitting, and warn of tight lacing."""
    found = splitted(kind)
    for step in ("fit-mock-up", "fit"):
        assert over(found, step) == {("shift", "fittable")}
        assert found.parts[step].at is OccasionKind.FITTING
        assert done(found)[step].hands == 2
        assert "breathe" in (found.parts[step].step.caution or "")


def test_stays_are_boned_panel_by_panel_and_lined_last() -> None:
    """Channels come before the panels are joined, the lining after the binding."""
    found = splitted("stays", lined="yes")
    assert "stitch-channels" in before(found, "join")
    assert "turn-binding" in before(found, "fell-lining")


def test_a_corset_is_joined_before_it_is_boned_and_lined_before_it_is_bound() -> None:
    """The busk comes first, casings after the seams, the lining before the binding."""
    found = splitted("corset", lined="yes")
    assert "busk" in before(found, "join")
    assert "join" in before(found, "casings")
    assert "fell-lining" in before(found, "bind")


def test_seams_of_stays_and_corset() -> None:
    """Ten panels laced behind have nine seams; laced on both sides, or with a busk, two less."""
    for lacing, seams in (("back", 9), ("both", 8)):
        found = splitted("stays", panels="10", lacing=lacing)
        assert found.garment.measurements["seams"].value == seams
    assert splitted("corset", panels="12").garment.measurements["seams"].value == 10


def test_boning_and_cord_for_stays() -> None:
    """44 channels of 28 cm less a centimetre each; 13 pairs of eyelets and 1.5 m to pull by."""
    found = wanted(splitted("stays", bones="44", bone_length="28 cm", eyelets="26"))
    # 44 x 0.27 = 11.88, and 5 % more
    assert found["bones"] == pytest.approx(12.48)
    # 13 x 2 x (0.06 + 0.025) + 1.5
    assert found["lacing-cord"] == pytest.approx(3.71)


def test_grommets_have_no_way_back() -> None:
    """Setting grommets can't be undone; eyelets can give way to them in need."""
    assert done(splitted("corset"))["grommets"].no_way_back
    (way,) = splitted("stays").parts["eyelets"].step.instead
    assert way.technique == "set-grommet"
    assert way.place is Place.WORKROOM


# ---------------------------------------------------------------- supports


@pytest.mark.parametrize(("kind", "step"), [("bustle-pad", "try"), ("hoop", "level")])
def test_supports_are_tried_over_the_stays(kind: str, step: str) -> None:
    """Pad and hoop can be fitted over before they are tried over the stays, and are worn after.

    That is done at home, on no fitting's day.
    """
    found = splitted(kind)
    assert ("stays", "fittable") in over(found, step)
    assert found.parts[step].at is None
    fitted = {s.id for s in found.garment.steps if s.stage == "fittable"}
    assert fitted <= before(found, step)
    (worn,) = (s.id for s in found.garment.steps if s.stage == "wearable")
    assert step in before(found, worn)


@pytest.mark.parametrize(("kind", "choices"), [("hoop", {}), ("petticoat", {"upper": "shaped"})])
def test_levelling_takes_a_helper_at_home_or_is_done_alone(
    kind: str, choices: dict[str, str]
) -> None:
    """A second pair of hands levels it better; alone it can be done on a stand or at a mirror."""
    found = splitted(kind, **choices)
    assert found.parts["level"].at is None
    level = done(found)["level"]
    assert level.hands == 2
    (way,) = level.step.instead
    assert way.hands == 1
    assert way.missed in (2, 3)


def test_a_hoop_clears_the_floor_by_the_heel() -> None:
    """Only a hoop waits for the shoes too."""
    assert ("shoes", "finished") in over(splitted("hoop"), "level")


def test_a_plain_pad_has_no_ruffles() -> None:
    """Without ruffles no step of theirs is there; two rows take twice the strip of one."""
    assert not [id for id in done(splitted("bustle-pad", ruffles="0")) if "ruffle" in id]
    one, two = (splitted("bustle-pad", ruffles=n) for n in ("1", "2"))
    rows = [f.garment.measurements["all-ruffles"].value for f in (one, two)]
    assert rows[1] == pytest.approx(2 * rows[0])


def test_a_cage_is_sewn_wherever_tapes_cross_hoops() -> None:
    """Eight tapes over five hoops are forty crossings, and no panel is cut."""
    cage = done(splitted("hoop", built="tapes", hoops="5", tapes="8"))
    assert cage["crossings"].quantity is not None
    assert cage["crossings"].quantity.value == 40
    assert "cut-panels" not in cage and "press-seams" not in cage


# ---------------------------------------------------------------- skirts


def test_cotton_for_a_petticoat() -> None:
    """Three widths of 95 cm, two tucks of 1.5 cm taking up 6 cm, 10 cm for hem and band, 5 % more.

    A flounce of 25 cm round 3.20 m, gathered 2 to 1, is 6.40 m: five strips of 28 cm across 1.40 m.
    """
    answers = {"panels": "3", "length": "95 cm", "tucks": "2", "hem": "3.2 m"}
    answers["cloth-width"] = "1.4 m"
    plain, flounced = (splitted("petticoat", flounce=f, **answers) for f in ("no", "yes"))
    # 3 x (0.95 + 0.06 + 0.10) x 1.05
    assert wanted(plain)["cotton"] == pytest.approx(3.50, abs=0.006)
    assert wanted(flounced)["cotton"] == pytest.approx(3.50 + 5 * 0.28, abs=0.011)


def test_a_petticoats_length_is_set_over_its_support() -> None:
    """It is levelled at the waist, over support and stays, when hem and tucks are in."""
    found = splitted("petticoat", tucks="2")
    assert over(found, "level") == {("support", "fittable"), ("stays", "fittable")}
    assert {"sew-hem", "press-tucks"} <= before(found, "level")
    assert "level" in before(found, "band")


@pytest.mark.parametrize("sewn", ["machine", "hand"])
def test_a_bias_hem_hangs_a_night(sewn: str) -> None:
    """A skirt on the bias hangs by its band a night before it is levelled; a straight one not."""
    bias = splitted("gored-skirt", falls="bias", sewn=sewn)
    assert done(bias)["hooks-and-hang"].wait == Wait(nights=1)
    assert done(bias)["level"].step.after == ("hooks-and-hang",)
    straight = splitted("gored-skirt", falls="straight", sewn=sewn)
    assert done(straight)["hooks"].wait == Wait()


def test_two_rows_take_twice_the_braid() -> None:
    """Two rows round the hem take twice the braid, and twice the minutes but for the set-up."""
    one, two = (splitted("gored-skirt", hem="4 m", trim=n) for n in ("1", "2"))
    assert wanted(one)["braid"] == pytest.approx(4.2)
    assert wanted(two)["braid"] == pytest.approx(8.4)
    # 12 minutes a metre and 5 of set-up
    assert (typical(one, "braid"), typical(two, "braid")) == (53, 101)
    assert "braid" not in done(splitted("gored-skirt", trim="0"))


def test_a_skirts_hem_waits_for_everything_beneath_and_the_shoes() -> None:
    """It is levelled over stays, support and petticoat, in the shoes, then cut and faced."""
    found = splitted("gored-skirt")
    beneath = {(role, "fittable") for role in ("stays", "support", "petticoat")}
    assert over(found, "level") == beneath | {("shoes", "finished")}
    assert over(found, "fit-mock-up") == beneath
    assert done(found)["cut-hem"].no_way_back
    assert "cut-hem" in before(found, "fell-facing")


def test_only_a_train_has_a_dust_ruffle_and_a_loop() -> None:
    """Without a train neither is there; with one both can be left off, and cloth is more."""
    plain, trained = (splitted("gored-skirt", train=t) for t in ("none", "long"))
    extra = set(done(trained)) - set(done(plain))
    assert {"set-dust-ruffle", "inside-tapes", "train-loop"} <= extra
    assert all(trained.parts[id].step.optional for id in extra)
    # two back gores a metre longer, and 5 %
    assert wanted(trained)["cloth"] - wanted(plain)["cloth"] == pytest.approx(2.1, abs=0.011)


def test_a_pile_lies_one_way() -> None:
    """Gores of velvet all lie one way up, which takes more cloth than head to tail."""
    plain, pile = (splitted("gored-skirt", hem="4.4 m", cloth=c) for c in ("ordinary", "slippery"))
    assert wanted(pile)["cloth"] >= wanted(plain)["cloth"]


def test_the_drape_is_set_against_the_finished_skirt() -> None:
    """An overskirt is trimmed flat, then draped over the skirt when that can be worn."""
    found = splitted("overskirt")
    assert ("skirt", "wearable") in over(found, "set-drape")
    assert "trim" in before(found, "set-drape")
    assert {"tack", "tapes"} <= before(found, "hooks")


def test_a_wide_apron_is_joined_of_widths() -> None:
    """An apron wider than the cloth has a seam; one that fits it has none."""
    wide, narrow = (done(splitted("apron", width=w)) for w in ("2 m", "1 m"))
    assert {"join", "press-seams"} <= set(wide)
    assert not {"join", "press-seams"} & set(narrow)
