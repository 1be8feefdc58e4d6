"""The record of how an ensemble was made, written in Markdown: to publish, or to rebuild from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from planner.exports.record import Answered, GarmentMade, Held, Record, StepMade
from planner.exports.record_stock import Material
from planner.model import OccasionKind, Source, Work
from screens.amounts_told import worded_amount
from screens.dressing import quantity_told
from screens.markdown import bullets, escaped, heading, paragraph, table
from screens.plain.techniques import rate_told
from screens.wording import MONTHS, clock, column, count, listed, spoken

FROM = {
    Source.MAKE: "made",
    Source.OWN: "from the wardrobe",
    Source.ALTER: "altered",
    Source.BORROW: "borrowed",
    Source.BUY: "bought",
}
"""Where a garment came from."""
NOBODY = (
    "The cautions are the usual ones; labels, local rules and qualified people come first. "
    "Times are one maker's, and no promise."
)


def record_text(record: Record) -> str:
    """The whole record, ending in a line break."""
    parts = [
        heading(1, escaped(record.name)),
        _standing(record),
        _occasions(record),
        heading(2, "Garments, in dressing order"),
        *(_garment(record, garment) for garment in record.garments),
        _materials(record),
        heading(2, "How it was made"),
        _steps(record),
        _again(record),
        _care(record),
        _hours(record),
        _techniques(record),
        _left_off(record),
        _notes(record),
        _pack(record),
        f"*Written by wearby on {_date(record.now.date())}. {NOBODY}*",
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _date(day: date) -> str:
    """A date that still says when in five years."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def _span(first: date | None, last: date | None) -> str:
    """ "5 Jun 2027", "5 to 8 Jun 2027", "28 May to 2 Jun 2027"."""
    if first is None or last is None:
        return ""
    end = f"{last.day} {MONTHS[last.month - 1][:3]} {last.year}"
    if first == last:
        return end
    begin = f"{first.day}"
    if (first.year, first.month) != (last.year, last.month):
        begin += f" {MONTHS[first.month - 1][:3]}"
    if first.year != last.year:
        begin += f" {first.year}"
    return f"{begin} to {end}"


# what it is, and for what


def _standing(record: Record) -> str:
    """Whether it is finished, and what it took."""
    steps = record.steps
    logged = sum(step.logged for step in steps)
    estimate = sum(step.estimate for step in steps)
    done = sum(step.done and not step.taken for step in steps)
    took = f"{spoken(logged)} logged, {spoken(estimate)} estimated in all" if logged else ""
    if not steps:
        return "It has no steps."
    if record.finished:
        untimed = sum(not step.timed for step in steps)
        without = f", {count(untimed, 'step')} of them without a time" if untimed and logged else ""
        made = count(len(steps), "step")
        time = took or "no time was logged"
        return f"Finished: {made}{without}; {time}.{_taken(record)}"
    so_far = f"; {took}" if took else ""
    return (
        f"It is being made: on {_date(record.now.date())}, {done} of {count(len(steps), 'step')} "
        f"{'was' if done == 1 else 'were'} done{so_far}."
        f"{_taken(record)} What isn't done is told as planned."
    )


def _taken(record: Record) -> str:
    """What counts as done without anybody having logged it."""
    taken = record.taken
    by_date = sum(step.by_date for step in taken)
    held = len(taken) - by_date
    one = " {} {} taken as done because the occasion is past and counts as held; nobody logged {}."
    two = " {} {} over by the date; nobody logged {}."
    told = ""
    for many, text in ((held, one), (by_date, two)):
        if many:
            verb, them = ("is", "it") if many == 1 else ("are", "them")
            told += text.format(count(many, "step"), verb, them)
    return told


def _occasions(record: Record) -> str:
    """What it was made for."""
    if not record.occasions:
        return ""
    told = []
    for one in record.occasions:
        name = escaped(one.name) or escaped(one.id.split("/")[-1])
        at = "" if clock(one.at) == "00:00" else f", {clock(one.at)}"
        kept = _kept(one)
        ahead = "" if one.past else ", still to come"
        told.append(f"{name}: {one.kind.value}, {_date(one.at.date())}{at}{kept}{ahead}")
    return f"{heading(2, 'Occasions')}\n\n{bullets(told)}"


def _kept(one: Held) -> str:
    """What became of an occasion that is past."""
    if not one.past or one.kind in (OccasionKind.DEPARTURE, OccasionKind.EVENT):
        return ""
    if not one.held:
        return ", not held"
    return ", held" if one.said else ", counts as held"


def _garment(record: Record, garment: GarmentMade) -> str:
    """A garment: where from, for whom, measured how, what it took."""
    estimate = sum(step.estimate for step in garment.steps)
    logged = sum(step.logged for step in garment.steps)
    took = f"{spoken(logged)} logged for {spoken(estimate)} estimated" if logged else ""
    facts = [
        FROM[garment.source],
        f"by the order of construction “{escaped(garment.kind)}”" if garment.kind else "",
        f"worn by {escaped(garment.wearer)}" if garment.wearer.strip() else "",
        f"layer {garment.layer}" if garment.layer is not None else "",
        took or (f"{spoken(estimate)} estimated" if estimate else ""),
    ]
    told = "; ".join(fact for fact in facts if fact)
    lines = [heading(3, escaped(garment.name)), f"{told[:1].upper()}{told[1:]}."]
    if garment.answers:
        lines.append(bullets(_answer(record, one) for one in garment.answers))
    return "\n\n".join(lines)


def _answer(record: Record, one: Answered) -> str:
    """A measurement or choice."""
    told = escaped(one.answer)
    if one.amount is not None:
        told = escaped(quantity_told(one.amount, record.units))
    asked = escaped(one.asked)
    return f"{asked[:1].upper()}{asked[1:]}: {told}"


def _materials(record: Record) -> str:
    """What was wanted, used and left of each stock."""
    if not record.materials:
        return ""
    rows = [_material(record, one) for one in record.materials]
    head = ("What", "Wanted in all", "Used", "Still to use", "Left now", "")
    told = "Used is what the diary says was taken; where it says nothing, what the steps asked for."
    return "\n\n".join((heading(2, "Materials"), table(head, rows, (1, 2, 3, 4)), told))


def _material(record: Record, one: Material) -> list[str]:
    def amount(value: float) -> str:
        return escaped(worded_amount(value, one.dimension, record.units))

    known = "" if not one.used else "as taken" if one.counted else "as asked for"
    facts = [known, "" if one.again else "can't be bought again"]
    if one.there < 0:
        facts.append("more was used than was counted")
    return [
        escaped(one.name),
        amount(one.wanted) if one.wanted else "",
        amount(one.used) if one.used else "",
        amount(one.to_come) if one.to_come else "",
        amount(max(0.0, one.there)),
        "; ".join(fact for fact in facts if fact),
    ]


# how it was made


def _steps(record: Record) -> str:
    """Every step in working order."""
    if not record.steps:
        return "No steps were written down."
    names = {garment.id: garment.name for garment in record.garments}
    rows = []
    for number, step in enumerate(record.steps, 1):
        rows.append(
            [
                str(number),
                escaped(names[step.id.rpartition("/")[0]]),
                escaped(step.name) + ("" if step.hands == 1 else " (two pairs of hands)"),
                _how(record, step),
                column(step.estimate),
                column(step.logged) if step.logged else "",
                _when(step),
            ]
        )
    head = ("", "Garment", "Step", "How", "Estimate", "Took", "When")
    return table(head, rows, (0, 4, 5))


def _how(record: Record, step: StepMade) -> str:
    """The technique and how much of it."""
    amount = quantity_told(step.amount, record.units) if step.amount is not None else ""
    technique = "" if step.technique == step.name else step.technique
    parts = [escaped(technique) or step.work.value, escaped(amount)]
    return ", ".join(part for part in parts if part)


def _when(step: StepMade) -> str:
    """When it was done, or is to be."""
    days = _span(step.first, step.last)
    if step.before:
        return "before the diary"
    at = f"at {escaped(step.during)}" if step.during else ""
    if step.taken:
        how = "by the date, not logged" if step.by_date else "taken as done (held)"
        return ", ".join(part for part in ("" if step.by_date else days, at, how) if part)
    if step.done:
        told = ", ".join(part for part in (days, at) if part)
        return told or "done"
    begun = "begun, " if step.logged else ""
    return f"{begun}planned: {days or at}" if days or at else f"{begun}to do"


def _again(record: Record) -> str:
    """What was done over again, with each round."""
    told = [
        f"{_named(record, step)}: "
        + "; then ".join(
            f"{spoken(one.logged) if one.logged else 'no time logged'}, "
            f"{_span(one.first, one.last)}{'' if one.done else ', not finished'}"
            for one in step.rounds
        )
        for step in record.steps
        if step.rounds
    ]
    return f"{heading(3, 'Done over again')}\n\n{bullets(told)}" if told else ""


def _named(record: Record, step: StepMade) -> str:
    """A step with its garment."""
    garment = step.id.rpartition("/")[0]
    name = next(one.name for one in record.garments if one.id == garment)
    return f"“{escaped(step.name)}” ({escaped(name)})"


def _care(record: Record) -> str:
    """Each caution once, with the numbers of the steps it is for."""
    found: dict[str, list[str]] = {}
    for number, step in enumerate(record.steps, 1):
        if step.caution.strip():
            found.setdefault(step.caution, []).append(str(number))
    told = [
        f"{'Step' if len(numbers) == 1 else 'Steps'} {listed(numbers, len(numbers))}: "
        f"{escaped(text)}"
        for text, numbers in found.items()
    ]
    return f"{heading(3, 'To take care with')}\n\n{bullets(told)}" if told else ""


# what it took


def _hours(record: Record) -> str:
    """Hours by kind of work and by garment, against the estimate."""
    steps = record.steps
    if not steps:
        return ""
    by_work = [(work.value, [step for step in steps if step.work is work]) for work in Work]
    by_garment = [(escaped(one.name), list(one.steps)) for one in record.garments]
    parts = [heading(2, "Hours")]
    for head, groups in (("Kind of work", by_work), ("Garment", by_garment)):
        rows = [_sums(name, mine) for name, mine in groups if mine]
        rows.append(_sums("in all", steps))
        parts.append(table((head, "Steps", "Estimate", "Logged", "Compared"), rows, (1, 2, 3)))
    parts.append(
        "Compared are the finished steps with a time alone: what they took against their estimate."
    )
    return "\n\n".join(parts)


def _sums(name: str, steps: Sequence[StepMade]) -> list[str]:
    logged = sum(step.logged for step in steps)
    took, estimate = _timed(steps)
    compared = f"{column(took)} for {column(estimate)}" if estimate else ""
    return [
        name,
        str(len(steps)),
        column(sum(step.estimate for step in steps)),
        column(logged) if logged else "",
        compared,
    ]


def _timed(steps: Iterable[StepMade]) -> tuple[int, int]:
    """What the finished steps with a time took, and their estimate."""
    timed = [step for step in steps if step.timed]
    return sum(step.logged for step in timed), sum(step.estimate for step in timed)


def _techniques(record: Record) -> str:
    """How it was sewn, at what usual rate, and what that came to."""
    if not record.techniques:
        return ""
    rows = [
        [
            escaped(one.technique.name),
            one.technique.work.value,
            escaped(rate_told(one.technique)),
            str(one.steps),
            column(one.estimate),
            f"{column(one.logged)} for {column(one.timed)}" if one.timed else "",
        ]
        for one in record.techniques
    ]
    head = ("Technique", "Work", "Usual rate", "Steps", "Estimate", "Compared")
    return f"{heading(2, 'Techniques')}\n\n{table(head, rows, (3, 4))}"


def _left_off(record: Record) -> str:
    """What was left off, and which ways were chosen."""
    off = [
        f"{_named(record, step)}: left off"
        for garment in record.garments
        for step in garment.left_off
    ]
    ways = [
        f"{_named(record, step)}, in place of “{escaped(step.instead)}”"
        for step in record.steps
        if step.instead
    ]
    if not off and not ways:
        return ""
    return f"{heading(2, 'Left off, or done another way')}\n\n{bullets([*off, *ways])}"


def _notes(record: Record) -> str:
    """The notes of the diary, each with its day and its step."""
    if not record.notes:
        return ""
    known = {step.id: step for step in record.steps}
    known |= {step.id: step for garment in record.garments for step in garment.left_off}
    told = []
    for one in record.notes:
        step = known.get(one.step)
        name = _named(record, step) if step is not None else f"“{escaped(one.step)}”"
        told.append(f"{_date(one.at.date())}, {name}: {paragraph(one.note)}")
    return f"{heading(2, 'Notes')}\n\n{bullets(told)}"


def _pack(record: Record) -> str:
    """What else belongs to it."""
    if not record.pack:
        return ""
    return f"{heading(2, 'Worn and packed with it')}\n\n{bullets(escaped(p) for p in record.pack)}"
