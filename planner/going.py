"""How it is going: the hours in hand from the first day to the occasion, and the pace so far.

Everything is for one occasion, the next event (else the next occasion there is), and counts the
work of every ensemble that is wanted by then.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from planner.done_before import steps_before
from planner.ground import Ground, all_operations, lay_ground
from planner.in_hand import InHand, Work
from planner.model import Kept, OccasionKind, Project
from planner.plan import Plan, PlannedOccasion
from planner.so_far import KeptUp, SoFar, kept_up, so_far

LEAST_DIFFERENCE = 0.03
"""A pace nearer to the plan's isn't told apart from it."""
LEAST_BESIDE_LEARNT = 0.1
"""The same of a plan whose estimates follow the pace: they do so by degrees."""


@dataclass(frozen=True, slots=True, kw_only=True)
class By:
    """Hours in hand for one coming occasion."""

    occasion: str
    """Full id."""
    in_hand: int
    """By the plan: hours that serve less the work wanted by then; negative where it is short."""
    at_pace: int | None
    """The same with what is left taking as long as the work so far; None where too little is
    known of that."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Going:
    """How it is going."""

    now: datetime
    occasion: str | None
    """Full id of the occasion it is told for; None where nothing lies ahead."""
    by: tuple[By, ...]
    """Every coming occasion up to that one that still wants work, in order of time."""
    behind: tuple[InHand, ...]
    """From the first day to now, a day at a time; only now where nothing was begun."""
    ahead: tuple[InHand, ...]
    """From now to the moment all must be ready, by the plan."""
    at_pace: tuple[InHand, ...]
    """The same moments at the pace so far; empty where too little is known of it, or the plan's
    estimates say the same."""
    so_far: SoFar | None
    """None where no step was finished with its time."""
    kept_up: KeptUp | None
    """None where no plan of a day behind is known."""
    left: int
    """Minutes of work left."""
    logged: bool = False
    """Whether anything stands in the diary."""
    before: int = 0
    """Steps that were done before the diary began."""

    @property
    def first(self) -> date | None:
        """The first day; None where nothing was begun."""
        return self.behind[0].at.date() if len(self.behind) > 1 else None

    @property
    def short(self) -> By | None:
        """The first occasion before which hours are short by the plan."""
        return next((one for one in self.by if one.in_hand < 0), None)

    @property
    def closes(self) -> date | None:
        """The day on which there is no hour in hand any more, before all must be ready."""
        return _closes(self.ahead)

    @property
    def closes_at_pace(self) -> date | None:
        """The same at the pace so far."""
        return _closes(self.at_pace)


def how_it_goes(
    project: Project, plan: Plan, now: datetime, behind: Sequence[Kept] | None = None
) -> Going:
    """How it goes, for the next event. ``behind``: the plans kept on days behind, where known."""
    goal = _goal(plan)
    if goal is None:
        return Going(
            now=now, occasion=None, by=(), behind=(), ahead=(), at_pace=(), so_far=None,
            kept_up=None, left=0,
        )  # fmt: skip
    ground = lay_ground(project, plan.now)
    work = Work(ground, plan, goal.id)
    steps = frozenset(work.steps)
    kept = [k for k in behind or () if k.as_of is not None and _plans(k, steps)]
    told = _so_far(project, ground, work, kept)
    ratio = _ratio(project, plan, told)
    first = _first(work, kept, now.date())
    by = _by(ground, plan, goal, ratio)
    return Going(
        now=now,
        occasion=goal.id,
        by=by,
        behind=_as_told(work.behind(first), kept, plan, goal, any(one.in_hand < 0 for one in by)),
        ahead=work.ahead(),
        at_pace=() if ratio is None or ratio == 1.0 else work.ahead_at(ratio),
        so_far=told,
        kept_up=kept_up(kept, steps, work.entries, now),
        left=round(sum(work.left().values())),
        logged=bool(project.diary.entries),
        before=steps_before(project),
    )


def _ratio(project: Project, plan: Plan, told: SoFar | None) -> float | None:
    """What the work left takes of its estimates; None where too little is known of it.

    It is against today's estimates: where these follow the pace already, it isn't counted twice.
    """
    if told is None or not told.enough:
        return None
    if plan.pace.choices.learn and plan.pace.maker is not None:
        return 1.0
    least = LEAST_BESIDE_LEARNT if project.workroom.pace.learn else LEAST_DIFFERENCE
    return 1.0 if abs(told.ahead - 1) < least else told.ahead


def _as_told(
    moments: Sequence[InHand],
    kept: Sequence[Kept],
    plan: Plan,
    goal: PlannedOccasion,
    short_now: bool,
) -> tuple[InHand, ...]:
    """The moments behind as the plans of then told them: on a day whose plan was short nothing was
    in hand, whatever today's estimates make of it. So it is on the days between two such plans, or
    from the last one on where it is short still."""
    before = [one.id for one in plan.occasions if one.at <= goal.at]
    made = sorted(((k.as_of, k) for k in kept if k.as_of is not None), key=lambda one: one[0])
    short: dict[date, int] = {}
    for as_of, one in made:
        short.setdefault(as_of.date(), max((one.short.get(o, 0) for o in before), default=0))
    short[moments[-1].at.date()] = short_now
    days = list(short)
    found = []
    for moment in moments[:-1]:
        day = moment.at.date()
        last = max((one for one in days if one <= day), default=None)
        by = short[last] if last is not None else 0
        if last != day and not short[min(one for one in days if one > day)]:
            by = 0
        found.append(_closed(moment, by) if by else moment)
    return (*found, moments[-1])


def _closed(moment: InHand, short: int) -> InHand:
    """A moment at which so many minutes were short."""
    left = max(moment.left, short)
    return replace(moment, hours=left - short, left=left)


def _closes(moments: Sequence[InHand]) -> date | None:
    return next((one.at.date() for one in moments if one.minutes < 0), None)


def _goal(plan: Plan) -> PlannedOccasion | None:
    """The next event, else the next occasion of any kind."""
    ahead = [one for one in plan.occasions if not one.past]
    events = [one for one in ahead if one.kind is OccasionKind.EVENT]
    return next(iter(events or ahead), None)


def _plans(kept: Kept, steps: frozenset[str]) -> bool:
    """Whether a kept plan is about any of the steps."""
    return any(step in steps for hours in kept.hours for step, _ in hours.planned)


def _first(work: Work, kept: Sequence[Kept], today: date) -> date:
    """The day of the first entry or of the first plan; today where there is neither."""
    days = [one.at.date() for step in work.steps for one in work.entries.get(step, ())]
    days += [k.as_of.date() for k in kept if k.as_of is not None]
    return min([*days, today])


def _so_far(project: Project, ground: Ground, work: Work, kept: Sequence[Kept]) -> SoFar | None:
    """How quick the work was against the plan: without what was learnt since."""
    today = {step: int(ground.op(step).minutes.typical) for step in work.steps}
    room = project.workroom
    planned = today
    if room.pace.learn:
        unlearnt = replace(project, workroom=replace(room, pace=replace(room.pace, learn=False)))
        ops = all_operations(unlearnt)
        planned = {step: int(ops[step].minutes.typical) for step in work.steps}
    return so_far(work.entries, planned, today, kept)


def _by(
    ground: Ground, plan: Plan, goal: PlannedOccasion, ratio: float | None
) -> tuple[By, ...]:
    """Every coming occasion up to the goal that wants work."""
    found: list[By] = []
    for occasion in plan.occasions:
        if occasion.past or occasion.at > goal.at:
            continue
        work = Work(ground, plan, occasion.id)
        if work.now().left:
            # one shortfall: where the plan tells one, that is it, and not another beside it
            in_hand = -occasion.short if occasion.short else work.now().minutes
            at_pace = None if ratio is None else _at_pace(work, ratio, in_hand)
            found.append(By(occasion=occasion.id, in_hand=in_hand, at_pace=at_pace))
    return tuple(found)


def _at_pace(work: Work, ratio: float, in_hand: int) -> int:
    """What there is in hand at a pace; where the plan tells a shortfall, that and what comes on
    top of it."""
    now = work.now()
    if in_hand != now.minutes:
        return round(in_hand - (ratio - 1) * now.left)
    return work.now(ratio).minutes
