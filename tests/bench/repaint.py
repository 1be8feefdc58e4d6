"""How soon a change of one measurement is on the screen: ``python -m tests.bench.repaint``.

Opens the program on a workroom of a hundred steps, and on the largest sample, opens the form of
a garment's measurements, and types into one of them. Told are the milliseconds from a key to the
hours and to the verdict, each drawn; the answer that is worked out beside the screen included.
"""

from __future__ import annotations

import asyncio
import shutil
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

from textual import events
from textual.pilot import Pilot
from textual.widgets import Input

from planner.catalogue.shelf import orders
from planner.files.beginning import begin
from planner.model import (
    NO_HOURS,
    Ensemble,
    Margin,
    Occasion,
    OccasionKind,
    Span,
    WeekHours,
    Workroom,
)
from planner.splitting.answers import usual
from planner.splitting.joining import join
from planner.splitting.split import split
from screens.app import Wearby
from screens.forms.form import Form
from screens.garments import Garments
from screens.previews import Preview

ALLOWED = 100.0
"""Milliseconds from a key to hours and verdict."""
SAMPLE = Path("sample_projects/hallow_skerry")
SAMPLE_NOW = datetime(2027, 9, 1, 8)
NOW = datetime(2027, 3, 1, 8)
GARMENTS = ("stays", "shift", "petticoat", "gored-skirt", "hat", "bag", "cloak")
STEPS = 100
MEASURED = "petticoat"
KEYS = 40
"""Keys that are typed into the measurement."""


@dataclass(slots=True)
class Times:
    """Milliseconds from a key to what was drawn, key by key."""

    steps: int = 0
    hours: list[float] = field(default_factory=list)
    verdict: list[float] = field(default_factory=list)
    """The first answer: what is certain of the verdict."""
    whole: list[float] = field(default_factory=list)
    """The last answer: peak and moved steps too."""

    def said(self, name: str) -> str:
        """The figures of a workroom."""
        rows = [
            ("hours", self.hours),
            ("verdict", self.verdict),
            ("with peak and moves", self.whole),
        ]
        told = [f"{what} {_figures(values)}" for what, values in rows]
        return f"{name}, {self.steps} steps: {'; '.join(told)}"


def _figures(values: Sequence[float]) -> str:
    return f"median {median(values):.0f} ms, 95 % within {most(values):.0f} ms"


def most(values: Sequence[float]) -> float:
    """What 95 % keep within."""
    return sorted(values)[min(len(values) - 1, int(len(values) * 0.95))]


class Watched(Wearby):
    """The program, with the moment of the last key."""

    CSS_PATH = "../../screens/app.tcss"
    key_at = 0.0

    async def on_event(self, event: events.Event) -> None:
        """Remember when a key came."""
        if isinstance(event, events.Key):
            self.key_at = perf_counter()
        await super().on_event(event)


def hundred(folder: Path) -> Path:
    """A workroom of a hundred steps, split from orders of construction as they come."""
    ensemble = Ensemble(
        id="orchard-walk",
        name="The orchard walk",
        occasions=(
            _occasion("first-fitting", OccasionKind.FITTING, datetime(2027, 4, 3, 14)),
            _occasion("second-fitting", OccasionKind.FITTING, datetime(2027, 4, 24, 14)),
            _occasion("trial", OccasionKind.TRIAL_WEAR, datetime(2027, 5, 22, 14)),
            _occasion("walk", OccasionKind.EVENT, datetime(2027, 6, 19, 11)),
        ),
    )
    known = orders()
    for kind in GARMENTS:
        if sum(len(garment.steps) for garment in ensemble.garments) < STEPS:
            order = known[kind]
            made = split(order, usual(order))
            ensemble = join(ensemble, made, orders=known, now=NOW).ensemble
    begin(folder, ensemble, _workroom())
    return folder


def _occasion(ident: str, kind: OccasionKind, at: datetime) -> Occasion:
    margin = Margin(days=1) if kind is OccasionKind.EVENT else Margin()
    return Occasion(id=ident, kind=kind, at=at, margin=margin)


def _workroom() -> Workroom:
    """Evenings and Saturdays, some on the sofa, some on the train."""
    evening = (Span(start=19 * 60, end=21 * 60 + 30),)
    saturday = (Span(start=10 * 60, end=13 * 60), Span(start=14 * 60, end=17 * 60))
    sofa = (Span(start=20 * 60, end=21 * 60 + 30),)
    train = (Span(start=450, end=490),)
    week: WeekHours = ((), evening, (), evening, (), saturday, ())
    return Workroom(
        fill_to=0.7,
        setting_up=10,
        hand_sewing_limit=150,
        workroom_hours=week,
        sofa_hours=(sofa, (), sofa, (), (), (), sofa),
        take_along_hours=(train, (), train, (), train, (), ()),
        helper_hours=(*NO_HOURS[:5], saturday[1:], ()),
    )


async def times(path: Path, now: datetime) -> Times:
    """Type into the measurement of a workroom's petticoat."""
    app, found = Watched(path, lambda: now), Times()
    async with app.run_test(size=(120, 40)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        form = await _opened(app, pilot)
        _watch(app, form, found)
        for key in ("9", "backspace") * (KEYS // 2):
            await pilot.press(key)
            await app.workers.wait_for_complete()
            await pilot.pause()
        assert app.state is not None
        found.steps = len(app.state.plan.steps)
    return found


async def _opened(app: Watched, pilot: Pilot[int]) -> Form:
    """The form of the petticoat's measurements, the cursor within its hem."""
    await app.switch_mode("garments")
    await pilot.pause()
    screen = app.screen
    assert isinstance(screen, Garments)
    ensemble = next(
        ensemble.id
        for ensemble in app.session.project.ensembles
        if any(garment.id == MEASURED for garment in ensemble.garments)
    )
    screen.go_to(f"{ensemble}/{MEASURED}")
    screen.action_measure()
    await pilot.pause()
    form = app.screen
    assert isinstance(form, Form)
    row = form.rows["answer.hem"]
    row.put("3.1 m")
    await pilot.pause()
    value = row.value
    assert isinstance(value, Input)
    value.focus()
    await app.workers.wait_for_complete()
    await pilot.pause()
    value.cursor_position = 2
    return form


def _watch(app: Watched, form: Form, times: Times) -> None:
    """Note when what the form shows of hours and verdict has been drawn."""
    answered = 0

    def drawn(into: list[float]) -> Callable[[], None]:
        key_at = app.key_at
        return lambda: into.append((perf_counter() - key_at) * 1000)

    show_preview, say = form.show_preview, form.heading.say

    def previewed(preview: Preview) -> None:
        nonlocal answered
        assert preview.plan is not None, preview.problems
        show_preview(preview)
        if preview.number != answered:
            form.call_after_refresh(drawn(times.verdict))
        if preview.final:
            form.call_after_refresh(drawn(times.whole))
        answered = preview.number

    def said(text: str, right: str = "") -> None:
        say(text, right)
        form.call_after_refresh(drawn(times.hours))

    form.show_preview = previewed  # type: ignore[method-assign]
    form.heading.say = said  # type: ignore[method-assign]


def main() -> int:
    """Measure both workrooms; 1 where 95 % of the keys took longer than is allowed."""
    slow = False
    with TemporaryDirectory() as folder:
        sample = Path(shutil.copytree(SAMPLE, Path(folder) / "sample"))
        drawn = hundred(Path(folder) / "hundred")
        for name, path, now in (("split", drawn, NOW), (SAMPLE.name, sample, SAMPLE_NOW)):
            found = asyncio.run(times(path, now))
            print(found.said(name), flush=True)
            slow = slow or max(most(found.hours), most(found.verdict)) > ALLOWED
    return int(slow)


if __name__ == "__main__":
    sys.exit(main())
