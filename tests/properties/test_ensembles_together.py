"""Garments together: every pair, and common ensembles, without a circle and with every link."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import permutations

import pytest

from planner.catalogue.order import Order
from planner.catalogue.shelf import orders
from planner.model import Ensemble, Project, Source, Span, Workroom
from planner.network import order_problems
from planner.planning import plan_project
from planner.references import Index, index_of, resolve
from planner.splitting.answers import understood, usual, working_order
from planner.splitting.fittings import Fittings, gather
from planner.splitting.joining import Joined, join, joined_all, proposed_links
from planner.splitting.split import Split, split
from tests.planner.little_orders import (
    BALL,
    FITTING,
    NOW,
    TRIAL_WEAR,
    ensemble,
    occasion,
    planned,
)

KINDS = tuple(sorted(orders()))
WHOLE = "whole-ensemble"

ENSEMBLES: dict[str, tuple[str, ...]] = {
    "1780s gown": (
        "shift", "stockings", "shoes", "stays", "bustle-pad", "petticoat", "petticoat",
        "gored-skirt", "fitted-bodice", "chemisette", "hat", "gloves",
    ),
    "bustle day dress": (
        "shift", "drawers", "corset", "bustle-pad", "petticoat", "gored-skirt", "overskirt",
        "fitted-bodice", "peplum", "hat", "gloves", "shoes",
    ),
    "crinoline evening dress": (
        "shift", "drawers", "corset", "hoop", "petticoat", "petticoat", "gored-skirt",
        "fitted-bodice", "gloves", "bows-and-rosettes", "shoes",
    ),
    "walking suit": (
        "shift", "corset", "petticoat", "gored-skirt", "waistcoat", "jacket", "hat", "gloves",
        "spats", "shoes", "stockings",
    ),
    "ballroom tailcoat": (
        "shirt", "stockings", "breeches", "waistcoat", "tailcoat", "gloves", "hat", "shoes",
    ),
    "bewigged masquerade": (
        "shirt", "stockings", "breeches", "waistcoat", "tailcoat", "wig", "hat", "cloak", "shoes",
    ),
    "doublet and ruff": (
        "shirt", "stockings", "breeches", "doublet", "ruff", "cloak", "hat", "shoes",
    ),
    "ruffed lady": (
        "shift", "stays", "hoop", "petticoat", "gored-skirt", "fitted-bodice", "ruff", "wig",
        "hat", "gloves", "shoes",
    ),
    "kirtle and apron": ("shift", "stockings", "kirtle", "chemisette", "apron", "hat", "bag"),
    "houppelande over a kirtle": ("shift", "kirtle", "houppelande", "hat", "bag", "shoes"),
    "armoured pilgrim": (
        "shirt", "breeches", "doublet", "foam-armour", "tabard", "cloak", "wig", "bag", "shoes",
    ),
    "everything at once": tuple(k for k in KINDS if k != WHOLE),
}  # fmt: skip
"""Twelve ensembles by kinds, in the order in which a maker might name them."""


def cut(kind: str, chance: random.Random | None = None) -> Split:
    """The kind split to be made, where it can be; with ``chance`` other options are chosen."""
    order = orders()[kind]
    source = Source.MAKE if Source.MAKE in order.sources else order.sources[0]
    answers = usual(order, source)
    if chance is not None:
        found = working_order(order, source).choices
        answers = replace(answers, choices={c.id: chance.choice(c.options).id for c in found})
    return split(order, answers)


DEFAULTS = {kind: cut(kind) for kind in KINDS}
CHANGED = {kind: cut(kind, random.Random(kind)) for kind in KINDS}


def joined(splits: Sequence[Split], **keys: str) -> list[Joined]:
    """One after the other, into an ensemble with two fittings and a trial wear."""
    found: list[Joined] = []
    start = ensemble()
    for one in splits:
        found.append(join(start, one, orders=orders(), now=NOW, **keys))  # type: ignore[arg-type]
        start = found[-1].ensemble
    return found


def check(found: Ensemble, steps: Sequence[Joined]) -> None:
    """No circle, every proposed link made, every link in the steps' ``after``."""
    assert order_problems([found]) == ()
    assert [link for one in steps for link in one.left_out] == []
    after = {f"{g.id}/{s.id}": s.after for g in found.garments for s in g.steps}
    missing = [link for link in proposed_links(found, orders()) if link.to not in after[link.step]]
    assert missing == []


@pytest.mark.parametrize("first", KINDS)
def test_every_pair(first: str) -> None:
    """Each kind after each kind, also after itself: no circle, and every link is kept.

    Whatever the options; and where one waits for the other, the plan accepts them.
    """
    for second in KINDS:
        steps = joined([DEFAULTS[first], DEFAULTS[second]])
        check(steps[-1].ensemble, steps)
        if steps[-1].links and first <= second:
            planned(steps[-1].ensemble)
        steps = joined([CHANGED[first], CHANGED[second]])
        check(steps[-1].ensemble, steps)


@pytest.mark.parametrize("way", ["as named", "inside out", "all at once", "other options"])
@pytest.mark.parametrize("name", sorted(ENSEMBLES))
def test_twelve_ensembles(name: str, way: str) -> None:
    """Common ensembles with a trial of the whole, entered in several orders, make a plan."""
    kinds = [*ENSEMBLES[name], WHOLE]
    splits = [(CHANGED if way == "other options" else DEFAULTS)[kind] for kind in kinds]
    if way == "all at once":
        steps = [joined_all(ensemble(), splits, orders=orders(), now=NOW)]
    else:
        steps = joined(splits[::-1] if way == "inside out" else splits)
    found = steps[-1].ensemble
    check(found, steps)
    assert len(found.garments) == len(kinds)
    layers = [g.layer or 0 for g in found.garments]
    assert layers == sorted(layers)
    planned(found)


def held_in_order(found: Ensemble) -> bool:
    """Whether no step is held where something it follows, through other garments too, is held
    at the same or a later occasion."""
    index = index_of([found])
    moments = {o.id: o.at for o in found.occasions}
    earliest: dict[str, datetime] = {}
    for full in in_order(index):
        _, garment, _ = full.split("/")
        step = index.steps[full]
        before = [
            earliest[p] for text in step.after for p in resolve(index, text, "e", garment).steps
        ]
        latest = max(before, default=datetime.min)
        if step.during is not None:
            if moments[step.during] <= latest:
                return False
            latest = moments[step.during]
        earliest[full] = latest
    return True


def in_order(index: Index) -> list[str]:
    """The steps of an ensemble, each behind those it follows."""
    order: list[str] = []
    left = {
        full: {p for text in step.after for p in resolve(index, text, *full.split("/")[:2]).steps}
        for full, step in index.steps.items()
    }
    while left:
        free = [full for full, before in left.items() if before.isdisjoint(left)]
        assert free, "a circle"
        order += free
        for full in free:
            del left[full]
    return order


@pytest.mark.parametrize("name", sorted(ENSEMBLES))
def test_fittings_are_shared(name: str) -> None:
    """Fittings hold body steps of several garments, the trial wear the last try-ons.

    None where something it follows is held at the same or a later one; and a third fitting,
    added later, only ever takes more.
    """
    splits = [DEFAULTS[kind] for kind in (*ENSEMBLES[name], WHOLE)]
    found = joined_all(ensemble(), splits, orders=orders(), now=NOW).ensemble
    assert held_in_order(found)
    steps = [(g.id, s) for g in found.garments for s in g.steps if s.during is not None]
    fitted = {g for g, s in steps if s.during in ("first-fitting", "second-fitting")}
    assert len(fitted) >= 2
    assert any(s.during == "trial" for _, s in steps)
    more = replace(found, occasions=(*found.occasions, occasion("third-fitting", FITTING, 25)))
    gathered = gather(more, "third-fitting", orders(), NOW)
    assert held_in_order(gathered)
    planned(gathered)


def at_fittings(found: Ensemble) -> dict[str, str | None]:
    """By body step, the occasion at which it is done."""
    return Fittings(found, orders(), NOW).were


@pytest.mark.parametrize("cuts", [DEFAULTS, CHANGED], ids=["usual", "other options"])
@pytest.mark.parametrize("name", sorted(ENSEMBLES))
def test_the_order_of_joining(name: str, cuts: dict[str, Split]) -> None:
    """Whether the outermost or the innermost garment comes first, or all come at once, the same
    body steps are at the same fittings, and all of them are where the program would have them."""
    splits = sorted((cuts[k] for k in (*ENSEMBLES[name], WHOLE)), key=lambda s: s.order.layer)
    inside_out = joined(splits)[-1].ensemble
    outside_in = joined(splits[::-1])[-1].ensemble
    assert at_fittings(outside_in) == at_fittings(inside_out)
    at_once = joined_all(ensemble(), splits, orders=orders(), now=NOW).ensemble
    assert at_fittings(at_once) == at_fittings(inside_out)
    for found in (inside_out, outside_in, at_once):
        fittings = Fittings(found, orders(), NOW)
        assert fittings.as_given() == set(fittings.bodies)


@pytest.mark.parametrize("number", [0, 1, 2, 3, 5])
@pytest.mark.parametrize("name", sorted(ENSEMBLES))
def test_the_outermost_keep_the_fittings(name: str, number: int) -> None:
    """However few fittings there are: of body steps of one garment that follow one another none
    share a fitting, the mock-up is before the cloth, and only inner ones are done at home."""
    fittings = tuple(occasion(f"fitting-{n}", FITTING, 5 * n) for n in range(1, number + 1))
    start = ensemble(occasions=(*fittings, TRIAL_WEAR, BALL))
    for kind in (*ENSEMBLES[name], WHOLE):
        start = join(start, CHANGED[kind], orders=orders(), now=NOW).ensemble
    work = Fittings(start, orders(), NOW)
    place = {o.id: n for n, o in enumerate(fittings, 1)}
    places = {
        step: place.get(occasion or "", 0)
        for step, occasion in work.were.items()
        if work.bodies[step] is FITTING
    }
    behind = following(start)
    for step, mine in places.items():
        later = [places[other] for other in behind[step] & places.keys()]
        assert all(mine < other or mine == other == 0 for other in later), step
        if mine == 0 and number:
            assert sorted(later)[-1:] == [number], step
    assert held_in_order(start)
    planned(start)


def following(found: Ensemble) -> dict[str, set[str]]:
    """By step, within the ensemble, all that follow it however indirectly."""
    index = index_of([found])
    behind: dict[str, set[str]] = {full: set() for full in index.steps}
    for full in reversed(in_order(index)):
        garment = full.split("/")[1]
        for text in index.steps[full].after:
            for before in resolve(index, text, "e", garment).steps:
                behind[before] |= {full} | behind[full]
    return {
        full.removeprefix("e/"): {one.removeprefix("e/") for one in steps}
        for full, steps in behind.items()
    }


@pytest.mark.parametrize("kind", [k for k in KINDS if Source.MAKE in orders()[k].sources])
def test_mock_up_before_cloth(kind: str) -> None:
    """Whatever mock-ups are chosen, those of a garment are fitted at earlier fittings than its
    cloth, or at home."""
    order = orders()[kind]
    choices = {o.id for c in order.choices if c.id == "mock-up" for o in c.options} or {""}
    place = {None: 0, "first-fitting": 1, "second-fitting": 2}
    for option in choices:
        answers = understood(order, {"source": "make", **({"mock-up": option} if option else {})})
        found = join(ensemble(), split(order, answers), orders=orders(), now=NOW).ensemble
        at = {s.id: place[s.during] for s in found.garments[0].steps if s.during != "trial"}
        fitted = {s.id: s.technique for s in found.garments[0].steps}
        mock_ups = [at[s] for s, t in fitted.items() if t == "fitting-mock-up"]
        cloth = [at[s] for s, t in fitted.items() if t == "fitting-garment" and s in at]
        assert not mock_ups or not cloth or max(mock_ups) < min(cloth)


def test_a_skirt_and_bodice_over_stays() -> None:
    """Two fittings are for skirt and bodice, whatever their mock-ups follow: the stays' mock-up is
    tried on at home on a Saturday, with a helper, and the plan fits."""
    evening = (Span(start=19 * 60, end=22 * 60),)
    day = (Span(start=9 * 60, end=18 * 60),)
    workroom = Workroom(
        workroom_hours=((evening,) * 5 + (day,) * 2), helper_hours=((),) * 5 + (day, ())
    )
    first, second = (occasion(i, FITTING, n) for i, n in (("first", 19), ("second", 47)))
    trial, ball = (replace(one, at=one.at + timedelta(days=40)) for one in (TRIAL_WEAR, BALL))
    answers = {"fitted-bodice": {"mock-up": "two"}, "gored-skirt": {"mock-up": "one"}}
    kinds = ("petticoat", "gored-skirt", "fitted-bodice", "stays")
    for named in permutations(kinds):
        found = ensemble(occasions=(first, second, trial, ball))
        for kind in named:
            order = orders()[kind]
            one = split(order, understood(order, answers.get(kind, {})))
            found = join(found, one, orders=orders(), now=NOW).ensemble
        at = at_fittings(found)
        assert at["gored-skirt/fit-mock-up"] == "first"
        assert at["gored-skirt/level"] == "second"
        assert at["fitted-bodice/fit-second"] == "first"
        assert at["fitted-bodice/fit"] == "second"
        assert at["stays/fit"] == "second"
        assert at["fitted-bodice/fit-mock-up"] is None
        assert at["stays/fit-mock-up"] is None
    plenty = tuple(replace(s, have=replace(s.have, value=1000.0)) for s in found.stock)
    project = Project(workroom=workroom, ensembles=(replace(found, stock=plenty),))
    assert plan_project(project, NOW).fits
    alone = replace(project, workroom=replace(workroom, helper_hours=((),) * 7))
    unplaced = {one.step: one.reason for one in plan_project(alone, NOW).unplaced}
    assert unplaced["e/stays/fit-mock-up"] == "there are no helper hours for its two hands"


def test_two_wearers() -> None:
    """Of two wearers' garments in one ensemble each is fitted over its own wearer's."""
    start = ensemble()
    for wearer, name in (("Ana", "bustle day dress"), ("Jon", "ballroom tailcoat")):
        for kind in ENSEMBLES[name]:
            start = join(start, DEFAULTS[kind], orders=orders(), now=NOW, wearer=wearer).ensemble
    of = {g.id: g.wearer for g in start.garments}
    crossing = [
        (g.id, text)
        for g in start.garments
        for s in g.steps
        for text in s.after
        if ":" in text and of[text.split(":")[0]] != g.wearer
    ]
    assert crossing == []
    planned(start)


@pytest.mark.parametrize("source", [s for s in Source if s is not Source.MAKE])
def test_not_made(source: Source) -> None:
    """The bustle day dress with everything from elsewhere that can be: still no circle."""
    start, steps = ensemble(), []
    for kind in [*ENSEMBLES["bustle day dress"], WHOLE]:
        order: Order = orders()[kind]
        answers = usual(order, source if source in order.sources else None)
        steps.append(join(start, split(order, answers), orders=orders(), now=NOW))
        start = steps[-1].ensemble
    check(start, steps)
    planned(start)
