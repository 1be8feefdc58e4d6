"""Adding a garment: an order of construction is chosen, its questions answered, all shown live."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import App
from textual.binding import Binding, BindingType

from screens.dialogs.choose_order import OTHER, ChooseOrder, Chosen
from screens.forms import lookups
from screens.forms.adding import AddQuestions
from screens.forms.form import NOT_YET, Form
from screens.forms.rows import Typed
from screens.forms.telling import TellingForm
from screens.previews import Preview
from screens.showing import ShowsState
from screens.state import State
from screens.verdict import goal


def add_garment_to(app: App[int], state: State, ensemble: str) -> None:
    """Ask which garment, then its questions; ``ensemble`` is an id."""
    from screens.forms.garment import GarmentQuestions

    name = lookups.ensemble_of(state.project, ensemble).name or ensemble

    def opened(what: Chosen) -> None:
        # the files may have been read again meanwhile
        shown = app.screen.showing if isinstance(app.screen, ShowsState) else None
        now = shown or state
        form: Form
        if what.order == OTHER:
            form = Form(GarmentQuestions(now, ensemble))
            form.texts["name"] = what.letters.strip()
        else:
            form = Adding(AddQuestions(now, ensemble, what.order, what.source))
        app.push_screen(form)

    app.push_screen(ChooseOrder(state.project, name, opened))


def next_ensemble(state: State) -> str:
    """Id of the ensemble that is wanted next; the first where no event is ahead."""
    found = goal(state.plan)
    return found.id.split("/")[0] if found is not None else state.project.ensembles[0].id


class Adding(TellingForm):
    """The questions of a new garment, with all it would bring shown while they are answered."""

    # a form's own, and more
    CSS_PATH = ["forms/form.tcss", "adding.tcss"]  # type: ignore[assignment]  # noqa: RUF012
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "pagedown",
            "roll(1)",
            "steps",
            key_display="pgdn",
            priority=True,
            id="adding.down",
            tooltip="Its steps, and further down in them",
        ),
        Binding(
            "pageup",
            "roll(-1)",
            "steps",
            show=False,
            priority=True,
            id="adding.up",
            tooltip="Back up in its steps, and to the fields",
        ),
    ]

    def __init__(self, questions: AddQuestions) -> None:
        super().__init__(questions)
        self.adding = questions

    def _read(self) -> None:
        """Figures that no longer hold are dimmed."""
        super()._read()
        self.heading.right_style = "$faint" if self.reading.wrong else "bold"
        self.heading.refresh()

    def _show_beside(self) -> None:
        self.adding.narrow = self.has_class("-beneath") and not self.has_class("-reading")
        super()._show_beside()

    def show_preview(self, preview: Preview) -> None:
        """Say why, where there would be no plan."""
        super().show_preview(preview)
        if self.is_attached and preview.plan is None and not self.reading.wrong:
            why = preview.problems[0].text if preview.problems else ""
            self.then.text = f"then: this can't be planned. {why}" if why else NOT_YET

    def _close(self) -> None:
        """Once it is there it is shown."""
        kept, told = self.program.cursor is not None, self.verdict.told
        super()._close()
        if kept and self.program.current_mode != "garments":
            self.program.switch_mode("garments")
            self.program.call_later(self.program.tell, told)

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Back at the fields: they have the room."""
        self._make_room(steps=False)

    def on_typed(self, event: Typed) -> None:
        """Something is typed: the fields have the room."""
        self._make_room(steps=False)

    def on_resize(self, event: events.Resize) -> None:
        """More or less room beside the fields."""
        self.call_after_refresh(self._show_beside)

    def _make_room(self, *, steps: bool) -> None:
        """Give the room to the steps, or back to the fields."""
        if steps != self.has_class("-reading"):
            self.set_class(steps, "-reading")
            self.aside.scroll_to(y=0, animate=False)
            self._show_beside()

    def action_roll(self, pages: int) -> None:
        """Another page of what stands beside the fields; beneath them, first make it room."""
        reading = self.has_class("-reading")
        if self.has_class("-beneath") and (not reading or (pages < 0 and not self.aside.scroll_y)):
            self._make_room(steps=pages > 0)
        else:
            height = max(1, self.aside.size.height - 1)
            self.aside.scroll_relative(y=pages * height, animate=False)
