"""The Garments: every ensemble in dressing order, each garment opened to its steps beneath."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import getters
from textual.app import ComposeResult, SystemCommand
from textual.binding import Binding, BindingType

from planner.doing_over import may_have_failed
from screens.after_wearing import after_wearing_commands
from screens.doing import Doing, duplicated, left_off, moved, removed
from screens.forms import lookups
from screens.page import Page
from screens.state import State
from screens.then import became_sentence
from screens.widgets.garment_list import DATES, ENSEMBLE, GARMENT, OCCASION, PACK, GarmentList
from screens.widgets.garment_steps import GarmentSteps
from screens.widgets.lines import Lines
from screens.widgets.stitching import Stitching
from screens.wording import clean

if TYPE_CHECKING:
    from screens.forms.questions import Questions

STEP = "step"
"""What an action is about where the cursor is on a step."""


def _key(key: str, action: str, told: str, tooltip: str, show: bool = False) -> Binding:
    name = action.split("(")[0].replace("_", "-")
    return Binding(key, action, told, show=show, id=f"garments.{name}", tooltip=tooltip)


class Garments(Page):
    """What is worn, in the order it is put on."""

    AUTO_FOCUS = "#garments"
    CSS_PATH = ["page.tcss", "garments.tcss"]  # noqa: RUF012  # so declared by Textual
    BINDINGS: ClassVar[list[BindingType]] = [
        _key("space", "log", "log", "Log that this step was done, or open it again", True),
        _key("a", "add", "add", "Add a garment", True),
        _key("i", "new", "new", "A new step of this garment, or a new occasion", True),
        _key("e", "edit", "edit", "Change what is under the cursor", True),
        _key("f", "over", "do over", "Do over this done step, or what was done at this fitting"),
        _key("d", "duplicate", "duplicate", "The same again, right below"),
        _key("x", "leave_off", "leave off", "Leave it off, or take it back"),
        Binding(
            "delete,backspace",
            "remove",
            "remove",
            show=False,
            id="garments.remove",
            tooltip="Remove it; ^z brings it back",
        ),
        Binding(
            "comma",
            "shift(-1)",
            "earlier",
            show=False,
            key_display=",",
            id="garments.earlier",
            tooltip="Earlier: up in the order",
        ),
        Binding(
            "full_stop",
            "shift(1)",
            "later",
            show=False,
            key_display=".",
            id="garments.later",
            tooltip="Later: down in the order",
        ),
        _key("w", "where_from", "where from", "Make it, own it, alter, borrow or buy it"),
        _key("m", "measure", "measurements", "Its measurements and choices, split anew"),
    ]

    garments = getters.query_one("#garments", GarmentList)
    steps = getters.query_one("#steps", GarmentSteps)

    def regions(self) -> ComposeResult:
        """Garments, and what is opened."""
        yield GarmentList(id="garments")
        yield Stitching(id="between")
        yield GarmentSteps(id="steps")

    @property
    def told_in_help(self) -> str:
        """What the lines mean."""
        return (
            "Garments stand in the order they are put on, 1 next to the skin; of those with the"
            " same number either may be first. Each is told with where it comes from, its hours,"
            " and when it can be fitted over or worn. Beneath are the steps of the one under the"
            " cursor; the letter of a step is its kind of work:"
        )

    # what is shown

    def lay_out(self, state: State, *, refined: bool) -> None:
        """Show a state; the cursor stays on its garment and step. Says what an edit changed."""
        before = self.garments.plan
        if not refined and before is not None and self.verdict.told:
            self.verdict.tell_more(became_sentence(state.before or before, state.plan))
        self.garments.show(state.project, state.plan)
        self.steps.show(state.project, state.plan, self.garments.subject)

    def go_to(self, ident: str) -> None:
        """Put the cursor on a garment, a step or an occasion by its full id."""
        if ident.count("/") == 2:
            garment = ident.rpartition("/")[0]
            if self.garments.go(f"{GARMENT} {garment}", tell=False):
                self._open()
                self.steps.go(ident)
        else:
            for kind in (GARMENT, OCCASION):
                if self.garments.go(f"{kind} {ident}", tell=False):
                    self._open()

    def _open(self) -> None:
        """Open what is under the cursor of the list."""
        state = self.showing
        if state is not None:
            self.steps.show(state.project, state.plan, self.garments.subject)

    def on_lines_moved(self, event: Lines.Moved) -> None:
        """Another garment is under the cursor."""
        if event.lines is self.garments:
            self._open()

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """Go to its steps, where it has any; else edit it."""
        if event.lines is self.garments:
            if self.steps.cursor is not None:
                self.steps.focus()
            elif self.garments.subject[0] in (PACK, ENSEMBLE):
                self.action_edit()

    # what an action is about

    @property
    def subject(self) -> tuple[str, str]:
        """What is under the cursor of the region that has the focus: its kind and full id."""
        if self.focused is self.steps and self.steps.cursor is not None:
            return STEP, self.steps.cursor
        return self.garments.subject

    @property
    def ensemble(self) -> str:
        """Id of the ensemble the cursor is in."""
        return self.garments.subject[1].split("/")[0]

    @property
    def garment(self) -> str | None:
        """Full id of the garment the cursor is in; None where it is in none."""
        kind, ident = self.subject
        if kind == STEP:
            return ident.rpartition("/")[0]
        there = kind == GARMENT and not ident.endswith("/")
        return ident if there else None

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What can't be done to what is under the cursor isn't offered."""
        state = self.showing
        if action == "log":
            return self.subject[0] == STEP
        if action == "over":
            return bool(self._failed())
        if action in ("leave_off", "duplicate", "shift", "where_from", "measure"):
            return self.garment is not None
        if action == "remove":
            return self.garment is not None or self.subject[0] == OCCASION
        if action in ("add", "new", "edit"):
            return state is not None and bool(state.project.ensembles)
        return True

    # keys

    def _ask(self, questions: Questions) -> None:
        from screens.forms.form import Form

        self.app.push_screen(Form(questions))

    def _do(self, doing: Doing) -> None:
        self.program.edit(doing.label, doing.change, cursor=doing.cursor)

    def action_log(self) -> None:
        """Ask what was done of the step's garment; the step stands there as done."""
        state, (kind, step) = self.showing, self.subject
        if state is not None and kind == STEP:
            garment = step.rpartition("/")[0]
            ahead = [one.id for one in state.plan.steps if not (one.done or one.left_off)]
            steps = [step, *(one for one in ahead if one.rpartition("/")[0] == garment)]
            self.program.log_steps(steps, marked=[step])

    def _failed(self) -> tuple[str, ...]:
        """What can be done over of the step or occasion under the cursor."""
        kind, ident = self.subject
        if self.showing is None or kind not in (STEP, OCCASION):
            return ()
        return may_have_failed(self.showing.plan, ident)

    def action_over(self) -> None:
        """Do over a step, or what was done at a fitting."""
        from screens.dialogs.do_over import DoOverSheet

        if self.showing is not None and (about := self._failed()):
            self.app.push_screen(DoOverSheet(self.showing, about))

    def action_add(self) -> None:
        """Add a garment to the ensemble."""
        from screens.adding import add_garment_to

        if self.showing is not None:
            add_garment_to(self.app, self.showing, self.ensemble)

    def action_new(self) -> None:
        """A new step of the garment, below the cursor; else a new occasion."""
        from screens.forms.occasion import OccasionQuestions
        from screens.forms.step import StepQuestions

        state, garment = self.showing, self.garment
        if state is None:
            return
        if garment is None:
            self._ask(OccasionQuestions(state, self.ensemble))
            return
        index = None
        kind, ident = self.subject
        if kind == STEP:
            steps = lookups.garment_of(state.project, garment).steps
            index = [f"{garment}/{step.id}" for step in steps].index(ident) + 1
        self._ask(StepQuestions(state, garment, index=index))

    def action_edit(self) -> None:
        """The form of what is under the cursor."""
        from screens.forms.garment import EnsembleQuestions, GarmentQuestions
        from screens.forms.occasion import OccasionQuestions
        from screens.forms.step import StepQuestions

        state = self.showing
        if state is None:
            return
        kind, ident = self.subject
        if kind == STEP:
            self._ask(StepQuestions(state, ident.rpartition("/")[0], ident))
        elif self.garment is not None:
            self._ask(GarmentQuestions(state, self.ensemble, ident))
        elif kind == OCCASION:
            self._ask(OccasionQuestions(state, self.ensemble, ident))
        elif kind == DATES:
            self._ask(OccasionQuestions(state, self.ensemble))
        elif kind == GARMENT:
            self.action_add()
        else:
            self._ask(EnsembleQuestions(state, self.ensemble))

    def action_duplicate(self) -> None:
        """The same again, right below."""
        if self.showing is not None and self.garment is not None:
            self._do(duplicated(self.showing.project, self.subject[1]))

    def action_leave_off(self) -> None:
        """Leave it off, or take it back."""
        if self.showing is not None and self.garment is not None:
            self._do(left_off(self.showing.project, self.subject[1]))

    def action_remove(self) -> None:
        """Remove it."""
        kind, ident = self.subject
        if self.showing is not None and (self.garment is not None or kind == OCCASION):
            self._do(removed(self.showing.project, ident, occasion=kind == OCCASION))

    def action_shift(self, by: int) -> None:
        """Earlier or later in the order."""
        if self.showing is not None and self.garment is not None:
            self._do(moved(self.showing.project, self.subject[1], by))

    def action_where_from(self) -> None:
        """Make it, own it, alter, borrow or buy it: asked with the hours each way."""
        from screens.dialogs.where_from import WhereFrom
        from screens.splits import From, each_way

        state, garment = self.showing, self.garment
        if state is None or garment is None:
            return
        name = lookups.name_of(state.project, garment)

        def chosen(way: From | None) -> None:
            if way is not None and way.change is not None:
                self.program.edit(f"{name}: {way.source.value}", way.change, cursor=garment)

        ways = each_way(state.project, garment, state.now, state.plan.pace)
        self.app.push_screen(WhereFrom(name, ways), chosen)

    def action_measure(self) -> None:
        """Its measurements and choices; without an order of construction, its form."""
        from screens.forms.garment import GarmentQuestions
        from screens.forms.measure import MeasureQuestions
        from screens.splits import order_of

        state, garment = self.showing, self.garment
        if state is None or garment is None:
            return
        if order_of(state.project, lookups.garment_of(state.project, garment)) is not None:
            self._ask(MeasureQuestions(state, garment))
        else:
            self._ask(GarmentQuestions(state, self.ensemble, garment))

    # the palette

    def get_commands(self) -> Iterable[SystemCommand]:
        """What the palette offers here, for what is under the cursor."""
        state = self.showing
        if state is None or not state.project.ensembles:
            return
        yield SystemCommand("Add a garment", "To this ensemble", self.action_add)
        yield SystemCommand("Begin a new ensemble", "In this workroom", self._begin_ensemble)
        yield SystemCommand("Add an occasion", "A fitting, an event", self._new_occasion)
        yield SystemCommand("Add to the stock", "Cloth, trim or notions", self._new_stock)
        if self.subject[0] == STEP:
            name = lookups.name_of(state.project, self.subject[1])
            yield SystemCommand(f"Log {name}", "As done, begun or open again", self.action_log)
        if self._failed():
            name = lookups.name_of(state.project, self.subject[1])
            told = "It is open again, and what follows it by choice"
            yield SystemCommand(f"Do over {name}", told, self.action_over)
        if self.garment is not None:
            yield SystemCommand("Add a step", "To this garment", self.action_new)
            yield SystemCommand(
                "Save as an order of construction",
                "This garment's steps and questions, for the next one like it",
                self._save_order,
            )
            yield from self._of_a_garment(lookups.name_of(state.project, self.subject[1]))
        kind, ident = self.garments.subject
        if kind == OCCASION and self.focused is self.garments:
            name = lookups.name_of(state.project, ident)
            see = partial(self.program.open_occasion, ident)
            yield SystemCommand(f"See what must be there before {name}", "And what to pack", see)
        yield from after_wearing_commands(self.program, state, self.ensemble)
        yield SystemCommand("Edit what is under the cursor", "In a form", self.action_edit)
        if self.check_action("remove", ()):
            name = lookups.name_of(state.project, self.subject[1])
            yield SystemCommand(f"Remove {name}", "^z brings it back", self.action_remove)
        for stock in lookups.ensemble_of(state.project, self.ensemble).stock:
            name = clean(stock.name) or clean(stock.id)
            edit = partial(self._edit_stock, f"{self.ensemble}/{stock.id}")
            yield SystemCommand(f"Edit stock: {name}", "What there is and what is coming", edit)

    def _of_a_garment(self, name: str) -> Iterable[SystemCommand]:
        """What can be done to a garment or step of this name."""
        for title, told, do in (
            (f"Leave off or take back {name}", "Leaves its minutes out", self.action_leave_off),
            (f"Duplicate {name}", "The same again, right below", self.action_duplicate),
            (f"Move {name} earlier", "Up in the order", partial(self.action_shift, -1)),
            (f"Move {name} later", "Down in the order", partial(self.action_shift, 1)),
            ("Say where the garment comes from", "The hours each way", self.action_where_from),
            ("Measure the garment anew", "Measurements and choices", self.action_measure),
        ):
            yield SystemCommand(title, told, do)

    def _begin_ensemble(self) -> None:
        from screens.beginning import new_ensemble

        if self.showing is not None:
            self.app.push_screen(new_ensemble(self.showing))

    def _new_occasion(self) -> None:
        from screens.forms.occasion import OccasionQuestions

        if self.showing is not None:
            self._ask(OccasionQuestions(self.showing, self.ensemble))

    def _save_order(self) -> None:
        from screens.forms.own_order import OwnOrderQuestions

        if self.showing is not None and self.garment is not None:
            self._ask(OwnOrderQuestions(self.showing, self.garment))

    def _new_stock(self) -> None:
        from screens.forms.stock import StockQuestions

        if self.showing is not None:
            self._ask(StockQuestions(self.showing, self.ensemble))

    def _edit_stock(self, ident: str) -> None:
        from screens.forms.stock import StockQuestions

        if self.showing is not None:
            self._ask(StockQuestions(self.showing, self.ensemble, ident))
