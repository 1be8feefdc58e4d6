"""From the ground to minutes in windows: what is late, what can't be placed, the schedule."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from planner.assembly import assemble
from planner.ground import Ground
from planner.holding_on import held_in
from planner.kept import inputs_of
from planner.lateness import Demands, demands_of, dues, settle, with_dues
from planner.model import OccasionKind, Work
from planner.network import wearable_steps
from planner.schedule.effort import WHOLE, Effort
from planner.schedule.holding import Held
from planner.schedule.laying import Wishes
from planner.schedule.plan_steps import NoRoom, Scheduled, schedule
from planner.schedule.problem import Problem
from planner.schedule.spans import heads, tails

#: least minutes of a sitting by kind of work, unless the rest of the step is less
LEAST_SITTING = {
    Work.HAND: 10,
    Work.PRESSING: 10,
    Work.MACHINE: 20,
    Work.CUTTING: 30,
    Work.DRAFTING: 30,
    Work.BENCH: 30,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """Which step is wanted by when, and the schedule of those that can be placed."""

    names: tuple[str, ...]
    """Ids of the problem's steps."""
    scheduled: Scheduled
    due: Mapping[str, tuple[int, int, str | None]]
    late_for: Mapping[str, tuple[str, ...]]
    """By step, the occasions it can't be there for, past ones included."""
    unplaced: Mapping[str, str]
    """By step, why."""
    begins: Mapping[str, int]
    """Clock moment at which each planned step could begin, minutes ignored."""
    proven: bool
    """Whether lateness and what is unplaced are shown by a bound."""


def decide(ground: Ground, effort: Effort = WHOLE) -> Decision:
    """Settle lateness by spans, then by hours no load stretches, and lay the rest.

    Raises Stopped where ``effort`` says so.
    """
    demands = demands_of(ground.occasions, ground.wanted, ground.planned)
    why: dict[str, str] = {}
    everything = assemble(ground.windows, ground.jobs, frozenset(ground.planned))

    def assembled(kept: frozenset[str]) -> Problem:
        if len(kept) == len(ground.planned):
            return everything
        return assemble(ground.windows, ground.jobs, kept)

    settle(demands, ground.occasions, ground.waits, ground.planned, assembled)
    for step in ground.planned:
        if step in demands.unplaced:
            why[step] = _without_span(ground, step)
    proven, gave_way = True, list[str]()
    while True:
        names, due, problem, found = _schedule(ground, demands, effort)
        if isinstance(found, Scheduled):
            best = found
            break
        proven = proven and found.proven
        gave_way += _give_way(ground, demands, due, problem, names, found, why)
    for name in reversed(gave_way):
        # with what gave way after it, there may be room for it again
        demands.unplaced.discard(name)
        demands.wants[name] = {_last_wanting(ground, demands, name)}
        again = _schedule(ground, demands, effort)
        if isinstance(again[3], Scheduled):
            names, due, _, best = again[0], again[1], again[2], again[3]
            del why[name]
            demands.late_for[name].remove(demands.order[max(demands.wants[name])])
        else:
            demands.unplaced.add(name)
            demands.wants[name] = set()
    return Decision(
        names=names,
        scheduled=best,
        due=due,
        late_for=_late_for(ground, demands),
        unplaced=why,
        begins=dict(zip(ground.planned, heads(everything)[2], strict=True)),
        proven=proven,
    )


_Dues = dict[str, tuple[int, int, str | None]]


def _schedule(
    ground: Ground, demands: Demands, effort: Effort
) -> tuple[tuple[str, ...], _Dues, Problem, Scheduled | NoRoom]:
    """The schedule of all that is not unplaced, with the demands as they are."""
    names = tuple(n for n in ground.planned if n not in demands.unplaced)
    due = dues(demands, ground.occasions, ground.waits)
    problem = with_dues(
        assemble(ground.windows, ground.jobs, frozenset(names)), [due[n][:2] for n in names]
    )
    found = schedule(
        problem,
        _fixed(ground, names),
        wishes(ground, names),
        _fill_to(ground),
        effort,
        _held(ground, names),
    )
    return names, due, problem, found


def _held(ground: Ground, names: Sequence[str]) -> Held | None:
    """The plan that was kept, where there is one."""
    kept = ground.project.kept
    if not kept.hours:
        return None
    unchanged = bool(kept.inputs) and kept.inputs == inputs_of(ground.project)
    return held_in(kept, ground.windows, names, unchanged=unchanged)


def _last_wanting(ground: Ground, demands: Demands, step: str) -> int:
    """The last occasion that wants a step."""
    return max(k for k, o in enumerate(demands.order) if step in ground.wanted[o])


def _give_way(
    ground: Ground,
    demands: Demands,
    due: Mapping[str, tuple[int, int, str | None]],
    problem: Problem,
    names: Sequence[str],
    found: NoRoom,
    why: dict[str, str],
) -> list[str]:
    """Of steps that compete for too few hours, the one furthest along is late.

    Returns it where no occasion is left for it.
    """
    giving = at = max(found.steps)
    _, tail_from, _ = tails(problem, heads(problem)[0])
    follower = tail_from[at]
    while follower is not None:
        at, follower = follower, tail_from[follower]
    name, occasion = names[giving], due[names[at]][2]
    if occasion is None or max(demands.wants[name]) <= demands.order.index(occasion):
        for k in sorted(demands.wants[name]):
            demands.late_for.setdefault(name, []).append(demands.order[k])
        demands.wants[name] = set()
        demands.unplaced.add(name)
    else:
        missed = demands.order.index(occasion)
        for k in _with_followers(problem, giving):
            if missed in demands.wants[names[k]]:
                demands.late(names[k], occasion)
    if name not in demands.unplaced:
        return []
    why[name] = (
        "helper hours don't suffice for the two-hand work"
        if ground.op(name).hands > 1
        else "the hours it can be done in are fewer than its work, and can't be stretched"
    )
    return [name]


def _with_followers(problem: Problem, j: int) -> list[int]:
    """A step and all that follows it."""
    found = {j}
    for k in range(j, problem.steps):
        if any(e.other in found for e in problem.before[k]):
            found.add(k)
    return sorted(found)


def _without_span(ground: Ground, step: str) -> str:
    """Why a step has no hours at all."""
    op = ground.op(step)
    if op.hands > 1 and not any(w.helper for w in ground.windows):
        return "there are no helper hours for its two hands"
    holding = [r for r in ground.releases[step] if r.moment > ground.now]
    if holding:
        last = max(holding, key=lambda r: r.moment)
        cause = {"not_before": "its own day", "on": "its own day"}.get(last.cause, last.cause)
        return f"it can't begin before {last.moment:%Y-%m-%d %H:%M} ({cause})"
    return "there are no hours for it between what it follows and what it is wanted for"


def _fill_to(ground: Ground) -> Fraction:
    return Fraction(ground.project.workroom.fill_to).limit_denominator(10_000)


def _fixed(ground: Ground, names: Sequence[str]) -> list[tuple[int, int]]:
    """(step of the problem, day) for the days the maker fixed, in order of the files."""
    number = {n: j for j, n in enumerate(names)}
    found = []
    for name in ground.network.nodes:
        day = ground.op(name).step.on
        if day is not None and name in number:
            found.append((number[name], day.toordinal()))
    return found


def _late_for(ground: Ground, demands: Demands) -> dict[str, tuple[str, ...]]:
    """Lateness with what past occasions, and those whose ready-by is past, still lack."""
    found: dict[str, list[str]] = {}
    worn: dict[str, datetime] = {}
    for o in ground.occasions.values():
        if o.past and o.occasion.kind is OccasionKind.EVENT:
            worn[o.ensemble] = max(o.at, worn.get(o.ensemble, o.at))
    for o in ground.occasions.values():
        if o.past and o.at <= worn.get(o.ensemble, datetime.min):
            continue  # with the event all that led to it is over: the next wearing has its own
        begun_late = not o.past and o.ready_by <= ground.now < o.at
        for s in ground.wanted[o.id]:
            missing = s in demands.wants and (o.past or begun_late)
            if missing or o.id in demands.late_for.get(s, ()):
                found.setdefault(s, []).append(o.id)
    return {s: tuple(names) for s, names in found.items()}


def wishes(ground: Ground, names: Sequence[str]) -> Wishes:
    """What makes a plan nicer: extras and hand finishing late, risky work early."""
    needed = _needed_to_wear(ground)
    position = {n: k for k, n in enumerate(names)}
    scarce = {row.id for row in ground.stock if not row.stock.again}

    def rank(name: str) -> tuple[bool, bool, bool, int]:
        op = ground.op(name)
        uncertain = op.minutes.high - op.minutes.low > 2 * op.minutes.typical
        early = bool(op.wait) or uncertain or any(s in scarce for s, _ in op.uses)
        return (name in needed, early, op.work is not Work.HAND, -position[name])

    ranked = {n: k for k, n in enumerate(sorted(names, key=rank))}
    return Wishes(
        rank=tuple(ranked[n] for n in names),
        least=tuple(LEAST_SITTING.get(ground.op(n).work, 1) for n in names),
        hand=tuple(ground.op(n).work is Work.HAND for n in names),
        hand_limit=ground.project.workroom.hand_sewing_limit,
    )


def _needed_to_wear(ground: Ground) -> frozenset[str]:
    """Steps without which some ensemble isn't wearable."""
    found: set[str] = set()
    todo = [s for e in ground.project.ensembles for s in wearable_steps(ground.network, e.id)]
    while todo:
        name = todo.pop()
        if name not in found:
            found.add(name)
            todo += ground.network.nodes[name].after
    return frozenset(found)
