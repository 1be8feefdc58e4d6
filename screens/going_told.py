"""How it is going, in sentences: slower or quicker than planned, short or over at this pace."""

from __future__ import annotations

from collections.abc import Sequence

from planner.going import By, Going
from planner.model import OccasionKind
from planner.pace import pace_table
from planner.plan import Plan
from planner.so_far import LEAST_STEPS, SoFar
from screens.aftercare_told import undated
from screens.wording import cells, count, on_date, spoken, the_occasion, wrapped

ON_THE_PLAN = 0.05
"""Less than this share of difference is none worth telling."""
FRACTIONS = (
    (0.06, "a little"), (0.1, "a tenth"), (1 / 6, "a sixth"), (0.2, "a fifth"),
    (0.25, "a quarter"), (1 / 3, "a third"), (0.5, "half"), (2 / 3, "two thirds"),
    (0.75, "three quarters"),
)  # fmt: skip
"""Shares as they are said; the nearest is taken."""
MOST_NAME = 24
"""Columns of an occasion's name beyond which its kind is told, where that says which."""
MUCH_SLOWER, MUCH_QUICKER = 1.4, 0.6
"""Beyond these one says how much longer it took, or in which part of the time."""
TWICE = 1.9
"""From so many times on it isn't told as a fraction."""


def sentences(plan: Plan, going: Going) -> list[str]:
    """All there is to say, the most needed first; the first stands alone."""
    if going.occasion is None:
        return _nothing_ahead(plan)
    goal = the_occasion(plan, going.occasion)
    if not going.left:
        return [f"All the work that {goal} wants is done.", *_rests_on(going.so_far)]
    done = going.so_far
    if done is None and not going.logged and going.before:
        were = f"{count(going.before, 'step')} {'was' if going.before == 1 else 'were'}"
        hand = f"{_capital(in_hand(plan, going))}."
        before = f"{_capital(were)} done before the diary began."
        return [hand, before, *_against_hours(plan, going)]
    if done is None and not going.logged:
        told = f"Nothing is logged yet: {in_hand(plan, going)}."
        return [told, *_against_hours(plan, going)]
    if done is None or not done.enough:
        told = f"{_capital(in_hand(plan, going))}."
        return [told, _too_little(done), *_kept_up(plan, going), *_against_hours(plan, going)]
    if plan.pace.choices.learn and plan.pace.maker is not None:
        told = f"What was finished took {took(done.ratio)}; {_with_the_pace(plan, going)}."
        return [told, *_rests_on(done), *_kept_up(plan, going), *_against_hours(plan, going)]
    return [
        f"{_capital(against_the_plan(done.ratio))}; {at_this_pace(plan, going)}.",
        *_and_later(plan, going),
        *_rests_on(done),
        *_kept_up(plan, going),
        *_against_hours(plan, going),
    ]


def _nothing_ahead(plan: Plan) -> list[str]:
    """That there is nothing to be ready for, and what to do next."""
    worn = [one for one in plan.occasions if one.past and one.kind is OccasionKind.EVENT]
    if not worn:
        return ["Nothing lies ahead to be ready for: add an occasion to the ensemble."]
    over = _capital(the_occasion(plan, worn[-1].id))
    if later := undated(plan):
        return [f"{over} is over.", f"{later}."]
    told = f"{over} is over: air, clean and mend what was worn (^p: after wearing)."
    return [told, "Then add the next occasion, and this begins anew."]


def in_few(plan: Plan, going: Going, width: int) -> list[str]:
    """As many of the sentences as a line of this width holds; the first whole in any case, made
    shorter or going on beneath where it must."""
    first, *others = sentences(plan, going)
    told = first if cells(first) <= width else first.replace(" so far;", ";")
    if cells(told) > width:
        return wrapped([first], width)
    for sentence in others:
        if cells(told) + 1 + cells(sentence) > width:
            break
        told = f"{told} {sentence}"
    return [told]


def against_the_plan(ratio: float) -> str:
    """ "a fifth slower than the plan so far"."""
    if abs(ratio - 1) < ON_THE_PLAN:
        return "as quick as planned so far"
    if ratio >= TWICE:
        return f"{_times(ratio)} as long as planned so far"
    share = _fraction(abs(ratio - 1))
    if ratio > MUCH_SLOWER:
        how = "as long again as planned" if share == "half" else "longer than planned"
        return f"{share} {how} so far"
    if ratio < MUCH_QUICKER:
        share = _fraction(ratio)
        return f"in {share}{'' if share == 'half' else ' of'} the time planned so far"
    return f"{share} {'slower' if ratio > 1 else 'quicker'} than the plan so far"


def took(ratio: float) -> str:
    """ "half as long again as planned", of what is finished."""
    if abs(ratio - 1) < ON_THE_PLAN:
        return "as long as planned"
    if ratio >= TWICE:
        return f"{_times(ratio)} as long as planned"
    if ratio < MUCH_QUICKER:
        share = _fraction(ratio)
        return f"{share}{'' if share == 'half' else ' of'} the time planned"
    share = _fraction(abs(ratio - 1))
    if ratio > 1:
        return f"{share} {'as long again as' if share == 'half' else 'longer than'} planned"
    return f"{share} less than planned"


def _with_the_pace(plan: Plan, going: Going) -> str:
    """What there is in hand by a plan whose estimates follow the pace; no other figure beside."""
    ratio = pace_table(plan.pace)[0].ratio
    pace = f" of {ratio:.2f}" if f"{ratio:.2f}" != "1.00" else ""
    told = in_hand(plan, going)
    verb = "it is" if going.short else "there is" if told.startswith("nothing") else "there are"
    return f"with your pace{pace} already in the plan {verb} {told}"


def _fraction(share: float) -> str:
    """The share that is nearest among those that are said."""
    return min(FRACTIONS, key=lambda one: abs(one[0] - share))[1]


def _times(ratio: float) -> str:
    """ "twice", "three times", "more than three times"."""
    if ratio < 2.75:
        return "twice" if ratio < 2.25 else "two and a half times"
    return "three times" if ratio < 3.25 else "more than three times"


def at_this_pace(plan: Plan, going: Going) -> str:
    """ "at this pace 3 h short by the fitting", "at this pace still 4 h in hand"."""
    known = [one for one in going.by if one.at_pace is not None]
    short = _short_ones(going)
    if short:
        return f"at this pace {_short(plan, short[0])} short by {_named(plan, short[0])}"
    over = known[-1].at_pace if known else 0
    return f"at this pace still {about(over)} in hand" if over else "at this pace nothing in hand"


def _short_ones(going: Going) -> list[By]:
    return [one for one in going.by if one.at_pace is not None and one.at_pace < 0]


def _and_later(plan: Plan, going: Going) -> list[str]:
    """That it is shorter still by the last occasion."""
    short = _short_ones(going)
    if len(short) < 2 or (short[-1].at_pace or 0) >= (short[0].at_pace or 0):
        return []
    return [f"By {_named(plan, short[-1])} it would be {_short(plan, short[-1])}."]


def _short(plan: Plan, by: By) -> str:
    """By how much it is short; where the plan says the same, in its words."""
    minutes = -(by.at_pace or 0)
    by_plan = {one.id: one.short for one in plan.occasions}
    return spoken(minutes) if minutes == by_plan[by.occasion] else about(minutes)


def _named(plan: Plan, by: By) -> str:
    """An occasion in few words: by its kind where that says which, else by its name."""
    coming = [one for one in plan.occasions if not one.past]
    this = next(one for one in coming if one.id == by.occasion)
    same = [one for one in coming if one.kind is this.kind]
    if this.kind in (OccasionKind.FITTING, OccasionKind.TRIAL_WEAR) and same[0] is this:
        return f"the {'next ' if len(same) > 1 else ''}{this.kind.value}"
    named = the_occasion(plan, by.occasion)
    return named if len(same) > 1 or cells(named) <= MOST_NAME else f"the {this.kind.value}"


def in_hand(plan: Plan, going: Going) -> str:
    """ "9 h in hand until the regatta"; "3 h short by the fitting" where the plan says so."""
    short = going.short
    if short is not None:
        return f"{spoken(short.in_hand)} short by {_named(plan, short)}"
    goal = the_occasion(plan, going.occasion)
    minutes = going.ahead[0].minutes
    hand = f"{about(minutes)} in hand until" if minutes > 0 else "nothing in hand for"
    return f"{hand} {goal}"


def _against_hours(plan: Plan, going: Going) -> list[str]:
    """What there is in hand of what; not beside a shortfall, which only a part of it may have."""
    if any(one.in_hand < 0 for one in going.by):
        return []
    now = going.ahead[0]
    goal = the_occasion(plan, going.occasion)
    return [f"There are {about(now.hours)} for {about(now.left)} of work until {goal}."]


def _too_little(done: SoFar | None) -> str:
    """That too little is known of the pace, and what would tell it."""
    known = count(done.steps, "finished step") if done is not None else "no step finished"
    wanted = f"{LEAST_STEPS} or more finished with their minutes will tell how quick you are"
    return f"{known[:1].upper()}{known[1:]} with its time yet: {wanted}."


def _rests_on(done: SoFar | None) -> list[str]:
    """What the pace rests on."""
    if done is None or not done.enough:
        return []
    steps = count(done.steps, "finished step")
    return [f"That rests on {steps}: {spoken(done.logged)} for {spoken(done.planned)} planned."]


def _kept_up(plan: Plan, going: Going) -> list[str]:
    """Of what was planned on the days behind, how much was done."""
    kept = going.kept_up
    if kept is None:
        return []
    today = plan.now.date()
    since = on_date(kept.since, today)
    days = since if kept.days == 1 else f"since {since.removeprefix('on ')}"
    done = "all was done" if kept.done >= kept.planned else f"{spoken(kept.done)} was done"
    if kept.done == 0:
        done = "nothing was done"
    return [f"Of {spoken(kept.planned)} planned {days}, {done}."]


def about(minutes: int) -> str:
    """A duration that isn't known to the minute: to 5 minutes, from an hour on to quarters, from
    six hours on to halves, from 12 on to whole hours."""
    size = abs(minutes)
    grain = next(grain for most, grain in _GRAINS if size < most)
    return spoken(grain * round(size / grain))


_GRAINS: Sequence[tuple[float, int]] = ((60, 5), (360, 15), (720, 30), (float("inf"), 60))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
