"""What there is to know of a plan at a glance, in words of several lengths.

Each thing told has a label and the same said at different lengths, the longest first.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from planner.glance import Glance, Outlook, by_staying_up
from planner.looking_back import DayLost
from planner.model import OccasionKind
from planner.plan import Plan, Verdict
from screens.glance_today import TODAY, Told, today_told
from screens.wording import (
    WHERES,
    abbreviated,
    clean,
    count,
    listed,
    name_of,
    named_date,
    on_date,
    quoted,
    share,
    spoken,
    the_occasion,
)

Lost = Sequence[DayLost]
"""The days just gone that had fewer hours than their week."""


def told(plan: Plan, seen: Glance, lost: Lost = ()) -> list[Told]:
    """Today's work, what is lost, over, short or late, when it can be worn, hand sewing."""
    if is_over(plan):
        return [_was(plan)]
    found = [today_told(plan, seen)]
    if lost:
        found.append(_lost(plan, lost))
    found.append(_over(plan, seen))
    if seen.short or seen.late:
        found.append(_short(plan, seen))
    found.append(_outlook(plan, seen.outlooks))
    return [*found, _by_hand(seen)]


def is_over(plan: Plan) -> bool:
    """Whether every occasion is past, and nothing is planned after them."""
    return bool(plan.occasions) and not plan.sittings and all(one.past for one in plan.occasions)


def _was(plan: Plan) -> Told:
    """After the last occasion: what was, and that nothing is wanted any more."""
    events = [one for one in plan.occasions if one.kind is OccasionKind.EVENT]
    last = (events or plan.occasions)[-1]
    was = f"{the_occasion(plan, last.id)} was {on_date(last.at.date(), plan.now.date())}"
    told = f"{_capital(was)}."
    return Told(
        label=TODAY,
        texts=(f"nothing to do; {was}", "nothing to do"),
        sentences=(told, abbreviated(told)),
    )


# lost, over, short, late


def _lost(plan: Plan, lost: Lost) -> Told:
    """How much the days just gone fell short of their plan or their week, since when, and why."""
    total = spoken(sum(one.minutes for one in lost))
    since = named_date(lost[0].date, plan.now.date())
    if len(lost) > 1:
        since = f"since {since}"
    reasons = list(dict.fromkeys(clean(one.reason) for one in lost if clean(one.reason)))
    why = f" ({listed(reasons, 2)})" if reasons else ""
    of_hours = "" if any(one.planned for one in lost) else " of hours"
    not_done = ": planned and not done" if all(one.planned for one in lost) else ""
    texts = [f"{total}{of_hours} {since}{not_done}{why}", f"{total}{of_hours} {since}"]
    # it says when: beside what is to be done tonight it would be taken for tonight's
    brief = f"{total} lost {since}"
    said = [f"You lost {text}." for text in texts]
    return Told(
        label="Lost",
        texts=(*texts, abbreviated(texts[1]), total),
        sentences=(said[0], *(abbreviated(one) for one in said), abbreviated(f"{brief}{why}."),
                   abbreviated(f"{brief}.")),
    )


OVER, SHORT, LATE = "Overfull", "Short, late", "Late"


def _over(plan: Plan, seen: Glance) -> Told:
    """Which days are over, by how much."""
    days = seen.over
    if not days:
        return _none_over(plan, seen)
    by = [f"{named_date(day, plan.now.date())} by {spoken(more)}" for day, more in days]
    first = named_date(days[0][0], plan.now.date())
    many = count(len(days), "day")
    texts = [_capital(listed(by, most)) for most in (6, 4, 3)]
    texts = [*texts, *(abbreviated(text) for text in texts)]
    texts.append(abbreviated(f"{many}, first {by[0]}"))
    if len(days) == 1:
        whole = [f"{_capital(first)} is overfull by {spoken(days[0][1])}."]
        return Told(label=OVER, texts=tuple(texts), sentences=(*whole, abbreviated(whole[0])))
    each = f"Overfull: {listed(by, 4)}."
    said = [f"{many} are overfull, first {by[0]}.", f"{many} overfull, first {first}."]
    last = f"{many} overfull."
    sentences = [each, abbreviated(each), *(abbreviated(one) for one in said), last]
    return Told(label=OVER, texts=tuple(texts), sentences=tuple(sentences))


def _none_over(plan: Plan, seen: Glance) -> Told:
    """That no day is over; where hours are tight, also which is fullest."""
    none = "No day is overfull."
    if seen.fullest is None or plan.verdict is not Verdict.TIGHT:
        return Told(label=OVER, texts=("no day",), sentences=(none,))
    day, load = seen.fullest
    full = f"{named_date(day, plan.now.date())}, {share(load)}"
    said = [f"No day is overfull; fullest {full}.", f"Fullest {full}."]
    return Told(
        label=OVER,
        texts=(f"no day; fullest is {full}", "no day"),
        sentences=(said[0], abbreviated(said[0]), abbreviated(said[1]), none),
    )


def _short(plan: Plan, seen: Glance) -> Told:
    """Before what hours are short, and which steps are late for what."""
    short = [
        f"{spoken(minutes)} short before {the_occasion(plan, one)}" for one, minutes in seen.short
    ]
    steps: dict[str, list[str]] = {}
    for step, occasion in seen.late:
        steps.setdefault(occasion, []).append(step)
    for_what = [
        f"{listed([quoted(plan, step) for step in late], 2)} late for {the_occasion(plan, one)}"
        for one, late in steps.items()
    ]
    number = count(len({step for step, _ in seen.late}), "step")
    brief = [f"{number} late"] if seen.late else []
    found = ["; ".join([*short, *for_what])]
    found += ["; ".join([*short[:most], *brief]) for most in range(len(short), -1, -1)]
    texts = tuple(dict.fromkeys(text for text in found if text))
    return Told(label=SHORT, texts=texts, sentences=tuple(f"{_capital(one)}." for one in texts))


def late(plan: Plan, seen: Glance) -> Told | None:
    """What is short besides the first, which the verdict says, and which steps are late; None
    where neither is."""
    short = [
        f"{spoken(minutes)} short before {the_occasion(plan, one)}"
        for one, minutes in seen.short[1:]
    ]
    steps = list(dict.fromkeys(step for step, _ in seen.late))
    if not short and not steps:
        return None
    brief = _most_short(plan, seen.short[1:])
    found = []
    if steps:
        occasions = list(dict.fromkeys(occasion for _, occasion in seen.late))
        are = "is" if len(steps) == 1 else "are"
        late = listed([quoted(plan, step) for step in steps], 2)
        names = f"{late} {are} late"
        number = f"{count(len(steps), 'step')} late"
        if len(occasions) == 1:
            again = any(one == occasions[0] for one, _ in seen.short[1:])
            it = "it" if again and len(short) == 1 else the_occasion(plan, occasions[0])
            found.append([*short, f"{names} for {it}"])
        found += [[*short, names], [*short, f"{late} late"], [*short, number]]
        found += [[*brief, number], [number]]
    else:
        found += [short, brief]
    said = tuple(dict.fromkeys(f"{_capital('; '.join(parts))}." for parts in found))
    return Told(label=LATE, texts=said, sentences=said)


def _most_short(plan: Plan, short: Sequence[tuple[str, int]]) -> list[str]:
    """By when most is short: what is short before one occasion is short before the next, too, so
    they don't add up."""
    if not short:
        return []
    occasion, minutes = max(short, key=lambda one: one[1])
    by = next(one.ready_by.date() for one in plan.occasions if one.id == occasion)
    return [abbreviated(f"{spoken(minutes)} short by {named_date(by, plan.now.date())}")]


# hand sewing


def _by_hand(seen: Glance) -> Told:
    """The hand sewing to come, and where it can be done."""
    minutes = sum(one for _, one in seen.hand)
    if not minutes:
        return Told(label="By hand", texts=("nothing",), sentences=("Nothing by hand.",))
    where = listed([f"{spoken(one)} {WHERES[place]}" for place, one in seen.hand])
    total = spoken(minutes)
    split = f"{total} to come: {where}" if len(seen.hand) > 1 else f"{total} to come, {where}"
    return Told(
        label="By hand",
        texts=(split.replace(f", {total}", ","), f"{total} to come", total),
        sentences=(f"Hand sewing to come: {total}.", f"By hand {total}."),
    )


# wearable, finished


def _outlook(plan: Plan, outlooks: Sequence[Outlook]) -> Told:
    """When it can be worn, and when it is finished; several each, else together."""
    if all(one.past for one in plan.occasions) and any(one.past for one in plan.occasions):
        told = "no occasion lies ahead to wear it for"
        return Told(label="Wearable", texts=(told,), sentences=(f"{_capital(told)}.",))
    texts, sentences = [], []
    if len(outlooks) != 1:
        names = [name_of(plan, one.ensemble) for one in outlooks]
        each = [_when(plan, one) for one in outlooks]
        texts.append("; ".join(f"{name} {when}" for name, when in zip(names, each, strict=True)))
        sentences.append(
            " ".join(_sentence(plan, one, name) for name, one in zip(names, outlooks, strict=True))
        )
    if outlooks:
        all_of_it = outlooks[0] if len(outlooks) == 1 else _together(outlooks)
        it = "" if len(outlooks) == 1 else "all"
        texts.append(f"{it} {_when(plan, all_of_it)}".strip())
        whole = _sentence(plan, all_of_it, it)
        sentences += [whole, *_shorter(whole)]
    texts = [*texts, *(abbreviated(text) for text in texts)]
    return Told(label="Wearable", texts=tuple(texts), sentences=tuple(dict.fromkeys(sentences)))


def _together(outlooks: Sequence[Outlook]) -> Outlook:
    """Several as one: the last to be worn, the last to be finished."""
    return Outlook(
        ensemble="",
        wearable_on=_last([one.wearable_on for one in outlooks]),
        finished_on=_last([one.finished_on for one in outlooks]),
        wearable_now=all(one.wearable_now for one in outlooks),
        left=sum(one.left for one in outlooks),
        extras=sum(one.extras for one in outlooks),
    )


STAYING_UP = "by staying up"
"""Where days up to then are overfull."""


def _when(plan: Plan, one: Outlook) -> str:
    """ "Tuesday 16 March; finished Saturday 20 March"."""
    today = plan.now.date()
    if one.wearable_now:
        return f"now; {_what_is_left(one)}" if one.left else "now, and finished"
    if one.wearable_on is None:
        return "not by this plan"
    when = named_date(one.wearable_on, today)
    if by_staying_up(plan, one.finished_on or one.wearable_on):
        when = f"{STAYING_UP} {when}"
    if one.finished_on is None:
        return f"{when}; not all of it is finished by this plan"
    if one.finished_on == one.wearable_on:
        return f"{when}, and finished then"
    return f"{when}; finished {named_date(one.finished_on, today)}"


def _sentence(plan: Plan, one: Outlook, name: str) -> str:
    """ "Wearable Tuesday 16 March, finished Saturday 20 March.", perhaps with a name."""
    it, today = name or "it", plan.now.date()
    if one.wearable_now and not one.left:
        return f"{_capital(it)} is finished." if name != "all" else "All is finished."
    if one.wearable_now:
        return f"Stopped now, {it} could be worn. {_capital(_what_is_left(one))}."
    head = f"{_capital(name)} wearable" if name else "Wearable"
    if one.wearable_on is None:
        return f"{_capital(name)} not wearable by this plan." if name else _NOT_WEARABLE
    if by_staying_up(plan, one.finished_on or one.wearable_on):
        head = f"{_capital(STAYING_UP)}: {head[:1].lower() if not name else head[:1]}{head[1:]}"
    when = named_date(one.wearable_on, today)
    if one.finished_on == one.wearable_on:
        return f"{head} and finished {when}."
    last = named_date(one.finished_on, today) if one.finished_on else ""
    return f"{head} {when}, {f'finished {last}' if last else 'not all of it finished'}."


_NOT_WEARABLE = "Not wearable by this plan."


def _what_is_left(one: Outlook) -> str:
    """ "what is left is 6 h of extras"."""
    kind = "extras" if one.extras == one.left else "finishing and extras"
    return f"what is left is {spoken(one.left)} of {kind if one.extras else 'finishing'}"


def _shorter(sentence: str) -> list[str]:
    """An outlook in fewer words."""
    brief = abbreviated(sentence)
    alone = brief.replace(" and finished ", " ").partition(", ")[0].rstrip(".")
    if brief.startswith("Stopped now"):
        alone = brief.split(". ", 1)[0]
    return [brief, f"{alone}."]


def _last(days: Sequence[date | None]) -> date | None:
    """The last of some days; None where one of them never comes."""
    known = [day for day in days if day is not None]
    return max(known) if known and len(known) == len(days) else None


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
