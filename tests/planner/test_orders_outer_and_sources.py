"""What a maker would check of outer garments, of what goes with them, and of what isn't made."""

from __future__ import annotations

import math

import pytest

from planner.catalogue import techniques
from planner.catalogue.shelf import orders, source_orders
from planner.estimate import Operation, operations
from planner.model import OccasionKind, Source, Wait, Work
from planner.splitting.answers import asked, understood, usual
from planner.splitting.split import Split, alone, split

KINDS = (
    "cloak",
    "ruff",
    "hat",
    "gloves",
    "spats",
    "bag",
    "foam-armour",
    "tabard",
    "wig",
    "shoes",
    "bows-and-rosettes",
    "whole-ensemble",
)
NOT_MADE = (Source.OWN, Source.ALTER, Source.BORROW, Source.BUY)


def splitted(kind: str, **answers: str) -> Split:
    """A garment of a kind, made unless ``source`` says otherwise; "_" in names stands for "-"."""
    pairs = {name.replace("_", "-"): text for name, text in answers.items()}
    pairs.setdefault("source", "make")
    order = orders()[kind]
    return split(order, understood(order, pairs))


def done(found: Split) -> dict[str, Operation]:
    """Its operations by the step's id."""
    return {o.step.id: o for o in operations(alone(found), techniques())}


def wanted(found: Split) -> dict[str, float]:
    """Metres and pieces of each material."""
    return {w.material.id: w.amount.value for w in found.wanted}


def minutes(found: Split, *steps: str) -> float:
    """Typical minutes of the steps named that are there."""
    by_id = done(found)
    return sum(by_id[step].minutes.typical for step in steps if step in by_id)


def waits_nights(found: Split, step: str) -> int:
    """Nights that must pass after a step."""
    wait = done(found)[step].wait
    assert isinstance(wait, Wait)
    return wait.nights


@pytest.mark.parametrize("kind", ["cloak", "tabard", "bag", "gloves", "ruff"])
def test_by_hand_no_seam_is_left_to_the_machine(kind: str) -> None:
    """Sewn by hand, a garment has no machine step at all."""
    by_hand = splitted(kind, sewn="hand")
    assert not [o.step.id for o in done(by_hand).values() if o.work is Work.MACHINE]


@pytest.mark.parametrize("lined", ["yes", "no"])
def test_a_cloak_on_the_bias_hangs_a_night(lined: str) -> None:
    """Gored and circular cloaks hang a night before the hem is levelled; straight ones don't."""
    for cut in ("gored", "circle"):
        hung = splitted("cloak", cut=cut, lined=lined)
        assert waits_nights(hung, "fell-neck-and-hang") == 1
        assert "fell-neck-and-hang" in done(hung)["level"].step.after
    straight = done(splitted("cloak", lined=lined))
    assert "fell-neck-and-hang" not in straight
    assert straight["fell-neck"].wait == Wait()


def test_cloth_of_a_plain_cloak() -> None:
    """Four widths 1.30 m long with 10 cm for hem and neck, no hood, and 5 % for waste."""
    plain = splitted("cloak", hood="no", panels="4", length="1.3 m")
    # 4 x (1.30 + 0.10) = 5.60 m; 5 % more is 5.88 m
    assert wanted(plain)["cloth"] == pytest.approx(5.88)
    assert wanted(plain)["lining"] == pytest.approx(5.88)
    assert "lining" not in wanted(splitted("cloak", hood="no", lined="no"))


def test_two_rows_take_twice_the_braid_and_about_twice_the_minutes() -> None:
    """Braid goes along the hem and both fronts, once for every row."""
    one, two = splitted("cloak", rows="1"), splitted("cloak", rows="2")
    # hem 4.20 m and two fronts of 1.30 m are 6.80 m; 5 % more is 7.14 m
    assert wanted(one)["braid"] == pytest.approx(7.14)
    assert wanted(two)["braid"] == pytest.approx(14.28)
    assert 1.9 < minutes(two, "braid") / minutes(one, "braid") < 2.0
    assert "braid" not in done(splitted("cloak", rows="0"))


def test_trim_of_a_cloak_comes_after_it_can_be_worn() -> None:
    """Rows of braid are extra: a cloak is wearable without them, and they may be left off."""
    braid = done(splitted("cloak", rows="2"))["braid"]
    assert braid.step.optional
    assert braid.step.stage is None


@pytest.mark.parametrize("kind", ["gloves", "spats"])
def test_without_a_trial_nothing_is_fitted_on_one(kind: str) -> None:
    """Without a mock-up none is cut or sewn, and no pattern is corrected by one."""
    none = done(splitted(kind, mock_up="none"))
    assert not {"cut-trial", "sew-trial", "correct"} & set(none)
    assert {"cut-trial", "sew-trial", "correct"} <= set(done(splitted(kind)))


def test_strip_and_sets_of_a_ruff() -> None:
    """Forty sets of 16 cm are 6.40 m of strip; double the sets and the setting doubles."""
    plain = splitted("ruff", sets="40", one_set="16 cm")
    # across linen of 1.40 m less 3 cm of selvedge and 1 cm of seam lie 1.36 m: five strips,
    # each 8 + 1 + 1 cm deep: 50 cm, and 5 % more; the band takes 10 cm
    assert wanted(plain)["linen"] == pytest.approx(0.63)
    assert minutes(plain, "set") == 10 + 6 * 40
    assert minutes(splitted("ruff", sets="80"), "set") == 10 + 6 * 80
    assert minutes(plain, "hem") == 3 + math.ceil(30 * 6.4)


def test_a_ruff_dries_before_it_is_set_and_again_after() -> None:
    """Starching and setting are two steps with a wait each; a soft ruff has neither."""
    starched = splitted("ruff")
    assert waits_nights(starched, "starch") == 2
    assert waits_nights(starched, "set") == 1
    assert done(starched)["set"].step.stage == "wearable"
    assert not {"starch", "set"} & set(done(splitted("ruff", setting="soft")))


def test_a_hat_is_of_a_frame_or_blocked() -> None:
    """Only one branch is there: buckram, wire and cover, or the block."""
    frame, blocked = done(splitted("hat")), done(splitted("hat", shape="blocked"))
    assert {"cut-frame", "wire-frame", "mull", "cover"} <= set(frame)
    assert {"block", "stiffen", "wire-brim"} <= set(blocked)
    assert not {"cut-frame", "wire-frame", "mull", "cover"} & set(blocked)
    assert not {"block", "stiffen", "wire-brim"} & set(frame)
    assert waits_nights(splitted("hat", shape="blocked"), "block") == 1


def test_gloves_take_the_seams_of_their_fingers() -> None:
    """Mitts have a long seam and a thumb; gloves fourteen finger seams a hand besides."""
    mitts, gloves = splitted("gloves"), splitted("gloves", fingers="gloves")
    # two hands, 36 minutes a metre and 3 to set up: 0.28 + 0.22 m; with 14 x 8 cm more
    assert minutes(mitts, "sew") == round(3 + 36 * 2 * 0.50)
    assert minutes(gloves, "sew") == round(3 + 36 * 2 * (0.50 + 14 * 0.08))


def test_armour_waits_for_glue_and_coats_and_counts_them() -> None:
    """Glue hardens a night; coats of colour multiply by pieces; plastic is not glued."""
    foam = splitted("foam-armour", pieces="6", colour_coats="2")
    assert waits_nights(foam, "glue") == 1
    assert done(foam)["glue"].no_way_back
    assert minutes(foam, "colour") == 10 + 6 * 6 * 2
    assert minutes(splitted("foam-armour", colour_coats="4"), "colour") == 10 + 6 * 6 * 4
    plastic = done(splitted("foam-armour", stuff="thermoplastic"))
    assert not {"glue", "heat-seal", "form"} & set(plastic)
    assert {"form-plastic", "join-plastic", "seal-plastic"} <= set(plastic)


@pytest.mark.parametrize(
    ("device", "step"),
    [("painted", "paint"), ("applied", "apply"), ("embroidered", "embroider")],
)
def test_a_tabard_bears_its_device_before_it_is_sewn_up(device: str, step: str) -> None:
    """The device goes on the flat front, and costs what its size says."""
    bears = splitted("tabard", device=device)
    order = [s.id for s in bears.garment.steps]
    assert order.index(step) < order.index("shoulders")
    if device != "applied":
        larger = splitted("tabard", device=device, device_height="60 cm")
        assert minutes(larger, step) > 1.5 * minutes(bears, step)


def test_a_filled_device_goes_by_its_area() -> None:
    """Half of 30 x 25 cm filled by the needle is 375 cm2: 94 hours at 150 minutes for 10 cm2."""
    stitched = splitted("tabard", device="embroidered")
    assert minutes(stitched, "embroider") == 10 + 150 * 37.5


def test_a_wig_is_stock_with_a_lead_and_no_step() -> None:
    """Ordering the wig is no work: it is stock that takes three weeks to come."""
    wig = splitted("wig")
    lead = {w.material.id: w.material.lead for w in wig.wanted}
    assert lead["wig"] == 21
    assert not [s.id for s in wig.garment.steps if "order" in s.id]
    assert minutes(splitted("wig", length="long"), "cut", "curl", "dress") > 1.4 * minutes(
        wig, "cut", "curl", "dress"
    )
    assert minutes(splitted("wig", length="long"), "fit") == minutes(wig, "fit")


def test_shoes_mostly_come_out_of_the_wardrobe() -> None:
    """The usual shoes are the wearer's own; what is made is tried for its grip."""
    assert orders()["shoes"].sources[0] is Source.OWN
    assert "slip" in done(splitted("shoes"))["walk"].caution


def test_loose_trim_goes_by_the_piece() -> None:
    """Twice the bows are twice the ribbon and, but for the set-up, twice the minutes."""
    six, twelve = (splitted("bows-and-rosettes", bows=n, rosettes="0") for n in ("6", "12"))
    assert minutes(six, "bows") == 3 + 12 * 6
    assert minutes(twelve, "bows") == 3 + 12 * 12
    # 6 x 60 cm and 5 %
    assert wanted(six)["ribbon"] == pytest.approx(3.78)
    assert wanted(twelve)["ribbon"] == pytest.approx(7.56)


def test_two_to_three_hours_of_mending_after_the_trial() -> None:
    """Six garments worn together leave two to three hours to mend, by lengths and counts."""
    whole = splitted("whole-ensemble", garments="6")
    assert 120 <= minutes(whole, "mend", "closures", "trim", "spots") <= 180
    assert waits_nights(whole, "list") == 2
    twice = splitted("whole-ensemble", garments="12")
    assert minutes(twice, "mend") - 3 == 2 * (minutes(whole, "mend") - 3)


def test_the_whole_is_worn_at_the_trial_when_all_can_be_worn() -> None:
    """The dress trial waits until all else is wearable; small things are on the packing list."""
    whole = splitted("whole-ensemble")
    wear = whole.parts["wear"]
    assert wear.at is OccasionKind.TRIAL_WEAR
    assert [(o.roles, o.stage) for o in wear.over] == [(("*",), "wearable")]
    assert done(whole)["wear"].hands == 2
    packed = " ".join(orders()["whole-ensemble"].pack)
    for thing in ("shoes", "jewels", "lacing cords", "needle", "water"):
        assert thing in packed


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("source", Source)
def test_whatever_its_source_a_garment_can_be_worn(kind: str, source: Source) -> None:
    """Every kind has a wearable stage from every source it may have, and no more than it asks."""
    order = orders()[kind]
    if source not in order.sources:
        return
    answers = usual(order, source)
    steps = split(order, answers).garment.steps
    assert any(step.stage == "wearable" for step in steps)
    if source is not Source.MAKE:
        assert any(step.stage == "fittable" for step in steps)
        assert len([q for q in asked(order, answers) if q.asked]) <= 5


@pytest.mark.parametrize("source", NOT_MADE)
def test_nobody_washes_armour_or_presses_a_wig(source: Source) -> None:
    """What isn't cloth is neither washed nor pressed nor basted, wherever it comes from."""
    for kind in ("foam-armour", "wig", "shoes", "hat"):
        used = {s.technique for s in splitted(kind, source=source.value).garment.steps}
        assert not used & {"wash-linen", "final-press", "press-seam", "straight-seam"}, kind
    armour = {s.technique for s in splitted("foam-armour", source=source.value).garment.steps}
    assert not armour & {"mend-seam", "baste-seam", "hook-and-eye", "unpick-seam"}


@pytest.mark.parametrize("source", NOT_MADE)
def test_stays_are_laced_whoever_they_come_from(source: Source) -> None:
    """Stays are tried by lacing them, with a second pair of hands, over the shift."""
    laced = splitted("stays", source=source.value)
    step = done(laced)["try-laced"]
    assert step.step.technique == "lace-up-and-test"
    assert step.hands == 2
    assert laced.parts["try-laced"].over[0].roles == ("shift",)


def test_own_body_linen_is_washed_unless_clean() -> None:
    """A shift out of the wardrobe is washed, or only aired; a cloak is aired."""
    assert "wash" in done(splitted("shift", source="own"))
    aired = done(splitted("shift", source="own", cleaned="air"))
    assert "air" in aired and "wash" not in aired
    assert "wash" not in done(splitted("cloak", source="own"))


def test_an_altered_garment_is_fitted_twice() -> None:
    """Pinned, opened, basted, fitted again, then sewn: by hand without a machine."""
    altered = splitted("cloak", source="alter", sewn="hand", pieces="2", hem="2 m")
    at_fittings = [s for s, part in altered.parts.items() if part.at is OccasionKind.FITTING]
    assert at_fittings == ["try-over", "refit"]
    assert not {"resew"} & set(done(altered))
    twice = splitted("cloak", source="alter", seams="2.4 m")
    once = splitted("cloak", source="alter", seams="1.2 m")
    assert minutes(twice, "unpick") - 3 == pytest.approx(2 * (minutes(once, "unpick") - 3), abs=1)


def test_nothing_borrowed_is_cut() -> None:
    """A borrowed garment is fetched, tacked with stitches that come out, and given back clean."""
    for kind in ("cloak", "hat", "foam-armour", "wig"):
        borrowed = splitted(kind, source="borrow")
        assert not [o.step.id for o in done(borrowed).values() if o.no_way_back]
        assert not [o.step.id for o in done(borrowed).values() if o.work is Work.CUTTING]
        assert wanted(borrowed)["borrowed"] == 1
    assert "goes back" in " ".join(source_orders()[Source.BORROW].pack)


def test_what_is_bought_must_come_first() -> None:
    """A bought garment is stock with a lead, and trying it on takes it."""
    bought = splitted("cloak", source="buy")
    assert wanted(bought)["bought"] == 1
    assert next(w.material.lead for w in bought.wanted if w.material.id == "bought") == 10
    assert done(bought)["try-over"].uses[0][0].endswith("/bought")
