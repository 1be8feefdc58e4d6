"""The order of steps: references resolved, circles found, what is left off looked through."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from planner.estimate import Operation
from planner.model import Ensemble, Occasion, Step
from planner.problems import InputError, Problem
from planner.references import Index, index_of, resolve, stage_steps


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """A step in the order of work."""

    op: Operation
    after: tuple[str, ...]
    """Steps it follows, by full id, with what is left off looked through."""
    after_occasions: tuple[str, ...]
    """Occasions it is said to come after."""
    during: str | None
    """The occasion at which it is done."""

    @property
    def step(self) -> Step:
        """The step as written."""
        return self.op.step


@dataclass(frozen=True, slots=True, kw_only=True)
class Network:
    """All steps in their order of work."""

    nodes: Mapping[str, Node]
    """By full id, in the order of the files; without what is left off."""
    order: tuple[str, ...]
    """An order of work: every step behind all it follows, else as in the files."""
    followers: Mapping[str, tuple[str, ...]]
    index: Index
    occasions: Mapping[str, Occasion]
    wants: Mapping[str, tuple[str, ...]]
    """What occasions that say so want: steps by full id, before anything is brought along."""
    files: Mapping[str, str]
    """File of each ensemble."""


class _Reader:
    """Resolves every reference of a workroom and gathers the problems."""

    def __init__(self, ensembles: Sequence[Ensemble]) -> None:
        self.index = index_of(ensembles)
        self.problems: list[Problem] = []
        self.preds: dict[str, list[str]] = {}
        self.occasions_before: dict[str, list[str]] = {}
        self.during: dict[str, str | None] = {}
        self.wants: dict[str, tuple[str, ...]] = {}
        self.files = {e.id: e.file for e in ensembles}
        for ensemble in ensembles:
            self._ensemble(ensemble)

    def _ensemble(self, ensemble: Ensemble) -> None:
        for garment in ensemble.garments:
            above: str | None = None
            for step in garment.steps:
                full = f"{ensemble.id}/{garment.id}/{step.id}"
                self._step(ensemble, garment.id, step, full)
                if garment.in_order and above is not None:
                    self.preds[full].append(above)
                above = full

    def _step(self, ensemble: Ensemble, garment: str, step: Step, full: str) -> None:
        self.preds[full], self.occasions_before[full] = [], []
        self.during[full] = None
        for k, text in enumerate(step.after):
            try:
                target = resolve(self.index, text, ensemble.id, garment)
            except ValueError as error:
                self._problem(ensemble, f"{step.where}.after[{k}]", str(error))
                continue
            self.preds[full] += target.steps
            if target.occasion is not None:
                self.occasions_before[full].append(target.occasion)
        if step.during is not None:
            self._during(ensemble, step, full)

    def _during(self, ensemble: Ensemble, step: Step, full: str) -> None:
        assert step.during is not None
        text = step.during
        name = text if "/" in text else f"{ensemble.id}/{text}"
        if name in self.index.occasions:
            self.during[full] = name
            return
        near = _nearest_occasion(self.index, ensemble.id, text)
        self._problem(ensemble, f"{step.where}.during", f'"{text}" is no occasion there is.{near}')

    def read_wants(self, ensembles: Sequence[Ensemble]) -> None:
        """Resolve what occasions say they want."""
        for ensemble in ensembles:
            for occasion in ensemble.occasions:
                if occasion.wants is None:
                    continue
                found: list[str] = []
                for k, text in enumerate(occasion.wants):
                    try:
                        target = resolve(self.index, text, ensemble.id, None)
                    except ValueError as error:
                        self._problem(ensemble, f"{occasion.where}.wants[{k}]", str(error))
                        continue
                    found += target.steps
                    if target.occasion is not None:
                        found += [s for s, o in self.during.items() if o == target.occasion]
                self.wants[f"{ensemble.id}/{occasion.id}"] = tuple(dict.fromkeys(found))

    def _problem(self, ensemble: Ensemble, place: str, text: str) -> None:
        self.problems.append(Problem(file=ensemble.file, place=place, text=text))


def _nearest_occasion(index: Index, ensemble: str, text: str) -> str:
    from difflib import get_close_matches

    names = [o.removeprefix(f"{ensemble}/") for o in index.occasions]
    near = get_close_matches(text, names, n=1, cutoff=0.4)
    return f' Did you mean "{near[0]}"?' if near else ""


def _look_through(
    name: str,
    preds: Mapping[str, list[str]],
    steps: Mapping[str, Step],
    *,
    occasions: bool,
    before: Mapping[str, list[str]],
) -> list[str]:
    """What ``name`` follows, with steps left off replaced by what they follow."""
    found: dict[str, None] = dict.fromkeys(before[name]) if occasions else {}
    todo = list(preds[name])
    seen: set[str] = set()
    while todo:
        p = todo.pop(0)
        if p in seen:
            continue
        seen.add(p)
        if steps[p].left_off:
            todo = preds[p] + todo
            if occasions:
                found.update(dict.fromkeys(before[p]))
        elif not occasions:
            found[p] = None
    return list(found)


def _circle(successors: Mapping[str, Iterable[str]]) -> list[str] | None:
    """A circle among the nodes, first node repeated at the end; None where there is none."""
    state: dict[str, int] = {}
    for root in successors:
        if root in state:
            continue
        path: list[str] = []
        stack: list[tuple[str, bool]] = [(root, False)]
        while stack:
            node, leaving = stack.pop()
            if leaving:
                state[node] = 2
                path.pop()
                continue
            if state.get(node) == 2:
                continue
            if state.get(node) == 1:
                continue
            state[node] = 1
            path.append(node)
            stack.append((node, True))
            for after in successors.get(node, ()):
                if state.get(after) == 1:
                    return [*path[path.index(after) :], after]
                if after not in state:
                    stack.append((after, False))
    return None


def _contracted(reader: _Reader) -> dict[str, list[str]]:
    """Who must come before whom, an occasion and what is done at it taken as one."""
    place = {s: reader.during[s] or s for s in reader.preds}
    successors: dict[str, list[str]] = {}
    for step, preds in reader.preds.items():
        me = place[step]
        successors.setdefault(me, [])
        for p in (*preds, *reader.occasions_before[step]):
            before = place.get(p, p)
            if before != me or p == step:
                successors.setdefault(before, []).append(me)
    return successors


def _path(successors: Mapping[str, Iterable[str]], start: str, goals: set[str]) -> list[str]:
    """A shortest chain from ``start`` to one of ``goals``; empty where there is none."""
    back: dict[str, str] = {}
    queue = [start]
    for node in queue:
        for after in successors.get(node, ()):
            if after in back or after == start:
                continue
            back[after] = node
            if after in goals:
                chain = [after]
                while chain[-1] != start:
                    chain.append(back[chain[-1]])
                return chain[::-1]
            queue.append(after)
    return []


def _check_circles(reader: _Reader) -> None:
    """Report a circle of steps, and what is wanted before an occasion it follows."""
    successors = _contracted(reader)
    plain: dict[str, list[str]] = {s: [] for s in reader.preds}
    for step, preds in reader.preds.items():
        for p in preds:
            plain[p].append(step)
    circle = _circle(plain) or _circle(successors)
    if circle is not None:
        where, file = _where(reader, circle)
        reader.problems.append(
            Problem(
                file=file,
                place=where,
                text="these steps wait for each other in a circle: "
                + ", then ".join(circle)
                + ". Take one of these out of an `after`.",
                circle=tuple(circle[:-1]),
            )
        )
    for occasion, wanted in reader.wants.items():
        chain = _path(successors, occasion, set(wanted))
        if chain:
            ensemble = occasion.split("/", 1)[0]
            reader.problems.append(
                Problem(
                    file=reader.files[ensemble],
                    place=f"{reader.index.occasions[occasion].where}.wants",
                    text=f"{occasion} wants what comes after it, in a circle: "
                    + ", then ".join([*chain, occasion])
                    + ". Take it out of `wants`.",
                    circle=tuple(chain),
                )
            )


def _where(reader: _Reader, circle: Sequence[str]) -> tuple[str, str]:
    """Key path and file of the first thing in a circle."""
    name = circle[0]
    ensemble = name.split("/", 1)[0]
    if name in reader.index.steps:
        return f"{reader.index.steps[name].where}.after", reader.files[ensemble]
    return reader.index.occasions[name].where, reader.files[ensemble]


def _order(nodes: Mapping[str, Node]) -> tuple[str, ...]:
    """The nodes, each behind all it follows, else in the order of the files.

    What comes after an occasion stands behind what is done at it.
    """
    position = {name: k for k, name in enumerate(nodes)}
    names = list(nodes)
    done_at: dict[str, list[str]] = {}
    for n, node in nodes.items():
        if node.during is not None:
            done_at.setdefault(node.during, []).append(n)
    waiting = dict.fromkeys(nodes, 0)
    followers: dict[str, list[str]] = {n: [] for n in nodes}
    for n, node in nodes.items():
        before = [*node.after, *(s for o in node.after_occasions for s in done_at.get(o, ()))]
        for p in dict.fromkeys(before):
            followers[p].append(n)
            waiting[n] += 1
    heap = [position[n] for n, k in waiting.items() if k == 0]
    heapq.heapify(heap)
    order: list[str] = []
    while heap:
        name = names[heapq.heappop(heap)]
        order.append(name)
        for f in followers[name]:
            waiting[f] -= 1
            if waiting[f] == 0:
                heapq.heappush(heap, position[f])
    return tuple(order)


def order_problems(ensembles: Sequence[Ensemble]) -> tuple[Problem, ...]:
    """What ``build_network`` would refuse: references that mean nothing, circles."""
    reader = _Reader(ensembles)
    reader.read_wants(ensembles)
    _check_circles(reader)
    return tuple(reader.problems)


def build_network(ensembles: Sequence[Ensemble], operations: Mapping[str, Operation]) -> Network:
    """The network of all ensembles. ``operations`` by full id.

    Raises InputError with every reference that means nothing or two things, every circle,
    and every occasion that wants what follows it.
    """
    reader = _Reader(ensembles)
    reader.read_wants(ensembles)
    _check_circles(reader)
    if reader.problems:
        raise InputError(reader.problems)
    steps = reader.index.steps
    nodes = {
        name: Node(
            op=operations[name],
            after=tuple(
                _look_through(
                    name, reader.preds, steps, occasions=False, before=reader.occasions_before
                )
            ),
            after_occasions=tuple(
                _look_through(
                    name, reader.preds, steps, occasions=True, before=reader.occasions_before
                )
            ),
            during=reader.during[name],
        )
        for name in steps
        if not steps[name].left_off
    }
    followers: dict[str, list[str]] = {n: [] for n in nodes}
    for name, node in nodes.items():
        for p in node.after:
            followers[p].append(name)
    return Network(
        nodes=nodes,
        order=_order(nodes),
        followers={n: tuple(f) for n, f in followers.items()},
        index=reader.index,
        occasions=reader.index.occasions,
        wants=reader.wants,
        files=reader.files,
    )


def wearable_steps(network: Network, ensemble: str) -> tuple[str, ...]:
    """The steps with which every garment of an ensemble is wearable."""
    return tuple(
        step
        for garment in network.index.garments
        if garment.startswith(f"{ensemble}/")
        for step in stage_steps(network.index, garment, "wearable")
    )
