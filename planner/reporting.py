"""The plan as a value, from the ground and the decision."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from fractions import Fraction

from planner.begin_by import begin_by
from planner.deciding import Decision
from planner.ground import Ground
from planner.laid import Laid, days_of, lay_out
from planner.model import OccasionKind, Place, Warned
from planner.naming import called
from planner.network import Network, wearable_steps
from planner.notes import step_notes
from planner.occasion_report import planned_occasion
from planner.plan import Plan, Unplaced, Verdict
from planner.references import stage_steps
from planner.schedule.clock import Stretch
from planner.spot import tight_spot
from planner.step_report import planned_steps

#: with every workroom window at this or less, the plan isn't tight
NOT_TIGHT = Fraction(85, 100)


def report(
    ground: Ground, decision: Decision, thorough: bool = True, spare: bool = True
) -> Plan:
    """Everything the plan says. ``thorough``: make as many spare minutes exact as there are;
    without ``spare`` there are none, nor notes of them.
    """
    laid = lay_out(ground, decision, thorough, spare)
    fits, verdict = _verdict(decision, laid.stretches)
    notes = step_notes(
        ground,
        decision,
        laid.ended,
        frozenset(n for n, s in laid.spares.items() if s.exact and s.minutes == 0),
        _on_their_day(ground, laid),
    )
    workroom = [w for w in laid.windows if w.place is Place.WORKROOM]
    return Plan(
        now=ground.now,
        fits=fits,
        verdict=verdict,
        peak_load=float(decision.scheduled.load) if workroom else None,
        lower_bound=float(decision.scheduled.peak.bound) if workroom else None,
        begin_by=begin_by(decision, fits is True),
        wearable_on=_reached(ground, laid, wearable_steps),
        finished_on=_reached(ground, laid, _finished_steps),
        days=days_of(ground, laid),
        windows=laid.windows,
        sittings=laid.sittings,
        steps=planned_steps(ground, decision, laid, notes),
        occasions=tuple(
            planned_occasion(ground, decision, laid, o) for o in ground.occasions.values()
        ),
        tight_spot=tight_spot(ground, decision),
        unplaced=tuple(
            Unplaced(step=n, minutes=ground.stand[n].left, reason=why)
            for n, why in decision.unplaced.items()
        ),
        warnings=(*ground.warnings, *_not_wanted(ground)),
        names=_names(ground),
        hand_sewing_limit=ground.project.workroom.hand_sewing_limit,
        units=ground.project.workroom.units,
        pace=ground.pace,
        wearable_left={
            ensemble: sum(ground.stand[name].left for name in steps)
            for ensemble, steps in _still_open(ground, wearable_steps).items()
        },
    )


def _on_their_day(ground: Ground, laid: Laid) -> frozenset[str]:
    """Steps all of whose sittings are on the day the maker fixed."""
    days: dict[str, set[date]] = {}
    for s in laid.sittings:
        days.setdefault(s.step, set()).add(s.date)
    return frozenset(n for n, found in days.items() if found == {ground.op(n).step.on})


def _verdict(decision: Decision, stretches: Sequence[Stretch]) -> tuple[bool | None, Verdict]:
    """Whether it fits, and what a friend would say."""
    scheduled = decision.scheduled
    if decision.late_for or decision.unplaced:
        return False, Verdict.DOES_NOT_FIT
    if scheduled.load > 1 or any(s.over for s in stretches):
        return (False if scheduled.peak.bound > 1 else None), Verdict.DOES_NOT_FIT
    if scheduled.load <= NOT_TIGHT or scheduled.peak.theta <= NOT_TIGHT:
        return True, Verdict.FITS
    if scheduled.search.cut:
        return True, Verdict.TIGHT
    roomy = scheduled.peak.bound <= NOT_TIGHT and scheduled.search.attempt(NOT_TIGHT, 24)
    return True, Verdict.FITS if roomy else Verdict.TIGHT


def _finished_steps(network: Network, ensemble: str) -> tuple[str, ...]:
    """The steps with which every garment of an ensemble is finished."""
    return tuple(
        s
        for g in network.index.garments
        if g.startswith(f"{ensemble}/")
        for s in stage_steps(network.index, g, "finished")
    )


def _reached(
    ground: Ground, laid: Laid, goal: Callable[[Network, str], tuple[str, ...]]
) -> dict[str, date | None]:
    """By ensemble, the day on which all of ``goal`` and all it follows are done."""
    last: dict[str, date] = {}
    for s in laid.sittings:
        last[s.step] = max(s.date, last.get(s.step, s.date))
    found: dict[str, date | None] = {}
    for ensemble, steps in _still_open(ground, goal).items():
        days = [last.get(name) for name in steps]
        known = [day for day in days if day is not None]
        found[ensemble] = (
            max([ground.now.date(), *known]) if len(known) == len(days) else None
        )
    return found


def _still_open(
    ground: Ground, goal: Callable[[Network, str], tuple[str, ...]]
) -> dict[str, list[str]]:
    """By ensemble, the steps not done of ``goal`` and of all it follows."""
    found: dict[str, list[str]] = {}
    for ensemble in ground.project.ensembles:
        todo, seen = list(goal(ground.network, ensemble.id)), set[str]()
        mine = found.setdefault(ensemble.id, [])
        while todo:
            name = todo.pop()
            if name in seen:
                continue
            seen.add(name)
            if not ground.stand[name].done:
                mine.append(name)
                todo += ground.network.nodes[name].after
    return found


def _not_wanted(ground: Ground) -> tuple[Warned, ...]:
    """Steps that no coming occasion wants are not planned, and warned about: by name, several of
    a garment together, and all together where they come after an ensemble's last event, or
    nothing lies ahead of it."""
    alone: dict[str, list[str]] = {}
    coming = {o.ensemble for o in ground.occasions.values() if not o.past}
    after = _after_an_event(ground)
    together: dict[tuple[str, bool], int] = {}
    for name, node in ground.network.nodes.items():
        stand = ground.stand[name]
        if stand.done or stand.at_occasion is not None or name in ground.waits:
            continue
        ensemble = node.op.ensemble
        if name in after or ensemble not in coming:
            key = (ensemble, name in after)
            together[key] = together.get(key, 0) + 1
            continue
        alone.setdefault(name.rpartition("/")[0], []).append(name)
    found = [_of_a_garment(ground, steps) for steps in alone.values()]
    found += [
        Warned(file=ground.network.files[ensemble], place="", text=_together(steps, after_event))
        for (ensemble, after_event), steps in together.items()
    ]
    return tuple(found)


def _of_a_garment(ground: Ground, steps: list[str]) -> Warned:
    """That no coming occasion wants some steps of one garment: one by its place, more by name."""
    node = ground.network.nodes[steps[0]]
    file, garment = ground.network.files[node.op.ensemble], steps[0].rpartition("/")[0]
    if len(steps) == 1:
        text = f'no coming occasion wants "{steps[0]}", so it is not planned.'
        return Warned(file=file, place=node.step.where, text=text)
    named = ", ".join(f'"{name.rpartition("/")[2]}"' for name in steps[:NAMED])
    more = f" and {len(steps) - NAMED} more" if len(steps) > NAMED else ""
    text = f'no coming occasion wants {len(steps)} steps of "{garment}", so they are not planned:'
    return Warned(
        file=file, place=node.step.where.rpartition(".")[0], text=f"{text} {named}{more}."
    )


NAMED = 4
"""So many steps that nothing wants are named."""


def _after_an_event(ground: Ground) -> frozenset[str]:
    """Steps that come after an event of their ensemble, directly or not."""
    events = {o.id for o in ground.occasions.values() if o.occasion.kind is OccasionKind.EVENT}
    found: set[str] = set()
    for name in ground.network.order:
        node = ground.network.nodes[name]
        mine = {one for one in node.after_occasions if one.startswith(f"{node.op.ensemble}/")}
        if not mine.isdisjoint(events) or not found.isdisjoint(node.after):
            found.add(name)
    return frozenset(found)


def _together(steps: int, after_event: bool) -> str:
    """One sentence on steps that nothing wants yet."""
    are = "1 step is" if steps == 1 else f"{steps} steps are"
    if after_event:
        told = "to be done before the next wearing: add an event with its date"
    else:
        told = "still open and no occasion lies ahead: add one with its date"
    return f"{are} {told}, so that {'it is' if steps == 1 else 'they are'} planned."


def _names(ground: Ground) -> dict[str, str]:
    found: dict[str, str] = {}
    for ensemble in ground.project.ensembles:
        found[ensemble.id] = called(ensemble.name, ensemble.id)
        for stock in ensemble.stock:
            found[f"{ensemble.id}/{stock.id}"] = called(stock.name, stock.id)
        for occasion in ensemble.occasions:
            found[f"{ensemble.id}/{occasion.id}"] = called(occasion.name, occasion.id)
        for garment in ensemble.garments:
            found[f"{ensemble.id}/{garment.id}"] = called(garment.name, garment.id)
    for name, node in ground.network.nodes.items():
        found[name] = node.op.name
    return found
