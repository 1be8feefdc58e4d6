"""Which steps of an ensemble come before which, and what may still be added without a circle.

Names here are those within the ensemble: "garment/step" for a step, the id for an occasion.
An occasion and the steps done at it are one moment: what follows one of them follows all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from planner.model import Ensemble, Garment, Occasion, Step
from planner.references import Index, Target, index_of, resolve


class OrderOfWork:
    """The order of one ensemble's steps, to which links and moments are added one by one.

    References that mean nothing, or something of another ensemble, are passed over. A reference
    to a stage counts for the steps that carry it now and for those that would once everything
    left off were taken back, so that taking back makes no circle either.
    """

    def __init__(self, ensemble: Ensemble) -> None:
        self._ensemble = ensemble.id
        self._index = index_of([ensemble])
        left_off = any(step.left_off for step in self._index.steps.values())
        whole = [index_of([_nothing_left_off(ensemble)])] if left_off else []
        self._readings = (self._index, *whole)
        self.occasions: dict[str, Occasion] = {o.id: o for o in ensemble.occasions}
        self.during: dict[str, str] = {}
        """By step, the occasion of this ensemble at which it is done."""
        self._held: dict[str, dict[str, None]] = {o: {} for o in self.occasions}
        self._after_step: dict[str, list[str]] = {}
        self._before_step: dict[str, list[str]] = {}
        self._after_occasion: dict[str, list[str]] = {o: [] for o in self.occasions}
        self._before_occasion: dict[str, list[str]] = {}
        self._steps = [f"{g.id}/{s.id}" for g in ensemble.garments for s in g.steps]
        for garment in ensemble.garments:
            self._read(garment)
        self._wants = {
            o.id: frozenset(s for text in o.wants for s in self._meant(text, None).steps)
            for o in ensemble.occasions
            if o.wants is not None
        }

    def _read(self, garment: Garment) -> None:
        above = ""
        for step in garment.steps:
            name = f"{garment.id}/{step.id}"
            for text in step.after:
                target = self._meant(text, garment.id)
                self._follow(name, target.steps)
                if target.occasion is not None:
                    self._after_occasion[target.occasion].append(name)
                    self._before_occasion.setdefault(name, []).append(target.occasion)
            if garment.in_order and above:
                self._follow(name, (above,))
            if step.during is not None:
                occasion = step.during.removeprefix(f"{self._ensemble}/")
                if occasion in self.occasions:
                    self.hold(name, occasion)
            above = name

    def _meant(self, text: str, garment: str | None) -> Target:
        """What a reference means, by names within the ensemble."""
        steps: dict[str, None] = {}
        occasion = None
        for index in self._readings:
            found = _resolved(index, text, self._ensemble, garment)
            steps.update((self._own(step), None) for step in found.steps)
            if found.occasion is not None:
                occasion = self._own(found.occasion)
        return Target(steps=tuple(steps), occasion=occasion)

    def _own(self, full: str) -> str:
        return full.removeprefix(f"{self._ensemble}/")

    def _follow(self, step: str, targets: Iterable[str]) -> None:
        for target in targets:
            self._after_step.setdefault(target, []).append(step)
            self._before_step.setdefault(step, []).append(target)

    def steps_before(self, step: str) -> Sequence[str]:
        """The steps a step follows directly."""
        return self._before_step.get(step, ())

    def steps_behind(self, step: str) -> Sequence[str]:
        """The steps that follow a step directly."""
        return self._after_step.get(step, ())

    def occasions_before(self, step: str) -> Sequence[str]:
        """The occasions a step follows directly."""
        return self._before_occasion.get(step, ())

    def wanted_by(self, step: str) -> Sequence[str]:
        """The occasions that want a step by name."""
        return [o for o, wanted in self._wants.items() if step in wanted]

    def sequence(self) -> list[str]:
        """Every step, each behind those it follows, whatever is held where."""
        found: dict[str, None] = {}
        seen: set[str] = set()
        for start in self._steps:
            todo = [start]
            while todo:
                step = todo[-1]
                # the second time it comes up, what it follows is there; a circle ends here, too
                more = [p for p in self.steps_before(step) if p not in found and p not in seen]
                seen.add(step)
                if more:
                    todo += more
                else:
                    found.setdefault(todo.pop())
        return list(found)

    def steps_of(self, reference: str) -> tuple[str, ...]:
        """The steps a reference to a garment's stage stands for."""
        return self._meant(reference, None).steps

    def hold(self, step: str, occasion: str | None) -> None:
        """Have a step done at an occasion, or at none, whatever comes of it."""
        if step in self.during:
            del self._held[self.during.pop(step)][step]
        if occasion is not None:
            self.during[step] = occasion
            self._held[occasion][step] = None

    def link(self, step: str, targets: Sequence[str]) -> bool:
        """Have ``step`` follow ``targets``, if that makes no circle; whether it does now.

        Nor is it made to follow, however indirectly, what an occasion no earlier than one of
        its own holds: it would be late for that for certain.
        """
        if not self._may_follow(step, targets):
            return False
        self._follow(step, targets)
        return True

    def _may_follow(self, step: str, targets: Sequence[str]) -> bool:
        later = self._reached([self._moment(step)], self._following)
        earlier = self._reached([self._moment(t) for t in targets], self._preceding)
        if later & earlier:
            return False
        if not self._in_time(earlier, later):
            return False
        return all(
            not (occasion in earlier and wanted & (later | {step}))
            for occasion, wanted in self._wants.items()
        )

    def may_hold(self, step: str, occasion: str) -> bool:
        """Whether a step that isn't at one could be done at this occasion.

        What it follows and what follows it must not be held at the same one, what it follows
        at none that is later, what follows it at none that is earlier.
        """
        later = self._reached([step], self._following) - {step}
        earlier = self._reached([step], self._preceding) - {step}
        if occasion in later or occasion in earlier:
            return False
        beyond = self._reached([occasion], self._following)
        before = self._reached([occasion], self._preceding)
        if (later & before) or (earlier & beyond):
            return False
        if any(
            step in wanted and self.occasions[name].at < self.occasions[occasion].at
            for name, wanted in self._wants.items()
        ):
            return False
        later, earlier = later | beyond, earlier | before
        if not self._in_time(earlier, later - {occasion}):
            return False
        if not self._in_time(earlier - {occasion}, later):
            return False
        return all(not (name in earlier and wanted & later) for name, wanted in self._wants.items())

    def is_sound(self) -> bool:
        """Whether everything is held where it can be: no circle, and nothing at an occasion, or
        wanted by one, follows what is held at the same or a later one."""
        moments = [*self.occasions, *(s for s in self._steps if s not in self.during)]
        waits = dict.fromkeys(moments, 0)
        for moment in moments:
            for behind in self._following(moment):
                waits[behind] += 1
        free = [moment for moment in moments if not waits[moment]]
        held: dict[str, datetime] = dict.fromkeys(moments, datetime.min)
        """By moment, when the last occasion before it begins."""
        for moment in free:
            latest = held[moment]
            if moment in self.occasions:
                at = self.occasions[moment].at
                if at <= latest:
                    return False
                latest = at
            for behind in self._following(moment):
                held[behind] = max(held[behind], latest)
                waits[behind] -= 1
                if not waits[behind]:
                    free.append(behind)
        return len(free) == len(moments) and all(
            self._is_there(step, self.occasions[occasion].at, held)
            for occasion, wanted in self._wants.items()
            for step in wanted
        )

    def _is_there(self, step: str, at: datetime, held: Mapping[str, datetime]) -> bool:
        """Whether a step can be done by the moment at which it is wanted."""
        mine = self.during.get(step)
        if mine is None:
            return held[step] < at
        return self.occasions[mine].at <= at

    def _in_time(self, earlier: Iterable[str], later: Iterable[str]) -> bool:
        """Whether every occasion among the one is before every one among the other.

        That an occasion wants a step is a moment by which the step must be there, too.
        """
        later = frozenset(later)
        begins = [self.occasions[o].at for o in earlier if o in self.occasions]
        ends = [self.occasions[o].at for o in later if o in self.occasions]
        ends += [self.occasions[o].at for o, wanted in self._wants.items() if wanted & later]
        return not begins or not ends or max(begins) < min(ends)

    def _moment(self, step: str) -> str:
        return self.during.get(step, step)

    def _following(self, moment: str) -> Iterator[str]:
        """The moments that come directly behind one."""
        if moment not in self.occasions:
            yield from map(self._moment, self._after_step.get(moment, ()))
            return
        yield from map(self._moment, self._after_occasion[moment])
        for step in self._held[moment]:
            yield from map(self._moment, self._after_step.get(step, ()))

    def _preceding(self, moment: str) -> Iterator[str]:
        """The moments that come directly before one."""
        for step in self._held[moment] if moment in self.occasions else (moment,):
            yield from map(self._moment, self._before_step.get(step, ()))
            yield from self._before_occasion.get(step, ())

    @staticmethod
    def _reached(start: Iterable[str], onward: Callable[[str], Iterable[str]]) -> frozenset[str]:
        """Everything reached from ``start``, that itself included."""
        found = set(start)
        todo = list(found)
        while todo:
            for moment in onward(todo.pop()):
                if moment not in found:
                    found.add(moment)
                    todo.append(moment)
        return frozenset(found)


def _nothing_left_off(ensemble: Ensemble) -> Ensemble:
    def whole(garment: Garment) -> Garment:
        steps: tuple[Step, ...] = tuple(replace(s, left_off=False) for s in garment.steps)
        return replace(garment, steps=steps)

    return replace(ensemble, garments=tuple(map(whole, ensemble.garments)))


def _resolved(index: Index, text: str, ensemble: str, garment: str | None) -> Target:
    try:
        return resolve(index, text, ensemble, garment)
    except ValueError:
        return Target()
