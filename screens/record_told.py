"""The record of how an ensemble was made, written in Markdown: to publish, or to rebuild from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from planner.exports.record import Answered, GarmentMade, Held, Record, StepMade
from planner.exports.record_stock import Material
from planner.model import OccasionKind, Source, Technique, Wait, Work
from screens.amounts_told import worded_amount
from screens.dressing import quantity_told
from screens.markdown import bullets, escaped, heading, table
from screens.plain.techniques import rate_told
from screens.record_steps import (
    aftercare_told,
    again_told,
    care_told,
    date_told,
    notes_told,
    rests,
    step_named,
    steps_table,
)
from screens.wording import clock, column, count, spoken

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
        steps_table(record, record.making),
        notes_told(record),
        again_told(record),
        care_told(record),
        aftercare_told(record),
        _hours(record),
        _techniques(record),
        _left_off(record),
        _pack(record),
        f"*Written by wearby on {date_told(record.now.date())}. {NOBODY}*",
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


# what it is, and for what


def _standing(record: Record) -> str:
    """Whether it is finished, and what it took; the aftercare isn't counted."""
    steps = record.making
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
    if record.worn is not None:
        name = escaped(record.worn.name) or record.worn.kind.value
        known = "known" if any(step.before for step in steps) else "logged"
        return (
            f"The event was on {date_told(record.worn.at.date())}: {name}; {done} of "
            f"{count(len(steps), 'step')} {'is' if done == 1 else 'are'} {known} as done"
            f"{so_far}.{_taken(record)} Of the rest nothing was logged."
        )
    day, of = date_told(record.now.date()), count(len(steps), "step")
    return (
        f"It is being made: on {day}, {done} of {of} "
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
        told.append(f"{name}: {one.kind.value}, {date_told(one.at.date())}{at}{kept}{ahead}")
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
    making = [step for step in garment.steps if not step.aftercare]
    estimate = sum(step.estimate for step in making)
    logged = sum(step.logged for step in making)
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
    elif garment.source in (Source.MAKE, Source.ALTER) and garment.layer is not None:
        lines.append("No measurements of it were written down: take them anew from the wearer.")
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


# what it took


def _hours(record: Record) -> str:
    """Hours of the making by kind of work and by garment, against the estimate."""
    steps = record.making
    if not steps:
        return ""
    by_work = [(work.value, [step for step in steps if step.work is work]) for work in Work]
    by_garment = [
        (escaped(one.name), [step for step in one.steps if not step.aftercare])
        for one in record.garments
    ]
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
            _besides(one.technique),
            str(one.steps),
            column(one.estimate),
            f"{column(one.logged)} for {column(one.timed)}" if one.timed else "",
        ]
        for one in record.techniques
    ]
    head = ("Technique", "Work", "Usual rate", "Besides", "Steps", "Estimate", "Compared")
    return f"{heading(2, 'Techniques')}\n\n{table(head, rows, (4, 5))}"


def _besides(one: Technique) -> str:
    """What else the catalogue knows of a technique: hands, sitting, rest, no way back."""
    facts = [
        f"{spoken(one.set_up)} to set up" if one.set_up else "",
        "two pairs of hands" if one.hands > 1 else "",
        "in one sitting" if one.one_sitting else "",
        rests(one.wait or Wait()).removeprefix("; "),
        "no way back" if one.no_way_back else "",
    ]
    return ", ".join(fact for fact in facts if fact)


def _left_off(record: Record) -> str:
    """What was left off, and which ways were chosen."""
    off = [
        f"{step_named(record, step)}: left off"
        for garment in record.garments
        for step in garment.left_off
    ]
    ways = [
        f"{step_named(record, step)}, in place of “{escaped(step.instead)}”"
        for step in record.steps
        if step.instead
    ]
    if not off and not ways:
        return ""
    return f"{heading(2, 'Left off, or done another way')}\n\n{bullets([*off, *ways])}"


def _pack(record: Record) -> str:
    """What else belongs to it."""
    if not record.pack:
        return ""
    return f"{heading(2, 'Worn and packed with it')}\n\n{bullets(escaped(p) for p in record.pack)}"
