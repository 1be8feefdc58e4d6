"""The pace the diary has taught, shown in its place: looked into, set by hand, learnt or not."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import ClassVar

from textual import getters
from textual.app import SystemCommand
from textual.binding import Binding, BindingType

from screens.doing import Doing
from screens.pace_told import PaceLine
from screens.previews import Preview
from screens.sitting import SitsDown
from screens.state import State
from screens.widgets.ask_line import AskLine
from screens.widgets.pace_list import PaceList

OF_PACE = ("set_pace", "learn", "forget", "all_techniques")
"""Actions on the pace, while that is shown."""


def _key(key: str, action: str, told: str, tooltip: str) -> Binding:
    return Binding(key, action, told, id=f"pace.{action.replace('_', '-')}", tooltip=tooltip)


FORGET = _key("delete,backspace", "forget", "forget", "Forget this pace that was set by hand")
"""For the page: a key of its own would else hide it."""


class ShowsPace(SitsDown):
    """A page that shows the pace where its ``#diary`` else stands."""

    BINDINGS: ClassVar[list[BindingType]] = [
        _key("y", "pace", "pace", "What the diary has taught of your pace"),
        _key("y", "diary", "diary", "What was done, by day"),
        _key("e", "set_pace", "by hand", "Set this pace by hand"),
        _key("a", "all_techniques", "techniques", "All techniques, or only those learnt"),
        _key("v", "learn", "learning", "Learn from the diary, or keep to the catalogue"),
    ]

    pace = getters.query_one("#pace", PaceList)
    line = getters.query_one("#ask", AskLine)

    asked: PaceLine | None = None
    """The pace that is typed."""

    @property
    def shows_pace(self) -> bool:
        """Whether the pace stands where the diary else does."""
        return self.has_class("-pace")

    def action_pace(self) -> None:
        """The pace the diary teaches."""
        self.set_class(True, "-pace")
        self.set_focus(self.pace)
        self.refresh_bindings()

    def action_diary(self) -> None:
        """The diary again."""
        self._close_line()
        self.set_class(False, "-pace")
        self.set_focus(self.query_one("#diary"))
        self.refresh_bindings()

    def action_set_pace(self) -> None:
        """Type a pace."""
        row = self.pace.row
        if row is not None:
            self.asked = row
            self.pace.ask(True)
            self.line.ask(row.name, "pace:", "", f"{row.ratio} now; 1.2 is a fifth slower")

    def on_ask_line_changed(self, event: AskLine.Changed) -> None:
        """Say what would come of the pace that is typed."""
        doing = self._typed(event.text)
        if doing is None:
            self.program.end_preview()
            return
        self.program.preview(doing.change, partial(self._tried, event.text))

    def _typed(self, text: str) -> Doing | None:
        """What was typed comes to; None, and said why, where it can't be meant."""
        from screens.pace_doing import set_by_hand

        if self.asked is None:
            return None
        try:
            project = self.program.session.project
            return set_by_hand(project, self.asked.key, self.asked.name, text)
        except ValueError as error:
            self.line.say(str(error) if text.strip() else "")
            return None

    def _tried(self, text: str, preview: Preview) -> None:
        if self.asked is not None and self.line.text.value == text:
            self.line.say(preview.sentence)

    def on_ask_line_kept(self, event: AskLine.Kept) -> None:
        """Keep the pace that was typed."""
        doing = self._typed(event.text)
        if doing is not None:
            self._close_line()
            self.do(doing)

    def on_ask_line_dropped(self) -> None:
        """Nothing is typed any more."""
        self.program.end_preview()
        self._close_line()

    def _close_line(self) -> None:
        if self.asked is not None:
            self.asked = None
            self.line.close()
            self.pace.ask(False)
            self.set_focus(self.pace)

    def action_forget(self) -> None:
        """Forget a pace that was set by hand."""
        from screens.pace_doing import forgotten

        row = self.pace.row
        if row is not None and row.by_hand:
            self.do(forgotten(row.key, row.name))

    def action_all_techniques(self) -> None:
        """Every technique of the workroom, so that its pace can be set; or only those learnt."""
        self.pace.tell_all(not self.pace.all_techniques)
        self.refresh_bindings()

    def action_learn(self) -> None:
        """Learn, or learn no longer."""
        from screens.pace_doing import learning

        if self.showing is not None:
            self.do(learning(not self.showing.plan.pace.choices.learn))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What can't be done to the pace isn't offered."""
        if action in ("pace", "diary"):
            return self.shows_pace is (action == "diary")
        if action in OF_PACE:
            forgets = self.pace.row is not None and self.pace.row.by_hand
            return self.shows_pace and (action != "forget" or forgets)
        return super().check_action(action, parameters)

    def do(self, doing: Doing) -> None:
        """Make an edit."""
        self.program.edit(doing.label, doing.change, cursor=doing.cursor)

    def pace_commands(self, state: State) -> Iterable[SystemCommand]:
        """What the palette offers of the pace."""
        if not self.shows_pace:
            told = "How quick you are against the catalogue, and what that rests on"
            yield SystemCommand("Show what it has taught of your pace", told, self.action_pace)
            return
        yield SystemCommand("Show the diary again", "What was done, by day", self.action_diary)
        told = "To set the pace of one by hand of which nothing is learnt"
        title = "Show every technique of the workroom"
        if self.pace.all_techniques:
            title, told = "Show only the techniques learnt", "And those set by hand"
        yield SystemCommand(title, told, self.action_all_techniques)
        row = self.pace.row
        if row is not None:
            title = f"Set the pace of {row.name} by hand"
            yield SystemCommand(title, "It wins over what is learnt", self.action_set_pace)
        if row is not None and row.by_hand:
            title = f"Forget the pace of {row.name} set by hand"
            yield SystemCommand(title, "What is learnt counts again", self.action_forget)
        if state.plan.pace.choices.learn:
            told = "Estimates keep to the catalogue and what is set by hand"
            yield SystemCommand("Learn no pace from the diary", told, self.action_learn)
        else:
            yield SystemCommand("Learn the pace", "Estimates follow the diary", self.action_learn)
