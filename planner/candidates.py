"""Every step that is still to do as somebody with a little time sees it: what keeps it now."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from math import ceil

from planner.aftercare import due_after_wearing
from planner.estimate import Operation
from planner.ground import Ground
from planner.model import Place, Wait, Work
from planner.notes import amount_in_words, comes_first
from planner.plan import Plan
from planner.standing import after_wait
from planner.usefulness import Use, uses


class Keeps(StrEnum):
    """What keeps a step from being done."""

    AFTER = "after"
    """Steps that come first; ``names`` holds them in working order, ``minutes`` all theirs;
    ``until`` is when the last of what keeps these is over."""
    WAIT = "wait"
    """The wait after a step that is done; ``names`` holds it."""
    OCCASION = "occasion"
    """An occasion that comes first."""
    NOT_BEFORE = "not before"
    """The maker's own word."""
    COMING = "coming"
    """Stock that has not come yet; ``text`` is how much."""
    LACKING = "lacking"
    """Stock that there isn't, and that isn't coming."""
    PLACE = "place"
    """It needs another place."""
    HANDS = "hands"
    """It needs a second pair of hands; ``until`` is when there next is one."""
    MINUTES = "minutes"
    """It wants one sitting; ``minutes`` says how long."""
    CUTTING = "cutting"
    """Not for the tired: cutting."""
    NO_WAY_BACK = "no way back"
    """Not for the tired: it can't be undone."""
    SETS = "sets"
    """Not for the tired: glue, paint and the like, which set as they are."""


NO_WAIT = Wait()
TIRING = (Keeps.CUTTING, Keeps.NO_WAY_BACK, Keeps.SETS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hindrance:
    """One thing that keeps a step."""

    keeps: Keeps
    names: tuple[str, ...] = ()
    until: datetime | None = None
    minutes: int | None = None
    wait: Wait = NO_WAIT
    """after: the longest wait that must pass then."""
    stock_missing: bool = False
    """after: one of them lacks stock that isn't coming."""
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """Stock a step uses."""

    stock: str
    """Full id."""
    amount: float
    """Metres, square metres or pieces."""
    text: str
    """As words: "0.6 m"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """An open step that some coming occasion wants and that isn't done at one, or that is to be
    done before a next wearing without a date."""

    id: str
    place: Place
    """The least place it needs."""
    hands: int
    one_sitting: bool
    left: int
    """Minutes left."""
    tiring: Keeps | None
    """Why it is not for the tired."""
    held: tuple[Hindrance, ...]
    """What keeps it now, wherever one is."""
    uses: tuple[Taken, ...]
    use: Use
    helper: datetime | None
    """When a second pair of hands is next there."""
    first: str | None
    """Of a step with no way back that waits for nothing else, the fitting or correction before it
    that is still to do."""


def candidates(ground: Ground, plan: Plan) -> tuple[Candidate, ...]:
    """Every candidate, in order of work. ``plan`` is of this ground."""
    names = (*ground.planned, *_before_the_next_wearing(ground, plan))
    useful = uses(ground, plan, names)
    ancestors = open_before(ground)
    stock = {row.id: row for row in ground.stock}
    served = _served(ground)
    helper = next((w.start for w in ground.windows if w.helper), None)
    units = ground.project.workroom.units
    found = []
    for name in names:
        op = ground.op(name)
        found.append(
            Candidate(
                id=name,
                place=_place(ground, name),
                hands=op.hands,
                one_sitting=op.one_sitting,
                left=max(1, ground.stand[name].left),
                tiring=tiring(op),
                held=(
                    *_order(ground, name, ancestors[name], served),
                    *_moments(ground, name),
                    *served.get(name, ()),
                ),
                uses=tuple(
                    Taken(
                        stock=stock_id,
                        amount=amount.value,
                        text=_to_hand(amount_in_words(amount.value, stock[stock_id], units)),
                    )
                    for stock_id, amount in op.uses
                ),
                use=useful[name],
                helper=helper,
                first=_first(ground, name, ancestors),
            )
        )
    return tuple(found)


def _before_the_next_wearing(ground: Ground, plan: Plan) -> Iterable[str]:
    """What is open after an event that is over: it is work, though nothing wants it yet."""
    due = {step for one in due_after_wearing(plan) for step in one.steps}
    return (name for name in ground.network.order if name in due)


def _to_hand(amount: str) -> str:
    """An amount as one takes it: of pieces whole ones."""
    return amount if " " in amount else str(ceil(float(amount)))


def tiring(op: Operation) -> Keeps | None:
    """Why a step is not for the tired, if it isn't."""
    # foam, bones and thermoplastic are cut at the bench, with the bench's tools
    if op.work is Work.CUTTING or (op.technique or "").startswith("cut-"):
        return Keeps.CUTTING
    if op.no_way_back:
        return Keeps.NO_WAY_BACK
    return Keeps.SETS if op.work is Work.BENCH and op.wait else None


def open_before(ground: Ground) -> dict[str, tuple[str, ...]]:
    """By step, the open steps it waits for, directly or not, in order of work."""
    at = {name: k for k, name in enumerate(ground.network.order)}
    sets: dict[str, frozenset[str]] = {}
    for name in ground.network.order:
        _gather(name, ground.waits_for, sets)
    return {name: tuple(sorted(found, key=at.__getitem__)) for name, found in sets.items()}


def _gather(
    start: str, waits_for: Mapping[str, Sequence[str]], known: dict[str, frozenset[str]]
) -> None:
    """All a step waits for, directly or not, from what is known of others."""
    found: set[str] = set()
    todo = list(waits_for[start])
    while todo:
        name = todo.pop()
        if name in found:
            continue
        found.add(name)
        if name in known:
            found |= known[name]
        else:
            todo += waits_for[name]
    known[start] = frozenset(found)


def _place(ground: Ground, name: str) -> Place:
    """The least place; what was to be done at an occasion that is past needs the workroom."""
    node = ground.network.nodes[name]
    if node.during is not None and ground.occasions[node.during].past:
        return Place.WORKROOM
    return node.op.place


def _first(ground: Ground, name: str, before: Mapping[str, Sequence[str]]) -> str | None:
    """The fitting or correction that alone is missing before there is no way back."""
    if not ground.op(name).no_way_back:
        return None
    first = comes_first(ground, name)
    if first is None or ground.stand[first].done:
        return None
    return first if {first, *before[first]}.issuperset(before[name]) else None


def _order(
    ground: Ground,
    name: str,
    before: tuple[str, ...],
    served: Mapping[str, Sequence[Hindrance]],
) -> Iterable[Hindrance]:
    """Open steps that come first."""
    if before:
        waits = [ground.op(one).wait for one in ground.waits_for[name]]
        kept = [by for one in before for by in (*_moments(ground, one), *served.get(one, ()))]
        yield Hindrance(
            keeps=Keeps.AFTER,
            names=before,
            minutes=sum(ground.stand[one].left for one in before),
            until=max((by.until for by in kept if by.until is not None), default=None),
            wait=max(waits, key=lambda wait: (wait.nights, wait.minutes)),
            stock_missing=any(by.keeps is Keeps.LACKING for by in kept),
        )


def _moments(ground: Ground, name: str) -> Iterable[Hindrance]:
    """Moments that have not come: waits, occasions, the maker's own word."""
    for release in ground.releases[name]:
        if release.moment <= ground.now:
            continue
        if release.cause == "not_before":
            yield Hindrance(keeps=Keeps.NOT_BEFORE, until=release.moment)
        elif release.cause in ground.occasions:
            yield Hindrance(
                keeps=Keeps.OCCASION, names=(release.cause,), until=release.moment
            )
        elif release.cause in ground.network.nodes:
            yield _of_step(ground, release.cause, release.moment)
        # what is left is stock that comes (see _served)


def _of_step(ground: Ground, cause: str, until: datetime) -> Hindrance:
    """A step that is done at a coming occasion, or whose wait is not over."""
    occasion = ground.stand[cause].at_occasion
    if occasion is not None:
        return Hindrance(keeps=Keeps.OCCASION, names=(occasion, cause), until=until)
    return Hindrance(keeps=Keeps.WAIT, names=(cause,), until=until)


def _served(ground: Ground) -> dict[str, list[Hindrance]]:
    """By step, the stock that is not there."""
    units = ground.project.workroom.units
    found: dict[str, list[Hindrance]] = {}
    for row in ground.stock:
        for user in row.users:
            mine = found.setdefault(user.step, [])
            if user.lacking > 0:
                words = amount_in_words(user.lacking, row, units)
                mine.append(Hindrance(keeps=Keeps.LACKING, names=(row.id,), text=words))
            elif user.until is not None and user.until > ground.now:
                words = amount_in_words(user.amount, row, units)
                mine.append(
                    Hindrance(
                        keeps=Keeps.COMING, names=(row.id,), until=user.until, text=words
                    )
                )
    return found


def planned_ends(plan: Plan) -> dict[str, tuple[datetime, date] | None]:
    """By step, when the plan ends it, and the day to which that belongs; None: beyond the hours."""
    ends: dict[str, tuple[datetime, date] | None] = {}
    for sitting in plan.sittings:
        over = sitting.end is None or sitting.over > 0
        if over or ends.get(sitting.step, ()) is None or sitting.end is None:
            ends[sitting.step] = None
        else:
            ends[sitting.step] = (sitting.end, sitting.date)
    return ends


def free_from(
    ground: Ground, ends: Mapping[str, tuple[datetime, date] | None], name: str
) -> datetime | None:
    """From when a step could be done if all before it goes by the plan; None: not by the plan.

    ``ends``: when the plan ends steps.
    """
    moments = [ground.now]
    for one in ground.waits_for[name]:
        planned = ends.get(one)
        if planned is None:
            return None
        moments.append(after_wait(*planned, ground.op(one).wait))
    moments += [release.moment for release in ground.releases[name]]
    return max(moments)
