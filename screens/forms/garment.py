"""The forms of a garment, and of what is said of a whole ensemble."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from planner.editing import add_garment, free_name, replace_ensemble, replace_garment, with_pack
from planner.model import Garment, Project, Source
from screens.forms import lookups
from screens.forms.checked import GONE
from screens.forms.fields import Field, Option, Reading, Texts, Wrong, typed
from screens.forms.making import Maker
from screens.forms.questions import Questions
from screens.forms.tables import (
    Plain,
    Typing,
    garment_table,
    read_garment_table,
    text_of,
    trimmed,
    yes_or_no,
)
from screens.forms.texts import join_list, number_from, pairs_from, split_list
from screens.splits import order_of
from screens.state import State
from screens.wording import clean, with_article

NEW = "new measurements"
"""Key of the field in which measurements are added."""
SOURCES = {
    Source.MAKE: "make",
    Source.OWN: "own",
    Source.ALTER: "alter",
    Source.BORROW: "borrow",
    Source.BUY: "buy",
}


class GarmentQuestions(Questions):
    """A garment that is there, or a new one without an order of construction."""

    def __init__(self, state: State, ensemble: str, garment: str | None = None) -> None:
        """``garment`` is a full id; None for a new one."""
        super().__init__(state)
        self.ensemble_id = ensemble
        self.garment_id = garment
        self.was = self._table() or {}
        name = clean(text_of(self.was.get("name"))) or text_of(self.was.get("id"))
        self.title = f"About {with_article(name)}" if garment else "A new garment"
        self.typing = Typing(
            today=state.now.date(),
            parse={
                **dict.fromkeys(("source", "kind", "id"), trimmed),
                "layer": number_from,
                "in_order": yes_or_no,
                "measurements": number_from,
            },
        )

    def renew(self, state: State) -> None:
        """The files were read again; where it has gone the fields stay as they were."""
        super().renew(state)
        if self.garment is not None:
            self.was = self._table() or self.was

    @property
    def garment(self) -> Garment | None:
        """The garment as it is now."""
        ident = self.garment_id
        if ident is None or not lookups.has_garment(self.state.project, ident):
            return None
        return lookups.garment_of(self.state.project, ident)

    def _table(self) -> Plain | None:
        """As a file holds it now, without its steps; None where it has gone."""
        garment = self.garment
        if garment is None:
            return None if self.garment_id else {}
        bare = replace(garment, steps=())
        return garment_table(bare, self.state.project.workroom.units)

    def fields(self, texts: Texts) -> Sequence[Field]:
        """Name, where from, layer, wearer, each measurement, and the further ones."""
        make = Maker(table=self.was)
        further = Maker(table=self.was, further=True)
        source = Maker(table={"source": Source.MAKE.value, **self.was})
        sources = [Option(key=one.value, name=word) for one, word in SOURCES.items()]
        return [
            make.text("name", "Name", "What it is called."),
            source.choice("source", "Where from", self._source_told(), sources),
            make.text("layer", "Layer", "The dressing order; 1 is next to the skin."),
            make.text("wearer", "Wearer", "Who wears it, where that is not always the same."),
            *self._measurements(),
            further.flag("in_order", "Steps in order", "Whether each step follows the one above."),
            further.text("kind", "Kind", "The order of construction it was split from."),
            further.text(
                "id",
                "Id",
                "Its name in the files; what refers to it follows. Empty: made of its name.",
            ),
        ]

    def _source_told(self) -> str:
        """What choosing where it comes from does, and what it doesn't."""
        garment = self.garment
        if garment is not None and order_of(self.state.project, garment) is not None:
            return "Where it comes from; its steps stay. In the list the key w makes them anew."
        return "Where it comes from; its steps stay as they are."

    def _measurements(self) -> list[Field]:
        there = self.was.get("measurements")
        known = there if isinstance(there, dict) else {}
        found = [
            Field(
                key=f"measurements.{name}",
                label=name,
                value=text_of(value),
                help="A length with its unit, 2.4 m or 36 in, or a number. Empty: taken out.",
                heading="Measurements" if place == 0 else "",
            )
            for place, (name, value) in enumerate(known.items())
        ]
        return [
            *found,
            Field(
                key=NEW,
                label="New",
                help="Further measurements: cuff edge = 26 cm, buttons = 6.",
                heading="" if found else "Measurements",
            ),
        ]

    def read(self, texts: Texts) -> Reading:
        """The garment as it would be; its steps are as they are."""
        base = self._table()
        if base is None:
            return Reading(wrong=(Wrong(key="", text=GONE),))
        new = typed(self.fields(texts), texts)
        added = pairs_from(new.pop(NEW, ""))
        table = self.typing.into(base, new)
        measured = {**_inner(table, "measurements"), **added}
        table["measurements"] = measured
        wrong = self._unnamed(table)
        if not text_of(table.get("id")).strip():
            name = text_of(table.get("name")) or "garment"
            table["id"] = free_name(self.state.project, self.ensemble_id, name)
        garment, more = read_garment_table(table)
        wrong += tuple(self._moved(one, added) for one in more)
        return Reading(wrong=wrong) if wrong else self._reading(garment)

    def _unnamed(self, table: Plain) -> tuple[Wrong, ...]:
        if self.garment_id is None and not text_of(table.get("name")).strip():
            return (Wrong(key="name", text="Give it a name."),)
        return ()

    def _moved(self, wrong: Wrong, added: Plain) -> Wrong:
        """What is wrong with a new measurement is said at the field it was typed in."""
        name = wrong.key.removeprefix("measurements.")
        if wrong.key.startswith("measurements.") and name in added:
            return Wrong(key=NEW, text=f"{name}: {wrong.text}")
        return wrong

    def _reading(self, garment: Garment) -> Reading:
        """The edit, by ids."""
        ensemble, ident = self.ensemble_id, self.garment_id

        def change(project: Project) -> Project:
            if ident is None:
                return add_garment(project, ensemble, garment, _place(project, ensemble, garment))
            steps = lookups.garment_of(project, ident).steps
            return replace_garment(project, ident, replace(garment, steps=steps))

        there = self.garment
        name = clean(garment.name) or garment.id
        return Reading(
            label=f"{name} {'changed' if ident else 'added'}",
            change=change,
            cursor=f"{ensemble}/{garment.id}",
            where=there.where if there else "",
        )


def _inner(table: Plain, key: str) -> Plain:
    there = table.get(key)
    return there if isinstance(there, dict) else {}


def _place(project: Project, ensemble: str, garment: Garment) -> int:
    """Behind the last garment that isn't worn over it."""
    garments = lookups.ensemble_of(project, ensemble).garments
    layer = garment.layer
    if layer is None:
        return len(garments)
    found = [i for i, one in enumerate(garments) if one.layer is not None and one.layer <= layer]
    return found[-1] + 1 if found else 0


class EnsembleQuestions(Questions):
    """The name of an ensemble, and what must be there besides its garments."""

    def __init__(self, state: State, ensemble: str) -> None:
        super().__init__(state)
        self.ensemble_id = ensemble
        self.name, self.pack = self._table()
        self.title = f"About {with_article(self.name or ensemble)}"

    def renew(self, state: State) -> None:
        """The files were read again."""
        super().renew(state)
        self.name, self.pack = self._table()

    def _table(self) -> tuple[str, str]:
        found = lookups.ensemble_of(self.state.project, self.ensemble_id)
        return clean(found.name), clean(join_list(found.pack))

    def fields(self, texts: Texts) -> Sequence[Field]:
        """Name and list."""
        return [
            Field(
                key="pack",
                label="Must be there too",
                value=self.pack,
                help="What isn't a garment, with commas: shoes, lacing cord, repair kit.",
            ),
            Field(
                key="name",
                label="Name",
                value=self.name,
                empty=self.ensemble_id,
                help="What the ensemble is called.",
            ),
        ]

    def read(self, texts: Texts) -> Reading:
        """The ensemble as it would be."""
        if all(one.id != self.ensemble_id for one in self.state.project.ensembles):
            return Reading(wrong=(Wrong(key="", text=GONE),))
        new, ident = typed(self.fields(texts), texts), self.ensemble_id
        pack = split_list(new["pack"]) if "pack" in new else None
        name = new.get("name")

        def change(project: Project) -> Project:
            if name is not None:
                ensemble = replace(lookups.ensemble_of(project, ident), name=name.strip())
                project = replace_ensemble(project, ensemble)
            return project if pack is None else with_pack(project, ident, pack)

        label = "what must be there too changed" if name is None else "the ensemble renamed"
        return Reading(label=label, change=change)
