"""The fields of a step: the usual ones, the further ones, and those of its other ways."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from planner.files.phrasing import write_wait
from planner.model import STAGES, Ensemble, Garment, Place, Project, Technique, Work
from screens.doable_told import PLACES
from screens.forms import lookups
from screens.forms.fields import Field, Option
from screens.forms.making import Maker
from screens.forms.names import StepNames, all_shown
from screens.forms.tables import Plain
from screens.forms.texts import amount_text, join_list, stock_written, uses_text, written
from screens.wording import clean

AS_TEXT = {"amount": amount_text, "uses": uses_text}
BEFORE = "before"
"""Key of the field that is asked of new steps alone."""
MULTIPLIED = "Numbers, lengths and measurements; several are multiplied: 2 × 1.6 m, hem × 2."
CHOOSE = "Left and right go through them, a first letter goes to one."
_YES_NO = (Option(key="yes", name="yes"), Option(key="no", name="no"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """What a step stands among."""

    project: Project
    ensemble: Ensemble
    garment: str
    """Full id."""
    step: str | None
    """Full id; None of a new one."""
    names: StepNames
    """What is shown in place of ids."""

    @property
    def own(self) -> Garment:
        """The garment as it is now."""
        return lookups.garment_of(self.project, self.garment)


def usual_fields(
    table: Plain,
    around: Around,
    technique: Technique | None,
    followed_by: Sequence[str] | None = None,
) -> list[Field]:
    """What is asked at once; of a new step also what follows it, those steps at first."""
    make = Maker(table=around.names.shown(table), as_text=AS_TEXT)
    after, *others = _when(make, around, technique)
    before = [] if followed_by is None else [_before(around, followed_by)]
    return [*_what(make, around, technique), after, *before, *others]


def _before(around: Around, followed_by: Sequence[str]) -> Field:
    """Which steps of its garment a new step goes before."""
    return Field(
        key=BEFORE,
        label="Before",
        help="Steps that follow it then, in place of the one above it. ^f looks them up.",
        value=clean(join_list(all_shown(around.names.after, followed_by))),
        found=partial(lookups.own_steps, around.project, around.garment, around.step),
        nothing="This garment has no other steps yet.",
        sought="steps",
        names=lambda key: written(around.names.after.shown(key)),
        several=True,
    )


def _what(make: Maker, around: Around, technique: Technique | None) -> list[Field]:
    """What is done, how, how much of it, and where."""
    units = around.project.workroom.units
    return [
        make.text(
            "name",
            "Name",
            "What it is called; without a name it is called as its technique.",
            empty=technique.name if technique else "",
        ),
        make.text(
            "technique",
            "Technique",
            "How it is done; it carries the hours for each metre or piece. ^f looks it up.",
            found=partial(lookups.techniques, around.project),
            sought="techniques",
            names=around.names.technique.shown,
        ),
        make.text(
            "amount",
            "How much",
            f"{_counted(technique)}{MULTIPLIED}",
            found=partial(lookups.measurements, around.own, units),
            nothing="This garment has no measurements yet.",
            sought="measurements",
            several=True,
        ),
        make.text(
            "hours",
            "Hours",
            "How long it takes, 1h15 or 45m, where you know better than the technique.",
            empty="as the technique" if technique else "",
        ),
        make.choice("work", "Kind of work", CHOOSE, work_options(technique)),
        make.choice("place", "Place", "The least place it needs.", place_options(technique)),
    ]


def _when(make: Maker, around: Around, technique: Technique | None) -> list[Field]:
    """What comes before it, what it reaches, and what it takes."""
    return [
        make.text(
            "after",
            "After",
            "What comes before it: steps, stages of garments, occasions. ^f looks them up.",
            empty="the step above" if around.own.in_order else "",
            found=partial(lookups.before_step, around.project, around.garment, around.step),
            nothing="There is nothing yet that can come before it.",
            sought="what can come before",
            names=lambda key: written(around.names.after.shown(key)),
            several=True,
        ),
        make.choice(
            "during",
            "Done at",
            "The occasion at which it is done, in its time.",
            lookups.occasions(around.project, around.ensemble, "no occasion"),
        ),
        make.choice(
            "stage",
            "Reaches",
            "What the garment is once this step and all before it are done.",
            [Option(key="", name="no stage"), *(Option(key=one, name=one) for one in STAGES)],
        ),
        make.text(
            "wait",
            "Wait after it",
            "Time that passes without work: 1 night, 2h; 0h for none.",
            empty=_waits(technique),
        ),
        make.text(
            "uses",
            "Uses",
            "What it takes of the stock: braid + 5%, linen: hem × 2. ^f looks stock up.",
            found=partial(lookups.stock, around.ensemble),
            nothing="This ensemble has no stock yet: in the stock, a adds some.",
            sought="stock",
            names=lambda key: stock_written(around.names.stock.shown(key)),
            several=True,
        ),
    ]


def further_fields(table: Plain, technique: Technique | None) -> list[Field]:
    """What is asked on demand."""
    make = Maker(table=table, further=True)
    return [
        make.text("low", "Hours at the least", "Without it 70 % of the hours."),
        make.text("high", "Hours at the most", "Without it 150 % of the hours."),
        make.text(
            "effort", "Effort", "Multiplies its minutes: 1.5 for velvet or a first time.", empty="1"
        ),
        make.choice("hands", "Hands", "How many people it takes.", hands_options(technique)),
        make.flag("one_sitting", "In one sitting", "Whether a break would spoil it."),
        make.flag("optional", "Could be left off", "Whether the garment could do without it."),
        make.text(
            "missed",
            "Would be missed",
            "From 1 (nobody would see) to 5 (everybody would).",
            empty="3",
        ),
        make.text("on", "On the day", "The day you fix for it. Write it as 22 May or 2027-05-22."),
        make.text(
            "not_before",
            "Not before",
            "The day or moment before which it can't begin. Write it as 22 May or 22 May 14:00.",
        ),
        make.choice(
            "no_way_back", "No way back", "Whether it can't be undone.", _back_options(technique)
        ),
        make.text(
            "caution",
            "Caution",
            "What to mind. Labels, local rules and qualified people know better.",
            empty=clean(technique.caution) if technique else "",
        ),
        make.flag("left_off", "Left off", "Whether it isn't to be done."),
        make.flag("done", "Done before", "Whether it was finished before the diary began."),
        make.text(
            "id",
            "Id",
            "Its name in the files; what refers to it follows. Empty: made of its name.",
        ),
    ]


def way_fields(
    table: Plain, number: int, around: Around, technique: Technique | None
) -> list[Field]:
    """Another way to do it; what is empty is as in the step."""
    table = around.names.shown(table)
    make = Maker(table=table, prefix=f"instead.{number}.", further=True, as_text=AS_TEXT)
    first, *others = _way_typed(make, around, technique)
    heading = f"Another way to do it ({number + 1})"
    return [replace(first, heading=heading), *others, *_way_chosen(make)]


def _way_typed(make: Maker, around: Around, technique: Technique | None) -> list[Field]:
    """The typed fields of another way."""
    as_step = "as the step"
    return [
        make.text(
            "technique",
            "Technique",
            "How it is done instead. ^f looks it up.",
            empty=as_step,
            found=partial(lookups.techniques, around.project),
            sought="techniques",
            names=around.names.technique.shown,
        ),
        make.text(
            "name",
            "Name",
            "What it is called then.",
            empty=technique.name if technique else as_step,
        ),
        make.text("amount", "How much", MULTIPLIED, empty=as_step),
        make.text("hours", "Hours", "How long it takes then, 1h15 or 45m.", empty=as_step),
        make.text("low", "Hours at the least", "Of this way."),
        make.text("high", "Hours at the most", "Of this way."),
        make.text("wait", "Wait after it", "1 night, 2h; 0h for none.", empty=as_step),
        make.text("caution", "Caution", "What to mind then.", empty=as_step),
        make.text("uses", "Uses", "What it takes of the stock then.", empty=as_step),
        make.text("missed", "Would be missed", "The step as it is, from 1 to 5, if done this way."),
    ]


def _way_chosen(make: Maker) -> list[Field]:
    """The choices of another way."""
    yes_no = [Option(key="", name="as the step"), *_YES_NO]
    return [
        make.choice("work", "Kind of work", CHOOSE, _own(work_options(None))),
        make.choice("place", "Place", "The least place it needs.", _own(place_options(None))),
        make.choice("hands", "Hands", "How many people it takes.", _own(hands_options(None))),
        make.choice("one_sitting", "In one sitting", "Whether a break would spoil it.", yes_no),
        make.choice("no_way_back", "No way back", "Whether it can't be undone.", yes_no),
        make.flag("chosen", "Chosen", "Whether it is done this way."),
    ]


def _own(options: Sequence[Option]) -> list[Option]:
    """Options of a way: as the step, else one of them."""
    return [Option(key="", name="as the step"), *options[1:]]


def work_options(technique: Technique | None) -> list[Option]:
    """Kinds of work; without one it is the technique's."""
    first = f"as the technique ({technique.work.value})" if technique else "as the technique"
    kinds = [Option(key=one.value, name=one.value) for one in Work]
    return [Option(key="", name=first), *kinds]


def place_options(technique: Technique | None) -> list[Option]:
    """Places; without one it is the technique's."""
    first = f"as the technique ({PLACES[technique.place]})" if technique else "as the technique"
    return [Option(key="", name=first), *(Option(key=one.value, name=PLACES[one]) for one in Place)]


def hands_options(technique: Technique | None) -> list[Option]:
    """One or two; without it the technique's."""
    first = f"as the technique ({technique.hands})" if technique else "as the technique"
    return [Option(key="", name=first), Option(key="1", name="1"), Option(key="2", name="2")]


def _back_options(technique: Technique | None) -> list[Option]:
    said = ("yes" if technique.no_way_back else "no") if technique else ""
    first = f"as the technique ({said})" if said else "as the technique"
    return [Option(key="", name=first), *_YES_NO]


def _waits(technique: Technique | None) -> str:
    if technique is None:
        return "none"
    return f"as the technique ({write_wait(technique.wait) if technique.wait else 'none'})"


def _counted(technique: Technique | None) -> str:
    """What the technique is counted by."""
    if technique is None:
        return ""
    return f"Counted by the {technique.unit}. " if technique.unit else ""
