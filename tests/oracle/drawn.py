"""A drawn workroom: its abstract instance by the rules, and its files as a maker writes them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from tests.oracle.instance import Edge, Instance, Span, Task, Window, cut, without

NOW = datetime(2027, 3, 1)
PLACE_HOURS = ("workroom", "sofa", "take-along")
DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
GARMENTS = ("petticoat", "under-bodice", "skirt", "jacket", "mantle", "hood")
WORKS = ("machine", "pressing", "cutting", "bench")

Week = tuple[tuple[tuple[int, int], ...], ...]
"""Seven days of spans in minutes from midnight, Monday first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dated:
    """A fitting or the event."""

    at: datetime
    margin: str = ""

    @property
    def ready_by(self) -> datetime:
        """The moment by which what it wants must be there."""
        if self.margin.endswith("day"):
            midnight = datetime(self.at.year, self.at.month, self.at.day)
            return midnight - timedelta(days=int(self.margin.split()[0]))
        if self.margin:
            return self.at - timedelta(hours=int(self.margin.rstrip("h")))
        return self.at


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnStep:
    """A step as drawn; orders are indexes of steps above it."""

    garment: int
    minutes: int
    place: str = "workroom"
    hands: int = 1
    one_sitting: bool = False
    nights: int = 0
    after: tuple[int, ...] = ()
    during: int | None = None
    """Index of the fitting it happens at."""
    not_before: date | datetime | None = None
    arrives: date | None = None
    """When the stock it uses comes."""

    @property
    def release(self) -> datetime | None:
        """The moment before which it can't begin."""
        if isinstance(self.not_before, datetime):
            return self.not_before
        day = self.not_before or self.arrives
        return None if day is None else datetime(day.year, day.month, day.day)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A whole drawn workroom."""

    seed: int
    kind: str
    setting_up: int
    hours: Mapping[str, Week]
    """By place, and "helper"."""
    away: tuple[tuple[date, date], ...]
    fittings: tuple[Dated, ...]
    event: Dated
    steps: tuple[DrawnStep, ...]

    def ids(self) -> list[str]:
        """The step's full id less the ensemble, for each step."""
        count: dict[int, int] = {}
        found = []
        for step in self.steps:
            count[step.garment] = count.get(step.garment, 0) + 1
            found.append(f"{GARMENTS[step.garment]}/s{count[step.garment]}")
        return found

    def takes(self, fitting: int) -> int:
        """Minutes a fitting takes: what is done during it, and ten."""
        return 10 + sum(s.minutes for s in self.steps if s.during == fitting)

    def occasion_spans(self) -> list[Span]:
        """The own time of every occasion."""
        spans = [
            (f.at, f.at + timedelta(minutes=self.takes(k))) for k, f in enumerate(self.fittings)
        ]
        at = self.event.at
        spans.append((at, datetime(at.year, at.month, at.day) + timedelta(days=1)))
        return spans


def dated(week: Week, drawn: Drawn) -> list[Span]:
    """The week's spans on every day from the first to the event's."""
    found: list[Span] = []
    day = NOW.date()
    while day <= drawn.event.at.date():
        midnight = datetime(day.year, day.month, day.day)
        if not any(a <= day <= b for a, b in drawn.away):
            found += [
                (midnight + timedelta(minutes=a), midnight + timedelta(minutes=b))
                for a, b in week[day.weekday()]
            ]
        day += timedelta(days=1)
    return found


def windows(drawn: Drawn) -> tuple[Window, ...]:
    """The cut windows: hours, less occasions, less setting up, cut."""
    taken = drawn.occasion_spans()
    helper = dated(drawn.hours["helper"], drawn)
    moments = [m for span in (*taken, *helper) for m in span]
    moments += [o.ready_by for o in (*drawn.fittings, drawn.event)]
    moments += [s.release for s in drawn.steps if s.release is not None]
    found = []
    for place in ("workroom", "sofa", "take-along"):
        spans = without(dated(drawn.hours[place], drawn), taken)
        if place == "workroom":
            late = timedelta(minutes=drawn.setting_up)
            spans = [(a + late, b) for a, b in spans if a + late < b]
        for a, b in cut(spans, moments):
            two = place == "workroom" and any(c <= a and b <= d for c, d in helper)
            found.append(Window(start=a, end=b, day=a.date(), place=place, helper=two))
    return tuple(sorted(found, key=lambda w: w.start))


def abstract(drawn: Drawn) -> Instance:
    """The instance the workroom stands for: steps at fittings become releases and dates."""
    release = [s.release for s in drawn.steps]
    due = [drawn.event.ready_by for _ in drawn.steps]
    spans = drawn.occasion_spans()
    for i in reversed(range(len(drawn.steps))):
        step = drawn.steps[i]
        ready = due[i] if step.during is None else drawn.fittings[step.during].ready_by
        for before in step.after:
            due[before] = min(due[before], ready)
    for i, step in enumerate(drawn.steps):
        for before in step.after:
            at = drawn.steps[before].during
            if at is not None:
                release[i] = max(release[i] or NOW, spans[at][1])
    kept = [i for i, s in enumerate(drawn.steps) if s.during is None]
    number = {i: k for k, i in enumerate(kept)}
    ids = drawn.ids()
    tasks = tuple(_task(drawn.steps[i], ids[i], release[i], due[i]) for i in kept)
    edges = tuple(
        Edge(before=number[b], after=number[i], nights=drawn.steps[b].nights)
        for i in kept
        for b in drawn.steps[i].after
        if b in number
    )
    return Instance(
        seed=drawn.seed, kind=drawn.kind, windows=windows(drawn), tasks=tasks, edges=edges
    )


def _task(step: DrawnStep, name: str, release: datetime | None, due: datetime) -> Task:
    return Task(
        id=name,
        minutes=step.minutes,
        place=step.place,
        hands=step.hands,
        one_sitting=step.one_sitting,
        nights=step.nights,
        release=release,
        due=due,
    )


def write(drawn: Drawn, folder: Path) -> Path:
    """Write the workroom's files into a folder of its own; the folder."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "workroom.toml").write_text(_workroom_text(drawn), encoding="utf-8")
    (folder / "parade.toml").write_text(_ensemble_text(drawn), encoding="utf-8")
    return folder


def duration(minutes: int) -> str:
    """Minutes as a maker writes them."""
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{rest}m"
    return f"{hours}h{rest:02d}" if rest else f"{hours}h"


def _clock(minute: int) -> str:
    return f"{minute // 60:02d}:{minute % 60:02d}"


def _workroom_text(drawn: Drawn) -> str:
    lines = ["format = 1", 'fill_to = "1%"', f'setting_up = "{duration(drawn.setting_up)}"']
    for place, week in drawn.hours.items():
        if not any(week):
            continue
        lines += ["", f"[{place.replace('-', '_')}_hours]"]
        for name, spans in zip(DAYS, week, strict=True):
            if spans:
                texts = ", ".join(f'"{_clock(a)}-{_clock(b)}"' for a, b in spans)
                lines.append(f"{name} = [{texts}]")
    for first, last in drawn.away:
        lines += ["", "[[change]]", f"from = {first}", f"to = {last}"]
        lines += ["workroom = []", "sofa = []", "take_along = []", 'reason = "away"']
    return "\n".join(lines) + "\n"


def _ensemble_text(drawn: Drawn) -> str:
    lines = ["format = 1", 'name = "Lantern parade"']
    occasions = [(f"fitting-{k + 1}", "fitting", f) for k, f in enumerate(drawn.fittings)]
    for name, kind, occasion in [*occasions, ("parade", "event", drawn.event)]:
        lines += ["", "[[occasion]]", f'id = "{name}"', f'kind = "{kind}"']
        lines.append(f"at = {occasion.at.isoformat()}")
        if occasion.margin:
            lines.append(f'margin = "{occasion.margin}"')
    ids = drawn.ids()
    for name, step in zip(ids, drawn.steps, strict=True):
        if step.arrives is not None:
            lines += ["", "[[stock]]", f'id = "{_stock(name)}"', f'name = "cloth of {name}"']
            lines += ['have = "0 m"', "", "[[stock.coming]]", 'amount = "1 m"']
            lines.append(f"arrives = {step.arrives}")
    for number in sorted({s.garment for s in drawn.steps}):
        own = [i for i, s in enumerate(drawn.steps) if s.garment == number]
        lines += ["", "[[garment]]", f'id = "{GARMENTS[number]}"', f"layer = {number + 1}"]
        for i in own:
            lines += _step_lines(drawn.steps, ids, i)
    return "\n".join(lines) + "\n"


def _stock(name: str) -> str:
    return f"for-{name.replace('/', '-')}"


def _step_lines(steps: Sequence[DrawnStep], ids: Sequence[str], number: int) -> Iterable[str]:
    step, name = steps[number], ids[number]
    short = name.split("/")[1]
    yield from ("", "[[garment.step]]", f'id = "{short}"', f'hours = "{duration(step.minutes)}"')
    work = "fitting" if step.during is not None else "hand"
    if step.during is None and step.place == "workroom":
        work = WORKS[number % len(WORKS)]
    yield from (f'work = "{work}"', f'place = "{step.place}"')
    if step.during is not None:
        yield f'during = "fitting-{step.during + 1}"'
    if step.after:
        names = [
            ids[b].split("/")[1] if steps[b].garment == step.garment else ids[b] for b in step.after
        ]
        yield "after = [" + ", ".join(f'"{n}"' for n in names) + "]"
    if step.nights:
        yield f'wait = "{step.nights} night{"s" if step.nights > 1 else ""}"'
    if step.hands == 2:
        yield "hands = 2"
    if step.one_sitting:
        yield "one_sitting = true"
    if step.not_before is not None:
        yield f"not_before = {step.not_before.isoformat()}"
    if step.arrives is not None:
        yield f'uses = [{{ stock = "{_stock(name)}", amount = ["1 m"] }}]'
