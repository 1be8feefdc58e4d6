"""What would move in words: what comes of the verdict, what to do next, which steps go where."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from planner.glance import glance
from planner.kept import kept_of
from planner.model import Project
from planner.plan import Plan
from planner.replan import what_moves
from planner.replanning.values import Moved
from screens.glance_words import told as at_a_glance
from screens.moved_told import shift_told
from screens.moved_why import why_told
from screens.then import became_sentence, without_time
from screens.verdict import verdict_sentences
from screens.wording import (
    cells,
    garment_of,
    listed,
    name_of,
    named_date,
    share,
    spoken,
    step_with_garment,
    the_occasion,
    wrapped,
)

MOST_LINES = 2
"""So many lines the verdict may take, unless its first sentence takes more."""
MOST_NAMED = 2
"""So many steps are named of those with nothing to spare any more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What something would make of the plan."""

    before: Plan
    after: Plan
    moved: Moved
    only_loses: bool = False
    """Whether what happened can't have made anything better by itself."""


def effect_of(
    before: Project, plan: Plan, after: Project, becomes: Plan, *, only_loses: bool = False
) -> Effect:
    """What a change of a project, and so of its plan, comes to."""
    moved = what_moves(
        kept_of(plan), becomes, after, before_plan=plan, before_project=before
    )  # fmt: skip
    return Effect(before=plan, after=becomes, moved=moved, only_loses=only_loses)


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One thing to be known, behind its label (empty where it is that of the one before)."""

    label: str
    text: str


NO_TIME = "No time"
THEN, FULL, WEARABLE, SHORT, LATE = "Then", "Full", "Wearable", "Short", "Late"
ORDER, TO_SPARE, MOVES = "Order", "To spare", "Moves"


def told(effect: Effect, width: int = 10_000) -> list[Told]:
    """What matters most first: the verdict, what to do next, what is short, late, to be ordered,
    how full it gets, when it can be worn, what has nothing to spare any more."""
    after = effect.after
    found = [
        Told(label=THEN, text=_verdict(after, better_or_worse(effect), width)),
        _next(after, width),
        _moves(effect),
        *_no_time(effect),
        *_short(effect),
        *_late(effect),
        *_orders(effect),
        *_full(effect),
        *_wearable(effect),
        *_to_spare(effect),
    ]
    labels = ["", *(one.label for one in found)]
    return [
        replace(one, label="") if one.label == before else one
        for before, one in zip(labels, found, strict=False)
    ]


def _verdict(after: Plan, judged: str, width: int) -> str:
    """Whether that is better or worse, and the verdict: its first sentence whole, the others as
    far as there is room in two lines."""
    first, *others = verdict_sentences(after)
    text = f"{judged} {first}".strip()
    for one in others:
        # from when it can be worn has a line of its own
        if "earable from" not in one and len(wrapped([text, one], width)) <= MOST_LINES:
            text = f"{text} {one}"
    return text


def better_or_worse(effect: Effect, than: str = "now") -> str:
    """Whether more or less goes wrong than before, in a sentence, with what seems to say the
    contrary; empty where all is the same.

    What can't be worn counts most, then what has no time at all, is late, is short, how full it
    gets.
    """
    before, after = _wrongs(effect.before), _wrongs(effect.after)
    told = [
        (now - was, worse if now > was else better)
        for was, now, worse, better in zip(before, after, WORSE, BETTER, strict=True)
    ]
    counts = [(change, text) for change, text in told if change]
    if not counts:
        return ""
    first, reason = counts[0]
    against = next((text for change, text in counts[1:] if (change > 0) is not (first > 0)), "")
    if effect.only_loses and first < 0:
        return _spread_anew(effect.after, than, reason, against)
    head = f"{'Worse' if first > 0 else 'Better'} than {than}"
    return f"{head}: {reason}, though {against}." if against else f"{head}."


def _spread_anew(after: Plan, than: str, better: str, worse: str) -> str:
    """What is better though what happened can't have made it so: all is spread out anew."""
    if better == BETTER[-1]:
        full = share(after.peak_load or 0)
        return f"No worse than {than}; spread out anew, the fullest hours are {full} full."
    if worse:
        return f"Worse than {than}: {worse}, though spread out anew {better}."
    return f"No worse than {than}; spread out anew, {better}."


WORSE = (
    "less can be worn", "more has no time at all", "more is late", "more is short",
    "hours are fuller",
)  # fmt: skip
BETTER = (
    "more can be worn", "less has no time at all", "less is late", "less is short",
    "hours are less full",
)  # fmt: skip
"""What is worse, and what is better, in order of weight."""


def _wrongs(plan: Plan) -> tuple[int, ...]:
    """Ensembles that can't be worn, minutes without any time, steps late, minutes short, per cent
    of the fullest hours."""
    late = {(step, one.id) for one in plan.occasions for step in one.late}
    return (
        sum(day is None for day in plan.wearable_on.values()),
        sum(one.minutes for one in plan.unplaced),
        len(late),
        sum(one.short for one in plan.occasions),
        round(100 * (plan.peak_load or 0)),
    )


def _next(after: Plan, width: int) -> Told:
    """What to do tonight, or next."""
    one = at_a_glance(after, glance(after))[0]
    text = next((text for text in one.texts if cells(text) <= width), one.texts[-1])
    return Told(label=one.label, text=text)


def _moves(effect: Effect) -> Told:
    """How many steps go to other days, and how much of them."""
    moving = _moving(effect)
    if not effect.moved.steps:
        return Told(label=MOVES, text="nothing: every step stays on its day")
    if not moving:
        return Told(label=MOVES, text="nothing goes to another day")
    minutes = sum(
        shift.minutes
        for one in effect.moved.steps
        for shift in one.shifts
        if shift.from_day is not None and shift.to_day is not None
    )
    go = "1 step goes" if len(moving) == 1 else f"{len(moving)} steps go"
    return Told(label=MOVES, text=f"{go} to other days, {spoken(minutes)} of work")


def _no_time(effect: Effect) -> list[Told]:
    """What has no time at all, before and after: it is no part of what is short."""
    was, becomes = without_time(effect.before), without_time(effect.after)
    if was == becomes:
        return []
    if not becomes:
        return [Told(label=NO_TIME, text=f"for nothing any more to do without; was {spoken(was)}")]
    steps = _steps(effect.after, [one.step for one in effect.after.unplaced])
    beside = f", was {spoken(was)}" if was else ""
    return [Told(label=NO_TIME, text=f"at all for {spoken(becomes)}{beside}: {steps}")]


def _short(effect: Effect) -> list[Told]:
    """Occasions newly short, short by more, and no longer.

    Where it is less only because steps have no time at all, that is said with it.
    """
    more = without_time(effect.after) - without_time(effect.before)
    found = []
    for one in effect.moved.short:
        name = the_occasion(effect.after, one.occasion)
        if not one.before:
            text = f"newly {spoken(one.after)} before {name}"
        elif not one.after:
            text = f"no longer before {name}"
        else:
            text = f"{spoken(one.after)} before {name}, was {spoken(one.before)}"
        if one.after < one.before and more > 0:
            text = f"{text}: without the {spoken(more)} that have no time now"
        found.append(Told(label=SHORT, text=text))
    return found


def _late(effect: Effect) -> list[Told]:
    """Steps newly late or without any time, and those no longer late."""
    after, moved = effect.after, effect.moved
    by: dict[str, list[str]] = {}
    for step, occasion in moved.late:
        by.setdefault(occasion, []).append(step)
    found = [
        Told(label=LATE, text=f"for {the_occasion(after, occasion)}: {_steps(after, steps)}")
        for occasion, steps in by.items()
    ]
    if moved.in_time:
        steps = list(dict.fromkeys(step for step, _ in moved.in_time))
        found.append(Told(label=LATE, text=f"no longer: {_steps(after, steps)}"))
    return found


def _orders(effect: Effect) -> list[Told]:
    """Days by which something had to be ordered, and that are past by then."""
    today = effect.after.now.date()
    return [
        Told(
            label=ORDER,
            text=f"too late for {name_of(effect.after, one.stock)}: it had to be by"
            f" {named_date(one.order_by, today)}",
        )
        for one in effect.moved.orders_missed
    ]


def _full(effect: Effect) -> list[Told]:
    """How full the fullest hours are, before and after."""
    was, becomes = effect.before.peak_load, effect.after.peak_load
    if becomes is None:
        return []
    if was is None or share(was) == share(becomes):
        return [Told(label=FULL, text=f"{share(becomes)}, as before")] if was is not None else []
    return [Told(label=FULL, text=f"the fullest hours {share(becomes)}, not {share(was)}")]


def _wearable(effect: Effect) -> list[Told]:
    """From when on it can be worn, before and after; by name where there are several."""
    after, today = effect.after, effect.after.now.date()
    moved = {one.ensemble: one for one in effect.moved.wearable}
    found = []
    for ensemble, day in after.wearable_on.items():
        one = moved.get(ensemble)
        if one is None and (len(after.wearable_on) > 1 or day is None):
            continue
        text = "not by this plan" if day is None else f"from {named_date(day, today)}"
        if one is None:
            text += ", as before"
        elif one.before is not None:
            text += f", not {named_date(one.before, today)}"
        if len(after.wearable_on) > 1:
            text = f"{name_of(after, ensemble)} {text}"
        found.append(Told(label=WEARABLE, text=text))
    return found


def _to_spare(effect: Effect) -> list[Told]:
    """Steps with nothing to spare any more."""
    steps = effect.moved.nothing_to_spare
    if not steps:
        return []
    return [Told(label=TO_SPARE, text=f"nothing any more for {_steps(effect.after, steps)}")]


def _steps(plan: Plan, steps: Sequence[str]) -> str:
    """Steps by name, of many the first."""
    return listed([step_with_garment(plan, step) for step in steps], MOST_NAMED)


# which steps go where


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A step on other days, as a row."""

    step: str
    letter: str
    name: str
    """With its garment."""
    days: tuple[str, ...]
    """From which day to which, "Tue  4 May → Thu  6 May"; of what is in parts, each."""
    why: str


def moves(effect: Effect) -> list[Move]:
    """The steps that change day, in order of the day they leave."""
    after = effect.after
    letters = {step.id: step.work.letter for step in after.steps}
    return [
        Move(
            step=one.step,
            letter=letters[one.step],
            name=f"{name_of(after, one.step)} ({garment_of(after, one.step)})",
            days=tuple(shift_told(shift) for shift in one.shifts),
            why=why_told(after, one.why),
        )
        for one in effect.moved.steps
    ]


def accepted_sentence(label: str, effect: Effect) -> str:
    """What was accepted, and what has moved, in a sentence or two; as many steps as were told
    before it was accepted."""
    said = f"{label[:1].upper()}{label[1:]}."
    judged = better_or_worse(effect, "before").rstrip(".")
    judged = f"{judged[:1].lower()}{judged[1:]}"
    became = became_sentence(effect.before, effect.after, judged=judged, moved=_moving(effect))
    return f"{said} {became}"


def _moving(effect: Effect) -> dict[str, date]:
    """The steps that go to other days, each with the first of these; what had no time at all, or
    has none any more, isn't counted: so it is as many when that is taken back."""
    found = {}
    for one in effect.moved.steps:
        goes = [shift for shift in one.shifts if shift.from_day is not None]
        days = [shift.to_day for shift in goes if shift.to_day is not None]
        if days:
            found[one.step] = min(days)
    return found
