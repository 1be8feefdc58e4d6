"""The week goes wrong: what happened, and what would move, before it is accepted."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar, cast

from textual import getters
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen

from planner.model import Kept
from planner.problems import Problem
from screens.delay_asking import Asking, asking
from screens.delaying import Near
from screens.delays_doing import WHATS, Delay, sentence
from screens.delays_told import Effect, accepted_sentence, effect_of
from screens.forms.fields import Option
from screens.forms.parts import Told
from screens.previews import Preview
from screens.showing import ShowsState
from screens.state import State
from screens.widgets.ask_line import AskLine, takes
from screens.widgets.key_line import KeyLine, Shown
from screens.widgets.lines import Lines
from screens.widgets.stitching import Stitching
from screens.widgets.verdict_line import VerdictLine
from screens.widgets.would_move import Numbered, WouldMove

if TYPE_CHECKING:
    from screens.app import Wearby

ASKED = "What happened?"
WAIT = "What would move is still being worked out; enter again accepts it all the same."
AGAIN = "Enter again moves it all the same."
"""Behind a warning, once enter was pressed."""
LIST, TEXT = "list", "text"
"""What the dialog is at: choosing from a list, or showing what would move."""


def _key(keys: str, action: str, told: str, tooltip: str, show: bool = False) -> Binding:
    name = action.partition("(")[0].replace("_", "-")
    ident = f"delay.{name}-{keys.partition(',')[0]}"
    named = {"enter": "enter", "escape": "esc"}.get(keys)
    return Binding(keys, action, told, show=show, key_display=named, id=ident, tooltip=tooltip)


class DelayKeys(KeyLine):
    """What can be pressed at the moment."""

    @property
    def keys(self) -> list[Shown]:
        """Enter and escape first, then what else there is."""
        return cast("DelayDialog", self.screen).shown_keys()


class DelayDialog(ModalScreen[None], ShowsState):
    """What happened (digits, arrows, enter), what it asks, what would move; enter accepts."""

    AUTO_FOCUS = ""
    CSS_PATH = "delay.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        _key("enter", "enter", "choose", "Choose what is marked, or accept what would move", True),
        _key("escape", "leave", "drop", "Leave everything as it is", True),
        _key("up", "go(-1)", "up", "Up: in the list, or in what would move"),
        _key("down", "go(1)", "down", "Down: in the list, or in what would move"),
        _key("pageup", "page(-1)", "page up", "A page up"),
        _key("pagedown", "page(1)", "page down", "A page down"),
        *(
            _key(digit, f"digit({digit})", "choose", "Choose by its number in the list")
            for digit in "123456789"
        ),
    ]

    verdict = getters.query_one(VerdictLine)
    heading = getters.query_one("#heading", Told)
    choices = getters.query_one("#choices", Numbered)
    line = getters.query_one("#ask", AskLine)
    told = getters.query_one("#told", Told)
    moves = getters.query_one("#moves", WouldMove)

    def __init__(self, near: Near, what: str | None = None) -> None:
        """``what`` is the key of what happened, where that is known already."""
        super().__init__()
        self.near = near
        self.begins_with = what
        self.asking: Asking | None = None
        """What is asked of what happened; None: it isn't said yet."""
        self.meant: str | None = None
        """The key of which is meant."""
        self.delay: Delay | None = None
        """What would be accepted."""
        self.effect: Effect | None = None
        """What it would move, once that is known."""
        self.is_coming = False
        """Whether what would move is being worked out for what was just chosen: keys wait."""
        self.warned = False
        """Whether it was said that enter again accepts what isn't worked out yet."""
        self.doubted = False
        """Whether it was said that enter again accepts what is likely not meant."""
        self.made: State | None = None
        """What is shown once it is accepted."""
        self.asked: Kept | None = None
        """The plan that was held on to when it was asked what would move."""
        self.accepted = False

    def compose(self) -> ComposeResult:
        """Verdict, the question, the list, what is typed, what would move, keys."""
        yield VerdictLine()
        yield Stitching(classes="across")
        yield Told(id="heading")
        yield Numbered(id="choices")
        yield AskLine(id="ask")
        yield Told(id="told")
        yield WouldMove(id="moves")
        yield Stitching(classes="across", id="above-keys")
        yield DelayKeys()

    def on_mount(self) -> None:
        """Ask what happened."""
        # a proposal is typed over, not gone on with
        self.line.text.select_on_focus = True
        self.showing = self.program.state
        self._see(self.showing)
        if self.begins_with is None:
            options = [Option(key=one.key, name=one.name, told=one.told) for one in WHATS]
            self._list(ASKED, options, WHATS[0].key)
        else:
            self._happened(self.begins_with)

    @property
    def program(self) -> Wearby:
        """The app."""
        return cast("Wearby", self.app)

    @property
    def asks_for(self) -> str:
        """What went wrong: what another answer couldn't save is another edit."""
        return self.delay.what if self.delay is not None else ""

    @property
    def told_in_help(self) -> str:
        """What this is for."""
        return (
            "Say what happened; it is shown what would move: the verdict, what to do next, what"
            " is short or late, how full it gets, when it can be worn, and each step that changes"
            " day, with why. Nothing is kept before enter, and ^z takes all of it back at once."
        )

    @property
    def at(self) -> str:
        """Whether one chooses from a list, or sees what would move."""
        return LIST if self.choices.display else TEXT

    # the state

    def show(self, state: State, *, refined: bool = False) -> None:
        """Another plan, or other files: what would move is worked out anew."""
        self._see(state)
        if self.accepted or self.asking is None or self.meant is None:
            return
        # the same plan with more of it exact may be another to hold on to
        if not refined or self.asked != self.program.session.project.kept:
            self._ask_again(state)

    def _see(self, state: State | None) -> None:
        self.verdict.plan = state.plan if state is not None else None

    def show_problems(self, problems: tuple[Problem, ...], kept: State | None) -> None:
        """Files that can't be read must be mended first."""
        self.told.text = "The files must be mended first; then this can be tried again."

    def _ask_again(self, state: State) -> None:
        """Ask of the project as it is now; what is typed and meant stays."""
        if self.asking is None or self.meant is None:
            return
        self.asking = self._asked_of(self.asking.what, state)
        self._read(self.line.text.value)

    def _asked_of(self, what: str, state: State) -> Asking:
        now = self.program.clock()
        project, sat = self.program.session.project, self.program.sitting.sat
        return asking(what, project, state.plan, now, self.near, sat)

    # choosing

    def _list(self, question: str, options: list[Option], there: str) -> None:
        """Choose from a list."""
        self.choices.display, self.moves.display = True, False
        self.heading.text, self.told.text = question, ""
        self.choices.show(options, there)
        self.query_one(DelayKeys).refresh()

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """Something was chosen."""
        event.stop()
        if self.asking is None:
            self._happened(event.key)
        else:
            self._which(event.key)

    def _happened(self, what: str) -> None:
        """It is said what happened: ask which is meant, where that is a question."""
        state = self.showing
        if state is None:
            return
        self.asking = it = self._asked_of(what, state)
        if not it.which or len(it.options) == 1:
            self._which(it.options[0].key if it.options else "")
        elif it.options:
            self._list(it.which, list(it.options), it.there)
        else:
            self.choices.display = self.moves.display = False
            self.heading.text, self.told.text = self._called(), it.nothing
            self.query_one(DelayKeys).refresh()

    def _which(self, key: str) -> None:
        """It is known what is meant: ask the rest, and show what would move."""
        it = self.asking
        if it is None:
            return
        self.meant = key
        self.choices.display, self.moves.display = False, True
        named, asked = self._called(), f"{it.label[:1].lower()}{it.label[1:]}:"
        beside = bool(it.label) and takes(named, asked)
        self.heading.text = "" if beside else named
        if it.label:
            text = it.proposed(key)
            # what may be typed is told beneath, where there is room for it
            self.line.ask(named if beside else "", asked, text, "")
            self.call_after_refresh(self.line.text.action_select_all)
            self._read(text)
        else:
            self._read("")
        self.is_coming = self.delay is not None
        self.query_one(DelayKeys).refresh()

    def _called(self) -> str:
        """What happened, and to what."""
        it = self.asking
        if it is None:
            return ASKED
        meant = next((one.name for one in it.options if one.key == self.meant), "")
        name = next(one.name for one in WHATS if one.key == it.what).rstrip(" …")
        # what is asked goes on with the sentence
        before_asking = {"away": "Away", "helper": "The helper"} if it.label else {}
        return before_asking.get(it.what) or meant or name

    # what would move

    def on_ask_line_changed(self, event: AskLine.Changed) -> None:
        """Another text."""
        self._read(event.text)

    def _read(self, text: str) -> None:
        """Say what the text comes to, and ask what that would move."""
        state, it = self.showing, self.asking
        if state is None or it is None or self.meant is None:
            return
        self.delay = self.effect = self.made = None
        self.warned = self.doubted = self.is_coming = False
        self.query_one(DelayKeys).refresh()
        try:
            self.delay = it.read(self.meant, text)
        except ValueError as error:
            self.program.end_preview()
            self.moves.waiting("")
            typed = bool(text.strip()) or not it.label
            self._say(sentence(error, state.now.date()) if typed else it.help)
            return
        self._say(_known(self.delay))
        self.moves.waiting("planning …")
        self.asked = self.program.session.project.kept
        answered = partial(self._answered, self.delay, state)
        self.program.preview(self.delay.doing.change, answered, entire=True)

    def _say(self, text: str) -> None:
        self.told.text = text

    def _answered(self, delay: Delay, state: State, preview: Preview) -> None:
        """What would move is known, or as much of it as is certain."""
        if not self.is_attached or self.delay is not delay:
            return
        if preview.plan is None:
            self.delay, self.is_coming = None, False
            self.moves.waiting("")
            self._say(preview.problems[0].text if preview.problems else "It can't be planned.")
            return
        if not preview.final:
            self.moves.waiting(f"{preview.sentence}; planning …")
            return
        self.is_coming = False
        self.made = made = preview.made
        project = made.project if made is not None else state.project
        # what the clock did since the plan that is shown isn't the delay's doing
        self.effect = effect_of(
            state.project, preview.before or state.plan, project, preview.plan,
            only_loses=delay.only_loses,
        )
        self.moves.show(self.effect)
        if self.told.text == WAIT:
            self._say(_known(delay))
        self.query_one(DelayKeys).refresh()

    # keys

    def shown_keys(self) -> list[Shown]:
        """What can be pressed at the moment."""
        leave = Shown(
            key="escape", sign="esc", told="drop" if self.at == TEXT else "close",
            action="leave", own=True,
        )  # fmt: skip
        help = Shown(key="f1", sign="f1", told="help", action="help", own=False)
        if self.at == LIST:
            last = min(9, len(self.choices.options))
            digits = Shown(key="1", sign=f"1-{last}", told="that one", action="digit", own=True)
            choose = Shown(key="enter", sign="enter", told="choose", action="enter", own=True)
            return [choose, digits, leave, help]
        if self.delay is None:
            return [leave, help]
        accept = Shown(key="enter", sign="enter", told="accept", action="enter", own=True)
        further = Shown(key="pagedown", sign="pgdn", told="more", action="page(1)", own=True)
        return [accept, leave, *([further] if self.moves.goes_on else []), help]

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Digits choose from a list; in a text they are typed."""
        if action == "digit":
            return self.at == LIST
        return True

    def action_digit(self, digit: int) -> None:
        """Choose by number."""
        self.choices.choose(digit - 1)

    def action_go(self, steps: int) -> None:
        """Up or down: the mark of the list, or a line of what would move."""
        if self.at == LIST:
            self.choices.action_step(steps)
        else:
            self.moves.scroll_relative(y=steps, animate=False)

    def action_page(self, pages: int) -> None:
        """The same by pages."""
        if self.at == LIST:
            self.choices.action_page(pages)
        else:
            page = max(1, self.moves.scrollable_content_region.height - 1)
            self.moves.scroll_relative(y=pages * page, animate=False)

    def action_enter(self) -> None:
        """Choose, or accept."""
        if self.at == LIST:
            self.choices.action_choose()
        else:
            self._accept()

    def on_ask_line_kept(self, event: AskLine.Kept) -> None:
        """Enter in the text."""
        self._accept()

    def on_ask_line_dropped(self) -> None:
        """Escape in the text."""
        self.action_leave()

    def action_leave(self) -> None:
        """Leave everything as it is."""
        self.program.end_preview()
        self.dismiss(None)

    def _accept(self) -> None:
        """Make the edit, and say afterwards what has moved."""
        delay, effect = self.delay, self.effect
        if delay is None:
            return
        if effect is None and not self.warned:
            self.warned = True
            self._say(WAIT)
            return
        if delay.warning and not self.doubted:
            self.doubted = True
            self._say(f"{_known(delay)} {AGAIN}")
            return
        program, doing = self.program, delay.doing
        self.accepted = True
        if delay.what == "afresh":
            program.spread_afresh(self.made)
        elif program.edit(doing.label, doing.change, cursor=doing.cursor, made=self.made):
            # why it can't be saved is said beneath the verdict
            self.accepted = False
            return
        if effect is not None:
            said = accepted_sentence(delay.doing.label, effect)
            program.when_planned = partial(_tell, program, program.requested, said)
        self.dismiss(None)


def _known(delay: Delay) -> str:
    """What is to be known of it besides, and what is likely not meant."""
    return f"{delay.told} {delay.warning}".strip()


def _tell(program: Wearby, number: int, said: str) -> None:
    """Say what has moved, unless something else was planned meanwhile."""
    if program.requested == number:
        program.tell(said)
