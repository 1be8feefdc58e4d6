"""An edit that couldn't be saved: keep it, throw it away, or decide later."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar, Final

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from planner.files.recovery import Unsaved
from screens.dialogs.looking import ListKeys
from screens.recovering import offered
from screens.widgets.lines import CURSOR, Line, Lines, Run
from screens.wording import clean

KEEP, DROP, LATER = "keep", "throw away", "later"
LEAVE = "leave"
ANSWERS: Final = {
    KEEP: ("keep it", "made now, on what the files say by now"),
    DROP: ("throw it away", "its words are gone then"),
    LATER: ("decide later", "asked at the next start, or at once by ^p"),
}
LEAVING: Final = {
    LATER: ("stay", "the words are kept as long as wearby runs"),
    KEEP: ("save it now", "made on what the files say by now; then leave"),
    LEAVE: ("leave", "its words are printed then, and kept nowhere"),
}
SURE: Final = {
    KEEP: "both count then: enter once more",
    DROP: "for good: enter once more",
}
"""What is said where an answer wants a second enter."""


class Answers(Lines):
    """A line for each answer."""

    def __init__(self, answers: Mapping[str, tuple[str, str]], first: str) -> None:
        super().__init__(id="answers")
        self.answers = answers
        self.cursor = first
        self.sure = ""
        """The answer that wants a second enter."""

    def compose_lines(self, width: int) -> Sequence[Line]:
        """What to do, and what comes of it."""
        return [
            Line(
                runs=(
                    Run(text=f"{CURSOR if key == self.cursor else ' '} ", style="accent"),
                    Run(text=f"{word:<14} "),
                    Run(text=SURE[key])
                    if key == self.sure
                    else Run(text=told, style="faint"),
                ),
                key=key,
            )
            for key, (word, told) in self.answers.items()
        ]

    def go(self, key: str, tell: bool = True) -> bool:
        """Move the mark along; what wanted a second enter wants two again."""
        moved = super().go(key, tell)
        if moved:
            self.sure = ""
            self.renew()
        return moved

    def make_sure(self, key: str) -> None:
        """Want a second enter."""
        self.sure = key
        self.renew()


class NotSavedYet(ModalScreen[str]):
    """Arrows and enter; escape decides later. Gives one of the answers' keys.

    Throwing away wants a second enter; so does keeping where the diary may have the work already.
    """

    asks = True
    """Nothing else can be done before it is answered."""
    CSS = """
    NotSavedYet {
        align: center middle;
        background: $background 60%;
        #asking {
            width: 76;
            border: blank $background;
            max-width: 100%;
            height: auto;
            max-height: 100%;
            padding: 1 1 0 1;
            background: $panel;
        }
        Lines {
            height: 3;
            margin: 1 0;
            min-height: 3;
            background: $panel;
            & > .lines--cursor {
                background: $cursor;
            }
            &:focus > .lines--cursor {
                background: $cursor;
                text-style: none;
            }
        }
        #asked, #twins {
            height: auto;
            padding: 0 1;
            text-style: bold;
        }
        #words {
            height: auto;
            max-height: 10;
            margin: 1 0;
            padding: 0 1;
            scrollbar-size-vertical: 1;
        }
        #where {
            height: auto;
            padding: 0 1;
            color: $faint;
        }
        ListKeys {
            height: 1;
            padding: 0 1;
        }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "later", id="not-saved.later", tooltip="Decide later"),
        Binding(
            "enter",
            "choose",
            "choose",
            key_display="enter",
            id="not-saved.choose",
            tooltip="Do what the mark stands at",
        ),
    ]

    def __init__(
        self,
        edit: Unsaved,
        words: Sequence[str] = (),
        twins: Sequence[str] = (),
        *,
        was_at: str = "",
    ) -> None:
        """``words``: what it says; ``twins``: entries of the diary that may be the same work;
        ``was_at``: a sentence where the workroom was elsewhere."""
        super().__init__()
        self.edit = edit
        self.words = words
        self.twins = twins
        self.was_at = was_at

    @property
    def asked(self) -> str:
        """What is asked."""
        return offered(self.edit)

    @property
    def where(self) -> str:
        """What it changes."""
        names = ", ".join(clean(one.name) for one in self.edit.files)
        return f"It changes {names}. {self.was_at}".strip()

    def answers(self) -> Answers:
        """What can become of it."""
        in_memory = {LATER: ("decide later", "asked when wearby is left, or at once by ^p")}
        answers = {**ANSWERS, **(in_memory if self.edit.file is None else {})}
        return Answers(answers, LATER if self.twins else KEEP)

    def compose(self) -> ComposeResult:
        """What wasn't saved, in its words, and what can become of it."""
        with Container(id="asking"):
            yield Static(Content(self.asked), id="asked")
            with VerticalScroll(id="words", can_focus=False):
                for one in self.words:
                    yield Static(Content(one))
            if self.twins:
                told = f"The diary may have this work already: {'; '.join(self.twins)}."
                yield Static(Content(told), id="twins")
            yield Static(Content(self.where), id="where")
            yield self.answers()
            yield ListKeys()

    def on_mount(self) -> None:
        """Without words there is no room for them."""
        self.query_one("#words").display = bool(self.words)

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """Answered, if that was meant."""
        event.stop()
        answers = self.query_one(Answers)
        if self._wants_two(event.key) and answers.sure != event.key:
            answers.make_sure(event.key)
        else:
            self.dismiss(event.key)

    def _wants_two(self, key: str) -> bool:
        return key == DROP or (key == KEEP and bool(self.twins))

    def action_choose(self) -> None:
        """Answer with the line under the cursor."""
        self.query_one(Answers).action_choose()

    def action_leave(self) -> None:
        """Decide later."""
        self.dismiss(LATER)


class Leaving(NotSavedYet):
    """wearby is to be left, and what could not be saved is kept in no file."""

    def __init__(self, edit: Unsaved, words: Sequence[str], *, number: int) -> None:
        """``number`` of edits would be lost; ``edit`` is the first."""
        super().__init__(edit, words)
        self.number = number

    @property
    def asked(self) -> str:
        """What is asked."""
        if self.number == 1:
            return f"Leave? {offered(self.edit)} It would be lost."
        return f"Leave? {self.number} edits could not be saved, and would be lost."

    @property
    def where(self) -> str:
        """Where it was to be saved."""
        return f"It was to be saved in {clean(str(self.edit.workroom))}."

    def answers(self) -> Answers:
        """Staying first."""
        return Answers(LEAVING, LATER)
