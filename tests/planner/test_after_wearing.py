"""What is to be done after a wearing, as steps of each garment."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.carrying import bare
from planner.catalogue import techniques
from planner.catalogue.order_reading import parse_order
from planner.catalogue.shelf import after_wearing_order, orders
from planner.editing.after_wearing import (
    NO_LENGTH,
    NOTHING,
    Wear,
    after_wearing,
    care_of,
    last_event,
    worn,
)
from planner.files.reading import read_project
from planner.files.writing import write_ensemble
from planner.ground import all_operations
from planner.model import Garment, Occasion, OccasionKind, Project, Source, Step
from planner.planning import plan_project
from planner.quantity import Quantity
from planner.splitting.answers import usual
from planner.splitting.split import split
from tests.planner.little import BALL, ensemble, garment, project

SAMPLES = {
    "oldmere_regatta": ("signal_master/regatta", datetime(2027, 6, 28)),
    "copper_wood_masque": ("copper_beetle/masque", datetime(2027, 3, 22)),
    "hallow_skerry": ("lamp_keeper/ball", datetime(2027, 11, 15)),
}
TORN = Wear(seams=replace(NO_LENGTH, value=0.3), trim=replace(NO_LENGTH, value=0.2), closures=2)


def sample(name: str) -> Project:
    """A sample's project."""
    return read_project(Path("sample_projects") / name)


def ids(steps: tuple[Step, ...]) -> list[str]:
    return [step.id for step in steps]


def asked(kind: str, wear: Wear = NOTHING, source: Source = Source.MAKE) -> list[str]:
    """The steps of a garment of a kind."""
    it = Garment(id=kind, kind=kind, source=source)
    return ids(care_of(sample("copper_wood_masque"), it, wear))


def test_linen_is_washed_and_pressed_the_rest_aired() -> None:
    """Each by what it is."""
    assert asked("shift") == ["wash", "press", "store"]
    assert asked("stays") == ["air-laced", "store"]
    assert asked("tailcoat") == ["air", "store"]
    assert asked("foam-armour") == ["wipe-armour", "store"]
    assert asked("wig") == ["comb-wig", "store"]
    assert asked("ruff") == ["wash", "starch", "set", "store"]
    assert asked("shift", Wear(washed=False)) == ["air", "store"]


def test_what_tore_is_mended_before_it_is_washed() -> None:
    """Mending comes before water, spots before the iron, storing last."""
    (it,) = [one for one in sample("oldmere_regatta").ensembles[0].garments if one.id == "shirt"]
    found = {step.id: step for step in care_of(sample("oldmere_regatta"), it, TORN)}
    assert set(found) == {"mend", "closures", "trim", "wash", "press", "store"}
    assert set(found["wash"].after) == {"mend", "closures", "trim"}
    assert found["press"].after == ("wash",)
    assert found["mend"].amount == (Quantity(value=0.3, dimension=1),)


def test_what_was_borrowed_goes_back() -> None:
    """Instead of being put away."""
    assert asked("cloak", source=Source.BORROW) == ["air", "return"]


def test_a_garment_without_a_kind_goes_by_its_name() -> None:
    """By the last word of its id; what that doesn't tell is aired."""
    it = sample("copper_wood_masque")
    assert ids(care_of(it, Garment(id="linen-shift"), Wear())) == ["wash", "press", "store"]
    assert ids(care_of(it, Garment(id="sash"), Wear())) == ["air", "store"]


@pytest.mark.parametrize("name", SAMPLES)
def test_they_come_after_the_event_and_only_the_next_wants_them(name: str) -> None:
    """No occasion up to the event wants them; another event does."""
    event, now = SAMPLES[name]
    before = sample(name)
    after = after_wearing(before, event)
    early = plan_project(after, datetime(2027, 3, 1))
    fresh = {step.id for step in early.steps} - set(all_operations(before))
    assert fresh
    assert not any(step.wanted for step in early.steps if step.id in fresh)
    assert early.wearable_on == plan_project(before, datetime(2027, 3, 1)).wearable_on
    id, own = event.split("/")
    again = Occasion(
        id="again", kind=OccasionKind.EVENT, at=now + timedelta(days=60), name="Once more"
    )
    later = replace(
        after,
        ensembles=tuple(
            replace(one, occasions=(*one.occasions, again)) if one.id == id else one
            for one in after.ensembles
        ),
    )
    plan = plan_project(later, now)
    assert all(step.wanted for step in plan.steps if step.id in fresh)
    assert own


@pytest.mark.parametrize("name", SAMPLES)
def test_said_twice_they_are_there_once(name: str) -> None:
    """What is there for this event stays as it is, and only what is missing is added."""
    event, _ = SAMPLES[name]
    once = after_wearing(sample(name), event)
    assert bare(after_wearing(once, event)) == bare(once)
    it = worn(once.ensembles[0])[0]
    more = after_wearing(once, event, {it.id: TORN})
    assert len(all_operations(more)) > len(all_operations(once))


def test_what_is_done_with_all_together_is_not_worn() -> None:
    """No airing of the packing."""
    event, _ = SAMPLES["oldmere_regatta"]
    after = after_wearing(sample("oldmere_regatta"), event)
    assert not [one for one in all_operations(after) if "/going/" in one and "-after-" in one]


def test_the_event_that_was_worn_for() -> None:
    """The last that has begun; before the first, that."""
    (it,) = sample("oldmere_regatta").ensembles
    early, late = last_event(it, datetime(2027, 6, 1)), last_event(it, datetime(2027, 7, 1))
    assert early is not None
    assert early == late
    assert last_event(replace(it, occasions=()), datetime(2027, 6, 1)) is None


def test_no_such_event_is_the_programs_mistake(tmp_path: Path) -> None:
    """Asked for one that isn't there, it raises KeyError."""
    with pytest.raises(KeyError):
        after_wearing(project(tmp_path, ensemble(garment("a 60"), BALL)), "e/fair")


@pytest.mark.parametrize("name", SAMPLES)
def test_they_survive_being_saved(name: str, tmp_path: Path) -> None:
    """Written to the ensemble's file and read again they are the same."""
    event, _ = SAMPLES[name]
    before = sample(name)
    after = after_wearing(before, event)
    old = next(one for one in before.ensembles if one.id == event.split("/")[0])
    new = next(one for one in after.ensembles if one.id == old.id)
    file = tmp_path / f"{old.id}.toml"
    file.write_text(Path(old.file).read_text("utf-8"), "utf-8")
    write_ensemble(file, old, new, before.workroom.units)
    for other in ("workroom.toml", "techniques.toml"):
        source = Path("sample_projects") / name / other
        if source.exists():
            (tmp_path / other).write_text(source.read_text("utf-8"), "utf-8")
    (read,) = read_project(tmp_path).ensembles
    assert bare(replace(read, file="")) == bare(replace(new, file=""))


def test_its_order_is_sound() -> None:
    """The order of construction has no problem, and every caution it needs is said."""
    file = Path("planner/catalogue/care/after-wearing.toml")
    found, problems, _ = parse_order(
        tomllib.loads(file.read_text("utf-8")), str(file), file.stem, techniques()
    )
    assert problems == []
    assert found is not None
    known = techniques()
    for part in found.steps:
        step = part.step
        if step.technique in ("spot-clean", "final-press", "starch-ruff", "glue-foam-seam"):
            assert step.caution or known[step.technique].caution
        assert step.optional
    assert after_wearing_order().id == "after-wearing"


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(sorted(orders())), st.integers(0, 200), st.integers(0, 200), st.integers(0, 9),
    st.booleans(), st.booleans(), st.sampled_from(Source),
)  # fmt: skip
def test_any_wear_of_any_garment_can_be_planned(
    kind: str, seams: int, trim: int, closures: int, spots: bool, washed: bool, source: Source
) -> None:
    """Every kind of garment, whatever its wearing did: its steps have minutes, order and an end."""
    wear = Wear(
        seams=replace(NO_LENGTH, value=seams / 100), trim=replace(NO_LENGTH, value=trim / 100),
        closures=closures, spots=spots, washed=washed,
    )  # fmt: skip
    it = sample("copper_wood_masque")
    made = replace(split(orders()[kind], usual(orders()[kind])).garment, source=source)
    (one,) = it.ensembles
    alone = replace(it, ensembles=(replace(one, garments=(made,)),), orders=())
    after = after_wearing(alone, "copper_beetle/masque", {kind: wear})
    fresh = after.ensembles[0].garments[0].steps[len(made.steps) :]
    if not worn(alone.ensembles[0]):
        assert fresh == ()
        return
    last = fresh[-1].id
    assert last.startswith("return" if source is Source.BORROW else "store")
    assert (seams > 0) == any(step.id.startswith("mend") for step in fresh)
    for step in fresh[:-1]:
        assert any(f"{kind}/{step.id}" in other.after for other in fresh)
