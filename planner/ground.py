"""The ground a plan stands on: order, occasions, what is done, hours, releases, stock."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from planner.assembly import Job
from planner.chains import Link, latest
from planner.demands import wanted_by
from planner.estimate import Operation
from planner.hours import Window, dated_windows, hours_warnings
from planner.model import OccasionKind, Place, Project, Wait, Warned
from planner.network import Network, build_network
from planner.occasions import Dated, away_times, dated_occasions, taken_times
from planner.pace import Pace
from planner.pacing import pace_warnings, paced_operations
from planner.problems import InputError, Problem
from planner.standing import Release, Standing, predecessors, releases, standings
from planner.stock import StockLine, serve
from planner.timeline import Line, lines, need_of, to_clock

#: further ahead nobody sews by the evening
YEARS_AHEAD = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """Everything that is settled before a minute is placed."""

    project: Project
    now: datetime
    network: Network
    occasions: Mapping[str, Dated]
    """In order of time."""
    stand: Mapping[str, Standing]
    waits_for: Mapping[str, tuple[str, ...]]
    wanted: Mapping[str, tuple[str, ...]]
    """By occasion, in order of work; done or not."""
    windows: tuple[Window, ...]
    lines: tuple[Line, ...]
    first: date
    last: date
    """First and last day of the plan."""
    releases: Mapping[str, tuple[Release, ...]]
    """With stock that must arrive."""
    stock: tuple[StockLine, ...]
    planned: tuple[str, ...]
    """Open steps that some coming occasion wants, in order of work."""
    jobs: tuple[Job, ...]
    """Of ``planned``."""
    waits: Mapping[str, Wait]
    pace: Pace
    """At which the minutes are estimated."""
    warnings: tuple[Warned, ...]

    def op(self, name: str) -> Operation:
        """The operation of a step."""
        return self.network.nodes[name].op


def all_operations(project: Project) -> dict[str, Operation]:
    """Every step as an operation at the maker's pace, by full id. Raises InputError with all
    problems."""
    return paced_operations(project)[0]


def _network(project: Project) -> tuple[Network, Pace]:
    """Operations and order; the problems of both at once."""
    try:
        ops, pace = paced_operations(project)
    except InputError as error:
        problems = list(error.problems)
        try:
            build_network(project.ensembles, {})
        except InputError as other:
            problems += other.problems
        except KeyError:
            pass  # only operations are missing: the order itself is sound
        raise InputError(problems) from None
    return build_network(project.ensembles, ops), pace


def lay_ground(project: Project, now: datetime) -> Ground:
    """Settle everything but the minutes. Raises InputError with all problems."""
    network, pace = _network(project)
    _check_dates(network, now)
    during = _during(network)
    ops = {n: node.op for n, node in network.nodes.items()}
    occasions = dated_occasions(network.occasions, during, ops, now)
    stand = standings(network, occasions, project.diary.entries)
    waits_for = predecessors(network, occasions, stand)
    wanted = wanted_by(network, occasions, waits_for)
    coming = {s for o in occasions.values() if not o.past for s in wanted[o.id]}
    planned = tuple(
        n
        for n in network.order
        if n in coming and not stand[n].done and stand[n].at_occasion is None
    )
    first = now.date()
    last = max([o.at.date() for o in occasions.values() if not o.past], default=first)
    held_up = releases(network, occasions, stand)
    keeping = {
        n: r
        for n, r in held_up.items()
        if not stand[n].done and (n in coming or stand[n].at_occasion is not None)
    }
    windows = _windows(project, occasions, _cuts(project, network, occasions, keeping), now, last)
    line = lines(windows)
    stock = _served(project, network, occasions, stand, wanted, planned, line)
    held_up = _with_stock(held_up, stock, frozenset(planned))
    return Ground(
        project=project,
        now=now,
        network=network,
        occasions=occasions,
        stand=stand,
        waits_for=waits_for,
        wanted=wanted,
        windows=windows,
        lines=line,
        first=first,
        last=last,
        releases=held_up,
        stock=stock,
        planned=planned,
        jobs=tuple(_job(n, network, occasions, stand, waits_for, held_up, now) for n in planned),
        waits={n: ops[n].wait for n in planned},
        pace=pace,
        warnings=(
            *project.warnings,
            *pace_warnings(project),
            *hours_warnings(project.workroom, first, last),
            *_odd_occasions(network, occasions, wanted),
        ),
    )


def _windows(
    project: Project,
    occasions: Mapping[str, Dated],
    cuts: set[datetime],
    now: datetime,
    last: date,
) -> tuple[Window, ...]:
    """The hours from ``now`` to the last day, without what occasions take and absence."""
    return dated_windows(
        project.workroom,
        first=now.date() - timedelta(days=1),
        last=last,
        taken=taken_times(occasions.values()),
        away=away_times(project.ensembles),
        now=now,
        cuts=cuts,
    )


def _check_dates(network: Network, now: datetime) -> None:
    """Occasions so far ahead that a year must be wrong; raises InputError with all."""
    problems = [
        Problem(
            file=network.files[name.split("/", 1)[0]],
            place=f"{occasion.where}.at",
            text=f"{occasion.at:%Y-%m-%d} is more than {YEARS_AHEAD} years ahead: "
            "is the year right?",
        )
        for name, occasion in network.occasions.items()
        if (occasion.at - now).days > YEARS_AHEAD * 366
    ]
    if problems:
        raise InputError(problems)


def _during(network: Network) -> dict[str, list[str]]:
    """By occasion, the steps done at it."""
    found: dict[str, list[str]] = {}
    for name, node in network.nodes.items():
        if node.during is not None:
            found.setdefault(node.during, []).append(name)
    return found


def _served(
    project: Project,
    network: Network,
    occasions: Mapping[str, Dated],
    stand: Mapping[str, Standing],
    wanted: Mapping[str, tuple[str, ...]],
    planned: tuple[str, ...],
    line: tuple[Line, ...],
) -> tuple[StockLine, ...]:
    """Stock served to its users, in order of their latest before anything is late."""
    links = _links(network, occasions, stand, wanted, planned)
    ends = latest(planned, links, network.followers, line)
    users = _users(network, stand, occasions, planned, ends)
    return serve(network, project.ensembles, project.diary.entries, stand, users)


def _cuts(
    project: Project,
    network: Network,
    occasions: Mapping[str, Dated],
    held_up: Mapping[str, tuple[Release, ...]],
) -> set[datetime]:
    """Moments at which windows are cut, besides both ends of helper hours.

    ``held_up``: what keeps the steps that are planned or done at a coming occasion.
    """
    cuts: set[datetime] = set()
    for o in occasions.values():
        cuts |= {o.at, o.end, o.ready_by}
    for mine in held_up.values():
        cuts |= {r.moment for r in mine}
    for name in network.nodes:
        word = network.nodes[name].step.not_before
        if word is not None:
            cuts.add(word if isinstance(word, datetime) else datetime.combine(word, time()))
    for ensemble in project.ensembles:
        for stock in ensemble.stock:
            cuts |= {
                datetime.combine(c.arrives, time()) for c in stock.coming if c.arrives is not None
            }
    return cuts


def need(name: str, network: Network, occasions: Mapping[str, Dated]) -> int:
    """The widest kind of hours a step can be done in.

    What was to be done at an occasion that wasn't held is done in the workroom.
    """
    node = network.nodes[name]
    held_at = node.during
    place = node.op.place
    if held_at is not None and occasions[held_at].past:
        place = Place.WORKROOM
    return need_of(place, node.op.hands)


def _links(
    network: Network,
    occasions: Mapping[str, Dated],
    stand: Mapping[str, Standing],
    wanted: Mapping[str, tuple[str, ...]],
    planned: tuple[str, ...],
) -> dict[str, Link]:
    """The chains before anything is late: due by the first occasion that wants each step."""
    due: dict[str, int] = {}
    for o in occasions.values():
        if o.past:
            continue
        for s in wanted[o.id]:
            moment = to_clock(o.wanted_by)
            due[s] = min(due.get(s, moment), moment)
    return {
        n: Link(
            need=need(n, network, occasions),
            minutes=stand[n].left,
            wait=network.nodes[n].op.wait,
            release=0,
            due=due.get(n),
        )
        for n in planned
    }


def _users(
    network: Network,
    stand: Mapping[str, Standing],
    occasions: Mapping[str, Dated],
    planned: tuple[str, ...],
    ends: Mapping[str, int | None],
) -> dict[str, int | None]:
    """Who still uses stock, with the clock moment of the latest end."""
    users = {n: ends[n] for n in planned}
    for n, s in stand.items():
        if s.at_occasion is not None:
            users[n] = to_clock(occasions[s.at_occasion].end)
    return users


def _with_stock(
    held_up: Mapping[str, tuple[Release, ...]],
    stock: tuple[StockLine, ...],
    planned: frozenset[str],
) -> dict[str, tuple[Release, ...]]:
    found = dict(held_up)
    for row in stock:
        for user in row.users:
            if user.until is not None and user.step in planned:
                found[user.step] = (
                    *found[user.step],
                    Release(moment=user.until, cause=user.stock),
                )
    return found


def _job(
    name: str,
    network: Network,
    occasions: Mapping[str, Dated],
    stand: Mapping[str, Standing],
    waits_for: Mapping[str, tuple[str, ...]],
    held_up: Mapping[str, tuple[Release, ...]],
    now: datetime,
) -> Job:
    op = network.nodes[name].op
    return Job(
        id=name,
        minutes=max(1, stand[name].left),
        need=need(name, network, occasions),
        one_sitting=op.one_sitting,
        release=max((to_clock(r.moment) for r in held_up[name] if r.moment > now), default=0),
        wait=op.wait,
        after=waits_for[name],
    )


_BEFORE_IT = (OccasionKind.FITTING, OccasionKind.TRIAL_WEAR)
"""Kinds of occasions that only make sense before what they are for."""


def _odd_occasions(
    network: Network, occasions: Mapping[str, Dated], wanted: Mapping[str, tuple[str, ...]]
) -> tuple[Warned, ...]:
    """Fittings that want nothing, and what is fitted or tried only after the last event."""
    found: list[Warned] = []
    events = {o.ensemble: o.at for o in occasions.values() if o.occasion.kind is OccasionKind.EVENT}
    for o in occasions.values():
        file, where = network.files[o.ensemble], o.occasion.where
        last = events.get(o.ensemble)
        if not o.past and o.occasion.kind in _BEFORE_IT and last is not None and o.at > last:
            text = f'"{o.id}" is after the last event: what follows it is wanted by nobody.'
            found.append(Warned(file=file, place=f"{where}.at", text=text))
        elif not (o.past or wanted[o.id] or o.during):
            text = f'"{o.id}" wants nothing: let steps be `during` it, or give it `wants`.'
            found.append(Warned(file=file, place=where, text=text))
    return tuple(found)
