"""Now: what can be done this minute, and what goes into tonight's bag."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta
from functools import partial
from typing import TYPE_CHECKING, ClassVar, cast

from textual import getters
from textual.app import ComposeResult, SystemCommand
from textual.binding import Binding, BindingType

from planner.bag import Bag, pack
from planner.candidates import Candidate
from planner.doable import MOST_MINUTES, Choices, asked_now, doable, usual_choices
from planner.model import Place
from screens.delaying import DELAY
from screens.doable_told import AT, PLACES
from screens.sitting import SitsDown
from screens.state import State
from screens.widgets.bag_list import BagList
from screens.widgets.choices_line import Choice, ChoicesLine
from screens.widgets.doable_list import DoableList
from screens.widgets.lines import Lines
from screens.widgets.step_rows import StepRows
from screens.widgets.stitching import Stitching
from screens.wording import spoken

if TYPE_CHECKING:
    from screens.app import Wearby

MINUTES = (10, 20, 30, 45, 60, 90, 120, 180, 240)
"""The minutes one goes through by a key."""
ORDER = (Place.WORKROOM, Place.SOFA, Place.TAKE_ALONG)
STALE = timedelta(minutes=1)
"""A plan of so long ago is no longer of this minute."""


class Now(SitsDown):
    """What can be done this minute."""

    AUTO_FOCUS = "#doable"
    CSS_PATH = ["page.tcss", "now.tcss"]  # noqa: RUF012  # so declared by Textual
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "log", "log", id="now.log", tooltip="Log that this step was done"),
        Binding(
            "m", "minutes(1)", "minutes", id="now.minutes", tooltip="More minutes, then few again"
        ),
        Binding(
            "M,upper_m", "minutes(-1)", "fewer", show=False, key_display="M",
            id="now.fewer", tooltip="Fewer minutes",
        ),
        Binding("p", "place", "place", id="now.place", tooltip="Workroom, sofa or on the way"),
        Binding("f", "fresh", "fresh", id="now.fresh", tooltip="Fresh or tired"),
        Binding("a", "alone", "alone", id="now.alone", tooltip="Alone or with a helper"),
        Binding("r", "day", "its day", id="now.day", tooltip="Go to this step in the run-up"),
        DELAY,
        *(
            Binding(
                digit, f"digit({digit})", "minutes", show=False, id=f"now.digit-{digit}",
                tooltip="Type the minutes",
            )
            for digit in "0123456789"
        ),
        Binding(
            "backspace", "digit(-1)", "minutes", show=False, id="now.backspace",
            tooltip="Take back a digit of the minutes",
        ),
    ]  # fmt: skip

    choices_line = getters.query_one("#choices", ChoicesLine)
    able = getters.query_one("#doable", DoableList)
    bag = getters.query_one("#bag", BagList)

    def __init__(self) -> None:
        super().__init__()
        self.choices: Choices | None = None
        """What the maker said; None: nothing yet, so the hours say it."""
        self.usual = Choices()
        self.typed = ""
        """Digits typed one after another."""
        self.candidates: tuple[Candidate, ...] = ()
        self.packed: Bag | None = None

    def regions(self) -> ComposeResult:
        """The choices, what can be done, the bag."""
        yield ChoicesLine(id="choices")
        yield DoableList(id="doable")
        yield Stitching(id="between")
        yield BagList(id="bag")

    @property
    def wearby(self) -> Wearby:
        """The program."""
        return cast("Wearby", self.app)

    @property
    def chosen(self) -> Choices:
        """The choices that count."""
        return self.choices or self.usual

    @property
    def told_in_help(self) -> str:
        """What the screen shows."""
        return (
            "Above, what you have now: minutes, place, fresh or tired, alone or with a helper; the"
            " hours say it until you do. Digits type the minutes. Beneath stands what can be done"
            " this minute, the most useful first, and tonight's bag for the next hours on the way."
            " Letters say what kind of work it is:"
        )

    # what is shown

    def lay_out(self, state: State, *, refined: bool) -> None:
        """Show a state; the choices and the cursors stay."""
        # what a refined plan has more exact is not asked here
        if not refined or self.packed is None:
            ground, self.candidates = asked_now(state.project, state.plan)
            self.usual = usual_choices(ground)
            self.packed = pack(ground, state.plan, self.candidates)
        self.bag.show(state.plan, self.packed)
        self._answer(state)

    def _answer(self, state: State) -> None:
        """Show what can be done by the choices."""
        answer = doable(self.candidates, self.chosen, state.plan.now)
        self.choices_line.show(as_words(self.chosen))
        self.able.show(state.plan, answer, self.candidates)

    def on_screen_resume(self) -> None:
        """Catch up with the clock; the page catches up with what was planned."""
        self._keep_to_the_minute()

    def _keep_to_the_minute(self) -> None:
        """Plan anew where the plan is of another minute than this."""
        held = self.wearby.state
        if held is not None and self.wearby.clock() - held.now >= STALE:
            self.wearby.replan()

    def go_to(self, ident: str) -> None:
        """Put the cursor on a step, where it can be done or nearly."""
        self.able.go(ident)

    # choices

    def choose(self, choices: Choices, typed: str = "") -> None:
        """Take these choices."""
        self.choices, self.typed = choices, typed
        if self.showing is not None:
            self._answer(self.showing)
        self._keep_to_the_minute()

    def action_minutes(self, by: int) -> None:
        """More or fewer minutes, round and round."""
        have = self.chosen.minutes
        if by > 0:
            minutes = next((one for one in MINUTES if one > have), MINUTES[0])
        else:
            minutes = next((one for one in reversed(MINUTES) if one < have), MINUTES[-1])
        self.choose(replace(self.chosen, minutes=minutes))

    def action_digit(self, digit: int) -> None:
        """One more digit of the minutes, or one less."""
        typed = self.typed[:-1] if digit < 0 else f"{self.typed}{digit}".lstrip("0")
        if not typed:
            self.typed = ""
        elif int(typed) <= MOST_MINUTES:
            self.choose(replace(self.chosen, minutes=int(typed)), typed)

    def action_place(self) -> None:
        """The next place."""
        after = ORDER[(ORDER.index(self.chosen.place) + 1) % len(ORDER)]
        self.choose(replace(self.chosen, place=after))

    def action_fresh(self) -> None:
        """Fresh or tired."""
        self.choose(replace(self.chosen, tired=not self.chosen.tired))

    def action_alone(self) -> None:
        """Alone, or with a helper."""
        self.choose(replace(self.chosen, helper=not self.chosen.helper))

    def on_choices_line_chosen(self, event: ChoicesLine.Chosen) -> None:
        """A choice was clicked: take the word, or the next."""
        if event.choice == "minutes" and event.word is not None:
            self.choose(replace(self.chosen, minutes=_offered(self.chosen.minutes)[event.word]))
        elif event.choice == "minutes":
            self.action_minutes(1)
        elif event.choice == "place":
            if event.word is None:
                self.action_place()
            else:
                self.choose(replace(self.chosen, place=ORDER[event.word]))
        elif event.choice == "tired":
            self.action_fresh()
        else:
            self.action_alone()

    def on_lines_moved(self, event: Lines.Moved) -> None:
        """Another step is under the cursor: what was typed is done with."""
        self.typed = ""
        self.refresh_bindings()

    # what was done, where to go

    @property
    def step(self) -> str | None:
        """Full id of the step under the cursor."""
        focused = self.focused if isinstance(self.focused, StepRows) else self.able
        return focused.cursor.split(" ")[-1] if focused.cursor is not None else None

    @property
    def step_to_sit_at(self) -> str | None:
        """The step under the cursor."""
        return self._open_step(self.step)

    def action_log(self) -> None:
        """Ask what was done; the step under the cursor stands there as done."""
        from screens.log_rows import steps_for

        if self.showing is not None:
            plan, step = self.showing.plan, self.step
            steps = steps_for(plan, self.showing.project, plan.now.date(), first=step)
            self.wearby.log_steps(steps, marked=[step] if step is not None else [])

    def action_day(self) -> None:
        """Go to the step under the cursor in the run-up."""
        if self.step is not None:
            self.wearby.open_step(self.step)

    def get_commands(self) -> Iterable[SystemCommand]:
        """What the palette offers here."""
        if self.showing is None:
            return
        chosen = self.chosen
        for minutes in MINUTES:
            if minutes != chosen.minutes:
                take = partial(self.choose, replace(chosen, minutes=minutes))
                yield SystemCommand(f"I have {spoken(minutes)}", "Minutes there are now", take)
        for place in ORDER:
            if place is not chosen.place:
                take = partial(self.choose, replace(chosen, place=place))
                yield SystemCommand(f"I am {AT[place]}", "What can be done there now", take)
        yield SystemCommand(
            "I am fresh" if chosen.tired else "I am tired",
            "Also cutting and what has no way back"
            if chosen.tired
            else "No cutting, nothing that can't be undone",
            self.action_fresh,
        )
        yield SystemCommand(
            "I am alone" if chosen.helper else "Somebody is here to help",
            "Steps with two pairs of hands",
            self.action_alone,
        )
        if self.choices is not None:
            yield SystemCommand(
                "Go by the hours again",
                "Minutes and place of the hours that are on",
                self._by_hours,
            )
        yield from self.clock_commands()
        yield SystemCommand("Log what was done", "Tick steps, type minutes", self.action_log)
        if self.able.cursor is not None or self.bag.cursor is not None:
            yield SystemCommand("Go to its day", "This step in the run-up", self.action_day)

    def _by_hours(self) -> None:
        """Let the hours say what there is."""
        self.choose(self.usual)
        self.choices = None


def _offered(minutes: int) -> list[int]:
    """The minutes that are offered, with those there are among them."""
    return sorted({*MINUTES, minutes})


def as_words(choices: Choices) -> tuple[Choice, ...]:
    """The choices for the line."""
    offered = _offered(choices.minutes)
    return (
        Choice(
            name="minutes",
            words=tuple(spoken(one) if one >= 60 else str(one) for one in offered),
            chosen=offered.index(choices.minutes),
            alone=spoken(choices.minutes),
        ),
        Choice(
            name="place",
            words=tuple(PLACES[place] for place in ORDER),
            chosen=ORDER.index(choices.place),
            alone=PLACES[choices.place],
        ),
        Choice(name="tired", words=("fresh", "tired"), chosen=int(choices.tired), alone=""),
        Choice(name="helper", words=("alone", "helper"), chosen=int(choices.helper), alone=""),
    )
