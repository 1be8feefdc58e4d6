"""What a change would make of the plan, in one line, computed from the plan before and after."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from datetime import date

from planner.came import came_to
from planner.plan import Plan
from screens.aftercare_told import undated
from screens.fixed_told import not_kept_told
from screens.pace_moved import pace_moved
from screens.verdict import no_time_told, verdict_sentences
from screens.wording import count, named_date, on_date, quoted, share, spoken

PLANNING = "then: planning …"
"""Stands there till it is known what would become of the plan."""
NUMBERS = (
    "no", "one", "two", "three", "four", "five", "six",
    "seven", "eight", "nine", "ten", "eleven", "twelve",
)  # fmt: skip


def then_sentence(before: Plan | None, after: Plan, *, final: bool = True) -> str:
    """ "then: fits, 94 % full, 40 min more to do, three steps move to Sunday 9 May".

    A fixed day that couldn't be kept comes first, with why. Without a plan before (nothing could
    be planned), only what would be. Of a plan that isn't ``final``, whose days may yet change,
    only what is certain.
    """
    parts = _verdict(after) if final else _certain(after)
    if before is not None:
        moves = _moves(before, after) if final else ""
        changes = [part for part in (_work(before, after), moves) if part]
        parts += changes or (["no step moves"] if final else [])
        if final and (later := _wearable(before, after)):
            parts.append(later)
    refused = not_kept_told(before, after) if final else ""
    if refused and parts[-1:] == ["no step moves"]:
        return f"then: {refused}"
    return f"then: {refused}{'; without that: ' if refused else ''}{', '.join(parts)}"


def became_sentence(
    before: Plan, after: Plan, *, judged: str = "", moved: Mapping[str, date] | None = None
) -> str:
    """What an edit has made of the plan, for those who read the new verdict above: "Now it
    doesn't fit; three steps move to Sunday 9 May.".

    ``judged`` stands in place of how much fuller it is; ``moved`` are the steps on other days,
    with the day they go to, where these were told already.
    """
    verdict = _verdict_changed(before, after)
    if judged and not verdict.startswith("now it"):
        verdict = judged
    days = _moved(before, after) if moved is None else moved
    first = [verdict, _no_time(before, after)]
    parts = [*(first if judged else reversed(first)), _work(before, after)]
    parts.append(_days_told(after, days))
    parts.append(_wearable(before, after))
    if undated(after) != undated(before):
        parts.append(undated(after))
    told = "; ".join(part for part in parts if part) or "Nothing else changes"
    return f"{told[:1].upper()}{told[1:]}."


def _verdict_changed(before: Plan, after: Plan) -> str:
    """Whether it fits where it didn't, or the other way round; else how much fuller it is."""
    if before.fits is not after.fits:
        if after.fits is None:
            return "now it is undecided whether it fits"
        return "now it fits" if after.fits else "now it doesn't fit"
    if before.peak_load is None or after.peak_load is None:
        return ""
    if after.peak_load < before.peak_load and without_time(after) > without_time(before):
        return ""  # what has no time at all fills no hours: that is nothing better
    was, becomes = share(before.peak_load), share(after.peak_load)
    return f"the fullest hours are {becomes} full, not {was}" if was != becomes else ""


def without_time(plan: Plan) -> int:
    """Minutes of what has no time at all."""
    return sum(one.minutes for one in plan.unplaced)


def _no_time(before: Plan, after: Plan) -> str:
    """What has no time at all, where that has become more or less."""
    was, becomes = without_time(before), without_time(after)
    if was == becomes:
        return ""
    if not becomes:
        return "nothing is without time any more"
    return f"{no_time_told(after)}{f', not {spoken(was)}' if was else ''}"


def _certain(plan: Plan) -> list[str]:
    """Whether it would fit, as far as that is known already."""
    if plan.fits is None:
        return ["whether it fits is being worked out"]
    if plan.fits:
        return ["fits"]
    caused = plan.unplaced or any(occasion.short or occasion.late for occasion in plan.occasions)
    return _verdict(plan) if caused else ["does not fit"]


def _verdict(plan: Plan) -> list[str]:
    """Whether it would fit, and how full it would be."""
    first, no_time = verdict_sentences(plan)[0], no_time_told(plan)
    if no_time and no_time not in first:
        first = f"{first.rstrip('.')}, and {no_time}."
    head = first.split(":", 1)[0].rstrip(".")
    if head == "Fits, but can't be worn":
        return [f"{first[:1].lower()}{first[1:].rstrip('.')}"]
    if head not in ("Fits", "Fits, but tightly"):
        return [f"{first[:1].lower()}{first[1:].rstrip('.')}"]
    full = [f"{share(plan.peak_load)} full"] if plan.peak_load is not None else []
    return [head.lower(), *full]


def _work(before: Plan, after: Plan) -> str:
    """How much more or less there would be to do, and how much of it is by another pace."""
    more = _left(after) - _left(before)
    paced, by_pace = pace_moved(before, after)
    if not paced:
        return f"{spoken(more)} {'more' if more > 0 else 'less'} to do" if more else ""
    rest = more - by_pace
    besides = f"; besides, {spoken(rest)} {'more' if rest > 0 else 'less'}" if rest else ""
    return f"{paced}{besides}"


def _left(plan: Plan) -> int:
    """Minutes of all that some coming occasion wants."""
    return sum(step.left for step in plan.steps if step.wanted and not step.done)


def _moves(before: Plan, after: Plan) -> str:
    """Which steps would be on another day, and where most of them."""
    return _days_told(after, _moved(before, after))


def _days_told(after: Plan, days: Mapping[str, date]) -> str:
    """The same, of steps with the days they go to."""
    if not days:
        return ""
    today = after.now.date()
    if len(days) == 1:
        ((step, day),) = days.items()
        return f"{quoted(after, step)} moves to {named_date(day, today)}"
    moving = f"{_number(len(days))} move"
    day, often = Counter(days.values()).most_common(1)[0]
    if often == len(days):
        return f"{moving} to {named_date(day, today)}"
    if often == 1:
        return f"{moving}, the first {on_date(min(days.values()), today)}"
    return f"{moving}, {NUMBERS[often] if often < len(NUMBERS) else often} of them to " + (
        named_date(day, today)
    )


def _moved(before: Plan, after: Plan) -> dict[str, date]:
    """By step of which minutes go to another day: the first such day.

    Counted as what moves is counted everywhere, and so the same back as forth.
    """
    found: dict[str, date] = {}
    for day, steps in came_to(before, after).items():
        for step in steps:
            found[step] = min(day, found.get(step, day))
    return found


def _number(steps: int) -> str:
    """ "three steps"; in figures from thirteen on."""
    return f"{NUMBERS[steps]} steps" if steps < len(NUMBERS) else count(steps, "step")


def _wearable(before: Plan, after: Plan) -> str:
    """From when on all could be worn, where that changes."""
    was, becomes = _all_wearable(before), _all_wearable(after)
    if becomes is None or becomes == was:
        return ""
    return f"wearable from {named_date(becomes, after.now.date())}"


def _all_wearable(plan: Plan) -> date | None:
    days = list(plan.wearable_on.values())
    known = [day for day in days if day is not None]
    return max(known) if known and len(known) == len(days) else None
