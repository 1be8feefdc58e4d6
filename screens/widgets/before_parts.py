"""The lines of what an occasion needs, drawn for one width: steps, its own list, what can wait."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from planner.before import Before, Item, Must, Thing
from planner.plan import Plan, PlannedStep
from screens import before_list_told as list_told
from screens import before_steps_told as steps_told
from screens import before_told as told
from screens.marks import PACKED, UNPACKED
from screens.why import cautions, reason_sentences, spot_sentences
from screens.widgets.lines import CURSOR, Line, Run, plain
from screens.wording import cells, clean, column, name_of, padded, wrapped

STEP, THING, UNDER, ITEM, WAIT, MUST = "step", "thing", "under", "item", "wait", "must"
"""What the cursor can stand on: the first word of a line's key; the rest says which."""
NAMES = 26
"""Names up to this length stand in a column."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """What is drawn, and how."""

    plan: Plan
    needed: Before
    steps: Mapping[str, PlannedStep]
    by_garment: bool
    width: int
    cursor: str | None
    """The key whose line is marked; None where none is."""
    open: str | None
    """The key whose line is opened."""

    # parts

    def work(self) -> list[Line]:
        """The garments where the answer doesn't name them all; what must be done before it: what
        is late, then by stage or garment; where it is tightest."""
        needed = self.needed
        found = self._musts()
        short = told.garments_in_short(self.plan, needed)
        for group in steps_told.groups(self.plan, needed, self.by_garment):
            heading = steps_told.group_told(group, needed, column)
            found.append(self._heading(heading, "accent" if group.late else "strong"))
            for ident in group.steps:
                garment = short.get(ident.rpartition("/")[0], clean(self.steps[ident].garment))
                found += self._step(ident, "" if group.garment else garment)
        return found + self._spot()

    def _musts(self) -> list[Line]:
        """Every garment with how far it must be, where the answer doesn't name them all."""
        if self.needed.occasion.past or not told.some_unnamed(self.needed):
            return []
        found = [self._heading(f"all {len(self.needed.musts)} that must be there by then")]
        for must in self.needed.musts:
            found += self._must(f"{MUST} {must.garment}", must)
        return found

    def _spot(self) -> list[Line]:
        sentences = spot_sentences(self.plan) if self.needed.tight else []
        if not sentences:
            return []
        return [self._heading("where it is tightest"), *self._said(sentences)]

    def own(self) -> list[Line]:
        """The occasion's own list: what is done at it, put on, or packed."""
        needed = self.needed
        if needed.occasion.past:
            return []
        found: list[Line] = []
        if needed.things:
            found.append(self._heading("to do at it"))
            found += self._said(list_told.at_it(self.plan, needed))
            for thing in needed.things:
                found += self._thing(thing)
        if under := list_told.under_it(needed):
            found.append(self._heading("under it, in the order they go on"))
            for must in under:
                found += self._must(f"{UNDER} {must.garment}", must)
        if items := needed.packing or needed.worn:
            found.append(self._heading(list_told.list_heading(needed)))
            found += self._said(list_told.packed(self.plan, needed))
            found += self._items(items)
            if needed.packing and all(item.garment for item in items):
                found += self._said([list_told.NOTHING_ELSE], "faint")
        if not found:
            found.append(self._heading("to do at it"))
            found += self._said([list_told.NOTHING_AT_IT], "faint")
        return found

    def wait(self) -> list[Line]:
        """What can wait until after it."""
        waiting = steps_told.waiting(self.plan, self.needed)
        if not waiting:
            return []
        total = sum(minutes for _, _, minutes in waiting)
        found = [self._heading(f"can wait until after it, {column(total)}")]
        for garment, names, minutes in waiting:
            text = f"{name_of(self.plan, garment)}: {names}"
            key = f"{WAIT} {garment}"
            head = f"{column(minutes):>6}  "
            found += self._row(key, (Run(text=head, style="faint"),), text, cells(head) + 1)
            if self.open == key:
                found += self._listed(
                    (one for one in self.needed.can_wait if one.startswith(f"{garment}/")), key
                )
        return found

    # rows

    def _heading(self, text: str, style: str = "strong") -> Line:
        """A running stitch with words in it."""
        text = f" {text} "
        rest = max(2, self.width - 2 - cells(text))
        return Line(
            runs=(
                Run(text="╌╌", style="line"),
                Run(text=text, style=style),
                Run(text="╌" * rest, style="line"),
            )
        )

    def _said(self, sentences: Iterable[str], style: str = "") -> list[Line]:
        return [plain(f" {line}", style) for line in wrapped(sentences, self.width - 2)]

    def _mark(self, key: str) -> Run:
        return Run(text=CURSOR if key == self.cursor else " ", style="accent")

    def _row(self, key: str, head: tuple[Run, ...], text: str, indent: int) -> list[Line]:
        """A head and a text of as many lines as it needs."""
        first, *rest = wrapped([text], max(12, self.width - indent - 1)) or [""]
        lines = [Line(runs=(self._mark(key), *head, Run(text=first)), key=key)]
        return lines + [Line(runs=(Run(text=" " * indent + more),), click=key) for more in rest]

    def _beneath(
        self, sentences: Iterable[str], key: str, style: str = "", indent: int = 8
    ) -> list[Line]:
        """Sentences beneath a row."""
        found = []
        for sentence in sentences:
            for text in wrapped([sentence], max(20, self.width - indent - 1)):
                found.append(Line(runs=(Run(text=" " * indent + text, style=style),), click=key))
        return found

    def _listed(self, ids: Iterable[str], key: str) -> list[Line]:
        """Steps beneath a row: day, minutes, letter, name."""
        found = []
        for ident in ids:
            step = self.steps[ident]
            head = f"{'':8}{steps_told.day_column(self.plan, step):<10} {column(step.left):>5}  "
            first, *rest = wrapped([clean(step.name)], max(12, self.width - cells(head) - 4))
            letter = Run(text=step.work.letter, style=step.work.letter)
            runs = (Run(text=head, style="faint"), letter, Run(text=f"  {first}"))
            found.append(Line(runs=runs, click=key))
            indent = " " * (cells(head) + 3)
            found += [Line(runs=(Run(text=indent + text),), click=key) for text in rest]
        return found

    def _step(self, ident: str, garment: str) -> list[Line]:
        """A step: day, minutes, letter, name, garment and what to know."""
        step = self.steps[ident]
        known = steps_told.known_in_column(self.plan, self.needed, step)
        head = f"{steps_told.day_column(self.plan, step):<10} {column(step.left):>5}  "
        grave = steps_told.is_grave(step, self.needed)
        texts = [_joined(garment, known)]
        if not grave:
            texts.append(garment)
        style = "accent" if ident in self.needed.occasion.late else "faint"
        return self._named(f"{STEP} {ident}", step, head, texts, style)

    def _named(
        self,
        key: str,
        step: PlannedStep,
        head: str,
        texts: list[str],
        style: str = "faint",
        more_told: Sequence[str] = (),
    ) -> list[Line]:
        """A step by its whole name, then the first of ``texts`` that fits beside it, else the
        first beneath it; what more there is to tell; its reason where it is open."""
        indent = cells(head) + 4
        room = max(12, self.width - indent - 1)
        first, *rest = wrapped([clean(step.name)], room)
        runs: tuple[Run, ...] = (
            self._mark(key),
            Run(text=head, style="faint"),
            Run(text=step.work.letter, style=step.work.letter),
            Run(text=f"  {first}"),
        )
        beside, gap = _beside(texts, cells(first), room)
        more = [Line(runs=(Run(text=" " * indent + text),), click=key) for text in rest]
        if not rest and beside is not None:
            runs = (*runs, Run(text=" " * gap + beside, style=style))
        else:
            more += self._beneath(texts[:1], key, style)
        more += self._beneath(more_told, key, "faint", 9)
        if self.open == key:
            more += self._beneath(reason_sentences(self.plan, step), key)
            more += self._beneath(cautions(step), key, "accent")
        return [Line(runs=runs, key=key), *more]

    def _thing(self, thing: Thing) -> list[Line]:
        """Something to do at it: minutes, letter, name, hands; over what; what it decides."""
        step = self.steps[thing.step]
        key = f"{THING} {thing.step}"
        short = told.garments_in_short(self.plan, self.needed)
        garment = short[thing.step.rpartition("/")[0]]
        hands = list_told.hands_told(step)
        head = f"{column(step.left):>5}  "
        more = list_told.thing_told(self.plan, self.needed, thing)
        return self._named(key, step, head, [f"{garment}; {hands}", hands], more_told=more)

    def _must(self, key: str, must: Must) -> list[Line]:
        """A garment, and what it must be able to do by then."""
        name = name_of(self.plan, must.garment)
        text = f"{name}: {list_told.must_told(self.plan, must)}"
        found = self._row(key, (Run(text=" "),), text, 4)
        if self.open == key:
            found += self._listed(must.open, key)
            if must.waits:
                names = " / ".join(name_of(self.plan, one) for one in must.waits)
                found += self._beneath([f"can wait: {names}"], key, "faint")
        return found

    def _items(self, items: tuple[Item, ...]) -> list[Line]:
        """What is put on or packed, by who wears it."""
        found: list[Line] = []
        names = max(cells(list_told.item_name(self.plan, one)) for one in items)
        names = min(names, max(12, self.width - 24))
        for heading, own in list_told.wearers(items):
            if heading:
                found.append(plain(f" {heading}:", "faint"))
            for item in own:
                found += self._item(item, names)
        return found

    def _item(self, item: Item, names: int) -> list[Line]:
        key = item_key(item)
        mark = ""
        if self.needed.packing:
            mark = f"{PACKED if item.packed else UNPACKED} "
        name = list_told.item_name(self.plan, item)
        states = list_told.item_states(self.plan, item)
        runs = (self._mark(key), Run(text=mark, style="accent" if item.packed else ""))
        early = item.packed and states[0].startswith(list_told.PACKED_EARLY)
        style = "faint" if item.in_time and not early else "accent"
        room = self.width - 1 - cells(mark) - names - 3
        beside = next((state for state in states if cells(state) <= room), None)
        if cells(name) <= names and beside is not None:
            text = Run(text=f"{padded(name, names)}  ", style="faint" if item.packed else "")
            found = [Line(runs=(*runs, text, Run(text=beside, style=style)), key=key)]
        else:
            found = self._row(key, runs[1:], name, 1 + cells(mark))
            found += self._beneath(states[:1] if states[0] else [], key, style)
        if self.open == key:
            found += self._listed(item.open, key)
        return found


def _joined(*parts: str) -> str:
    return "; ".join(part for part in parts if part)


def _beside(texts: list[str], name: int, room: int) -> tuple[str | None, int]:
    """The first text that fits behind a name of so many columns, and the gap before it: at the
    column where texts stand beneath each other, else right behind the name."""
    for gap in (NAMES + 2 - name, 2):
        for text in texts:
            if gap >= 2 and name + gap + cells(text) <= room:
                return text, gap
    return None, 0


def item_key(item: Item) -> str:
    """The key of something to put on or pack."""
    return f"{ITEM} {item.ensemble}/{item.thing}"
