"""What is asked of a new ensemble besides its garments: each question, and reading its answer."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from planner.files.beginning import id_from
from planner.model import Ensemble, Occasion, OccasionKind, WeekHours, Workroom
from planner.week import parse_week
from screens.wording import clean

Texts = Mapping[str, str]
"""What was said, by field."""
Read = Callable[[str, Texts, datetime], object]
"""Reads a text, given what else was said and now. Raises ValueError with a sentence."""

NOTHING = ("", "none", "-", "no")
"""What is typed for no answer at all."""
_FURTHEST = timedelta(days=3650)
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth")


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One question."""

    id: str
    ask: str
    """The question, as put on a terminal."""
    how: str
    """What ? says, and what is said where it is missing."""
    read: Read
    usual: str = ""
    """Taken where nothing is typed; empty: nothing."""
    needed: bool = False
    of_workroom: bool = False
    """Asked only where the workroom is new."""
    asked: bool = True
    """Asked on a terminal; else only taken as an option."""

    @property
    def option(self) -> str:
        """How it is given on the command line."""
        return f"--{self.id}"


def read_name(text: str, texts: Texts = {}, now: datetime = datetime.min) -> str:  # noqa: B006
    """A name that can be written down. Raises ValueError."""
    if not clean(text):
        raise ValueError("a name has a letter at least")
    try:
        text.encode()
    except UnicodeEncodeError:
        raise ValueError("this has bytes that are no letters: type it again") from None
    return text.strip()


def _read_date(text: str, texts: Texts, now: datetime) -> date:
    if text in ("today", "tomorrow"):
        return now.date() + timedelta(days=text == "tomorrow")
    try:
        found = date.fromisoformat(text)
    except ValueError:
        raise ValueError(f"“{clean(text)}” is no date: write it as 2027-05-22") from None
    if found < now.date():
        raise ValueError(f"{text} is past: check the year")
    if found - now.date() > _FURTHEST:
        raise ValueError(f"{text} is more than ten years ahead: check the year")
    return found


def _read_time(text: str, texts: Texts, now: datetime) -> time:
    if text in (*NOTHING, "all day"):
        return time()
    hour, colon, minute = text.partition(":")
    try:
        if not colon or len(minute) != 2:
            raise ValueError
        return time(int(hour), int(minute))
    except ValueError:
        raise ValueError(f"“{clean(text)}” is no time of day: write it as 11:00") from None


def event_at(texts: Texts, now: datetime) -> datetime | None:
    """When it must be on by; None while that isn't known."""
    try:
        return datetime.combine(
            _read_date(texts.get("date", ""), texts, now),
            _read_time(texts.get("time", ""), texts, now),
        )
    except ValueError:
        return None


def _read_moment(text: str, texts: Texts, now: datetime, *, bare: bool = False) -> datetime:
    """A moment before the event; ``bare``: a date alone is its beginning."""
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        raise ValueError(
            f"“{clean(text)}” is no date and time: write it as 2027-05-08T14:00"
        ) from None
    if found.tzinfo is not None:
        raise ValueError("leave the offset off: wearby goes by the clock on your wall")
    if ":" not in text and not bare:
        raise ValueError(f"{text} has no time of day: write it as {found.date()}T14:00")
    end = event_at(texts, now)
    if found < now and not (bare and found.date() == now.date()):
        raise ValueError(f"{text} is past")
    # an event without a time has its whole day
    if end is not None and found > end and (end.time() != time() or found.date() > end.date()):
        raise ValueError(f"{text} is after the event")
    return found


def _read_moments(text: str, texts: Texts, now: datetime) -> tuple[datetime, ...]:
    if text.strip() in NOTHING:
        return ()
    found = [_read_moment(one.strip(), texts, now) for one in text.split(",") if one.strip()]
    if len(set(found)) < len(found):
        raise ValueError("two are at the same time: keep one")
    return tuple(sorted(found))


def _read_trial(text: str, texts: Texts, now: datetime) -> datetime | None:
    return None if text in NOTHING else _read_moment(text, texts, now)


def _read_departure(text: str, texts: Texts, now: datetime) -> datetime | None:
    return None if text in NOTHING else _read_moment(text, texts, now, bare=True)


def _read_week(text: str, texts: Texts, now: datetime) -> WeekHours:
    return parse_week(text)


_WEEK = 'Days and hours, "tue thu 19:30-21:30, sat 10:00-13:00"; daily, mon-fri and weekend will do'

FIELDS = (
    Field(
        id="name",
        ask="What is the ensemble called",
        how='Any name of your own, "Ferrywoman".',
        read=read_name,
        needed=True,
    ),
    Field(
        id="event",
        ask="What is it worn for",
        how='The event\'s name, "Regatta".',
        read=read_name,
        needed=True,
    ),
    Field(
        id="date",
        ask="On which day",
        how="The day it is worn, as 2027-05-22.",
        read=_read_date,
        needed=True,
    ),
    Field(
        id="time",
        ask="On by what time",
        how="When all of it must be on, 11:00; without a time the whole day is kept free.",
        read=_read_time,
        usual="all day",
    ),
    Field(
        id="fitting",
        ask="Fittings",
        how="Date and time of each, 2027-05-08T14:00, with commas between; or none.",
        read=_read_moments,
        usual="none",
    ),
    Field(
        id="trial",
        ask="Trial wear",
        how="When all of it is worn for once before the event, 2027-05-15T14:00; or none.",
        read=_read_trial,
        usual="none",
    ),
    Field(
        id="departure",
        ask="Departure",
        how="When you leave, if that is before the event: 2027-05-21T16:00.",
        read=_read_departure,
        usual="none",
        asked=False,
    ),
    Field(
        id="workroom-hours",
        ask="Hours in the workroom, in a week",
        how=f"{_WEEK}.",
        read=_read_week,
        usual="none",
        of_workroom=True,
    ),
    Field(
        id="sofa-hours",
        ask="Hours on the sofa, for what needs no table",
        how=f"{_WEEK}. For hand sewing and the like; none will do.",
        read=_read_week,
        usual="none",
        of_workroom=True,
    ),
    Field(
        id="take-along-hours",
        ask="Hours on the way, for what can be taken along",
        how=f"{_WEEK}. Train, waiting room, lunch; none will do.",
        read=_read_week,
        usual="none",
        of_workroom=True,
    ),
    Field(
        id="helper-hours",
        ask="Hours in which somebody helps",
        how=f"{_WEEK}. A second pair of hands, for pinning and lacing; none will do.",
        read=_read_week,
        usual="none",
        of_workroom=True,
    ),
)
"""In the order they are asked in."""


def workroom_of(texts: Texts) -> Workroom:
    """The new workroom. Raises ValueError where hours can't be understood."""

    def week(name: str) -> WeekHours:
        return parse_week(texts.get(name, ""))

    return Workroom(
        workroom_hours=week("workroom-hours"),
        sofa_hours=week("sofa-hours"),
        take_along_hours=week("take-along-hours"),
        helper_hours=week("helper-hours"),
    )


def ensemble_of(texts: Texts, ident: str, now: datetime) -> Ensemble:
    """The ensemble with its occasions, without garments. Raises ValueError."""
    name = read_name(texts["event"])
    at = event_at(texts, now)
    if at is None:
        raise ValueError("the event has no day")
    fittings = _read_moments(texts.get("fitting", ""), texts, now)
    found = [(OccasionKind.FITTING, one, _nth(n, len(fittings))) for n, one in enumerate(fittings)]
    trial = _read_trial(texts.get("trial", ""), texts, now)
    found += [(OccasionKind.TRIAL_WEAR, trial, "trial wear")] if trial else []
    departure = _read_departure(texts.get("departure", ""), texts, now)
    found += [(OccasionKind.DEPARTURE, departure, "departure")] if departure else []
    found.append((OccasionKind.EVENT, at, name))
    taken = [ident]
    occasions = []
    for kind, moment, called in found:
        taken.append(id_from(called, taken, "event"))
        occasions.append(Occasion(id=taken[-1], kind=kind, at=moment, name=called))
    return Ensemble(id=ident, name=read_name(texts["name"]), occasions=tuple(occasions))


def _nth(index: int, of: int) -> str:
    """ "fitting" of one, else "first fitting" and so on."""
    if of == 1:
        return "fitting"
    return f"{_ORDINALS[index]} fitting" if index < len(_ORDINALS) else f"fitting {index + 1}"
