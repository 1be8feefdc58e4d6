"""What the plan remarks on days and steps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime

from planner.chains import after_wait
from planner.deciding import Decision
from planner.ground import Ground
from planner.model import Work
from planner.plan import Note, NoteKind, PlannedWindow
from planner.stock import StockLine
from planner.timeline import from_clock, to_clock

#: a day fuller than this is tight
TIGHT = 0.85


def amount_in_words(value: float, row: StockLine, units: str) -> str:
    """ "0.6 m", "24 in" or "3", as the workroom shows lengths."""
    dimension = row.stock.have.dimension or max(
        (c.amount.dimension for c in row.stock.coming), default=0
    )
    if dimension == 0:
        return f"{value:.4g}"
    inch = 0.0254
    if dimension == 2:
        return f"{value / inch / inch:.3g} in2" if units == "imperial" else f"{value:.3g} m2"
    return f"{value / inch:.3g} in" if units == "imperial" else f"{value:.3g} m"


def comes_first(ground: Ground, name: str) -> str | None:
    """The fitting or correction that should come before what can't be undone.

    The nearest one among what the step follows: a step at a fitting, or one of correcting.
    """
    todo, seen = list(ground.network.nodes[name].after), {name}
    for p in todo:
        if p in seen:
            continue
        seen.add(p)
        node = ground.network.nodes[p]
        corrects = node.op.technique == "transfer-corrections"
        if corrects or node.op.work is Work.FITTING:
            return p
        todo += node.after
    return None


def stock_notes(ground: Ground) -> dict[str, list[Note]]:
    """By step, what stock isn't there, runs out, or can't be bought again."""
    found: dict[str, list[Note]] = {}
    units = ground.project.workroom.units
    for row in ground.stock:
        for user in row.users:
            mine = found.setdefault(user.step, [])
            if user.lacking > 0:
                words = amount_in_words(user.lacking, row, units)
                mine.append(
                    Note(
                        kind=NoteKind.STOCK_RUNS_OUT, step=user.step, subject=row.id, text=words
                    )
                )
            elif user.until is not None and user.until > ground.now:
                mine.append(
                    Note(
                        kind=NoteKind.STOCK_NOT_THERE,
                        step=user.step,
                        subject=row.id,
                        until=user.until,
                    )
                )
            if not row.stock.again:
                mine.append(
                    Note(
                        kind=NoteKind.CANNOT_BE_BOUGHT_AGAIN, step=user.step, subject=row.id
                    )
                )
    return found


def step_notes(
    ground: Ground,
    decision: Decision,
    ended: Mapping[str, datetime],
    nothing: frozenset[str],
    kept: frozenset[str],
) -> dict[str, list[Note]]:
    """By step, all notes.

    ``ended``: the planned end; ``nothing``: with nothing to spare; ``kept``: on its fixed day.
    """
    found: dict[str, list[Note]] = {n: [] for n in ground.network.nodes}
    number = {n: j for j, n in enumerate(decision.names)}
    of_stock = stock_notes(ground)
    for name, mine in found.items():
        stand = ground.stand[name]
        if stand.done:
            continue
        for occasion in decision.late_for.get(name, ()):
            mine.append(Note(kind=NoteKind.LATE, step=name, subject=occasion))
        if name in decision.unplaced:
            mine.append(Note(kind=NoteKind.UNPLACED, step=name, text=decision.unplaced[name]))
        if name in nothing:
            mine.append(Note(kind=NoteKind.NOTHING_TO_SPARE, step=name))
        j = number.get(name)
        if j is not None and j in decision.scheduled.too_long:
            mine.append(Note(kind=NoteKind.TOO_LONG_FOR_ONE_SITTING, step=name))
        if name in ground.waits and ground.op(name).step.on is not None and name not in kept:
            mine.append(Note(kind=NoteKind.FIXED_DAY_NOT_KEPT, step=name))
        mine += of_stock.get(name, ())
        mine += _of_operation(ground, name, ended)
    return found


def _of_operation(ground: Ground, name: str, ended: Mapping[str, datetime]) -> list[Note]:
    """Notes that follow from what the step is."""
    op, stand = ground.op(name), ground.stand[name]
    planned = name in ground.waits
    found: list[Note] = []
    if not planned and stand.at_occasion is None:
        return [Note(kind=NoteKind.NOT_WANTED, step=name)]
    if op.hands > 1 and planned and not any(w.helper for w in ground.windows):
        found.append(Note(kind=NoteKind.TWO_HANDS_WITHOUT_HELPER, step=name))
    if op.no_way_back:
        found.append(
            Note(kind=NoteKind.NO_WAY_BACK, step=name, subject=comes_first(ground, name))
        )
    if op.wait and name in ended and ground.network.followers[name]:
        until = from_clock(after_wait(to_clock(ended[name]), op.wait))
        found.append(Note(kind=NoteKind.WAITS_TILL, step=name, until=until))
    if op.caution:
        found.append(Note(kind=NoteKind.CAUTION, step=name, text=op.caution))
    return found


def day_notes(
    day: date, windows: Sequence[PlannedWindow], hand: int, limit: int | None
) -> tuple[Note, ...]:
    """Notes on a day itself: over, tight, too much hand sewing."""
    found: list[Note] = []
    over = sum(max(0, w.planned - w.minutes) for w in windows if w.day == day)
    peak = max((w.load for w in windows if w.day == day), default=0.0)
    if over:
        found.append(Note(kind=NoteKind.OVER, minutes=over))
    elif peak > TIGHT:
        found.append(Note(kind=NoteKind.TIGHT))
    if limit is not None and hand > limit:
        found.append(Note(kind=NoteKind.TOO_MUCH_HAND_SEWING, minutes=hand - limit))
    return tuple(found)
