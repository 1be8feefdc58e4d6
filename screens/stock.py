"""Stock: what is wanted, there and coming; what runs out where, and by when to order."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import getters
from textual.app import ComposeResult, SystemCommand
from textual.binding import Binding, BindingType
from textual.containers import Vertical

from planner.exports.account import stock_reports_of
from planner.stock_report import StockReport
from screens.delaying import Near
from screens.doing import Doing
from screens.page import Page
from screens.previews import Preview
from screens.state import State
from screens.stock_doing import Typed, come, coming_now, counted, delivered, removed
from screens.stock_told import amount_of, delivery_example, then_of, unit_of
from screens.widgets.ask_line import AskLine
from screens.widgets.lines import Lines
from screens.widgets.opened_stock import COMING, STEP, OpenedStock
from screens.widgets.stitching import Stitching
from screens.widgets.stock_list import StockList
from screens.wording import long_date, name_of

if TYPE_CHECKING:
    from screens.forms.questions import Questions


def _key(key: str, action: str, told: str, tooltip: str, show: bool = True) -> Binding:
    return Binding(key, action, told, show=show, id=f"stock.{action}", tooltip=tooltip)


class StockShelf(Page):
    """Cloth, trim and notions."""

    AUTO_FOCUS = "#stock"
    CSS_PATH = ["page.tcss", "stock.tcss"]  # noqa: RUF012  # so declared by Textual
    BINDINGS: ClassVar[list[BindingType]] = [
        _key("c", "count", "count", "Count it: type how much there is today"),
        _key("d", "deliver", "delivery", "What is coming: type each amount and its day"),
        _key("k", "come", "has come", "The delivery due first has come, or the one chosen"),
        _key("a,i", "add", "add", "Add something to the stock"),
        _key("r", "run_up", "its day", "Go to this step in the run-up, or the first of it"),
        _key("e", "edit", "edit", "Change it in a form", False),
        _key("delete,backspace", "remove", "remove", "Remove it; ^z brings it back", False),
    ]

    stock = getters.query_one("#stock", StockList)
    opened = getters.query_one("#opened", OpenedStock)
    line = getters.query_one("#ask", AskLine)

    def __init__(self) -> None:
        super().__init__()
        self.asked: tuple[str, StockReport] | None = None
        """What is being typed: "count" or "deliver", and of which stock."""
        self.began = ""
        """What stood there at first, as the files said then."""

    def regions(self) -> ComposeResult:
        """The stock, what is typed in its row, and its account."""
        with Vertical(id="shelf"):
            yield StockList(id="stock")
            yield AskLine(id="ask")
        yield Stitching(id="between")
        yield OpenedStock(id="opened")

    @property
    def told_in_help(self) -> str:
        """What the lines mean."""
        return (
            "What runs out stands first, with how much is short and by when to order it or decide;"
            " what can't be bought again stands apart. The day at the end of the other lines is"
            " that of the first step that takes of it: by then it must be to hand. “?” is a"
            " delivery of which nobody knows the day. Beneath is the account: what is left after"
            " each step, the most urgent served first, so that days need not follow each other."
            " The letter of a step is its kind of work:"
        )

    # what is shown

    def lay_out(self, state: State, *, refined: bool) -> None:
        """Draw a state; the cursor stays on its stock."""
        self.stock.show(state.plan, stock_reports_of(state.project, state.plan))
        self.set_class(not self.stock.reports, "-empty")
        self.opened.show(state.plan, self.stock.report)
        self._compare(state)

    def _compare(self, state: State) -> None:
        """Say where the files have come to say something else than what is being changed."""
        if self.asked is None:
            return
        what, report = self.asked
        now = coming_now(state.project, report.id) if what == "deliver" else ""
        if now != self.began:
            self.began = now
            self.line.say(f"The files say now: {now or 'nothing'}; enter keeps what stands here.")

    def go_to(self, ident: str) -> None:
        """Put the cursor on a stock by its full id."""
        self.stock.go(ident)

    def on_lines_moved(self, event: Lines.Moved) -> None:
        """Another stock is under the cursor."""
        if event.lines is self.stock and self.stock.plan is not None:
            self.opened.show(self.stock.plan, self.stock.report)
            self.refresh_bindings()

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """From the list to the account; there, to the step, or take a delivery in."""
        if event.lines is self.stock:
            if self.opened.cursor is not None:
                self.opened.focus()
            return
        kind, _, rest = event.key.partition(" ")
        if kind == STEP:
            self.program.open_step(rest)
        elif kind == COMING:
            self._come(int(rest))

    def action_close(self) -> None:
        """Back to the list."""
        self.stock.focus()

    # typed in place

    def action_count(self) -> None:
        """Count it anew."""
        report, plan = self.stock.report, self.stock.plan
        if report is None or plan is None:
            return
        self.asked, self.began = ("count", report), ""
        there = amount_of(plan, report, report.there)
        self.stock.ask(True)
        self.line.ask(name_of(plan, report.id), "there today:", "", f"{there} by the last count")

    def action_deliver(self) -> None:
        """What is coming."""
        report, plan, state = self.stock.report, self.stock.plan, self.showing
        if report is None or plan is None or state is None:
            return
        text = coming_now(state.project, report.id)
        self.asked, self.began = ("deliver", report), text
        example = delivery_example(plan, report)
        self.stock.ask(True)
        self.line.ask(name_of(plan, report.id), "coming:", text, example)

    def _read(self, text: str) -> Typed | None:
        """What is typed comes to this; None where nothing is asked."""
        state, plan = self.showing, self.stock.plan
        if self.asked is None or state is None or plan is None:
            return None
        what, report = self.asked
        today = self.program.clock().date()
        project = self.program.session.project
        if what == "count":
            unit = unit_of(plan, report)
            return counted(project, report.id, text, today, unit, report.dimension)
        return delivered(project, report.id, text, today)

    def on_ask_line_changed(self, event: AskLine.Changed) -> None:
        """Say what would come of what is typed."""
        read = self._read(event.text)
        if read is None:
            return
        if read.doing is None:
            self.program.end_preview()
            self.line.say(read.wrong if event.text.strip() else "")
            return
        told, change, asked = read.told, read.doing.change, self.asked

        def answered(preview: Preview) -> None:
            if asked is None or self.asked is not asked:
                return
            after = ""
            if preview.plan is not None:
                project = change(self.program.session.project)
                reports = stock_reports_of(project, preview.plan)
                after = then_of(preview.plan, reports, asked[1].id, preview.sentence)
            wrong = preview.problems[0].text if preview.problems else ""
            self.line.say(" ".join(part for part in (wrong or after, told) if part))

        self.program.preview(change, answered)

    def on_ask_line_kept(self, event: AskLine.Kept) -> None:
        """Keep what was typed."""
        read = self._read(event.text)
        if read is None:
            return
        if read.doing is None:
            self.line.say(read.wrong)
            return
        if self._do(read.doing, read.told):
            self._close_line()

    def on_ask_line_dropped(self) -> None:
        """Nothing is typed any more."""
        self.program.end_preview()
        self._close_line()

    def _close_line(self) -> None:
        self.asked = None
        self.line.close()
        self.stock.ask(False)
        self.stock.focus()

    def _do(self, doing: Doing, told: str = "") -> bool:
        """Make an edit, and say what is to be known besides; whether it could be made."""
        if self.program.edit(doing.label, doing.change, cursor=doing.cursor):
            return False
        if told:
            self.program.tell(f"{doing.label[:1].upper()}{doing.label[1:]}. {told}")
        return True

    @property
    def near(self) -> Near:
        """What is meant first where it is said what went wrong."""
        return Near(stock=self.stock.report.id if self.stock.report is not None else None)

    # keys

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What can't be done to what is under the cursor isn't offered."""
        state = self.showing
        if action == "add":
            return state is not None and bool(state.project.ensembles)
        if action == "come":
            return self.stock.report is not None and bool(self.stock.report.stock.coming)
        if action == "run_up":
            return self._step() is not None
        if action in ("count", "deliver", "edit", "remove"):
            return self.stock.report is not None
        return True

    def action_come(self) -> None:
        """The delivery under the cursor has come, or the one due first."""
        self._come(self.opened.delivery)

    def _come(self, place: int | None) -> None:
        report, state = self.stock.report, self.showing
        if report is None or state is None:
            return
        read = come(self.program.session.project, report.id, place)
        if read.doing is not None:
            self._do(read.doing, read.told)
        else:
            self.program.tell(read.wrong)

    def _step(self) -> str | None:
        """The step under the cursor of the account, else the first that takes of it."""
        report = self.stock.report
        return self.opened.step or (report.first if report is not None else None)

    def action_run_up(self) -> None:
        """Go to the step in the run-up."""
        step = self._step()
        if step is not None:
            self.program.open_step(step)

    def _ask(self, questions: Questions) -> None:
        from screens.forms.form import Form

        self.app.push_screen(Form(questions))

    def action_add(self) -> None:
        """Add to the stock of the ensemble the cursor is in."""
        from screens.forms.stock import StockQuestions

        state = self.showing
        if state is not None and state.project.ensembles:
            here = self.stock.cursor or state.project.ensembles[0].id
            self._ask(StockQuestions(state, here.split("/")[0]))

    def action_edit(self) -> None:
        """The stock in a form."""
        from screens.forms.stock import StockQuestions

        state, report = self.showing, self.stock.report
        if state is not None and report is not None:
            self._ask(StockQuestions(state, report.id.split("/")[0], report.id))

    def action_remove(self) -> None:
        """Take it out of the stock."""
        state, report = self.showing, self.stock.report
        if state is not None and report is not None:
            self._do(removed(state.project, report.id))

    # the palette

    def get_commands(self) -> Iterable[SystemCommand]:
        """What the palette offers here, for what is under the cursor."""
        state, report = self.showing, self.stock.report
        if state is None or not state.project.ensembles:
            return
        for ensemble in state.project.ensembles:
            to = f"To that of {name_of(state.plan, ensemble.id)}"
            add = partial(self._add_to, ensemble.id)
            yield SystemCommand("Add to the stock", to, add)
        if report is None:
            return
        name = name_of(state.plan, report.id)
        yield SystemCommand(f"Count {name}", "How much there is today", self.action_count)
        yield SystemCommand(
            f"Say what is coming of {name}", "Each amount and its day", self.action_deliver
        )
        for place, one in enumerate(report.stock.coming):
            amount = amount_of(state.plan, report, one.amount.value)
            due = f"Due {long_date(one.arrives)}" if one.arrives else "Nobody knew when"
            title = f"{amount} of {name} has come"
            yield SystemCommand(title, due, partial(self._come, place))
        if (step := self._step()) is not None:
            told = f"That takes of {name}: its day opened"
            title = f"Go to {name_of(state.plan, step)} in the run-up"
            yield SystemCommand(title, told, self.action_run_up)
        yield SystemCommand(f"Edit {name}", "In a form", self.action_edit)
        yield SystemCommand(f"Remove {name}", "^z brings it back", self.action_remove)

    def _add_to(self, ensemble: str) -> None:
        from screens.forms.stock import StockQuestions

        if self.showing is not None:
            self._ask(StockQuestions(self.showing, ensemble))
