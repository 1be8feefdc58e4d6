"""Which body steps go to which fitting and trial wear."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from planner.catalogue.order import Order
from planner.model import Ensemble, Occasion, Source
from planner.network import order_problems
from planner.splitting.fittings import Fittings, gather
from planner.splitting.joining import Joined, join, joined_all
from tests.planner.little_orders import (
    BALL,
    FIRST,
    FITTING,
    NOW,
    SECOND,
    TRIAL,
    TRIAL_WEAR,
    by_hand,
    cut_of,
    ensemble,
    occasion,
    order,
    part,
    planned,
    step_of,
    task,
)

STAYS = order(
    "stays",
    part("mock-up", at=FITTING),
    part("bone", "mock-up", stage="fittable"),
    part("fit", "bone", at=FITTING, over=(("shift", "fittable"),)),
    part("bind", "fit", stage="wearable"),
    part("try", "bind", at=TRIAL),
    layer=2,
)
BODICE = order(
    "bodice",
    part("mock-up", at=FITTING, over=(("stays", "fittable"),)),
    part("seams", "mock-up", stage="fittable"),
    part("fit", "seams", at=FITTING),
    part("edge", "fit", stage="wearable"),
)
SHIFT = order(
    "shift",
    part("sew", stage="fittable"),
    part("neck", "sew", at=FITTING, over=(("bodice", "fittable"),)),
    part("bind", "neck", stage="wearable"),
    layer=1,
)
SKIRT = order("skirt", part("level", at=FITTING), part("hem", "level", stage="wearable"), layer=4)
ORDERS = {o.id: o for o in (SHIFT, STAYS, BODICE, SKIRT)}
THIRD = occasion("third-fitting", FITTING, 25)
THREE = (FIRST, SECOND, THIRD, TRIAL_WEAR, BALL)


def joined(start: Ensemble, *orders: Order) -> Joined:
    """The orders joined one after the other."""
    for found in orders:
        last = join(start, cut_of(found), orders=ORDERS, now=NOW)
        start = last.ensemble
    return last


def at(found: Ensemble) -> dict[str, str]:
    """By step, where it is held."""
    return {
        f"{g.id}/{s.id}": s.during for g in found.garments for s in g.steps if s.during is not None
    }


def moved(found: Ensemble, during: dict[str, str | None]) -> Ensemble:
    """The maker's own word on where steps are held."""
    return replace(
        found,
        garments=tuple(
            replace(
                g,
                steps=tuple(
                    replace(s, during=during.get(f"{g.id}/{s.id}", s.during)) for s in g.steps
                ),
            )
            for g in found.garments
        ),
    )


def test_each_at_the_first_it_can_be() -> None:
    """Of steps that follow one another only the first is at the first fitting."""
    found = joined(ensemble(), STAYS)
    assert found.gathered == {
        "stays/mock-up": "first-fitting",
        "stays/fit": "second-fitting",
        "stays/try": "trial",
    }
    assert at(found.ensemble) == dict(found.gathered)
    planned(found.ensemble)


def test_through_other_garments() -> None:
    """Three body steps in a row have two fittings: the innermost is done at home, with a helper.

    The bodice's mock-up, over stays that are fittable once theirs is fitted, takes the first.
    """
    first = joined(ensemble(), STAYS)
    assert first.at_home == ()
    found = joined(first.ensemble, BODICE)
    assert found.gathered == {
        "bodice/mock-up": "first-fitting",
        "bodice/fit": "second-fitting",
    }
    assert found.at_home == ("stays/mock-up",)
    assert step_of(found.ensemble, "stays/mock-up").during is None
    assert step_of(found.ensemble, "stays/fit").during == "second-fitting"
    planned(found.ensemble)


def test_with_a_third_fitting() -> None:
    """Where there is one more fitting, it takes what found no place at two."""
    found = joined(ensemble(occasions=THREE), STAYS, BODICE)
    assert found.gathered == {"bodice/mock-up": "second-fitting", "bodice/fit": "third-fitting"}
    assert found.at_home == ()


def test_what_comes_before_a_step_that_is_held() -> None:
    """Stays that come after their bodice take the first fitting, and the bodice's move on."""
    found = joined(ensemble(occasions=THREE), BODICE, STAYS)
    assert at(found.ensemble) == {
        "bodice/mock-up": "second-fitting",
        "bodice/fit": "third-fitting",
        "stays/mock-up": "first-fitting",
        "stays/fit": "second-fitting",
        "stays/try": "trial",
    }
    planned(found.ensemble)


def test_a_step_moves_to_make_room() -> None:
    """The shift's neck, which waits for the bodice that comes later, moves to a later fitting."""
    first = joined(ensemble(), SHIFT)
    assert first.gathered == {"shift/neck": "first-fitting"}
    found = joined(first.ensemble, BODICE)
    assert found.gathered["bodice/mock-up"] == "first-fitting"
    assert found.gathered["shift/neck"] == "second-fitting"
    planned(found.ensemble)


def test_one_fitting() -> None:
    """With one fitting only, the last of the body steps in a row keep it."""
    one = (FIRST, BALL)
    first = joined(ensemble(occasions=one), SHIFT)
    found = joined(first.ensemble, BODICE)
    assert at(found.ensemble) == {"shift/neck": "first-fitting", "bodice/fit": "first-fitting"}
    assert found.at_home == ("bodice/mock-up",)
    planned(found.ensemble)


def test_a_fitting_of_the_makers_own() -> None:
    """A garment more leaves the maker's own choice of a fitting."""
    first = joined(ensemble(occasions=THREE), SHIFT).ensemble
    own = moved(first, {"shift/neck": "third-fitting"})
    found = joined(own, BODICE)
    assert at(found.ensemble)["shift/neck"] == "third-fitting"
    assert "shift/neck" not in found.gathered
    home = moved(first, {"shift/neck": None})
    assert "shift/neck" not in at(joined(home, BODICE).ensemble)


def test_around_a_fitting_of_the_makers_own() -> None:
    """What the maker moved bounds the rest, which goes on moving with the program."""
    first = joined(ensemble(occasions=THREE), STAYS).ensemble
    late = moved(first, {"stays/mock-up": "second-fitting", "stays/fit": "third-fitting"})
    assert Fittings(late, ORDERS, NOW).as_given() == {"stays/fit", "stays/try"}
    found = joined(late, BODICE).ensemble
    assert at(found) == {
        "stays/mock-up": "second-fitting",
        "stays/fit": "third-fitting",
        "stays/try": "trial",
        "bodice/fit": "third-fitting",
    }
    planned(found)


@pytest.mark.parametrize("done", [True, False])
def test_what_is_behind_stays(done: bool) -> None:
    """Steps that are done, or at a fitting that is over, stay, and ask for no fitting any more."""
    first = joined(ensemble(), STAYS).ensemble
    now = NOW if done else FIRST.at + timedelta(days=1)
    stays = tuple(replace(s, done=done and s.id == "mock-up") for s in first.garments[0].steps)
    first = replace(first, garments=(replace(first.garments[0], steps=stays),))
    found = join(first, cut_of(BODICE), orders=ORDERS, now=now).ensemble
    assert at(found)["stays/mock-up"] == "first-fitting"
    assert at(found)["bodice/fit"] == "second-fitting"
    assert "bodice/mock-up" not in at(found)
    planned(found)


def test_past_occasions() -> None:
    """One made for this hour gathers till it is over, which is when its time has passed."""
    start = ensemble(cut_of(SKIRT).garment)
    for takes, minutes, expected in ((None, 5, True), (None, 35, False), (180, 120, True)):
        made = replace(FIRST, takes=takes)
        now = made.at + timedelta(minutes=minutes)
        there = replace(start, occasions=(made, SECOND, BALL))
        gathered = gather(there, "first-fitting", ORDERS, now)
        assert at(gathered) == ({"skirt/level": "first-fitting"} if expected else {})


@pytest.mark.parametrize("minutes", [-300, 5], ids=["this morning", "while it is held"])
def test_a_fitting_of_today_counts_as_none_for_what_is_added(minutes: int) -> None:
    """No time is left to make ready what it needs: the next one is taken, or it is at home."""
    now = FIRST.at + timedelta(minutes=minutes)
    found = join(ensemble(), cut_of(SKIRT), orders=ORDERS, now=now)
    assert found.gathered == {"skirt/level": "second-fitting"}
    alone = join(ensemble(occasions=(FIRST, BALL)), cut_of(SKIRT), orders=ORDERS, now=now)
    assert alone.gathered == {} and alone.at_home == ("skirt/level",)


def test_what_is_at_a_fitting_of_today_stays_there() -> None:
    """It doesn't move for a garment that is added on that day, in whatever order they come."""
    before = joined(ensemble(occasions=THREE), STAYS).ensemble
    assert at(before)["stays/mock-up"] == "first-fitting"
    now = FIRST.at - timedelta(hours=5)
    both = []
    for first, second in ((BODICE, SKIRT), (SKIRT, BODICE)):
        one = join(before, cut_of(first), orders=ORDERS, now=now).ensemble
        both.append(join(one, cut_of(second), orders=ORDERS, now=now).ensemble)
        assert at(both[-1]).items() >= at(before).items()
        assert "first-fitting" not in {
            day for step, day in at(both[-1]).items() if not step.startswith("stays/")
        }
        planned(both[-1])
    assert at(both[0]) == at(both[1])


def test_no_occasion_of_the_kind() -> None:
    """Without a fitting a body step is an ordinary one; a trial wear holds only try-ons."""
    found = joined(ensemble(occasions=(TRIAL_WEAR, BALL)), STAYS)
    assert found.gathered == {"stays/try": "trial"}
    planned(found.ensemble)


def test_what_an_occasion_wants_by_name() -> None:
    """A step isn't held later than an occasion that wants it, or what follows it, by name."""
    wanting = replace(SECOND, wants=("skirt:wearable",))
    found = join(ensemble(occasions=(wanting, THIRD, BALL)), cut_of(SKIRT), orders=ORDERS, now=NOW)
    assert found.gathered == {}
    early = join(ensemble(occasions=(FIRST, wanting, BALL)), cut_of(SKIRT), orders=ORDERS, now=NOW)
    assert early.gathered == {"skirt/level": "first-fitting"}
    planned(early.ensemble)


def test_an_occasion_that_wants_what_would_follow_it() -> None:
    """Nothing is held where an occasion would then want what comes after itself."""
    wanting = replace(FIRST, wants=("skirt:wearable",))
    found = join(ensemble(occasions=(wanting, BALL)), cut_of(SKIRT), orders=ORDERS, now=NOW)
    assert found.gathered == {}
    planned(found.ensemble)


def test_several_fitted_together() -> None:
    """Joined at once, in any order, the body steps share the fittings as well as can be."""
    for orders in ((SHIFT, STAYS, BODICE), (BODICE, SHIFT, STAYS)):
        splits = [cut_of(o) for o in orders]
        found = joined_all(ensemble(occasions=THREE), splits, orders=ORDERS, now=NOW)
        assert at(found.ensemble) == {
            "stays/mock-up": "first-fitting",
            "stays/fit": "second-fitting",
            "stays/try": "trial",
            "bodice/mock-up": "second-fitting",
            "bodice/fit": "third-fitting",
            "shift/neck": "third-fitting",
        }
        planned(found.ensemble)


def test_gathering_at_a_new_fitting() -> None:
    """A fitting added later is shared among the body steps of every garment."""
    found = joined(ensemble(occasions=(FIRST, TRIAL_WEAR, BALL)), STAYS, BODICE, SKIRT).ensemble
    assert set(at(found)) == {"stays/fit", "bodice/fit", "skirt/level", "stays/try"}
    more = replace(found, occasions=(*found.occasions, SECOND))
    gathered = gather(more, "second-fitting", ORDERS, NOW)
    assert gathered == joined(ensemble(occasions=more.occasions), STAYS, BODICE, SKIRT).ensemble
    assert at(gathered) == {
        "bodice/mock-up": "first-fitting",
        "skirt/level": "first-fitting",
        "stays/fit": "second-fitting",
        "bodice/fit": "second-fitting",
        "stays/try": "trial",
    }
    assert gather(gathered, "second-fitting", ORDERS, NOW) == gathered
    planned(gathered)


def test_gathering_at_an_earlier_fitting() -> None:
    """A new first fitting takes what was to be done at home before the other."""
    found = joined(ensemble(occasions=(SECOND, BALL)), STAYS, BODICE).ensemble
    assert at(found) == {"stays/fit": "second-fitting", "bodice/fit": "second-fitting"}
    more = replace(found, occasions=(FIRST, *found.occasions))
    gathered = gather(more, "first-fitting", ORDERS, NOW)
    assert at(gathered) == {**at(found), "bodice/mock-up": "first-fitting"}
    planned(gathered)


def test_gathering_again() -> None:
    """What the maker put elsewhere stays; what is at none and belongs to the fitting comes."""
    found = joined(ensemble(occasions=THREE), STAYS, SKIRT).ensemble
    own = moved(found, {"skirt/level": "third-fitting", "stays/mock-up": None})
    assert at(gather(own, "second-fitting", ORDERS, NOW)) == at(own)
    assert at(gather(own, "first-fitting", ORDERS, NOW)) == {
        **at(found),
        "skirt/level": "third-fitting",
    }


@pytest.mark.parametrize("steps", [{"left_off": True}, {"done": True}, {"during": "other/o"}])
def test_what_is_not_gathered(steps: dict[str, object]) -> None:
    """Steps that are done, left off or at another ensemble's occasion are left alone."""
    skirt = cut_of(SKIRT).garment
    level = replace(skirt.steps[0], **steps)  # type: ignore[arg-type]
    start = ensemble(replace(skirt, steps=(level, *skirt.steps[1:])))
    assert gather(start, "first-fitting", ORDERS, NOW) == start


def test_garments_of_the_makers_own() -> None:
    """Steps that aren't from an order are never gathered, nor is anything at an event."""
    start = ensemble(by_hand("skirt", task("level")), cut_of(SKIRT).garment)
    start = replace(start, garments=(start.garments[0], replace(start.garments[1], id="other")))
    assert gather(start, "ball", ORDERS, NOW) == start
    assert set(at(gather(start, "first-fitting", ORDERS, NOW))) == {"other/level"}


def test_no_such_occasion() -> None:
    """An occasion that isn't there is an error of the program's."""
    with pytest.raises(KeyError):
        gather(ensemble(), "none", ORDERS, NOW)


def test_a_kind_that_is_not_made() -> None:
    """A garment from elsewhere is fitted as the short order of its source says."""
    from planner.catalogue.shelf import source_orders

    if Source.OWN not in source_orders():
        pytest.skip("the short orders are not there yet")
    kinds = {part.at for part in source_orders()[Source.OWN].steps}
    assert kinds <= {None, FITTING, TRIAL}


def test_occasions_of_one_moment() -> None:
    """Two fittings at the same hour count as one to steps that follow one another."""
    twin: Occasion = replace(FIRST, id="twin")
    found = joined(ensemble(occasions=(FIRST, twin, BALL)), STAYS)
    assert found.gathered == {"stays/fit": "first-fitting"}
    assert order_problems([found.ensemble]) == ()
