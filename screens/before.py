"""Before: what must be there before an occasion, whether it can be, its own list, what can wait."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import events, getters
from textual.app import ComposeResult, SystemCommand
from textual.binding import Binding, BindingType
from textual.containers import Container, Vertical
from textual.widgets import Static

from planner.before import Before as Needed
from planner.before import Item, needs, next_occasion
from planner.doing_over import may_have_failed
from planner.editing import with_packed
from planner.held import BY_DATE
from screens import before_list_told as list_told
from screens import before_told as told
from screens.delaying import Near
from screens.page import Page
from screens.state import State
from screens.widgets.before_list import OWN, WAITING, WORK, BeforeList
from screens.widgets.before_parts import ITEM, STEP, THING, UNDER, item_key
from screens.widgets.in_styles import in_styles
from screens.widgets.occasions import DIGITS, Choice, Occasions
from screens.widgets.stitching import Stitching
from screens.wording import occasion_name

if TYPE_CHECKING:
    from screens.forms.questions import Questions


def _key(key: str, action: str, told: str, tooltip: str, show: bool = True) -> Binding:
    return Binding(key, action, told, show=show, id=f"before.{action}", tooltip=tooltip)


_STYLES = {
    told.Weight.PLAIN: "$foreground",
    told.Weight.STRONG: "bold $foreground",
    told.Weight.GRAVE: "bold $accent",
}


class Before(Page):
    """What an occasion needs."""

    AUTO_FOCUS = "#work"
    CSS_PATH = ["page.tcss", "before.tcss"]  # noqa: RUF012  # so declared by Textual
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "right,right_square_bracket",
            "turn(1)",
            "occasion",
            key_display=f"←→ 1-{DIGITS}",
            id="before.next",
            tooltip="Another occasion: the next, the one before, or that of a digit",
        ),
        Binding("left,left_square_bracket", "turn(-1)", "occasion", show=False, id="before.last"),
        *(
            Binding(str(n), f"choose_number({n})", "", show=False, id=f"before.{n}")
            for n in range(1, DIGITS + 1)
        ),
        _key("a", "own", "its list", "To its list: what is done at it, put on or packed; or back"),
        _key("space", "tick", "packed", "Tick off what is packed, or take the tick back"),
        _key("space", "held", "what was done", "Say what was done at this past occasion"),
        _key("y", "arrange", "by garment", "By garment, or by stage again"),
        _key("r", "run_up", "its day", "Go to this step in the run-up"),
        _key("f", "over", "do over", "Do over what was done at this past occasion, and failed"),
        _key("i", "list_more", "list", "List what else must be packed", False),
        _key("e", "edit", "edit", "Change this occasion in a form", False),
    ]

    occasions = getters.query_one(Occasions)
    answer = getters.query_one("#answer", Static)
    work = getters.query_one("#work", BeforeList)
    own = getters.query_one("#own", BeforeList)

    def __init__(self) -> None:
        super().__init__()
        self.chosen: str | None = None
        """Full id of the occasion; None: the next."""
        self.by_garment = False
        self.needed: Needed | None = None
        self.asked = False
        """Whether a sheet about this occasion is open."""

    def regions(self) -> ComposeResult:
        """Which occasion, the answer, then the lists."""
        with Vertical(id="asked"):
            yield Occasions()
            yield Static(id="answer", markup=False)
        with Container(id="lists"):
            yield BeforeList(id="work")
            yield Stitching(id="between")
            yield BeforeList(id="own")

    @property
    def told_in_help(self) -> str:
        """What the lines mean."""
        return (
            "On top are the occasions by date, the chosen one between ‹ and ›: a digit goes to the"
            " occasion of that number, the arrows to the one before and after. Then what must be"
            " there before it, and whether it can be; each step left to do, by the stage of its"
            " garment that needs it; for a fitting what is done at it and what goes on under it,"
            " for a trial wear what is put on, for a departure or an event what is packed (×"
            " packed, · not yet); and what can wait. Of one that is past, what it lacked:"
            " space says what was done at it, or that it wasn't held. The letter of a"
            " step is its kind of work:"
        )

    # what is shown

    def lay_out(self, state: State, *, refined: bool) -> None:
        """Show what the chosen occasion needs."""
        plan = state.plan
        found = [one for one in plan.occasions if one.id == self.chosen]
        occasion = found[0] if found else next_occasion(plan)
        self.set_class(occasion is None, "-empty")
        if occasion is None:
            self.needed = None
            self.occasions.show((), 0)
            self.answer.update("\n".join(told.no_occasions(state.project)))
            return
        self.chosen = occasion.id
        self.needed = needs(state.project, plan, occasion)
        labels = [told.label(plan, one) for one in plan.occasions]
        choices = [
            Choice(id=one.id, label=label, past=one.past, short=told.day_label(one))
            for one, label in zip(plan.occasions, labels, strict=True)
        ]
        self.occasions.show(choices, [one.id for one in choices].index(occasion.id))
        self._answer()
        self._lists(state)
        self.refresh_bindings()

    def _answer(self) -> None:
        """The sentences, in as many lines as they need."""
        if self.showing is not None and self.needed is not None:
            said = told.answer(self.showing.plan, self.needed)
            width = max(20, (self.size.width or 80) - 2)
            self.answer.update(in_styles([(one.text, _STYLES[one.weight]) for one in said], width))

    def _lists(self, state: State) -> None:
        """The parts: side by side where there is room, else one after the other."""
        if self.needed is None:
            return
        beside = self.has_class("-beside")
        parts = (WORK, WAITING) if beside else (WORK, OWN, WAITING)
        if self.needed.occasion.past:
            beside = False
        self.set_class(not beside, "-alone")
        self.work.show(state.plan, self.needed, parts, self.by_garment)
        self.own.show(state.plan, self.needed, (OWN,) if beside else (), self.by_garment)
        if not beside and self.focused is self.own:
            self.work.focus()

    def on_resize(self, event: events.Resize) -> None:
        """Another width: wrap and share out anew."""
        if self.showing is not None:
            self.call_after_refresh(self._again)

    def _again(self) -> None:
        if self.showing is not None:
            self._answer()
            self._lists(self.showing)

    def on_screen_resume(self) -> None:
        """The one last looked at, where it is still ahead or was asked about; else the next."""
        needed, asked = self.needed, self.asked
        self.asked = False
        if needed is not None and needed.occasion.past and not asked:
            self.chosen = None
            if self.showing is not None:
                self.lay_out(self.showing, refined=False)
        super().on_screen_resume()

    @property
    def near(self) -> Near:
        """What is meant first where it is said what went wrong."""
        return Near(occasion=self.chosen)

    def go_to(self, ident: str) -> None:
        """To an occasion, or to a step or garment of this one."""
        state = self.showing
        if state is None:
            return
        if any(one.id == ident for one in state.plan.occasions):
            self._choose(ident)
        else:
            self.work.find(ident) or self.own.find(ident)

    def _choose(self, ident: str) -> None:
        if self.showing is not None and ident != self.chosen:
            self.chosen = ident
            self.lay_out(self.showing, refined=False)
            self.work.focus()

    # keys

    @property
    def subject(self) -> tuple[str, str]:
        """What is under the cursor of the list that has the focus, and which."""
        focused = self.focused
        return focused.subject if isinstance(focused, BeforeList) else ("", "")

    @property
    def item(self) -> Item | None:
        """What can be ticked under the cursor."""
        kind, ident = self.subject
        if kind != ITEM or self.needed is None:
            return None
        key = f"{ITEM} {ident}"
        return next((one for one in self.needed.packing if item_key(one) == key), None)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What can't be done here isn't offered."""
        needed = self.needed
        if action in ("turn", "choose_number", "edit"):
            return needed is not None
        if action == "over":
            return bool(self._failed())
        if action == "held":
            return needed is not None and needed.occasion.past
        if action in ("tick", "list_more"):
            return needed is not None and bool(needed.packing) and not needed.occasion.past
        if action in ("own", "arrange"):
            return needed is not None and not needed.occasion.past
        return True

    def _failed(self) -> tuple[str, ...]:
        """What was done at a past occasion, and may have failed."""
        if self.showing is None or self.chosen is None:
            return ()
        return may_have_failed(self.showing.plan, self.chosen)

    def action_over(self) -> None:
        """Do over what was done at the occasion."""
        from screens.dialogs.do_over import DoOverSheet

        if self.showing is not None and (about := self._failed()):
            self.asked = True
            self.app.push_screen(DoOverSheet(self.showing, about))

    def action_held(self) -> None:
        """Say what was done at the past occasion."""
        from screens.dialogs.held import HeldSheet

        if self.needed is None or self.showing is None or self.chosen is None:
            return
        if self.needed.occasion.kind in BY_DATE and not self.needed.occasion.during:
            self.program.tell(
                "Nothing was to be done at it. What was done before it space logs, in the run-up"
                " (u) or the diary (l)."
            )
        else:
            self.asked = True
            self.app.push_screen(HeldSheet(self.showing, self.chosen))

    def on_lines_moved(self) -> None:
        """Another line is under the cursor."""
        self.refresh_bindings()

    def action_turn(self, by: int) -> None:
        """To the next occasion, or the one before."""
        ids = [one.id for one in self.occasions.choices]
        if self.chosen in ids:
            at = ids.index(self.chosen) + by
            if 0 <= at < len(ids):
                self._choose(ids[at])

    def action_choose_number(self, number: int) -> None:
        """To the occasion of a digit."""
        if number <= len(self.occasions.choices):
            self._choose(self.occasions.choices[number - 1].id)

    def on_occasions_chosen(self, event: Occasions.Chosen) -> None:
        """To the occasion that was clicked."""
        self._choose(event.id)

    def action_own(self) -> None:
        """To its list, or back to what must be done before it."""
        there = self.own if self.has_class("-beside") else self.work
        kind = self.subject[0]
        here = kind in (THING, UNDER, ITEM)
        if here:
            there, key = self.work, self.work.first(STEP)
        else:
            key = there.first(THING, ITEM, UNDER)
        if key is None:
            self.program.tell("There is nothing on its list." if not here else "Nothing is left.")
            return
        there.focus()
        there.go(key)
        there.top(WORK if here else OWN)

    def action_arrange(self) -> None:
        """By garment, or by stage again."""
        self.by_garment = not self.by_garment
        if self.showing is not None:
            self._lists(self.showing)

    def on_before_list_ticked(self) -> None:
        """A mark was clicked."""
        self.action_tick()

    def action_tick(self) -> None:
        """Tick off what is under the cursor, or take the tick back."""
        item, state = self.item, self.showing
        if state is None:
            return
        if item is None:
            self.action_own() if self.subject[0] != ITEM else None
            return
        name = list_told.item_name(state.plan, item)
        on = not item.packed
        self.program.edit(
            f"{name} {'packed' if on else 'unpacked'}",
            lambda project: with_packed(project, item.ensemble, item.thing, on),
        )

    def action_run_up(self) -> None:
        """To the step under the cursor, in the run-up."""
        kind, ident = self.subject
        if kind in (STEP, THING):
            self.program.open_step(ident)
        else:
            self.program.tell("Put the cursor on a step: r shows it in the run-up.")

    def _ask(self, questions: Questions) -> None:
        from screens.forms.form import Form

        self.app.push_screen(Form(questions))

    def action_list_more(self) -> None:
        """What else must be packed, in a form."""
        from screens.forms.garment import EnsembleQuestions

        if self.showing is not None and self.chosen is not None:
            self._ask(EnsembleQuestions(self.showing, self.chosen.split("/")[0]))

    def action_edit(self) -> None:
        """The occasion's form."""
        from screens.forms.occasion import OccasionQuestions

        if self.showing is not None and self.chosen is not None:
            ensemble = self.chosen.split("/")[0]
            self._ask(OccasionQuestions(self.showing, ensemble, self.chosen))

    # the palette

    def get_commands(self) -> Iterable[SystemCommand]:
        """What the palette offers here."""
        state, needed = self.showing, self.needed
        if state is None or needed is None:
            return
        for one in state.plan.occasions:
            if one.id != self.chosen:
                title = f"Look at what {told.label(state.plan, one)} needs"
                yield SystemCommand(title, occasion_name(one), partial(self._choose, one.id))
        if not needed.occasion.past:
            other = "stage" if self.by_garment else "garment"
            yield SystemCommand(f"Arrange by {other}", "The same steps", self.action_arrange)
            yield SystemCommand(
                "Go to its list", "What is done at it, put on or packed", self.action_own
            )
        else:
            yield SystemCommand(
                "Say what was done at it", "Or that it wasn't held", self.action_held
            )
        if needed.packing:
            yield SystemCommand(
                "List what else must be packed",
                "Shoes, jewels, a repair kit",
                self.action_list_more,
            )
        if (item := self.item) is not None:
            name = list_told.item_name(state.plan, item)
            done = "Take the tick off" if item.packed else "Tick off"
            yield SystemCommand(f"{done} {name}", "As packed", self.action_tick)
        if self.subject[0] in (STEP, THING):
            yield SystemCommand("Go to this step in the run-up", "Its day", self.action_run_up)
        if self._failed():
            yield SystemCommand(
                "Do over what was done at it", "And what follows, by choice", self.action_over
            )
        yield SystemCommand("Edit this occasion", "In a form", self.action_edit)
