"""The maker's own pace in words, without a screen: a sentence, a table, what each line rests on."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from planner.catalogue import techniques_with
from planner.model import Technique, Work
from planner.pace import ALL, Level, Pace, PaceRow, far_off, pace_table
from planner.pace_heard import ENOUGH_MINUTES, ENOUGH_STEPS, enough
from planner.pace_observed import Observed
from planner.plan import Plan, PlannedStep
from screens.wording import clean, column, count, listed, short_date, spoken, step_with_garment

WORKS: Mapping[Work, str] = {
    Work.DRAFTING: "drafting",
    Work.CUTTING: "cutting",
    Work.MACHINE: "machine sewing",
    Work.HAND: "hand sewing",
    Work.PRESSING: "pressing",
    Work.FITTING: "fitting",
    Work.BENCH: "bench work",
    Work.CHECKS: "checks",
}
"""Kinds of work as they are said in a sentence."""
ALL_WORK = "all work"
SHARES = (
    (0.05, "a little"), (0.1, "a tenth"), (0.15, "a seventh"), (0.2, "a fifth"),
    (0.25, "a quarter"), (0.3, "nearly a third"), (0.35, "a third"), (0.4, "two fifths"),
    (0.45, "nearly half"), (0.5, "half"), (0.6, "three fifths"), (0.67, "two thirds"),
    (0.75, "three quarters"),
)  # fmt: skip
"""Shares as they are said; the nearest is taken."""
AS_LONG = 0.025
"""Less than this is no difference."""
TOLD = 3
"""So many steps at most are told of those that are far from the others."""
ENOUGH = 2
"""So many kinds of work make it worth saying which is quickest and which slowest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PaceLine:
    """A line of the table, with all its texts."""

    key: str
    """What is set or forgotten by hand: "all", a kind of work, a technique's id."""
    depth: int
    """0 for all work, 1 for a kind of work, 2 for a technique beneath it."""
    name: str
    ratio: str
    """ "1.20": times the catalogue's minutes."""
    words: str
    """ "a fifth slower"."""
    between: str
    """ "1.05 to 1.35", the 80 % range; "by hand", "as machine" where a pace set by hand counts."""
    steps: str
    """ "14 steps"; empty where it rests on none."""
    by_hand: bool
    """Whether it is set by hand itself, and can be forgotten."""
    learnt: str
    """What the diary says where another pace counts: "the diary says 1.15, by 4 steps"."""
    sentence: str
    """All of it as a sentence."""
    row: PaceRow


def pace_rows(
    pace: Pace, own: Sequence[Technique] = (), also: Collection[tuple[Work, str]] = ()
) -> tuple[PaceLine, ...]:
    """Every line of the table: all work, every kind of work and its techniques beneath.

    ``own``: the maker's own techniques, for their names. ``also``: techniques that are told
    though no step says anything of them.
    """
    known = techniques_with(own)
    rows = pace_table(pace, kinds=True, also=also)
    return tuple(_line(row, known) for row in rows if _is_known(row, known))


def techniques_of(plan: Plan) -> frozenset[tuple[Work, str]]:
    """The techniques of all that is planned, each with the kind of work it is done as."""
    return frozenset(
        (step.work, step.technique) for step in plan.steps if step.technique is not None
    )


def _is_known(row: PaceRow, known: Mapping[str, Technique]) -> bool:
    """Whether it is of anything there is: a pace set of nothing is warned about, and not used."""
    return row.level is not Level.TECHNIQUE or row.key in known or bool(row.rests)


def _line(row: PaceRow, known: Mapping[str, Technique]) -> PaceLine:
    name = _name(row, known)
    steps = count(row.entries, "step") if row.entries else ""
    learnt = ""
    if row.set_by is not None and row.learnt is not None and row.entries:
        learnt = f"the diary says {row.learnt:.2f}, by {steps}"
    return PaceLine(
        key=row.key,
        depth=(Level.ALL, Level.KIND, Level.TECHNIQUE).index(row.level),
        name=name,
        ratio=f"{row.ratio:.2f}",
        words=compared(row.ratio),
        between=_between(row),
        steps=steps,
        by_hand=row.by_hand,
        learnt=learnt,
        sentence=_sentence(row, name, steps, learnt),
        row=row,
    )


def _name(row: PaceRow, known: Mapping[str, Technique]) -> str:
    if row.level is Level.ALL:
        return ALL_WORK
    if row.level is Level.KIND and row.work is not None:
        return WORKS[row.work]
    return clean(known[row.key].name if row.key in known else row.key)


def _between(row: PaceRow) -> str:
    if row.by_hand:
        return "by hand"
    if row.set_by is not None:
        return "as all work" if row.set_by == ALL else f"as {row.set_by}"
    if row.low == row.high:
        return ""
    return f"{row.low:.2f} to {row.high:.2f}"


def _sentence(row: PaceRow, name: str, steps: str, learnt: str) -> str:
    """ "Hand sewing: a fifth slower than the catalogue (1.20), by 14 steps; ..."."""
    head = f"{name[:1].upper()}{name[1:]}: {against_the_catalogue(row.ratio)} ({row.ratio:.2f})"
    if row.by_hand:
        return f"{head}, set by hand{f'; {learnt}' if learnt else ''}."
    if row.set_by is not None:
        above = ALL_WORK if row.set_by == ALL else WORKS[Work(row.set_by)]
        return f"{head}, set by hand for {above}{f'; {learnt}' if learnt else ''}."
    if not steps:
        return f"{head}: no step says anything of it yet; it follows what stands above it."
    told = f"{head}, by {steps}"
    if row.low == row.high:
        return f"{told}, which {'changes' if row.entries == 1 else 'change'} nothing so far."
    return f"{told}; four times in five the true pace lies from {row.low:.2f} to {row.high:.2f}."


# ratios


def compared(ratio: float) -> str:
    """ "a fifth slower", "half as long again", "twice as long", "as the catalogue"."""
    if abs(ratio - 1) < AS_LONG:
        return "as the catalogue"
    if ratio >= 1.9:
        return f"{_times(ratio)} as long"
    if 0.475 <= ratio - 1 < 0.55:
        return "half as long again"
    if ratio <= 0.53:
        return "twice as quick" if ratio > 0.43 else "more than twice as quick"
    return f"{_share(abs(ratio - 1))} {'slower' if ratio > 1 else 'quicker'}"


def against_the_catalogue(ratio: float) -> str:
    """The same, and what it compares with: "a fifth slower than the catalogue"."""
    if abs(ratio - 1) < AS_LONG:
        return compared(ratio)
    return f"{compared(ratio)} {'as the catalogue says' if ratio >= 1.9 else 'than the catalogue'}"


def longer(ratio: float) -> str:
    """What one takes: "a fifth longer", "a tenth less", "twice as long"."""
    if abs(ratio - 1) < AS_LONG:
        return "as long"
    if ratio >= 1.9:
        return f"{_times(ratio)} as long"
    return f"{_share(abs(ratio - 1))} {'longer' if ratio > 1 else 'less'}"


def _share(share: float) -> str:
    return min(SHARES, key=lambda one: abs(one[0] - share))[1]


def _times(ratio: float) -> str:
    if ratio < 2.75:
        return "twice" if ratio < 2.25 else "two and a half times"
    return "three times" if ratio < 3.5 else f"{round(ratio)} times"


# sentences


def sentences(pace: Pace) -> list[str]:
    """What there is to say on top of the table."""
    if not pace.choices.learn:
        rest = " and what you set by hand" if pace.choices.by_hand else ""
        return [f"Learning is off: estimates are the catalogue's{rest}, whatever the diary says."]
    found = [_first(pace), *_far(pace)]
    if pace.choices.by_hand:
        number = len(pace.choices.by_hand)
        one = "One pace is set by hand, and counts instead of what is learnt."
        more = f"{number} paces are set by hand, and count instead of what is learnt."
        found.append(one if number == 1 else more)
    return found


def too_little(pace: Pace) -> bool:
    """Whether steps were timed, and are too few to go by."""
    return bool(pace.steps) and enough(pace.steps) is None


def _too_little(pace: Pace) -> str:
    """ "3 of 5 steps so far: too little yet to go by; estimates stay the catalogue's till then"."""
    number, minutes = len(pace.steps), sum(step.estimate for step in pace.steps)
    if number < ENOUGH_STEPS:
        told = f"{number} of {ENOUGH_STEPS} steps so far"
    else:
        told = f"{spoken(minutes)} of {spoken(ENOUGH_MINUTES)} timed so far, in {number} steps"
    return f"{told}: too little yet to learn a pace from; till then estimates stay the catalogue's."


def nothing_learnt(pace: Pace) -> bool:
    """Whether the diary hasn't taught anything yet, and could."""
    return pace.choices.learn and not pace.steps


def _first(pace: Pace) -> str:
    """All work, and the quickest and slowest kind of it; of what was learnt."""
    if not pace.steps:
        return "Nothing is learnt yet: no step is logged as done with all its minutes."
    steps = count(len(pace.steps), "step")
    if too_little(pace):
        return _too_little(pace)
    if pace.maker is None:
        return f"{steps} timed, as long as estimated: estimates stay the catalogue's."
    rows = pace_table(pace)
    whole = rows[0].learnt or 1.0
    head = f"By {steps} you are {against_the_catalogue(whole)}"
    if whole >= 1.9:
        head = f"By {steps} you take {against_the_catalogue(whole)}"
    if abs(whole - 1) < AS_LONG:
        head = f"By {steps} you are as quick as the catalogue"
    return f"{head}{_extremes(rows)}."


def _extremes(rows: Sequence[PaceRow]) -> str:
    """ "; quickest at pressing (a tenth quicker), slowest at hand sewing (a fifth slower)"."""
    kinds = [one for one in rows if one.level is Level.KIND and one.work and one.entries]
    quick = min(kinds, key=lambda one: one.learnt or 1, default=None)
    slow = max(kinds, key=lambda one: one.learnt or 1, default=None)
    if len(kinds) < ENOUGH or quick is None or slow is None or quick.learnt == slow.learnt:
        return ""
    told = [
        f"{word} at {WORKS[one.work]} ({compared(one.learnt or 1)})"
        for word, one, is_so in (
            ("quickest", quick, (quick.learnt or 1) < 1),
            ("slowest", slow, (slow.learnt or 1) > 1),
        )
        if one.work is not None and is_so
    ]
    return f"; {', '.join(told)}"


def _far(pace: Pace) -> list[str]:
    """Steps that hardly count."""
    far = far_off(pace)
    if not far:
        return []
    number = len(far)
    named = [
        f"{one.step.split('/', 1)[1]} ({column(one.took)}, catalogue {column(one.estimate)})"
        for one in far[:TOLD]
    ]
    more = f" and {number - TOLD} more" if number > TOLD else ""
    verb = "is" if number == 1 else "are"
    told = listed(named) if not more else f"{', '.join(named)}{more}"
    counts = "counts" if number == 1 else "count"
    return [f"{count(number, 'step')} {verb} far from the others and {counts} less: {told}."]


def rests_told(plan: Plan, steps: Sequence[Observed]) -> list[str]:
    """The steps a line rests on, the newest first: "Sat  8 May  1:45 (catalogue 1:20)  hem
    (Bodice)"."""
    newest = sorted(steps, key=lambda one: one.at, reverse=True)
    return [
        f"{short_date(one.at.date())}  {column(one.took):>5} (catalogue {column(one.estimate)})  "
        + _step_name(plan, one.step)
        for one in newest
    ]


def _step_name(plan: Plan, step: str) -> str:
    return step_with_garment(plan, step) if step in plan.names else clean(step)


def estimate_sentence(plan: Plan, step: PlannedStep) -> str:
    """What a step's estimate rests on, where it isn't the catalogue's; else nothing.

    "1 h 20 by the catalogue; you take a fifth longer at hand sewing (14 steps): 1 h 36."
    """
    if step.minutes == step.by_catalogue or not step.by_catalogue:
        return ""
    pace = plan.pace
    set_by = pace.set_by(step.work, step.technique)
    ratio = pace.factor(step.work, step.technique)[0]
    head, result = spoken(step.by_catalogue), spoken(step.minutes)
    if set_by is not None:
        what = _said_of(set_by, step)
        return f"{head} by the catalogue; at the pace you set for {what}: {result}."
    kind = [one for one in pace.steps if one.work is step.work]
    own = [one for one in kind if one.technique == step.technique]
    what = "this technique" if own else WORKS[step.work] if kind else ALL_WORK
    steps = count(len(own or kind or pace.steps), "step")
    return f"{head} by the catalogue; you take {longer(ratio)} at {what} ({steps}): {result}."


def _said_of(key: str, step: PlannedStep) -> str:
    if key == ALL:
        return ALL_WORK
    return WORKS[step.work] if key == step.work.value else "this technique"
