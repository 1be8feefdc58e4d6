"""The hand sewing in words, without a screen: its sum, where it could be, what a machine saves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from planner.handwork import HandDay, HandPlace, HandStep, HandWork
from planner.model import Place
from planner.other_ways import OtherWay
from planner.plan import Plan, PlannedStep, Where
from screens.strips import FREE, MARK, SLICES, Cell
from screens.wording import (
    WHERES,
    clean,
    column,
    count,
    listed,
    quoted,
    short_date,
    spoken,
    step_with_garment,
)

WHERE = {
    Where.WORKROOM: "workroom",
    Where.SOFA: "sofa",
    Where.TAKE_ALONG: "on the way",
    Where.OCCASION: "occasion",
}
"""Where a sitting is planned, in a column."""
LEAST = {
    Place.WORKROOM: "needs the workroom",
    Place.SOFA: "the sofa would do",
    Place.TAKE_ALONG: "could be taken along",
}
"""The least place a step needs."""
LEAST_SHORT = {
    Place.WORKROOM: "",
    Place.SOFA: "sofa would do",
    Place.TAKE_ALONG: "take along",
}
"""The same at the end of a narrow row, where it is less than the workroom."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPart:
    """What is sewn of one step on one day in one place."""

    step: str
    where: Where
    minutes: int


def nothing(plan: Plan) -> str:
    """What to say where nothing is sewn by hand, and what to do next."""
    if not plan.names:
        return "There is no ensemble here yet; the garments (g) begin one."
    if not plan.steps:
        return "No garment is split into steps yet; the garments (g) add one."
    return (
        "No hand sewing is to do. A step is sewn by hand where its technique or its kind of work"
        " says so; the garments (g) show all steps."
    )


def summary(plan: Plan, work: HandWork) -> list[str]:
    """How much there is, what is too much, where it is held, what a machine would save."""
    if not work.days:
        return ["No hand sewing is planned.", *_without_day(work)]
    days = f"{len(work.days)} days" if len(work.days) > 1 else "one day"
    return [
        f"{spoken(work.minutes)} of hand sewing on {days}: {_where(work)}.",
        *_limit(work),
        *_without_day(work),
        *_held(work),
        *_saving(work),
    ]


def glance(work: HandWork) -> list[str]:
    """How much there is and what is too much, in one sentence."""
    if not work.days:
        return ["No hand sewing is planned.", *_without_day(work)]
    days = f"{len(work.days)} days" if len(work.days) > 1 else "one day"
    told = f"{spoken(work.minutes)} of hand sewing on {days}"
    if work.limit is not None and work.over:
        over = "one of them" if len(work.over) == 1 else f"{len(work.over)} of them"
        which = over if len(work.days) > 1 else "which goes"
        told += f", {which} beyond the {spoken(work.limit)} you want"
    return [f"{told}.", *_without_day(work)]


def places(work: HandWork) -> str:
    """Where it is, of how many hours there: "On the sofa 10:21 of 11:30, on the way 5:52 of 9:00,
    in the workroom 10:02."."""
    found = [
        f"{told} {column(place.hand)} of {column(place.available)}"
        for told, place in (("on the sofa", work.sofa), ("on the way", work.on_the_way))
        if place.could
    ]
    if work.workroom:
        found.append(f"in the workroom {column(work.workroom)}")
    told = ", ".join(found)
    return f"{told[:1].upper()}{told[1:]}." if told else ""


def otherwise(work: HandWork) -> list[str]:
    """What of it could leave the workroom, told behind ``places``, and what m would save."""
    found = []
    if work.could_leave:
        of = "Nothing" if work.could_leave == work.workroom else f"{column(work.could_leave)}"
        found.append(f"{of} of that needs {'it' if of == 'Nothing' else 'no workroom'}.")
    if work.could_save:
        found.append(f"m sews a step by machine: {column(work.could_save)} less in all.")
    elif any(one.ways for one in work.steps):
        found.append("m sews a step by machine, where that is usual.")
    return found


def _where(work: HandWork) -> str:
    """ "10 h 20 on the sofa, 5 h 52 on the way and 10 h 03 in the workroom"."""
    shares = (
        (work.sofa.hand, Where.SOFA),
        (work.on_the_way.hand, Where.TAKE_ALONG),
        (work.workroom, Where.WORKROOM),
        (work.at_occasions, Where.OCCASION),
    )
    there = [(minutes, where) for minutes, where in shares if minutes]
    if len(there) == 1:
        return f"all of it {WHERES[there[0][1]]}"
    return listed([f"{spoken(minutes)} {WHERES[where]}" for minutes, where in there], 4)


def _limit(work: HandWork) -> list[str]:
    """Whether days go beyond what the maker wants."""
    if work.limit is None:
        return []
    limit, over = spoken(work.limit), len(work.over)
    if not over:
        return [f"No day is beyond the {limit} you want."]
    days = "One of them goes" if over == 1 else f"{over} of them go"
    if len(work.days) == 1:
        days = "It goes"
    return [f"{days} beyond the {limit} you want in a day."]


def _without_day(work: HandWork) -> list[str]:
    """What has no day at all."""
    if not work.without_day:
        return []
    return [f"There is no day for {spoken(work.without_day)} more."]


def _held(work: HandWork) -> list[str]:
    """What could be done away from the workroom, and which hours are free for it."""
    sofa, way = work.sofa, work.on_the_way
    if not sofa.could:
        return []
    along = f", {spoken(way.could)} of that could be taken along" if way.could else ""
    return [f"{spoken(sofa.could)} needs no more than the sofa{along}; {_free(sofa, way)}."]


def _free(sofa: HandPlace, way: HandPlace) -> str:
    """ "1 h 10 on the sofa and 3 h 08 on the way are free"."""
    if not (sofa.available or way.available):
        return "no hours for either are written down"
    places = ((sofa, "on the sofa"), (way, "on the way"))
    free = [
        f"{spoken(place.available - place.planned)} {told}"
        for place, told in places
        if place.available > place.planned
    ]
    if not free:
        return "all such hours are full"
    return f"{listed(free)} {'is' if len(free) == 1 else 'are'} free"


def _saving(work: HandWork) -> list[str]:
    """What the machine would save by the ways that are written down."""
    if not work.could_save:
        return []
    steps = sum(1 for one in work.steps if any(w.offered and w.saved > 0 for w in one.ways))
    return [
        f"To sew {count(steps, 'step')} by machine, as your files offer, would save"
        f" {spoken(work.could_save)}."
    ]


def day_head(day: HandDay, limit: int | None) -> str:
    """ "Sat 19 Jun   3:29 of 2:30"."""
    of = f" of {column(limit)}" if limit is not None else ""
    return f"{short_date(day.date)}  {column(day.minutes):>5}{of}"


def day_over(day: HandDay) -> str:
    """How much too much; empty where it isn't."""
    return f"{column(day.over)} more than you want in a day" if day.over else ""


def slice_of(work: HandWork, width: int) -> int:
    """The smallest slice at which the fullest day, or the limit, fits into so many cells."""
    most = max([day.minutes for day in work.days] + [work.limit or 0], default=0)
    for size in SLICES:
        if most / size <= width:
            return size
    return SLICES[-1]


def day_strip(day: HandDay, limit: int | None, size: int) -> tuple[Cell, ...]:
    """A day's hand sewing as stitches; what is beyond the limit lies past the mark."""
    sewn = max(1, round(day.minutes / size))
    if limit is None:
        return (Cell(letter="h"),) * sewn
    room = max(1, round(limit / size))
    inside = room if day.over else min(sewn, room)
    past = max(1, sewn - room) if day.over else 0
    return (
        *(Cell(letter="h"),) * inside,
        *(Cell(letter=FREE),) * (room - inside),
        Cell(letter=MARK),
        *(Cell(letter="h", over=True),) * past,
    )


def day_parts(day: HandDay) -> list[DayPart]:
    """What is sewn on a day, garment by garment, each step once in each place."""
    minutes: dict[tuple[str, Where], int] = {}
    for one in day.sittings:
        key = (one.step, one.where)
        minutes[key] = minutes.get(key, 0) + one.minutes
    garments = list(dict.fromkeys(step.rpartition("/")[0] for step, _ in minutes))
    found = [DayPart(step=s, where=where, minutes=sum_) for (s, where), sum_ in minutes.items()]
    return sorted(found, key=lambda part: garments.index(part.step.rpartition("/")[0]))


def could_be(step: PlannedStep, where: Where | None = None) -> str:
    """Where else than planned it could be done; empty where it is there, or can't be."""
    if step.hands > 1 or where in (Where.OCCASION, Where.TAKE_ALONG):
        return ""
    if where is Where.SOFA and step.place is not Place.TAKE_ALONG:
        return ""
    return LEAST[step.place] if step.place is not Place.WORKROOM else ""


def saves(ways: Sequence[OtherWay]) -> str:
    """ "m saves 1:36", by the machine way that saves most; "usually saves 1:36" where the files
    don't offer that way."""
    if not ways or ways[0].saved <= 0:
        return ""
    return f"{'m' if ways[0].offered else 'usually'} saves {column(ways[0].saved)}"


def no_machine(plan: Plan, nearest: str | None) -> str:
    """What to say where no machine does a step; the nearest of which one does."""
    told = "No machine does this step, by your files or as is usual"
    if nearest is None:
        return f"{told}; nor any other here."
    return f"{told}; the nearest it does is {step_with_garment(plan, nearest)}."


def step_days(days: Sequence[date]) -> str:
    """ "Thu 17 Jun", "Thu 17 Jun to Sat 19 Jun", on which a step is sewn."""
    if not days:
        return "no day"
    first, last = (" ".join(short_date(day).split()) for day in (days[0], days[-1]))
    return first if first == last else f"{first} to {last}"


def way_sentences(plan: Plan, way: OtherWay) -> list[str]:
    """A way by machine: how long it takes, what it saves, how much the hand would be missed."""
    name = clean(way.name)
    usual = "" if way.offered else ", which is usual where it will do"
    found = [f"By machine: “{name}”{usual}."]
    if way.saved > 0:
        found.append(f"It takes {spoken(way.left)} and saves {spoken(way.saved)}.")
    elif way.saved < 0:
        found.append(f"It takes {spoken(way.left)}, {spoken(way.saved)} more.")
    else:
        found.append(f"It takes {spoken(way.left)}, no less.")
    if way.missed is not None and way.offered:
        found.append(f"How it is now would be missed {way.missed} of 5.")
    return found


def back_sentences(plan: Plan, way: OtherWay) -> list[str]:
    """A step that was given to the machine: what its hand sewing would take."""
    more = f"{spoken(way.saved)} more" if way.saved < 0 else f"{spoken(way.saved)} less"
    return [f"By hand again: “{clean(way.name)}”.", f"It takes {spoken(way.left)}, {more}."]


def chosen_label(plan: Plan, one: HandStep, way: OtherWay) -> str:
    """As a past fact: “hem by hand” (Skirt) given to the machine."""
    return f"{step_with_garment(plan, one.step.id)} given to the machine: {clean(way.name)}"


def back_label(plan: Plan, way: OtherWay) -> str:
    """As a past fact: “hem by hand” is sewn by hand again."""
    return f"{quoted(plan, way.step)} sewn by hand again"
