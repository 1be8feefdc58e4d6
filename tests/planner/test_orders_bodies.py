"""Orders of bodices, gowns, coats, and of what men wear under them: what a maker would check."""

from __future__ import annotations

import pytest

from planner.catalogue import techniques
from planner.catalogue.shelf import orders
from planner.estimate import operations
from planner.model import Garment, Minutes, OccasionKind, Step, Wait, Work
from planner.splitting.answers import understood
from planner.splitting.split import Split, alone, split

BODICES = ("fitted-bodice", "peplum", "chemisette", "kirtle", "houppelande")
COATS = ("shirt", "waistcoat", "breeches", "doublet", "jacket", "tailcoat")
FITTED = ("fitted-bodice", "kirtle", "waistcoat", "breeches", "doublet", "jacket", "tailcoat")
TRIMMED = {
    "fitted-bodice": "trim",
    "jacket": "trim",
    "tailcoat": "trim",
    "waistcoat": "trim",
    "doublet": "guards",
}


def made(kind: str, **answers: str) -> Split:
    """The kind split with these answers ("_" for "-"), the rest as usual."""
    order = orders()[kind]
    pairs = {name.replace("_", "-"): text for name, text in answers.items()}
    return split(order, understood(order, pairs))


def by_id(found: Split) -> dict[str, Step]:
    return {step.id: step for step in found.garment.steps}


def work(step: Step) -> Work:
    assert step.technique is not None
    return techniques()[step.technique].work


def minutes(found: Split) -> dict[str, Minutes]:
    """Minutes by step."""
    return {o.id.rpartition("/")[2]: o.minutes for o in operations(alone(found), techniques())}


def wanted(found: Split) -> dict[str, float]:
    """Metres or pieces by material."""
    return {want.material.id: want.amount.value for want in found.wanted}


def before(garment: Garment, id: str) -> set[str]:
    """Everything a step follows, near or far."""
    after = {step.id: step.after for step in garment.steps}
    found: set[str] = set()
    todo = list(after[id])
    while todo:
        name = todo.pop()
        if name not in found:
            found.add(name)
            todo += after[name]
    return found


def waits_for(found: Split, id: str) -> set[str]:
    """Roles and stages of other garments a step waits for."""
    return {f"{role}:{o.stage}" for o in found.parts[id].over for role in o.roles}


@pytest.mark.parametrize("kind", [*BODICES, *COATS])
def test_by_hand_leaves_only_mock_ups_to_the_machine(kind: str) -> None:
    """A garment sewn by hand has no machine work but that of its mock-up."""
    choices = {choice.id for choice in orders()[kind].choices}
    answers = {"sewn": "hand"} | ({"buttonholes": "hand"} if "buttonholes" in choices else {})
    for edge in ("faced", "piped") if kind == "fitted-bodice" else ("",):
        found = made(kind, **answers, **({"edge": edge} if edge else {}))
        machine = {step.id for step in found.garment.steps if work(step) is Work.MACHINE}
        assert machine <= {"sew-mock-up", "lacing-strips"}


@pytest.mark.parametrize("kind", FITTED)
def test_mock_ups_come_in_none_one_and_two(kind: str) -> None:
    """Without a mock-up nothing is fitted on one; with two, two are, and the pattern corrected."""
    for option, fitted in (("none", 0), ("one", 1), ("two", 2)):
        steps = made(kind, mock_up=option).garment.steps
        used = [step.technique for step in steps]
        assert used.count("fitting-mock-up") == used.count("transfer-corrections") == fitted
        assert used.count("mock-up-seam") == fitted
        assert used.count("fitting-garment") == 1


@pytest.mark.parametrize("kind", FITTED)
def test_good_cloth_is_cut_after_the_last_mock_up_was_fitted(kind: str) -> None:
    """The cut follows every mock-up, its fitting and the corrections; it has no way back."""
    found = made(kind, mock_up="two")
    earlier = before(found.garment, "cut")
    assert {"fit-mock-up", "correct", "fit-second", "correct-second", "true"} <= earlier
    cut = by_id(found)["cut"]
    assert cut.technique is not None
    assert techniques()[cut.technique].no_way_back


@pytest.mark.parametrize("kind", FITTED)
def test_fittings_take_two_and_happen_at_a_fitting(kind: str) -> None:
    """Mock-up and cloth are fitted by two, at a fitting where there is one."""
    found = made(kind)
    for id in ("fit-mock-up", "fit"):
        technique = by_id(found)[id].technique
        assert technique is not None
        assert techniques()[technique].hands == 2
        assert found.parts[id].at is OccasionKind.FITTING


@pytest.mark.parametrize("kind", ["kirtle", "houppelande"])
def test_a_hem_on_the_bias_hangs_a_night(kind: str) -> None:
    """A bias hem waits a night before it is levelled; a straight one doesn't."""
    bias, straight = made(kind, hem_cut="bias"), made(kind, hem_cut="straight")
    assert by_id(bias)["press-and-hang"].wait == Wait(nights=1)
    assert "press-and-hang" in before(bias.garment, "level")
    assert "press-and-hang" not in by_id(straight)
    assert waits_for(bias, "level") >= {"shoes:finished"}


def test_two_rows_of_guards_take_twice_the_braid() -> None:
    """Rows times hem is the braid, and a second row about doubles the minutes."""
    none, one, two = (made("kirtle", guards=rows, hem="3 m") for rows in ("0", "1", "2"))
    assert "guards" not in wanted(none)
    assert "guards-by-machine" not in by_id(none)
    assert wanted(one)["guards"] == pytest.approx(3.15)
    assert wanted(two)["guards"] == pytest.approx(6.3)
    once, twice = (minutes(found)["guards-by-machine"].typical for found in (one, two))
    assert once == 5 + 3 * 12
    assert twice == 5 + 6 * 12


@pytest.mark.parametrize(("kind", "trim"), TRIMMED.items())
def test_trim_can_be_left_off(kind: str, trim: str) -> None:
    """Trim is optional, has a quicker way, and nothing that must be done follows it."""
    found = made(kind, **{trim: "4 m"})
    assert by_id(found)[trim].optional
    assert by_id(found)[trim].instead
    for step in found.garment.steps:
        assert step.optional or trim not in before(found.garment, step.id)
    assert trim not in by_id(made(kind, **{trim: "0 m"}))


def test_the_cloth_of_a_waistcoat() -> None:
    """Two fronts and two facings, side by side on one length of the cloth.

    30 cm and 4 cm of allowances are 34 cm; of 1.40 m, 1.37 m are within the selvedges, and four
    pieces go across. A front edge of 75 cm and 4 cm are 79 cm, and a tenth for waste 87 cm.
    """
    assert wanted(made("waistcoat", front="75 cm", cloth_width="1.4 m"))["cloth"] == 0.87


def test_the_cloth_of_a_bodice_without_sleeves() -> None:
    """Eight panels in two rows, and 20 cm for facings, collar and bias.

    A lower edge of 1 m is 12.5 cm a panel (13 rounded up), with 8 cm for shape and allowances
    21 cm: six go across 1.37 m. Two rows of 48 cm and 20 cm are 1.16 m, with a tenth 1.28 m.
    """
    bare = made("fitted-bodice", sleeves="none", lower_edge="1 m", seam="40 cm")
    assert wanted(bare)["cloth"] == 1.28
    assert not {"set-sleeves", "sew-sleeves", "wrists"} & set(by_id(bare))


def test_bones_and_buttons_go_by_their_number() -> None:
    """Nine channels of 22 cm take 9 x 21 cm of boning and 5 % over; no bones, no casings."""
    found = made("fitted-bodice", bones="9", buttons="12")
    assert wanted(found)["boning"] == pytest.approx(1.99)
    assert wanted(found)["buttons"] == 12
    assert minutes(found)["buttonholes"].typical == 10 + 12 * 30
    assert not {"casings", "bones-in", "cut-bones"} & set(by_id(made("fitted-bodice", bones="0")))


def test_breeches_end_at_the_knee_or_the_shoe() -> None:
    """Knee bands have openings and buckles; both ends are marked over stockings and shoes."""
    knee, shoe = made("breeches", ends="band"), made("breeches", ends="hem")
    assert {"knee-slits", "knee-bands", "buckles"} <= set(by_id(knee))
    assert "hems" not in by_id(knee)
    assert by_id(shoe)["hems"].stage == "wearable"
    assert waits_for(knee, "mark-ends") == {"stockings:finished", "shoes:finished"}


def test_a_fly_has_buttons_or_a_zip() -> None:
    """A fall has no fly; a zip takes the place of the fly's catch and bearer."""
    assert {"fall"} == {"fall", "fly", "zip"} & set(by_id(made("breeches", front="fall")))
    assert {"fly"} == {"fall", "fly", "zip"} & set(by_id(made("breeches", front="fly")))
    zipped = made("breeches", front="fly", fly="zip")
    assert {"zip"} == {"fall", "fly", "zip"} & set(by_id(zipped))
    assert wanted(zipped)["zip"] == 1


def test_each_seam_is_pressed_before_another_crosses_it() -> None:
    """Legs before the seat, a shirt's armholes before its sides, a skirt before its waist."""
    breeches, shirt, kirtle = made("breeches"), made("shirt"), made("kirtle")
    assert {"press-outer", "press-inner"} <= before(breeches.garment, "seat")
    assert {"press-sleeves", "press-armholes"} <= before(shirt.garment, "sides")
    assert {"press", "press-skirt"} <= before(kirtle.garment, "join-skirt")


def test_toiles_are_fitted_early_and_cloth_over_everything() -> None:
    """A mock-up needs only what makes its shape; the cloth is fitted over all that is beneath.

    Else breeches, waistcoat and coat would want five fittings one after the other.
    """
    coat, waistcoat = made("tailcoat"), made("waistcoat")
    assert waits_for(coat, "fit-mock-up") == {"shirt:fittable", "waistcoat:fittable"}
    assert "breeches:fittable" in waits_for(coat, "fit")
    assert waits_for(waistcoat, "fit-mock-up") == {"shirt:fittable"}
    assert "breeches:fittable" in waits_for(waistcoat, "fit")
    assert by_id(waistcoat)["baste"].stage == "fittable"
    bodice = made("fitted-bodice")
    assert "skirt:fittable" in waits_for(bodice, "fit") - waits_for(bodice, "fit-mock-up")
    assert "stays:fittable" in waits_for(bodice, "fit-mock-up")


def test_linen_goes_in_a_bag() -> None:
    """A chemisette by hand is take-along work; felling a coat's lining is not."""
    chemisette, coat = made("chemisette", sewn="hand"), made("tailcoat")
    for id in ("shoulders-by-hand", "hem-by-hand", "bind-over"):
        step = by_id(chemisette)[id]
        assert (step.place or techniques()[step.technique or ""].place).value == "take-along"
    step = by_id(coat)["fell-lining"]
    assert (step.place or techniques()[step.technique or ""].place).value == "sofa"


def test_difficult_cloth_spares_mock_up_and_lining() -> None:
    """Velvet slows its own cutting and seams, not the mock-up's or the lining's."""
    plain, velvet = made("jacket"), made("jacket", cloth="slippery")
    slower = {
        id for id, found in minutes(velvet).items() if found.typical > minutes(plain)[id].typical
    }
    assert {"cut", "seams", "press", "hem"} <= slower
    assert not {"cut-mock-up", "sew-mock-up", "cut-lining", "lining-seams", "buttons"} & slower
