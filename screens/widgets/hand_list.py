"""The hand sewing as lines: day by day against the limit, or garment by garment."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual.binding import Binding, BindingType

from planner.handwork import HandDay, HandStep, HandWork
from planner.other_ways import OtherWay
from planner.plan import Plan
from screens.handwork_told import (
    LEAST_SHORT,
    WHERE,
    DayPart,
    could_be,
    day_head,
    day_over,
    day_parts,
    day_strip,
    glance,
    nothing,
    otherwise,
    places,
    saves,
    slice_of,
    step_days,
)
from screens.widgets.days import strip_runs
from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.widgets.marked import MarkedLines, marked
from screens.wording import cells, column, garment_of, name_of, padded, short_names, wrapped

STRIP = 16
"""Cells a day's strip may take."""
LEAST_GARMENT = 14
"""Columns a garment's name gets, where there is little room."""
FAIR_GARMENT = 20
"""So many where the names of steps would take more than their share."""
PLACE = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """How wide name, garment, and where else it could be are drawn."""

    name: int
    garment: int
    """0 where it isn't drawn."""
    could: int
    width: int
    """Of a whole line."""


def key_of(part: str, step: str) -> str:
    """What the cursor stands on: a step, in one of its parts."""
    return f"{part}|{step}"


class HandList(MarkedLines, can_focus=True):
    """Steps by hand, under their days or their garments."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "choose",
            "why",
            key_display="enter",
            id="hand.enter",
            tooltip="Go to the reason of this step, and to what a machine would save",
        ),
    ]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.plan: Plan | None = None
        self.work: HandWork | None = None
        self.by_garment = False
        self.slice: int | None = None
        self.short: Mapping[str, str] = {}
        """Garments' names without what describes them."""

    def show(self, plan: Plan, work: HandWork) -> None:
        """Show the hand sewing of a plan; the cursor stays on its step."""
        self.plan, self.work = plan, work
        ids = [one.step.id for one in work.steps] + [way.step for way in work.to_machine]
        self.short = short_names(dict.fromkeys(garment_of(plan, step) for step in ids))
        self._stay()
        self.renew()

    def group(self, by_garment: bool) -> None:
        """By garment or by day; the cursor stays on its step."""
        self.by_garment = by_garment
        self._stay()
        self.renew()
        self.keep_in_view()

    @property
    def step(self) -> str | None:
        """Full id of the step under the cursor."""
        return self.cursor.partition("|")[2] if self.cursor is not None else None

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Where there is nothing, nothing can be opened."""
        return self.cursor is not None if action == "choose" else True

    def find(self, step: str) -> bool:
        """Put the cursor on a step's first line; whether there is one."""
        key = next((key for key in self._keys() if key.endswith(f"|{step}")), None)
        return key is not None and self.go(key)

    def steps_in_order(self) -> list[str]:
        """Full ids of the steps as they stand beneath each other, each once."""
        return list(dict.fromkeys(key.partition("|")[2] for key in self._keys()))

    def _stay(self) -> None:
        """Where the cursor's own line goes, it stays on its step."""
        step = self.step
        width = self.scrollable_content_region.width
        keys = [line.key for line in self.compose_lines(width) if line.key] if width > 0 else []
        if step is not None and self.cursor not in keys:
            same = (key for key in keys if key.endswith(f"|{step}"))
            self.cursor = next(same, self.cursor)

    def renew(self) -> None:
        """Compose afresh; tells where the cursor begins."""
        before = self.cursor
        super().renew()
        if before is None and self.cursor is not None:
            self.post_message(self.Moved(self, self.cursor))

    def go(self, key: str, tell: bool = True) -> bool:
        """Put the cursor on a line, and its mark with it; the lines stay as they are."""
        moved = Lines.go(self, key, tell)
        self.lines = marked(self.lines, key) if moved else self.lines
        return moved

    def keep_in_view(self) -> None:
        """The cursor's line, and the day or garment it stands under."""
        super().keep_in_view()
        index = self._index()
        above = index - 1 if index else None
        if above is not None and self.lines[above].key is None and above < self.scroll_offset.y:
            self.scroll_to(y=above, animate=False, force=True)

    # lines

    def compose_lines(self, width: int) -> Sequence[Line]:
        """The sum, then days or garments, what has no day, what was given to the machine."""
        plan, work = self.plan, self.work
        if plan is None or work is None:
            return ()
        if not work.steps and not work.to_machine:
            told = wrapped([nothing(plan)], max(20, min(width - 4, 72)))
            return [plain(""), *(plain(f"  {line}", "faint") for line in told)]
        found = self._sum(work, width)
        columns = self._columns(width)
        steps = {one.step.id: one for one in work.steps}
        if self.by_garment:
            found += self._garments(work, columns)
        else:
            self.slice = slice_of(work, STRIP)
            for day in work.days:
                found += self._day(day, steps, columns)
        found += self._without_day(work, columns)
        found += self._to_machine(work.to_machine, columns)
        return found

    @staticmethod
    def _sum(work: HandWork, width: int) -> list[Line]:
        """How much there is, where, and what of it could be had otherwise: a line each."""
        found = [plain(f" {line}", "strong") for line in wrapped(glance(work), width - 2)]
        for told in ([places(work)], otherwise(work)):
            found += [plain(f" {line}") for line in wrapped(told, width - 2)]
        return found

    def _columns(self, width: int) -> Columns:
        """Names get what the others leave."""
        plan, work = self.plan, self.work
        assert plan is not None and work is not None
        names = [name_of(plan, one.step.id) for one in work.steps]
        names += [name_of(plan, way.step) for way in work.to_machine]
        garments = list(self.short.values()) or [""]
        could = max(map(cells, LEAST_SHORT.values()))
        name = max(map(cells, names), default=0)
        garment = max(map(cells, garments))
        room = width - 10 - PLACE - 2 - 1
        if self.by_garment:  # it stands above them
            could = could if name + could + 2 <= room else 0
            name = max(10, min(name, room - (could + 2 if could else 0)))
            return Columns(name=name, garment=0, could=could, width=width)
        if name + garment + 4 + could > room:
            could = 0
            garment = min(garment, max(FAIR_GARMENT, room - name - 2))
        name = max(10, min(name, room - garment - 2 - (could + 2 if could else 0)))
        return Columns(name=name, garment=garment, could=could, width=width)

    def _line(
        self, part: str, step: str, head: str, columns: Columns, could: str, right: str
    ) -> list[Line]:
        """One step: what stands before its name, name, garment, where else, what it saves.

        Longer names go on beneath.
        """
        plan = self.plan
        assert plan is not None
        key = key_of(part, step)
        here = CURSOR if key == self.cursor else " "
        garment = garment_of(plan, step)
        told = self.short.get(garment, garment)
        names = wrapped([name_of(plan, step)], columns.name) or [""]
        garments = wrapped([told], columns.garment) if columns.garment else []
        rows = []
        for number in range(max(len(names), len(garments))):
            name = names[number] if number < len(names) else ""
            of = garments[number] if number < len(garments) else ""
            began = not number
            runs = [
                Run(text=here if began else " ", style="accent"),
                Run(text=head if began else " " * cells(head)),
                Run(text=padded(name, columns.name) if columns.garment or could else name),
            ]
            if columns.garment:
                shown = padded(of, columns.garment) if columns.could else of
                runs.append(Run(text=f"  {shown}", style="faint"))
            if columns.could and began:
                runs.append(Run(text=f"  {could}", style="faint"))
            rows.append(tuple(runs))
        return _with_mark(rows, right, key, columns.width)

    def _day(self, day: HandDay, steps: Mapping[str, HandStep], columns: Columns) -> Iterator[Line]:
        """A day with its strip against the limit, and its steps."""
        plan, work = self.plan, self.work
        assert plan is not None and work is not None
        parts = day_parts(day)
        said: set[str] = set()
        strip = day_strip(day, work.limit, self.slice or 1)
        over = day_over(day)
        today = day.date == plan.now.date()
        yield Line(
            runs=(
                Run(text=f" {day_head(day, work.limit)}  ", style="strong" if today else ""),
                *strip_runs(strip),
            ),
            right=Run(text=over, style="accent") if over else None,
            click=key_of(self._part(day, parts[0]), parts[0].step),
        )
        for one in parts:
            mine = steps.get(one.step)
            could = self._could(mine, one) if mine is not None else ""
            # said of a whole step, it stands where that begins
            begins = mine is not None and day.date == mine.days[0] and one.step not in said
            said.add(one.step)
            right = saves(mine.ways) if mine is not None and begins else ""
            head = f"  {column(one.minutes):>5}  {WHERE[one.where]:<{PLACE}}  "
            yield from self._line(self._part(day, one), one.step, head, columns, could, right)

    @staticmethod
    def _part(day: HandDay, part: DayPart) -> str:
        return f"{day.date.isoformat()} {part.where.value}"

    @staticmethod
    def _could(one: HandStep, part: DayPart) -> str:
        return LEAST_SHORT[one.step.place] if could_be(one.step, part.where) else ""

    def _garments(self, work: HandWork, columns: Columns) -> Iterator[Line]:
        """Garment by garment, each step once, with its days."""
        plan = self.plan
        assert plan is not None
        garments: dict[str, list[HandStep]] = {}
        for one in work.steps:
            if one.days:
                garments.setdefault(one.step.id.rpartition("/")[0], []).append(one)
        for mine in garments.values():
            minutes = sum(one.minutes for one in mine)
            first = mine[0].step.id
            yield Line(
                runs=(Run(text=f" {column(minutes):>6}  {garment_of(plan, first)}"),),
                click=key_of("step", first),
            )
            for one in mine:
                days = padded(step_days(one.days), PLACE)
                if len(one.days) > 1:
                    days = padded(f"{len(one.days)} days", PLACE)
                head = f"  {column(one.minutes):>5}  {days}  "
                could = LEAST_SHORT[one.step.place]
                yield from self._line(
                    "step", one.step.id, head, columns, could, saves(one.ways)
                )

    def _without_day(self, work: HandWork, columns: Columns) -> Iterator[Line]:
        """Steps for which there is no time."""
        lacking = [one for one in work.steps if not one.days]
        if lacking:
            yield plain(" On no day, for there is no time for it", "accent")
        for one in lacking:
            head = f"  {column(one.step.left):>5}  {'no day':<{PLACE}}  "
            could, key = LEAST_SHORT[one.step.place], one.step.id
            mine = self._with_garment(columns)
            yield from self._line("none", key, head, mine, could, saves(one.ways))

    def _to_machine(self, ways: Sequence[OtherWay], columns: Columns) -> Iterator[Line]:
        """What is sewn by machine, and could be by hand again."""
        if ways:
            yield plain(" Given to the machine", "faint")
        for way in ways:
            more = f"{column(-way.saved)} more" if way.saved < 0 else ""
            head = f"  {column(way.left):>5}  {'by hand':<{PLACE}}  "
            yield from self._line("machine", way.step, head, self._with_garment(columns), "", more)

    @staticmethod
    def _with_garment(columns: Columns) -> Columns:
        """Where no garment stands above, it stands in the line."""
        if columns.garment:
            return columns
        name = max(10, columns.name - LEAST_GARMENT - 2)
        return Columns(
            name=name, garment=LEAST_GARMENT, could=columns.could, width=columns.width
        )


def _with_mark(rows: Sequence[tuple[Run, ...]], mark: str, key: str, width: int) -> list[Line]:
    """The lines of a step, with its mark at the right edge of the first that has room for it,
    else beneath them."""
    right = Run(text=mark, style="accent") if mark else None
    found = []
    for number, runs in enumerate(rows):
        used = cells("".join(run.text for run in runs).rstrip())
        fits = right is not None and used + 2 + cells(mark) <= width - 1
        found.append(
            Line(
                runs=runs,
                right=right if fits else None,
                key=None if number else key,
                click=key if number else None,
            )
        )
        right = None if fits else right
    if right is not None:
        found.append(Line(runs=(), right=right, click=key))
    return found
