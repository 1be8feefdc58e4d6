"""`wearby now`: what can be done this minute, and what goes into tonight's bag."""

from __future__ import annotations

from typing import Any

from planner.bag import Bag, pack
from planner.candidates import Candidate
from planner.doable import (
    MOST_MINUTES,
    Answer,
    Choices,
    Doable,
    Kept,
    asked_now,
    doable,
    usual_choices,
)
from planner.durations import parse_duration
from planner.model import Place
from planner.plan import Plan
from screens import bag_told, doable_told
from screens.answers import Question, fits_status
from screens.arguments import wrong
from screens.plain.lines import WIDTH, common, named, names_column, said, verdict
from screens.why import cautions
from screens.wording import cells, garment_of, name_of, wrapped

PLACES = {
    "workroom": Place.WORKROOM,
    "sofa": Place.SOFA,
    "take-along": Place.TAKE_ALONG,
}
"""The places as typed; the files' own words."""
MOST_NEARLY = 5
"""So many nearly doable steps are printed."""


def status(question: Question) -> int:
    """Whether all fits; raises InputError for choices that can't be understood."""
    _typed(question)
    return fits_status(question.plan.fits)


def _typed(question: Question) -> tuple[int | None, Place | None]:
    """Minutes and place as typed; raises InputError."""
    given = question.given
    minutes = None if given.minutes is None else _minutes(given.minutes)
    if given.place is not None and given.place not in PLACES:
        text = f"“{given.place}” is no place: write workroom, sofa or take-along."
        raise wrong("--place", text)
    return minutes, None if given.place is None else PLACES[given.place]


def _minutes(text: str) -> int:
    """Minutes as typed: 20, 45m, 1h30."""
    try:
        minutes = int(text) if text.strip().isdigit() else parse_duration(text)
    except ValueError:
        raise wrong("--minutes", f"“{text}” is no time: write minutes as 20, or 1h30.") from None
    if not 1 <= minutes <= MOST_MINUTES:
        raise wrong("--minutes", f"“{text}” must be from 1 minute to 24h.")
    return minutes


def _asked(question: Question) -> tuple[tuple[Candidate, ...], Answer, Bag]:
    """Everything that is answered."""
    plan = question.plan
    ground, found = asked_now(question.project, plan)
    usual = usual_choices(ground)
    minutes, place = _typed(question)
    choices = Choices(
        # typed words for another place are not for the hours that are on
        minutes=minutes or (usual.minutes if place in (None, usual.place) else Choices().minutes),
        place=place or usual.place,
        tired=question.given.tired,
        helper=usual.helper or question.given.helper,
    )
    return found, doable(found, choices, plan.now), pack(ground, plan, found)


def as_json(question: Question) -> dict[str, Any]:
    """Choices, what can be done, what can't, and the bag."""
    from planner.exports.now_as_json import answer_as_json, bag_as_json

    found, answer, bag = _asked(question)
    return {
        **common(question.plan),
        **answer_as_json(answer, found),
        "bag": bag_as_json(bag),
    }


def lines(question: Question) -> list[str]:
    """The verdict, what can be done with how long and why, what can't and why, the bag."""
    plan = question.plan
    found, answer, bag = _asked(question)
    by_id = {one.id: one for one in found}
    chosen = doable_told.chosen(answer.choices)
    lines = [*verdict(plan), "", f"{chosen[:1].upper()}{chosen[1:]}:"]
    names = names_column(name_of(plan, one.step) for one in answer.doable)
    warned: set[str] = set()
    for one in answer.doable:
        lines += _row(plan, one, by_id[one.step], names, warned)
    lines += wrapped(doable_told.nothing(plan, answer), WIDTH)
    for sentence in (
        doable_told.left_out(plan, answer),
        doable_told.besides(plan, answer),
        doable_told.not_yet(plan, answer),
    ):
        lines += said([sentence] if sentence else [])
    if answer.nearly and answer.doable:
        lines += ["", "Nearly possible:"]
        for kept in answer.nearly[:MOST_NEARLY]:
            lines += _nearly(plan, kept)
    return [*lines, "", *_bag(plan, bag)]


def _letters(plan: Plan) -> dict[str, str]:
    return {step.id: step.work.letter for step in plan.steps}


def _row(
    plan: Plan, one: Doable, candidate: Candidate, names: int, warned: set[str]
) -> list[str]:
    """A doable step: minutes, letter, name, garment, why; its caution beneath, said once."""
    why = doable_told.why(plan, candidate.use, one)[0]
    head = f"  {doable_told.how_long(one):<12}  {_letters(plan)[one.step]}  "
    told = "; ".join(part for part in (garment_of(plan, one.step), why) if part)
    found = named(head, name_of(plan, one.step), told, names)
    step = next(step for step in plan.steps if step.id == one.step)
    for caution in cautions(step):
        if caution in warned:
            continue
        warned.add(caution)
        found += [" " * cells(head) + line for line in wrapped([caution], WIDTH - cells(head))]
    return found


def _nearly(plan: Plan, kept: Kept) -> list[str]:
    """A step that is nearly doable, and what keeps it."""
    head = f"  {_letters(plan)[kept.step]}  "
    told = f"{garment_of(plan, kept.step)}; {doable_told.kept_told(plan, kept)}"
    return named(head, name_of(plan, kept.step), told, 0)


def _bag(plan: Plan, bag: Bag) -> list[str]:
    """The bag: its hours, its rows, what is to be said of it."""
    rows = bag_told.rows(plan, bag)
    heading = bag_told.heading(plan, bag)
    found = wrapped([heading if bag.day is None else f"{heading}."], WIDTH)
    names = names_column(row.name for row in rows)
    for row in rows:
        head = f"  {row.what:<5}  {row.long:<12}  {row.letter}  "
        told = "; ".join(part for part in (row.garment, row.known) if part)
        found += named(head, row.name, told, names)
    return found + wrapped(bag_told.sentences(plan, bag), WIDTH)
