"""The Textual program: opens a workroom, holds the one current state, replans, switches screens."""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from functools import partial
from pathlib import Path
from threading import Event
from time import monotonic
from typing import TYPE_CHECKING, Any, ClassVar
from weakref import WeakSet

from textual import events, work
from textual.binding import BindingType
from textual.message import Message
from textual.screen import Screen

from planner.files.recovery import Unsaved
from planner.model import Project
from planner.plan import Plan
from planner.problems import InputError, Problem
from screens import state
from screens.entering import enter, remember
from screens.everywhere import EVERYWHERE
from screens.going_about import GoesAbout
from screens.in_turn import InTurn
from screens.page import Page
from screens.previews import Asked, Preview, Previews, Told, previews_of
from screens.recent import RecentWorkrooms
from screens.registry import SCREENS
from screens.session import Edit, Session
from screens.settling import (
    asks_before_leaving,
    form_closed,
    offer_unsaved,
    say_who_has_it,
    settle,
)
from screens.showing import ShowsState
from screens.sitting import Sitting
from screens.state import Fingerprint, State, fingerprint
from screens.themes import LAMPLIGHT, THEMES
from screens.warming import warm
from screens.widgets.verdict_line import VerdictLine
from screens.wording import clean, count

if TYPE_CHECKING:
    from screens.ahead import Ahead

LOOK_EVERY = 2.0
"""Seconds between looks at the files."""
BLINK = 0.25
"""Seconds after which a plan that isn't exact yet is worth showing."""
SLOW = 0.6
"""Seconds after which it is said that a plan is being made; after an edit, whose words stand over
the plan before it, a blink."""
LATELY = timedelta(minutes=10)
"""A plan that was made beforehand is shown as the new one where it is no older."""
HAND_OVER = 0.001
"""Seconds a thread that plans may keep the screen's waiting."""
BRIEFLY = 0.01
"""Seconds for which nothing is drawn while screens change."""
PATIENCE = 0.5
"""Seconds for which the first picture waits for the verdict."""


@dataclass(frozen=True, slots=True)
class Again:
    """What was shown, planned once more from a later moment."""

    of: State
    now: datetime
    plan: Plan

    def holds(self, shown: State, now: datetime) -> bool:
        """Whether it is of what is shown, and not of long ago."""
        same = self.of.project is shown.project and self.of.now == shown.now
        return same and _lately(self.now, now)


class Wearby(GoesAbout):
    """One workroom, one state, one plan."""

    TITLE = "wearby"
    CSS_PATH = "app.tcss"
    MODES: ClassVar = {one.name: one.make for one in SCREENS}
    DEFAULT_MODE = SCREENS[0].name
    ENABLE_COMMAND_PALETTE = False  # what can be done is listed by a dialog of ours
    BINDINGS: ClassVar[list[BindingType]] = EVERYWHERE

    @dataclass
    class Planned(Message):
        """A plan was made."""

        number: int
        state: State
        refined: bool = False
        """The same plan as the one before, with more of it exact."""
        seen: Fingerprint | None = None
        """How the files looked when they were read for it; None where they were not."""

    @dataclass
    class NotRead(Message):
        """The files could not be read."""

        number: int
        problems: tuple[Problem, ...]

    @dataclass
    class Answered(Message):
        """A preview was made; perhaps too late."""

        preview: Preview
        told: Told

    def __init__(
        self,
        path: Path,
        clock: Callable[[], datetime],
        beginning: Screen[None] | None = None,
        recent: RecentWorkrooms | None = None,
    ) -> None:
        """``beginning`` asks for what isn't at ``path`` yet, and calls ``begun``.

        ``recent`` keeps in mind which workrooms were opened; None: nobody does.
        """
        super().__init__()
        self.path = path
        self.beginning = beginning
        self.ahead: Ahead | None = None
        """The first plan, where another process makes it."""
        self.when_planned: Callable[[], None] | None = None
        """Called once, when the plan that is being made is shown."""
        self.clock = self.started_with = clock
        self.as_of: date | None = None
        """The day a sample is looked at from."""
        self.recent = recent
        self.warms = False
        """Whether the other screens are made ready as soon as the first is there."""
        self.keeps = False
        """Whether each plan that is shown is kept in the workroom's folder, too."""
        self.keeps_edited = False
        """Whether a plan is, that follows from an edit (also where one only looks ahead)."""
        self.keeps_next = False
        self.told_since: date | None = None
        """The day on which it was said what has moved since an earlier one."""
        self.holds = False
        """Whether the workroom is open for writing here alone."""
        self.put_off: list[Unsaved] = []
        """Edits that couldn't be saved, and are decided on another time."""
        self.told_who_has_it: WeakSet[Screen[Any]] = WeakSet()
        """Forms on which it was said, if anybody else has the workroom open."""
        self.left_unsaved: list[Unsaved] = []
        """Those of workrooms that were left, which are kept nowhere else."""
        self.remembered: Path | None = None
        """The workroom that is in mind already."""
        self.session = Session(path, clock)
        self.sitting = Sitting(self)
        """The clock: what somebody sits at."""
        self.previews = Previews()
        self.in_turn = InTurn(self)
        """Holds a key back till the one before it has had its effect."""
        self.again: Again | None = None
        """What was shown, as of later."""
        self.told_held: set[str] = set()
        """Occasions of which it was said that they count as held."""
        self.cursor: str | None = None
        """Id on which the cursor goes with the plan that is being made."""
        self.state: State | None = None
        self.problems: tuple[Problem, ...] = ()
        """What is wrong in the files since the state was read."""
        self.seen: Fingerprint = ()
        self.requested = self.answered = 0
        self.being_read: set[str] = set()
        """What is told while a mouse button is held down."""
        self.held_back = ExitStack()
        """Holds the first picture back till its verdict is there, though not for long."""
        self.drawn = Event()
        """The first verdict is on the screen: nothing is worked out beside it before."""
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = LAMPLIGHT.name

    def delay_update(self, delay: float = BRIEFLY) -> None:
        """Hold drawing back while one screen gives way to another, but for no longer than that."""
        super().delay_update(min(delay, BRIEFLY))

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our own variables, in whatever colours."""
        return LAMPLIGHT.variables

    def on_mount(self) -> None:
        """Read and plan, and look at the files from time to time."""
        # what is worked out beside the screen is to let keys through at once
        sys.setswitchinterval(HAND_OVER)
        self.set_interval(LOOK_EVERY, self.look)
        self.sitting.begin()
        self.held_back.enter_context(self.batch_update())
        self.set_timer(PATIENCE, self.held_back.close)
        if self.beginning is not None:
            self.call_after_refresh(self._ask_first, self.beginning)
        else:
            self.replan()

    async def _ask_first(self, beginning: Screen[None]) -> None:
        """Ask before anything can be shown."""
        await self.push_screen(beginning)
        self.held_back.close()
        self.call_after_refresh(self._is_drawn)

    def _is_drawn(self) -> None:
        """The first picture is there: what can wait for it may begin."""
        first = not self.drawn.is_set()
        self.drawn.set()
        if first and self.warms:
            warm(self)
        if first and not gc.isenabled():
            # what was made to begin with stays, and need not be looked through for rubbish
            gc.freeze()
            gc.enable()

    def begun(self, path: Path, label: str) -> None:
        """A workroom was begun at ``path``: open it, ready for its first garment."""
        self.when_planned = partial(self._first_garment, f"{label}: {path}")
        self.call_later(enter, self, path, mode="garments")

    def action_open_another(self) -> None:
        """Ask which workroom is to be opened in place of this one."""
        from screens.which import WhichWorkroom

        self.push_screen(WhichWorkroom())

    def _first_garment(self, told: str) -> None:
        self.tell(f"{told[:1].upper()}{told[1:]}")
        self.call_after_refresh(self.screen.run_action, "add")

    # the state

    def replan(self) -> None:
        """Ask for a plan of the files as they are."""
        self.requested += 1
        self.seen = fingerprint(self.path)
        self._plan(self.requested, None, self.clock(), self.seen)
        self.set_timer(SLOW, partial(self._say_planning, self.requested))

    def _plan_edited(self, cursor: str | None, made: State | None = None) -> None:
        """Ask for a plan of the project as the session holds it; ``made`` is shown at once where
        it is of that project."""
        self.requested += 1
        self.seen = fingerprint(self.path)
        self.cursor = cursor
        project, now = self.session.project, self.clock()
        if made is not None and made.project == project and _lately(made.now, now):
            planned = self.state.planned if self.state is not None else ()
            shown = replace(made, project=project, planned=planned, before=self._as_of(now))
            self.post_message(self.Planned(self.requested, shown))
            return
        self._plan(self.requested, project, now, None)
        self.set_timer(BLINK, partial(self._say_planning, self.requested))

    def _say_planning(self, number: int) -> None:
        """Say that a plan is being made, where it still is."""
        if number == self.requested and self.answered < number:
            self._say_whether(planning=True)

    def _say_whether(self, *, planning: bool) -> None:
        for screen in self._showing():
            for verdict in screen.query(VerdictLine):
                verdict.planning = planning

    @work(thread=True, group="plan", exit_on_error=False)
    def _plan(
        self, number: int, project: Project | None, now: datetime, seen: Fingerprint | None
    ) -> None:
        """Plan beside the screen, reading the files unless there is a project; tells what came.

        Where the quick plan takes longer than a blink it is shown before the thorough one, and so
        is the first of all.
        """
        try:
            begun, shown = monotonic(), self.state
            first = shown is None
            ahead, self.ahead = self.ahead, None
            held = ahead.state(self.seen) if ahead is not None else None
            if held is not None:
                quick = replace(held, exactly=partial(self._exactly, held))
            elif project is None:
                quick = state.read_and_plan(
                    self.path, now, thorough=False, holding=self.session.holding
                )
            else:
                quick = state.plan_of(project, now, thorough=False)
                quick = replace(quick, before=self._as_of(now, shown))
            early = first or monotonic() - begun > BLINK
            if early:
                self.post_message(self.Planned(number, quick, seen=seen))
            if first:
                self.drawn.wait(PATIENCE)
            found = state.refined(quick)
            self.post_message(self.Planned(number, found, refined=early, seen=seen))
        except InputError as error:
            self.post_message(self.NotRead(number, error.problems))
        except Exception as error:
            text = f"wearby itself failed ({type(error).__name__}: {error}); please report it."
            problem = Problem(file=str(self.path), place="", text=text)
            self.post_message(self.NotRead(number, (problem,)))

    def _as_of(self, now: datetime, shown: State | None = None) -> Plan | None:
        """What is shown, planned from now, where the clock has gone on since; None where it
        hasn't."""
        shown = shown or self.state
        if shown is None or not state.clock_went_on(shown, now):
            return None
        if self.again is None or not self.again.holds(shown, now):
            self.again = Again(shown, now, state.as_of_now(shown, now))
        return self.again.plan

    def _exactly(self, held: State) -> Plan:
        """The whole plan of what was planned ahead."""
        return state.plan_of(held.project, held.now).plan

    def look(self) -> None:
        """Replan when a file or the date has changed, or an occasion is over."""
        if self.beginning is not None:
            return
        if self._is_another_day() or fingerprint(self.path) != self.seen:
            self.replan()

    def _is_another_day(self) -> bool:
        """Whether the date has changed since the plan that is shown, or an occasion is over."""
        shown, now = self.state, self.clock()
        if shown is None:
            return False
        ends = (one.end for one in shown.plan.occasions if not one.past)
        return shown.now.date() != now.date() or any(end <= now for end in ends)

    def on_wearby_planned(self, event: Planned) -> None:
        """Show the newest plan; an older one that comes late is dropped."""
        if event.number != self.requested:
            return
        before = self.state
        self.state, self.problems, self.answered = event.state, (), event.number
        self._say_whether(planning=False)
        if event.seen is not None:
            self.session.now_read(event.state.project, event.seen)
        if event.state.exactly is None:
            self._keep(event.state.plan)
        cursor, self.cursor = self.cursor, None
        for screen in self._showing():
            screen.showing = event.state
            screen.show(event.state, refined=event.refined)
            if cursor is not None:
                screen.go_to(cursor)
        self.sitting.look()
        self.held_back.close()
        self.call_after_refresh(self._is_drawn)
        self.call_after_refresh(self._offer_anew)
        once, self.when_planned = self.when_planned, None
        if once is not None:
            once()
        elif not event.refined and self.told_since != event.state.now.date():
            self._tell_since(event.state)
        if not event.refined:
            self._tell_held(before, event.state)
        remember(self)
        settle(self)

    def _tell_since(self, state: State) -> None:
        """Where days have gone by since the plan that was held on to: say what has moved."""
        self.told_since = state.now.date()
        kept = state.project.kept.as_of
        if kept is not None and kept.date() < self.told_since:
            from screens.since_then import since_sentences

            self.tell(since_sentences(state))

    def _tell_held(self, before: State | None, state: State) -> None:
        """Where an occasion is over since the plan before, that it counts as held; once."""
        since = before.now if before is not None else state.project.kept.as_of
        if since is None or not any(since < one.end <= state.now for one in state.plan.occasions):
            return
        from screens.held_told import newly_held, newly_held_told

        held = newly_held(state.project, state.plan, since)
        held = tuple(one for one in held if one.id not in self.told_held)
        self.told_held |= {one.id for one in held}
        for screen in self._showing():
            here = getattr(screen, "lists_occasions", False)
            for verdict in screen.query(VerdictLine):
                verdict.tell_besides(newly_held_told(state.plan, held, here))

    def _keep(self, plan: Plan) -> None:
        """Hold on to a plan that is shown whole."""
        save = self.keeps or self.keeps_next
        self.keeps_next = False
        self.session.keep(plan)
        if save:
            # a day that is only looked ahead to doesn't begin with a plan of now, and isn't saved
            keep = partial(self.session.save_kept, remember=True)
            self.run_worker(keep, thread=True, group="keep", exit_on_error=False)

    def on_wearby_not_read(self, event: NotRead) -> None:
        """Show what is wrong, and keep the last plan."""
        if event.number != self.requested:
            return
        self.problems, self.answered = event.problems, event.number
        self._say_whether(planning=False)
        for screen in self._showing():
            screen.show_problems(event.problems, self.state)
        self.held_back.close()
        self.call_after_refresh(self._is_drawn)

    # edits

    def edit(
        self,
        label: str,
        change: Callable[[Project], Project],
        *,
        cursor: str | None = None,
        made: State | None = None,
    ) -> tuple[Problem, ...]:
        """Make an edit, save it at once, say so, and plan anew.

        ``label`` says what was done, as a past fact without a capital or a full stop ("hem by
        hand left off"); ``cursor`` is the id on which the cursor goes then, ``made`` what a
        preview said would be shown, if there was one. Returns why it couldn't be done, which is
        also said beneath the verdict: then nothing was saved.
        """
        self.end_preview()
        form = self.screen if isinstance(self.screen, ShowsState) else None
        asks = form is not None and not isinstance(form, Page)
        asker = (form, form.asks_for) if form is not None and asks else None
        save = partial(self.session.apply, label, change, asker)
        return self._edited(label, save, "", cursor, made)

    def spread_afresh(self, made: State | None = None) -> None:
        """Plan without holding on to what was planned; can be undone."""
        self.end_preview()
        label = "spread out afresh"
        self._edited(label, lambda: self.session.spread_afresh(label), "", None, made)

    def keep_unsaved(self, edit: Unsaved) -> tuple[Problem, ...]:
        """Make an edit that couldn't be saved before; otherwise as ``edit``."""
        return self._edited(edit.label, lambda: self.session.recover(edit), "Kept: ", None)

    def edit_text(self, label: str, file: Path, state: Path) -> tuple[Problem, ...]:
        """Have a file say what an earlier state of it says; otherwise as ``edit``."""
        self.end_preview()
        save = partial(self.session.bring_back, label, file, state)
        return self._edited(label, save, "Brought back: ", None)

    async def action_quit(self) -> None:
        """Leave; asks first where that would lose what could not be saved."""
        if not asks_before_leaving(self):
            self.exit()

    def resumed(self, screen: Screen[Any]) -> None:
        """A screen is on top: ask about what the form above it couldn't save, or say at once
        that this one can't save either."""
        if isinstance(screen, Page):
            form_closed(self)
        elif isinstance(screen, ShowsState):
            say_who_has_it(self, screen)

    def on_unmount(self) -> None:
        """Others may have the workroom."""
        self.session.close()

    def action_undo(self) -> None:
        """Take the last edit back, and say which it was."""
        undone, told = self.session.done[-1:], self.sitting.taken_back
        self._step_through(undone, self.session.undo, "Undone", told)

    def action_redo(self) -> None:
        """Make again what was taken back, and say what it was."""
        again, told = self.session.undone[-1:], self.sitting.made_again
        self._step_through(again, self.session.redo, "Done again", told)

    def _step_through(
        self,
        edits: list[Edit],
        step: Callable[[], object],
        done: str,
        and_told: Callable[[Edit], str],
    ) -> None:
        """One step back or forth in the history; ``and_told``: what became of the clock by it."""
        if not edits:
            self.tell("There is nothing to undo." if done == "Undone" else "Nothing was undone.")
            return
        label = edits[-1].label
        if not self._edited(label, step, f"{done}: ", None) and (more := and_told(edits[-1])):
            self.tell(f"{done}: {label}. {more}")

    def _edited(
        self,
        label: str,
        save: Callable[[], object],
        done: str,
        cursor: str | None,
        made: State | None = None,
    ) -> tuple[Problem, ...]:
        """Save by ``save``, and say what came of it."""
        try:
            save()
        except InputError as error:
            self.tell(not_saved(label, error.problems))
            return error.problems
        sentence = f"{done}{label}."
        self.tell(sentence[:1].upper() + sentence[1:])
        self._plan_edited(cursor, made)
        self.keeps_next = self.keeps_edited
        if self.session.aside.of_this_run:
            self.call_after_refresh(offer_unsaved, self)
        return ()

    def tell(self, sentence: str) -> None:
        """Say something beneath the verdict, till the next key."""
        for screen in self._showing():
            for verdict in screen.query(VerdictLine):
                verdict.told = sentence

    async def on_event(self, event: events.Event) -> None:
        """A key or a click: what was told has been read.

        Its line goes once the click has been handed on, or what is beneath would have moved away
        from under the mouse. A key waits till the one before it has had its effect.
        """
        typed = isinstance(event, events.Key | events.Paste) and not event.is_forwarded
        if typed and self.in_turn.holds(event):
            return
        if isinstance(event, events.Key):
            self.tell("")
            # all are told, also those beneath one that takes it
            told = () if event.is_forwarded else self._showing()
            if any([screen.key_came(event.key) for screen in told]):  # noqa: C419
                return
        elif isinstance(event, events.MouseDown):
            self.being_read = {line.told for line in self.screen.query(VerdictLine)}
        await super().on_event(event)
        if isinstance(event, events.MouseUp):
            for line in self.screen.query(VerdictLine):
                if line.told in self.being_read:
                    line.told = ""

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Edits are taken back on the screens; one can't go where one is."""
        if action in ("undo", "redo"):
            return isinstance(self.asked_of, ShowsState)
        if action in ("find", "delay"):
            return isinstance(self.asked_of, Page) and self.state is not None
        if action == "switch_mode":
            return parameters[0] != self.current_mode
        return super().check_action(action, parameters)

    # previews

    def preview(
        self, change: Callable[[Project], Project], told: Told, *, entire: bool = False
    ) -> int:
        """Ask what an edit would make of the plan; the number of the question.

        ``told`` gets the answer, in the program's own thread, unless another question, an edit
        or ``end_preview`` came first. ``entire``: with minutes to spare, so that the edit can be
        handed the plan.
        """
        number = self.previews.forget()
        asked = Asked(
            number=number,
            project=self.session.project,
            before=self.state.plan if self.state is not None else None,
            change=change,
            now=self.clock(),
            told=told,
            entire=entire,
            again=partial(self._as_of, shown=self.state),
        )
        if self.previews.ask(asked):
            self._answer()
        return number

    def end_preview(self) -> None:
        """Nothing is being tried any longer."""
        self.previews.forget()

    @work(thread=True, group="preview", exit_on_error=False)
    def _answer(self) -> None:
        """Answer questions beside the screen, till there are none."""
        # plans hold no circles: what is let go of goes without being looked for
        gc.disable()
        try:
            while (asked := self.previews.next()) is not None:
                for preview in previews_of(asked, partial(self.previews.is_old, asked)):
                    self.post_message(self.Answered(preview, asked.told))
        finally:
            gc.enable()

    def on_wearby_answered(self, event: Answered) -> None:
        """Tell the newest answer; an older one that comes late is dropped."""
        if event.preview.number == self.previews.newest:
            event.told(event.preview)


def _lately(made: datetime, now: datetime) -> bool:
    """Whether what was planned then still holds for now."""
    return made.date() == now.date() and timedelta() <= now - made <= LATELY


def not_saved(label: str, problems: Sequence[Problem]) -> str:
    """Why an edit couldn't be done, in a sentence or two."""
    told = f"Not done: {label}."
    for problem in problems[:1]:
        text = clean(problem.text)
        name = Path(problem.file).name
        text = f"{name}: {text}" if name else f"{text[:1].upper()}{text[1:]}"
        told = f"{told} {text}{'' if text[-1:] in '.?!' else '.'}"
    return f"{told} And {count(len(problems) - 1, 'more problem')}." if problems[1:] else told
