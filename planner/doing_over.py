"""What is opened again where a step must be done over: itself, and by choice what builds on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.plan import Plan, PlannedStep


@dataclass(frozen=True, slots=True, kw_only=True)
class DoOver:
    """Steps that are done and could be opened again, each by its full id."""

    about: tuple[str, ...]
    """What failed: the step, or what was done at a fitting."""
    follows: tuple[str, ...]
    """Done already and after it, in order of work."""
    leads: tuple[str, ...]
    """Done of the same garments, and what failed was done right after it."""
    whole: Mapping[str, int]
    """By full id of all these, the minutes of the whole estimate."""

    @property
    def steps(self) -> tuple[str, ...]:
        """All of them, what failed first."""
        return (*self.about, *self.follows, *self.leads)


def may_have_failed(plan: Plan, ident: str) -> tuple[str, ...]:
    """What can be done over of a step or of a past occasion, by its full id: the step, where it is
    done, or the steps that were done at it."""
    about = [ident]
    for occasion in plan.occasions:
        if occasion.id == ident:
            about = [one.id for one in plan.steps if one.during == ident] if occasion.past else []
    done = {one.id for one in plan.steps if one.done}
    return tuple(one for one in about if one in done)


def what_to_do_over(plan: Plan, about: Sequence[str]) -> DoOver | None:
    """What doing these steps over could open again; None where none of them is done."""
    steps = {one.id: one for one in plan.steps}
    failed = tuple(one for one in about if one in steps and steps[one].done)
    if not failed:
        return None
    follows = tuple(one for one in _after(steps, failed) if steps[one].done)
    leads = tuple(
        dict.fromkeys(
            before
            for one in failed
            for before in steps[one].after
            if before in steps
            and steps[before].done
            and before not in failed
            and _garment(before) == _garment(one)
        )
    )
    every = (*failed, *follows, *leads)
    whole = {one: steps[one].minutes for one in every}
    return DoOver(about=failed, follows=follows, leads=leads, whole=whole)


def _after(steps: Mapping[str, PlannedStep], begin: Sequence[str]) -> list[str]:
    """All that follows, directly or by others, what comes first first."""
    followers: dict[str, list[str]] = {}
    for one in steps.values():
        for before in one.after:
            followers.setdefault(before, []).append(one.id)
    found: dict[str, int] = {}
    reach = [(one, 0) for one in begin]
    while reach:
        here, depth = reach.pop()
        at = steps[here].during
        for after in (*followers.get(here, ()), *(followers.get(at, ()) if at else ())):
            if after not in begin and found.get(after, -1) < depth + 1:
                found[after] = depth + 1
                reach.append((after, depth + 1))
    place = {ident: k for k, ident in enumerate(steps)}
    return sorted(found, key=lambda one: (found[one], place[one]))


def _garment(step: str) -> str:
    return step.rpartition("/")[0]
