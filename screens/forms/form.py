"""A form as a screen: the verdict and what would become of it, the fields, one line of help."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar, cast

from textual import events, getters
from textual.actions import SkipAction
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.screen import ModalScreen

from planner.plan import Plan
from planner.problems import InputError, Problem
from screens.forms.bottom import FormKeys
from screens.forms.checked import in_short, said
from screens.forms.doubted import Doubted
from screens.forms.fields import Field, Reading, Wrong, started, typed
from screens.forms.keys import KEYS
from screens.forms.meanwhile import Meanwhile
from screens.forms.parts import Beside, Further, Told
from screens.forms.questions import Questions
from screens.forms.rows import Came, FieldRow, Next, Typed, label_width
from screens.previews import Preview
from screens.showing import ShowsState
from screens.state import State
from screens.widgets.stitching import Stitching
from screens.widgets.verdict_line import VerdictLine

if TYPE_CHECKING:
    from screens.app import Wearby

ASK = "Drop what you typed? Escape again drops it; any other key goes on."
NOT_YET = "then: known as soon as nothing is wrong"


class Form(ModalScreen[None], ShowsState):
    """Questions asked, their effect shown, kept by ``app.edit`` or dropped."""

    AUTO_FOCUS = ""  # the first field has it, once it is there
    CSS_PATH = "form.tcss"
    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012  # so declared by Textual
        (0, "-beneath"),
        (110, "-beside"),
    ]
    BINDINGS: ClassVar[list[BindingType]] = [*KEYS]

    verdict = getters.query_one(VerdictLine)
    then = getters.query_one("#then", Told)
    heading = getters.query_one("#heading", Told)
    wide = getters.query_one("#wide", Told)
    asked = getters.query_one("#fields", Container)
    aside = getters.query_one("#beside", Beside)
    help_line = getters.query_one("#help-line", Told)

    def __init__(self, questions: Questions) -> None:
        super().__init__()
        self.questions = questions
        self.fields: tuple[Field, ...] = tuple(questions.fields({}))
        self.texts = started(self.fields)
        self.rows: dict[str, FieldRow] = {}
        """The fields that are shown."""
        self.further = False
        self.left: set[str] = set()
        """Fields the maker has left: what is wrong with them is said."""
        self.reading = Reading()
        self.future: Plan | None = None
        """The plan as it would become."""
        self.refused: tuple[Problem, ...] = ()
        """Why it could not be kept."""
        self.meanwhile = Meanwhile()
        self.doubted = Doubted()
        self.asking = False
        self.wanted: str | None = None
        """The field that gets the focus once it is there."""
        self.first_is_coming = True
        """Whether the first field isn't there yet."""

    def compose(self) -> ComposeResult:
        """Verdict, what would become of it, fields, help, keys."""
        yield VerdictLine()
        yield Told(id="then")
        yield Stitching(classes="across")
        yield Told(id="heading")
        yield Told(id="wide")
        with Container(id="asking"):
            yield Container(id="fields")
            yield Stitching(id="between")
            yield Beside(self.questions)
        yield Stitching(classes="across")
        yield Told(id="help-line")
        yield FormKeys()

    def on_mount(self) -> None:
        """Ask the fields; the first has the focus."""
        self.showing = self.questions.shown
        self.verdict.plan = self.showing.plan if self.showing is not None else None
        self.verdict.waiting = self.verdict.waiting_for = ""
        self.asked.mount(Further())
        self._ask()
        self.first_is_coming = bool(self.rows)
        if self.rows:
            self.call_after_refresh(self.focus_on, next(iter(self.rows)))

    @property
    def is_coming(self) -> bool:
        """Whether keys wait: for the first field, or for what speaks against keeping it."""
        return self.first_is_coming or self.doubted.is_awaited

    @property
    def program(self) -> Wearby:
        """The app."""
        return cast("Wearby", self.app)

    # what is asked

    def shown_fields(self) -> list[Field]:
        """The fields on the screen, in their order."""
        return [field for field in self.fields if self.further or not field.further]

    def _ask(self) -> None:
        """Bring the rows in line with the fields for what is typed; then read."""
        before = {field.key: field.value for field in self.fields}
        self.fields = tuple(self.questions.fields(self.texts))
        for field in self.fields:
            untouched = self.texts.get(field.key) == before.get(field.key)
            if field.key not in self.texts or untouched:
                self.texts[field.key] = field.value
        self._bring_rows()
        self._read()

    def _bring_rows(self) -> None:
        """Mount what has come, remove what has gone, renew the rest."""
        shown = self.shown_fields()
        kinds = {field.key: field.chosen for field in shown}
        label = label_width(field.label for field in shown)
        for key, row in list(self.rows.items()):
            if kinds.get(key) != row.field.chosen:
                row.remove()
                del self.rows[key]
        after: FieldRow | None = None
        ordered: dict[str, FieldRow] = {}
        for field in shown:
            there = self.rows.get(field.key)
            text = self.texts[field.key]
            row = there or FieldRow(field, text, label)
            if there is None:
                self.asked.mount(row, after=after) if after else self.asked.mount(row, before=0)
            else:
                row.renew(field, text, label)
            ordered[field.key] = row
            after = row
        if list(self.rows) != list(ordered):
            self.call_later(self.refresh_bindings)
        self.rows = ordered
        hidden = [field for field in self.fields if field.further]
        self.query_one(Further).say(hidden, self.further)

    # what it comes to

    def _read(self) -> None:
        """Read the texts, say what is wrong, and try the change."""
        self.reading = self.questions.read(self._texts())
        self.doubted.begin()
        if not self.changed or self.reading.change is None:
            self.program.end_preview()
            self.future = None
            self.then.text = NOT_YET if self.changed and self.reading.wrong else ""
        else:
            self.program.preview(self.reading.change, self.show_preview)
        self.heading.say(self.questions.title, self.reading.told)
        self._say_wrong(self.reading.wrong)
        self._show_beside()

    def _texts(self) -> dict[str, str]:
        """What stands in the fields there are."""
        return {field.key: self.texts[field.key] for field in self.fields}

    @property
    def changed(self) -> bool:
        """Whether there is anything to keep."""
        return self.questions.whole or bool(typed(self.fields, self.texts))

    def _show_beside(self) -> None:
        """The owner's region, where it has anything to show."""
        self.aside.show(self._texts(), self.future)
        self.set_class(self.aside.has_any, "-with-beside")

    def _say_wrong(self, wrong: Sequence[Wrong]) -> None:
        """Say at each field that was left what is wrong with it, or what the files say now."""
        told = (*self.meanwhile.told(self.fields, self.texts), *self.doubted.told())
        for key, row in self.rows.items():
            here = [one.text for one in wrong if one.key == key and key in self.left]
            row.say(" ".join([*here, *(one.text for one in told if one.key == key)]))
        known = {field.key for field in self.fields}
        general = [one.text for one in (*wrong, *told) if one.key not in known]
        at_field = [one.text for one in wrong if one.key in known]
        for problem in self.refused:
            # what is told with its file, or at a field, isn't told again
            text = said(problem.text)
            general = [one for one in general if not one.endswith(f": {text}")]
            if text not in at_field:
                general.append(in_short(problem))
        self.wide.text = " ".join(general)

    def all_wrong(self) -> tuple[Wrong, ...]:
        """What is wrong, references that lead nowhere included."""
        return self.reading.wrong or self.questions.check(self.reading)

    def show_preview(self, preview: Preview) -> None:
        """What the change would make of the plan, as soon as that is known."""
        if self.reading.change is None or not self.is_attached:
            return
        self.future = preview.plan
        self.then.text = preview.sentence if preview.plan is not None else NOT_YET
        self._show_beside()
        awaited = self.doubted.learn(self.questions, self._texts(), preview.plan)
        self._say_wrong(self.reading.wrong)
        if awaited:
            self.action_keep()

    # the state beneath

    def show(self, state: State, *, refined: bool = False) -> None:
        """The files were read again: nothing typed is lost."""
        self.verdict.plan = state.plan
        shown = self.questions.shown
        if refined and shown is not None and shown.project == state.project:
            self.questions.renew(state)
        else:
            self.refused = ()
            self._renew(state)

    def _renew(self, state: State) -> None:
        """Fields that weren't typed in say what the files say now; of others that is noted."""
        before = self.fields
        self.questions.renew(state)
        self._ask()
        self.meanwhile.compare(before, self.fields, self.texts)

    def _read_again(self) -> Sequence[Problem]:
        """Take over what the files say at this moment; why they can't be read."""
        shown = self.questions.shown
        if shown is not None:
            try:
                project = self.program.session.current()
            except InputError as error:
                return error.problems
            if project is not shown.project:
                self._renew(replace(shown, project=project))
        return ()

    def show_problems(self, problems: tuple[Problem, ...], kept: State | None) -> None:
        """The files can't be read just now; what is typed stays."""
        self.refused = problems
        self._say_wrong(self.reading.wrong)

    # keys and mouse

    def on_typed(self, event: Typed) -> None:
        """Something was typed or chosen."""
        event.stop()
        if self._catch_up():
            self._help()

    def _catch_up(self) -> bool:
        """Read what stands in all fields, also what they haven't told yet; whether it is new.

        Of a field that is typed in quickly the form hears later than it is drawn.
        """
        fresh = {key: row.text for key, row in self.rows.items()}
        if all(self.texts.get(key) == text for key, text in fresh.items()):
            return False
        self.asking = False
        self.refused = ()
        self.texts.update(fresh)
        self._ask()
        return True

    def on_next(self, event: Next) -> None:
        """Enter in a field that has read all that was typed: the next field, or keep."""
        event.stop()
        keys = list(self.rows)
        place = keys.index(event.key)
        if place + 1 < len(keys):
            self.focus_on(keys[place + 1])
        elif self.folded:
            self.set_focus(self.query_one(Further))
        else:
            self.action_keep()

    def focus_on(self, key: str) -> None:
        """Put the focus on a field."""
        row = self.rows.get(key)
        if row is not None and row.children:
            self.set_focus(row.value)  # at once: the next key may be there already
            self.first_is_coming = False
            # a row that has just come is laid out first
            self.call_after_refresh(row.scroll_visible, animate=False)
        elif row is not None:
            self.wanted = key

    def on_came(self, event: Came) -> None:
        """A field that the focus waits for is there."""
        event.stop()
        if event.key == self.wanted:
            self.wanted = None
            self.focus_on(event.key)

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Another field has the focus."""
        self.asking = False
        for row in self.rows.values():
            row.refresh()
        self._help()
        self.refresh_bindings()

    def on_descendant_blur(self, event: events.DescendantBlur) -> None:
        """A field was left: say what is wrong with it."""
        row = event.widget.parent
        if isinstance(row, FieldRow) and self.texts.get(row.field.key) != row.field.value:
            self.left.add(row.field.key)
            self._say_wrong(self.all_wrong())

    @property
    def here(self) -> FieldRow | None:
        """The field with the focus."""
        # a widget itself hears of its focus later than the screen
        row = self.focused.parent if self.focused is not None else None
        return row if isinstance(row, FieldRow) else None

    def key_came(self, key: str) -> bool:
        """A key was pressed: where it answers the question about dropping, that is all it does."""
        if not self.asking or key == "escape":
            return False
        self.asking = False
        self._help()
        return True

    @property
    def kept(self) -> str:
        """What keeping is called at its key."""
        return self.questions.kept

    @property
    def sought(self) -> str:
        """What can be looked up in the field with the focus; empty where there is nothing."""
        row = self.here
        if row is None or not self.check_action("look_up", ()):
            return ""
        return row.field.sought or "list"

    def _help(self) -> None:
        """The sentence for the field with the focus, or the question about dropping."""
        if self.asking:
            self.help_line.text = ASK
            return
        row = self.here
        self.help_line.text = row.field.help if row is not None else ""

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Looking up is offered where there is something to look up; enter as it does there."""
        if action == "enter":
            return parameters[0] == self.enter_does()
        if action == "look_up":
            row = self.here
            return row is not None and (row.field.found is not None or len(row.field.options) > 2)
        return True

    @property
    def folded(self) -> bool:
        """Whether there are fields that aren't shown."""
        return not self.further and any(field.further for field in self.fields)

    def enter_does(self) -> str:
        """What enter does where the focus is."""
        if isinstance(self.focused, Further):
            return "unfold" if self.folded else "fold"
        row = self.here
        last = row is not None and row.field.key == next(reversed(self.rows), None)
        return "keep" if last and not self.folded else "next"

    def action_enter(self, does: str) -> None:
        """On; the last field says itself when it has read all that was typed."""
        row = self.here
        if does in ("unfold", "fold"):
            self.action_further()
        elif does == "keep" or row is None:
            raise SkipAction
        else:
            keys = [*self.rows, ""]
            after = keys[keys.index(row.field.key) + 1]
            self.focus_on(after) if after else self.set_focus(self.query_one(Further))

    def action_move(self, steps: int) -> None:
        """Another field."""
        if steps > 0:
            self.focus_next(".form--stop")
        else:
            self.focus_previous(".form--stop")

    def action_further(self) -> None:
        """Show the further fields, or hide them again."""
        self.further = not self.further
        self._bring_rows()
        self.refresh_bindings()
        first = next((field.key for field in self.fields if field.further), None)
        if self.further and first is not None:
            self.call_after_refresh(self.focus_on, first)

    def action_keep(self) -> None:
        """Keep it, or go to the first field that is wrong, or that the files changed too."""
        self._catch_up()
        unread = self._read_again()
        if unread:
            self.refuse(unread)
            return
        wrong = self.all_wrong() or self.meanwhile.unsaid(self.fields, self._texts())
        if wrong:
            self.left = {field.key for field in self.fields}
            self._go_to_wrong(wrong)
            return
        if self.changed and self.questions.doubting and not self.doubted.is_known:
            self.doubted.is_awaited = True
            return
        doubts = self.doubted.unsaid()
        if doubts:
            self._go_to_wrong(self.reading.wrong)
            self.focus_on(doubts[0].key)
            return
        if self.changed and (self.reading.change is not None or self.reading.other):
            refused = self.questions.keep(self.program, self.reading)
            if refused:
                self.refuse(refused)
                return
        self._close()

    def _close(self) -> None:
        """Close; nothing is being tried any longer."""
        self.program.end_preview()
        self.dismiss(None)

    def refuse(self, problems: Sequence[Problem]) -> None:
        """It could not be kept: say why; nothing typed is lost."""
        self.left = {field.key for field in self.fields}
        self.refused = tuple(problems)
        self.program.tell("")
        self._go_to_wrong(self.questions.refused(problems, self.reading))

    def _go_to_wrong(self, wrong: Sequence[Wrong]) -> None:
        keys = {one.key for one in wrong}
        first = next((field for field in self.fields if field.key in keys), None)
        if first is not None and first.further and not self.further:
            self.further = True
            self._bring_rows()
        self._say_wrong(wrong)
        if first is not None:
            self.focus_on(first.key)

    def action_drop(self) -> None:
        """Close; asks first where something was typed."""
        self._catch_up()
        if self.asking or not typed(self.fields, self.texts):
            self._close()
            return
        self.asking = True
        self._help()

    def action_look_up(self) -> None:
        """Look up what can stand in this field."""
        if self.here is not None:
            self.here.look_up()
