"""The form of an occasion: every key that a file can hold of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, time
from functools import partial

from planner.editing import add_occasion, free_name, replace_occasion
from planner.model import Occasion, OccasionKind, Project
from planner.splitting.fittings import BODY_OCCASIONS
from screens.forms import lookups
from screens.forms.checked import GONE
from screens.forms.fields import YES, Field, Option, Reading, Texts, Wrong, flag, typed
from screens.forms.making import Maker
from screens.forms.names import Names, all_meant, all_shown, wanted_names
from screens.forms.questions import Questions
from screens.forms.tables import (
    Plain,
    Typing,
    occasion_table,
    read_occasion_table,
    text_of,
    trimmed,
    yes_or_no,
)
from screens.forms.texts import moment_from, split_list, written
from screens.new_ensemble import LEAVING
from screens.new_ensemble import USUAL_TIME as AT_A_FITTING
from screens.splits import gathered
from screens.state import State
from screens.wording import clean, hour, long_date, with_article

GATHER = "gather"
"""Key of the flag that brings body steps to a fitting or trial wear."""
USUAL_WANTS = {
    OccasionKind.FITTING: "what its steps follow",
    OccasionKind.TRIAL_WEAR: "every garment wearable",
    OccasionKind.DEPARTURE: "everything",
    OccasionKind.EVENT: "everything",
}
USUAL_TIME = {
    OccasionKind.FITTING: "its steps and ten minutes",
    OccasionKind.TRIAL_WEAR: "its steps, at least 1h30",
    OccasionKind.DEPARTURE: "to the end of the day",
    OccasionKind.EVENT: "to the end of the day",
}
USUAL_HOUR: Mapping[str, time] = {
    OccasionKind.FITTING.value: AT_A_FITTING,
    OccasionKind.TRIAL_WEAR.value: AT_A_FITTING,
    OccasionKind.DEPARTURE.value: LEAVING,
}
"""Of a date that is typed without a time; an event without one takes its whole day."""
WITHOUT_A_TIME = {
    OccasionKind.FITTING: f"at {AT_A_FITTING:%H:%M}",
    OccasionKind.TRIAL_WEAR: f"at {AT_A_FITTING:%H:%M}",
    OccasionKind.DEPARTURE: f"at {LEAVING:%H:%M}",
    OccasionKind.EVENT: "all day",
}


class OccasionQuestions(Questions):
    """An occasion that is there, or a new one of an ensemble."""

    def __init__(self, state: State, ensemble: str, occasion: str | None = None) -> None:
        """``occasion`` is a full id; None for a new one."""
        super().__init__(state)
        self.ensemble_id = ensemble
        self.occasion_id = occasion
        self._names_of: tuple[Project, Names] | None = None
        there = lookups.ensemble_of(state.project, ensemble).occasions
        usual = OccasionKind.FITTING if there else OccasionKind.EVENT
        self.was = self._table() or {"kind": usual.value}
        name = clean(text_of(self.was.get("name")) or text_of(self.was.get("id")))
        self.title = f"About {with_article(name)}" if occasion else "A new occasion"
        self.typing = Typing(
            today=state.now.date(),
            parse={
                **dict.fromkeys(("id", "kind", "takes", "margin"), trimmed),
                "at": partial(moment_from, today=state.now.date()),
                "wants": lambda text: all_meant(self._wanted(), split_list(text)) or None,
                "held": yes_or_no,
            },
        )

    def renew(self, state: State) -> None:
        """The files were read again; where it has gone the fields stay as they were."""
        super().renew(state)
        if self.occasion is not None:
            self.was = self._table() or self.was

    @property
    def occasion(self) -> Occasion | None:
        """The occasion as it is now."""
        ident = self.occasion_id
        return lookups.occasion_of(self.state.project, ident) if ident else None

    def _wanted(self) -> Names:
        """The names for what it can want, of the project as it is now."""
        project = self.state.project
        if self._names_of is None or self._names_of[0] is not project:
            self._names_of = project, wanted_names(project, self.ensemble_id)
        return self._names_of[1]

    def _table(self) -> Plain | None:
        """As a file holds it now; None where there is none."""
        occasion = self.occasion
        return occasion_table(occasion) if occasion is not None else None

    def fields(self, texts: Texts) -> Sequence[Field]:
        """What, when, and what must be ready."""
        project = self.state.project
        ensemble = lookups.ensemble_of(project, self.ensemble_id)
        kind = OccasionKind(texts.get("kind") or text_of(self.was.get("kind")))
        names = self._wanted()
        wants = self.was.get("wants")
        shown = all_shown(names, wants) if isinstance(wants, list) else wants
        make = Maker(table={**self.was, "wants": shown})
        further = Maker(table=self.was, further=True)
        kinds = [Option(key=one.value, name=one.value) for one in OccasionKind]
        return [
            make.text("name", "Name", "What it is called.", empty=kind.value),
            make.choice("kind", "Kind", "Left and right go through the kinds.", kinds),
            replace(
                make.text(
                    "at",
                    "When",
                    "When it begins. Write it as 22 May 14:00 or 2027-05-22 14:00. Without a time,"
                    f" {WITHOUT_A_TIME[kind]}.",
                ),
                value=self._when(),
            ),
            make.text("takes", "Takes", "How long it takes: 2h, 45m.", empty=USUAL_TIME[kind]),
            make.text(
                "wants",
                "Must be ready",
                "What must be there by then: Stays fittable, Skirt. ^f looks it up.",
                empty=USUAL_WANTS[kind],
                found=partial(lookups.stages, project, ensemble),
                nothing="There are no garments yet: in the garments, a adds one.",
                sought="stages of garments",
                names=lambda key: written(names.shown(key)),
                several=True,
            ),
            make.text(
                "margin", "Kept free before", "Whole days, 1 day, or time: 3h.", empty="nothing"
            ),
            *self._gathering(kind),
            further.choice(
                "held",
                "Took place",
                "Whether it was held, once it is past.",
                [
                    Option(key="", name="as usual (yes)"),
                    Option(key="yes", name="yes"),
                    Option(key="no", name="no"),
                ],
            ),
            further.text(
                "id",
                "Id",
                "Its name in the files; what refers to it follows. Empty: made of its name.",
            ),
        ]

    def _when(self) -> str:
        """When it is, as it is typed; an event of a whole day by its date alone."""
        at = self.was.get("at")
        if isinstance(at, datetime):
            whole = not hour(OccasionKind(text_of(self.was.get("kind"))), at)
            return text_of(at.date() if whole else at)
        return text_of(at)

    def _gathering(self, kind: OccasionKind) -> list[Field]:
        """Whether body steps come to it; a new one takes them unless it is told not to."""
        if kind not in BODY_OCCASIONS:
            return []
        return [
            flag(
                GATHER,
                "Gather here",
                value=self.occasion_id is None,
                help="Whether steps on the body that are at no occasion yet are done at it.",
            )
        ]

    def read(self, texts: Texts) -> Reading:
        """The occasion as it would be."""
        base = self._table()
        if base is None:
            if self.occasion_id is not None:
                return Reading(wrong=(Wrong(key="", text=GONE),))
            base = dict(self.was)
        new = typed(self.fields(texts), texts)
        new.pop(GATHER, None)
        gathers = texts.get(GATHER) == YES
        table = self.typing.into(base, new)
        when = table.pop("at", None)
        if "at" in new:
            when = _in_its_hour(when, text_of(table.get("kind")))
        wrong = tuple(_no_moment(when))
        if not wrong:
            table["at"] = when
        if not text_of(table.get("id")).strip():
            name = text_of(table.get("name")) or text_of(table.get("kind"))
            table["id"] = free_name(self.state.project, self.ensemble_id, name)
        occasion, more = read_occasion_table(table)
        wrong += tuple(one for one in more if one.key != "at" or not wrong)
        return Reading(wrong=wrong) if wrong else self._reading(occasion, gathers)

    def _reading(self, occasion: Occasion, gathers: bool) -> Reading:
        """The edit, by ids."""
        ensemble, ident, now = self.ensemble_id, self.occasion_id, self.state.now

        def change(project: Project) -> Project:
            if ident is None:
                after = add_occasion(project, ensemble, occasion)
            else:
                after = replace_occasion(project, ident, occasion)
            return gathered(after, ensemble, occasion.id, now) if gathers else after

        there = self.occasion
        name = clean(occasion.name) or occasion.id.replace("-", " ")
        return Reading(
            label=f"{name} {'changed' if ident else 'added'}",
            change=change,
            told=f"{long_date(occasion.at.date(), self.state.now.date())},"
            f" {hour(occasion.kind, occasion.at) or 'all day'}",
            cursor=f"{ensemble}/{occasion.id}",
            where=there.where if there else f"occasion[{self._index(occasion)}]",
        )

    def _index(self, occasion: Occasion) -> int:
        """Where a new one will stand in the file."""
        there = lookups.ensemble_of(self.state.project, self.ensemble_id).occasions
        return max((i + 1 for i, one in enumerate(there) if one.at <= occasion.at), default=0)


def _in_its_hour(when: object, kind: str) -> object:
    """A day typed without a time, from when such an occasion usually is; an event has it all."""
    usual = USUAL_HOUR.get(kind)
    if usual is None or not isinstance(when, date) or isinstance(when, datetime):
        return when
    return datetime.combine(when, usual)


def _no_moment(when: object) -> Iterator[Wrong]:
    """What is wrong with a date as typed."""
    if when is None:
        yield Wrong(key="at", text="Say when it begins. Write it as 22 May 2027 14:00.")
    elif isinstance(when, str):
        text = f"“{clean(when)}” is no date. Write it as 22 May 2027 14:00 or 2027-05-22 14:00."
        yield Wrong(key="at", text=text)
