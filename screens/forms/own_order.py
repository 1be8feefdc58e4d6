"""The form that saves a garment as an order of construction of the maker's own."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from planner.catalogue import techniques_with
from planner.catalogue.shelf import orders_with
from planner.files.beginning import id_from
from planner.problems import InputError, Problem
from planner.splitting.own import order_text, save_order
from screens.forms import lookups
from screens.forms.checked import GONE
from screens.forms.fields import Field, Option, Reading, Texts, Wrong
from screens.forms.questions import Questions
from screens.state import State
from screens.wording import clean

if TYPE_CHECKING:
    from screens.app import Wearby

GROUP = "my own"
"""The heading a new order is listed under unless another is given."""


class OwnOrderQuestions(Questions):
    """What the order is to be called; its steps and questions are the garment's."""

    whole = True

    def __init__(self, state: State, garment: str) -> None:
        """``garment`` is a full id."""
        super().__init__(state)
        self.garment_id = garment
        there = lookups.garment_of(state.project, garment)
        self.name = clean(there.name) or there.id
        self.title = f"{self.name}: an order of construction for the next one"
        self.text = ""
        self.stem = ""

    def fields(self, texts: Texts) -> Sequence[Field]:
        """Its name and heading."""
        return [
            Field(key="name", label="Name", value=self.name, help="What it is called in lists."),
            Field(
                key="group",
                label="Listed under",
                value=GROUP,
                help="The heading it is listed under. ^f looks up those there are.",
                found=self._groups,
            ),
        ]

    def _groups(self) -> list[Option]:
        groups = {order.group for order in orders_with(self.state.project.orders).values()}
        return [Option(key=group, name=group) for group in sorted(groups)]

    def read(self, texts: Texts) -> Reading:
        """The order as text; no edit of the plan."""
        project = self.state.project
        if not lookups.has_garment(project, self.garment_id):
            return Reading(wrong=(Wrong(key="", text=GONE),))
        name = texts["name"].strip()
        if not name:
            return Reading(wrong=(Wrong(key="name", text="Give it a name."),))
        # one of the catalogue's is replaced by hand, never by chance
        self.stem = id_from(name, set(orders_with(project.orders)))
        try:
            self.text = order_text(
                lookups.garment_of(project, self.garment_id),
                lookups.ensemble_of(project, self.garment_id.split("/")[0]),
                techniques_with(project.techniques),
                name=name,
                group=texts["group"].strip() or GROUP,
                orders=orders_with(project.orders),
                units=project.workroom.units,
            )
        except InputError as error:
            return Reading(wrong=tuple(Wrong(key="", text=one.text) for one in error.problems))
        return Reading(label=f"{name} saved as an order of construction", other=True)

    def keep(self, program: Wearby, reading: Reading) -> tuple[Problem, ...]:
        """Write its file into the workroom's folder of orders, and read that."""
        path = Path(program.path)
        folder = path if path.is_dir() else path.parent
        techniques = techniques_with(self.state.project.techniques)
        try:
            file = save_order(folder, self.stem, self.text, techniques=techniques)
        except InputError as error:
            return error.problems
        program.tell(f"{reading.label}: {file.relative_to(folder)}.")
        program.replan()
        return ()
