"""What another pace has made of what is left, in words: which kind of work, and by how much."""

from __future__ import annotations

from planner.model import Work
from planner.pace import Pace
from planner.plan import Plan, PlannedStep
from screens.pace_told import WORKS, against_the_catalogue, compared
from screens.wording import spoken


def pace_moved(before: Plan, after: Plan) -> tuple[str, int]:
    """A sentence, and by how many minutes another pace makes what is left longer or shorter.

    "your pace at hand sewing is now a fifth slower than the catalogue: 1 h 31 more to do". Named
    is the kind of work of which it changes most. Empty, and 0, where all that is left is at the
    pace it was at before.
    """
    if before.pace is after.pace:
        return "", 0
    was = {step.id: step for step in before.steps}
    by_work: dict[Work, int] = {}
    for step in after.steps:
        old = was.get(step.id)
        if old is not None and (more := _by_pace(before.pace, after.pace, old, step)):
            by_work[step.work] = by_work.get(step.work, 0) + more
    more = sum(by_work.values())
    if not by_work:
        return "", 0
    work = max(by_work, key=lambda one: abs(by_work[one]))
    return f"{_whose(before, after, work, len(by_work) > 1)}: {_more(more)}", more


def _by_pace(before: Pace, after: Pace, old: PlannedStep, step: PlannedStep) -> int:
    """By how much a step that is left takes longer for its pace alone."""
    if step.done or old.done or not step.wanted or not old.wanted or step.technique is None:
        return 0
    if old.by_catalogue != step.by_catalogue or old.technique != step.technique:
        return 0
    same = before.ratio(old.work, old.technique) == after.ratio(step.work, step.technique)
    more, of_left = step.minutes - old.minutes, step.left - old.left
    if same or not of_left:
        # what the maker said is left of it stays, whatever the pace
        return 0
    return of_left if of_left * more > 0 and abs(of_left) < abs(more) else more


def _whose(before: Plan, after: Plan, work: Work, others: bool) -> str:
    """ "your pace at hand sewing is now a fifth slower than the catalogue"."""
    then, now = _over_all(before, after, work)
    told = f"now {against_the_catalogue(now)}"
    if compared(then) not in (compared(now), compared(1.0)):
        told += f", till now {compared(then)}"
    if others:
        return f"your pace is another, most at {WORKS[work]} ({told})"
    return f"your pace at {WORKS[work]} is {told}"


def _over_all(before: Plan, after: Plan, work: Work) -> tuple[float, float]:
    """The paces of what is left of a kind of work, before and now, by its hours."""
    was = {step.id: step for step in before.steps}
    those = [
        (was[step.id], step)
        for step in after.steps
        if step.id in was and step.work is work and not step.done and step.wanted
        and step.technique is not None and step.by_catalogue == was[step.id].by_catalogue
    ]  # fmt: skip
    whole = sum(step.by_catalogue for _, step in those) or 1
    then = sum(old.minutes for old, _ in those) / whole
    return then, sum(step.minutes for _, step in those) / whole


def _more(minutes: int) -> str:
    """ "1 h 31 more to do"; of a pace that makes some longer and some shorter, as much."""
    if not minutes:
        return "as much to do"
    return f"{spoken(minutes)} {'more' if minutes > 0 else 'less'} to do"
