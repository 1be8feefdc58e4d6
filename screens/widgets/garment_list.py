"""The garments in dressing order, the occasions, and what must be there besides, one a line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from planner.model import Ensemble, Project
from planner.plan import Plan, PlannedOccasion
from screens.dressing import (
    GarmentRow,
    garment_rows,
    occasion_told,
    occasions_of,
)
from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.wording import (
    cells,
    clean,
    column,
    hour,
    listed,
    occasion_name,
    padded,
    short_date,
    wrapped,
)

GARMENT, OCCASION, PACK, ENSEMBLE, DATES = "garment", "occasion", "pack", "ensemble", "dates"
"""What the cursor can stand on: the first word of a line's key; the rest is the full id."""
BEFORE_NAME = 6
"""Columns of cursor and layer."""
SOURCE = 6
LEAST_NAME = 12
"""Columns an occasion's name gets at the least."""
BOUNDS_FROM = 92
"""Columns from which on the bounds of the hours stand in the line."""


class GarmentList(Lines):
    """Ensembles with their garments and occasions."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "choose",
            "steps",
            key_display="enter",
            id="garments.enter",
            tooltip="Go to the steps of this garment",
        ),
    ]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.project: Project | None = None
        self.plan: Plan | None = None

    def show(self, project: Project, plan: Plan) -> None:
        """Show a project by its plan; the cursor stays where it is, at first on a garment."""
        self.project, self.plan = project, plan
        self.renew()

    def renew(self) -> None:
        """Compose afresh; tells where the cursor begins."""
        before = self.cursor
        super().renew()
        if before is None and self.cursor is not None:
            self.post_message(self.Moved(self, self.cursor))

    @property
    def subject(self) -> tuple[str, str]:
        """What the cursor stands on, and its full id; empty where there is nothing."""
        kind, _, ident = (self.cursor or "").partition(" ")
        return kind, ident

    def compose_lines(self, width: int) -> Sequence[Line]:
        """Ensemble by ensemble."""
        project, plan = self.project, self.plan
        if project is None or plan is None:
            return ()
        if not project.ensembles:
            return [plain(f"  {line}", "faint") for line in _no_ensemble(width - 4)]
        if self.cursor is None:
            self.cursor = _first_garment(plan, project)
        found: list[Line] = []
        for ensemble in project.ensembles:
            if len(project.ensembles) > 1:
                if found:
                    found.append(plain(""))
                found.append(self._heading(ensemble))
            found += self._garments(plan, ensemble, width)
            found.append(plain("╌" * width, "line"))
            found += self._occasions(plan, ensemble, width)
            found += self._pack(ensemble, width)
        return found

    def _marked(self, key: str, *runs: Run, right: Run | None = None) -> Line:
        here = CURSOR if key == self.cursor else " "
        return Line(runs=(Run(text=here, style="accent"), *runs), right=right, key=key)

    def _heading(self, ensemble: Ensemble) -> Line:
        name = clean(ensemble.name) or clean(ensemble.id)
        return self._marked(f"{ENSEMBLE} {ensemble.id}", Run(text=f" {name}", style="strong"))

    # garments

    def _garments(self, plan: Plan, ensemble: Ensemble, width: int) -> list[Line]:
        rows = garment_rows(plan, ensemble)
        if not rows:
            told = Run(text="     No garment yet: a adds the first.", style="faint")
            return [self._marked(f"{GARMENT} {ensemble.id}/", told)]
        hours = max(cells(_hours(row)) for row in rows)
        bounds = 13 if width >= BOUNDS_FROM else 0
        reached = [row.reached for row in rows]
        room = width - BEFORE_NAME - SOURCE - hours - bounds - 6
        names = min(max(cells(_name(row, ensemble)) for row in rows), max(10, room - 19))
        whole = max(cells(text) for text in reached) <= room - names
        return [
            line
            for row in rows
            for line in self._row(row, ensemble, names, hours, bounds, whole)
        ]

    def _row(
        self,
        row: GarmentRow,
        ensemble: Ensemble,
        names: int,
        hours: int,
        bounds: int,
        whole: bool,
    ) -> list[Line]:
        """Layer, name, where from, hours, stage; all stages where there is room.

        A longer name goes on beneath.
        """
        layer = "" if row.layer is None else str(row.layer)
        faint = row.left_off or not row.left
        name, *rest = wrapped([_name(row, ensemble)], names) or [""]
        head = f"{layer:>3}  {padded(name, names)}  {row.source:<{SOURCE}}  "
        told = f"{_hours(row):>{hours}}"
        if bounds:
            span = f"{column(row.low)}-{column(row.high)}" if row.left else ""
            told += f"  {span:>{bounds - 2}}"
        stage = row.reached if whole else row.wearable
        style = "faint" if faint else ""
        key = f"{GARMENT} {row.id}"
        line = self._marked(
            key,
            Run(text=head, style=style),
            Run(text=f"{told}  ", style=style),
            Run(text=stage, style="accent" if stage.startswith("not ") else "faint"),
        )
        return [line, *_further(rest, BEFORE_NAME, key, style)]

    # occasions, and what must be there besides

    def _occasions(self, plan: Plan, ensemble: Ensemble, width: int) -> list[Line]:
        found = occasions_of(plan, ensemble.id)
        if not found:
            told = Run(text="     No occasion yet: i adds the first.", style="faint")
            return [self._marked(f"{DATES} {ensemble.id}", told)]
        return [line for one in found for line in self._occasion(one, width)]

    def _occasion(self, occasion: PlannedOccasion, width: int) -> list[Line]:
        """When, its name, how it stands: beneath the name where both are too long for a line."""
        at = f"     {short_date(occasion.at.date())} {hour(occasion.kind, occasion.at):5}  "
        told = occasion_told(occasion)
        name = occasion_name(occasion)
        indent = 1 + cells(at)
        room = max(width - indent - 1, LEAST_NAME)
        beside = cells(name) + 2 + cells(told) <= room
        first, *rest = [name] if beside else wrapped([name], room)
        key, style = f"{OCCASION} {occasion.id}", "faint" if occasion.past else ""
        hurts = "accent" if occasion.short or occasion.late else "faint"
        line = self._marked(
            key,
            Run(text=at, style="faint"),
            Run(text=f"{first}  ", style=style),
            Run(text=told if beside else "", style=hurts),
        )
        beneath = [] if beside else wrapped([told], room)
        return [
            line,
            *_further(rest, indent, key, style),
            *_further(beneath, indent, key, hurts),
        ]

    def _pack(self, ensemble: Ensemble, width: int) -> list[Line]:
        """What must be there besides, whole."""
        things = [clean(one) for one in ensemble.pack]
        told = f"Must be there too: {listed(things, len(things))}"
        if not things:
            told = "What else must be there (shoes, jewels): e lists it."
        key = f"{PACK} {ensemble.id}"
        first, *rest = wrapped([told], max(20, width - BEFORE_NAME - 1))
        line = self._marked(key, Run(text=f"     {first}", style="faint"))
        return [line, *_further(rest, BEFORE_NAME, key, "faint")]

    def go(self, key: str, tell: bool = True) -> bool:
        """Put the cursor there, and its mark with it."""
        moved = super().go(key, tell)
        if moved:
            self.renew()
        return moved


def _further(texts: Sequence[str], indent: int, key: str, style: str) -> list[Line]:
    """The rest of a name, beneath its beginning; a click goes to its line."""
    return [Line(runs=(Run(text=" " * indent + text, style=style),), click=key) for text in texts]


def _first_garment(plan: Plan, project: Project) -> str | None:
    """Where the cursor begins."""
    for ensemble in project.ensembles:
        for row in garment_rows(plan, ensemble):
            return f"{GARMENT} {row.id}"
    return None


def _name(row: GarmentRow, ensemble: Ensemble) -> str:
    """Its name, with the wearer where an ensemble has several."""
    wearers = {garment.wearer for garment in ensemble.garments if garment.wearer}
    return f"{row.name}, {row.wearer}" if row.wearer and len(wearers) > 1 else row.name


def _hours(row: GarmentRow) -> str:
    """What is left, of what where something is done."""
    return column(row.left) if row.left and row.left == row.total else row.hours


def _no_ensemble(width: int) -> list[str]:
    """What to do where there is nothing yet."""
    told = (
        "There is no ensemble here yet. “wearby new FOLDER” begins one, in a folder of its own"
        " or in this one; it is shown here as soon as it is there."
    )
    return ["", *wrapped([told], max(20, min(width, 72)))]
