"""The exact model: whole minutes by step and window, for a solver.

For every step, over the windows it may use: ``started`` (a sitting by then), ``ended`` (none
after then) and ``done`` (minutes by then), tied by need x ended <= done <= need x started. A
follower has started by a window only where what it follows has ended by the last window that
leaves the nights between. In one window any order can be laid, so windows are all there is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from ortools.sat.python import cp_model

from tests.oracle.bound import Spans
from tests.oracle.core import Amounts, Core


@dataclass(frozen=True, kw_only=True)
class Merged:
    """A core in which steps that might as well be one are one."""

    core: Core
    parts: tuple[tuple[int, ...], ...]
    """The steps that each step of the core stands for, in their order."""

    def taken_apart(self, amounts: Amounts, need: Sequence[int]) -> Amounts:
        """The schedule of the single steps."""
        found: Amounts = [{} for _ in need]
        for own, parts in zip(amounts, self.parts, strict=True):
            queue = list(parts)
            left = need[queue[0]]
            for w in sorted(own):
                minutes = own[w]
                while minutes:
                    given = min(minutes, left)
                    found[queue[0]][w] = given
                    minutes, left = minutes - given, left - given
                    if not left and len(queue) > 1:
                        queue.pop(0)
                        left = need[queue[0]]
        return found


def merged(core: Core) -> Merged:
    """Join each step with its only follower where that follows nothing else and both have the
    same windows and needs: one after the other, they are one longer step."""
    lead = list(range(len(core.need)))
    for j, pairs in enumerate(core.before):
        if len(pairs) == 1 and pairs[0][1] == 0 and _alike(core, pairs[0][0], j):
            lead[j] = lead[pairs[0][0]]
    parts = [tuple(j for j, at in enumerate(lead) if at == head) for head in sorted(set(lead))]
    # a joined step stands where its last part stood, after all its first part follows
    number = {j: k for k, own in enumerate(sorted(parts, key=lambda own: own[-1])) for j in own}
    parts.sort(key=lambda own: own[-1])
    return Merged(
        core=replace(
            core,
            need=tuple(sum(core.need[j] for j in own) for own in parts),
            kind=tuple(core.kind[own[0]] for own in parts),
            two=tuple(core.two[own[0]] for own in parts),
            one=tuple(core.one[own[0]] for own in parts),
            use=tuple(core.use[own[0]] for own in parts),
            before=tuple(tuple((number[i], n) for i, n in core.before[own[0]]) for own in parts),
        ),
        parts=tuple(parts),
    )


def _alike(core: Core, i: int, j: int) -> bool:
    single = len(core.after[i]) == 1 and not core.one[i] and not core.one[j]
    same = core.kind[i] == core.kind[j] and core.two[i] == core.two[j]
    return single and same and core.use[i] == core.use[j]


Vars = dict[int, cp_model.IntVar]


@dataclass(slots=True)
class Model:
    """The model at fixed caps."""

    core: Core
    caps: Sequence[int]
    spans: Spans
    solver_model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    windows: list[list[int]] = field(default_factory=list)
    started: list[Vars] = field(default_factory=list)
    ended: list[Vars] = field(default_factory=list)
    done: list[Vars] = field(default_factory=list)

    def build(self) -> None:
        """All variables and constraints."""
        for j in range(len(self.core.need)):
            self._step(j)
        for j, pairs in enumerate(self.core.before):
            for i, nights in pairs:
                self._order(i, j, nights)
        self._hold()
        self._one_sittings()

    def minutes(self, j: int, w: int) -> cp_model.LinearExpr:
        """Minutes of a step in a window."""
        at = self.windows[j].index(w)
        if not at:
            return self.done[j][w]
        return self.done[j][w] - self.done[j][self.windows[j][at - 1]]

    def _step(self, j: int) -> None:
        core, spans, m = self.core, self.spans, self.solver_model
        windows = [w for w in core.use[j] if spans.begin[j] <= w <= spans.end_by[j]]
        need = core.need[j]
        started: Vars = {}
        ended: Vars = {}
        done: Vars = {}
        for at, w in enumerate(windows):
            begun, over = w >= spans.begin_by[j], w >= spans.end_by[j]
            started[w] = m.new_int_var(int(begun), 1, f"s{j}_{w}")
            ended[w] = m.new_int_var(int(over), int(w >= spans.end[j]), f"e{j}_{w}")
            done[w] = m.new_int_var(need if over else 0, need, f"d{j}_{w}")
            m.add(done[w] >= need * ended[w])
            m.add(done[w] <= need * started[w])
            m.add_implication(ended[w], started[w])
            if at:
                last = windows[at - 1]
                m.add(done[w] >= done[last])
                m.add(done[w] <= done[last] + self.caps[w])
                m.add_implication(started[last], started[w])
                m.add_implication(ended[last], ended[w])
            else:
                m.add(done[w] <= self.caps[w])
        self.windows.append(windows)
        self.started.append(started)
        self.ended.append(ended)
        self.done.append(done)

    def _order(self, i: int, j: int, nights: int) -> None:
        core, m = self.core, self.solver_model
        for w in self.windows[j]:
            fit = [v for v in self.windows[i] if v <= w and core.day[w] - core.day[v] >= nights]
            if fit:
                m.add_implication(self.started[j][w], self.ended[i][fit[-1]])
            else:
                m.add(self.started[j][w] == 0)

    def _hold(self) -> None:
        core, m = self.core, self.solver_model
        inside: list[list[int]] = [[] for _ in self.caps]
        for j, windows in enumerate(self.windows):
            for w in windows:
                inside[w].append(j)
        for w, steps in enumerate(inside):
            if steps:
                m.add(sum(self.minutes(j, w) for j in steps) <= self.caps[w])
            two = [j for j in steps if core.two[j]]
            if two:
                m.add(sum(self.minutes(j, w) for j in two) <= core.minutes[w])

    def _one_sittings(self) -> None:
        core, m = self.core, self.solver_model
        crossing: dict[int, list[cp_model.IntVar]] = {}
        for j, windows in enumerate(self.windows):
            if not core.one[j]:
                continue
            ways = []
            for w in windows:
                at = m.new_bool_var(f"at{j}_{w}")
                m.add(self.minutes(j, w) == core.need[j]).only_enforce_if(at)
                ways.append(at)
                if core.touch[w] and w + 1 in windows:
                    over = m.new_bool_var(f"over{j}_{w}")
                    both = self.minutes(j, w) + self.minutes(j, w + 1)
                    m.add(both == core.need[j]).only_enforce_if(over)
                    crossing.setdefault(w, []).append(over)
                    ways.append(over)
            m.add_exactly_one(ways)
        for overs in crossing.values():
            m.add_at_most_one(overs)
