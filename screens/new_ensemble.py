"""A workroom and an ensemble that aren't there yet, without a screen: typed texts as values.

What is asked of them, how it is answered and what is wrong with an answer is said here, for the
form and the command alike.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time
from pathlib import Path
from typing import TypeVar

from planner.catalogue.shelf import orders
from planner.durations import parse_duration, parse_share
from planner.files.beginning import id_from
from planner.files.reading import NOT_ENSEMBLES, WORKROOM, ensemble_files
from planner.ground import YEARS_AHEAD, lay_ground
from planner.model import Ensemble, Occasion, OccasionKind, Place, Project, WeekHours, Workroom
from planner.problems import InputError
from planner.splitting.answers import usual
from planner.splitting.joining import join
from planner.splitting.split import split
from planner.week import parse_week
from screens.forms.fields import NO, Texts, Wrong
from screens.forms.texts import moment_from, split_list
from screens.wording import clean, days_off, long_date, spoken

FOLDER, NAME, EVENT, DATE, TIME = "folder", "name", "event", "date", "time"
FITTINGS, TRIAL, DEPARTURE, WHOLE = "fittings", "trial", "departure", "whole"
WORKROOM_HOURS, SOFA, ALONG, HELPER = "workroom", "sofa", "along", "helper"
SETTING_UP, FILL_TO, UNITS, LIMIT = "setting_up", "fill_to", "units", "limit"
TOGETHER = "whole-ensemble"
"""Kind of what is done with all garments together."""

T = TypeVar("T")

USUAL_TIME = time(14)
"""Of a fitting or trial wear that is given no time."""
LEAVING = time(8)
"""Of a departure that is given no time."""
NOTHING = ("", "none", "-", "no")
"""What is typed where there is nothing of the kind."""
USUAL = {SETTING_UP: "15m", FILL_TO: "70%", UNITS: "metric"}
"""Taken where the maker isn't asked."""
A_DATE = "22 May, 22 May 2027 or 2027-05-22"
_WEEK = "Days and hours: tue thu 19:30-21:30, sat 10:00-13:00 14:00-17:00; daily, mon-fri too."
HOW: Mapping[str, str] = {
    NAME: "What the ensemble is called: Ferrywoman's Sunday.",
    EVENT: "The event's name: regatta, autumn ball.",
    DATE: f"The day it must be on. Write it as {A_DATE}.",
    TIME: "From when it must be on: 11:00. Without a time all is ready the evening before.",
    FITTINGS: "Their dates. Write them as 24 April, 8 May 16:30. Without a time, at 14:00.",
    TRIAL: "When all of it is worn once before. Write it as 15 May. Without a time, at 14:00.",
    DEPARTURE: (
        "When you leave, if that is before the event. Write it as 21 May."
        " Without a time, at 8:00."
    ),
    WORKROOM_HOURS: f"When you are at table, machine and iron in a week. {_WEEK}",
    SOFA: f"Needle, lamp and lap. {_WEEK}",
    ALONG: f"What a bag on the train holds. {_WEEK}",
    HELPER: f"Workroom hours with a second pair of hands. {_WEEK}",
    SETTING_UP: "Getting out and putting away, off every stretch in the workroom: 15m.",
    FILL_TO: "How full days are made before work begins earlier; the rest is reserve.",
    LIMIT: "How long fingers last in a day: 2h30.",
    UNITS: "How lengths are shown and asked, metric or imperial; both can be typed.",
}
"""How each is answered, in a sentence or two."""
_NTH = ("First", "Second", "Third", "Fourth", "Fifth", "Sixth")
_OFFSET = re.compile(r"\d\s*(?:Z|[+-]\d\d:?\d\d)$")


def read_name(text: str) -> str:
    """A name that can be written down. Raises ValueError with a sentence."""
    if not clean(text):
        raise ValueError("a name has a letter at least")
    try:
        text.encode()
    except UnicodeEncodeError:
        raise ValueError("this has bytes that are no letters: type it again") from None
    return text.strip()


@dataclass(slots=True)
class Reader:
    """Reads typed texts and notes what is wrong at which field."""

    texts: Texts
    now: datetime
    wrong: list[Wrong] = field(default_factory=list)

    def text(self, key: str) -> str:
        """What stands in a field; empty where that says there is nothing."""
        text = self.texts.get(key, USUAL.get(key, "")).strip()
        return "" if key not in (NAME, EVENT) and text.casefold() in NOTHING else text

    def refuse(self, key: str, text: str) -> None:
        """Note what is wrong."""
        self.wrong.append(Wrong(key=key, text=text))

    def parsed(self, key: str, parse: Callable[[str], T], nothing: T) -> T:
        """A text by a parser that raises ValueError; ``nothing`` of none, or after a problem."""
        text = self.text(key)
        try:
            return parse(text) if text else nothing
        except ValueError as error:
            self.refuse(key, f"{error}.")
            return nothing

    def moment(self, key: str, text: str, usual: time) -> datetime | None:
        """A coming moment; None after a problem."""
        found = moment_from(text, self.now.date())
        past = isinstance(found, datetime) and found < self.now
        if isinstance(found, date) and not isinstance(found, datetime):
            past = found < self.now.date()
            found = datetime.combine(found, usual)
        if not isinstance(found, datetime):
            told = f"“{clean(text)}” is no date: write {A_DATE}."
            if _OFFSET.search(text):
                told = "Leave the offset off: wearby goes by the clock on your wall."
            self.refuse(key, told)
            return None
        if past:
            named = f"{long_date(found.date())} {found.year}"
            at = f", {found:%H:%M}," if found.date() == self.now.date() else ""
            self.refuse(key, f"{named}{at} is past: check the day and the year.")
            return None
        if (found - self.now).days > YEARS_AHEAD * 366:
            self.refuse(
                key, f"{found.year} is more than {YEARS_AHEAD} years ahead: check the year."
            )
            return None
        return found

    def event(self) -> datetime | None:
        """When it must be on; None where that isn't said, or wrong."""
        text = self.text(DATE)
        if not text:
            self.refuse(DATE, f"Give it a date: write {A_DATE}.")
            return None
        found = self.moment(DATE, text, time())
        at = self.text(TIME)
        if not at or at == "all day" or found is None:
            return found
        moment = moment_from(f"{found:%Y-%m-%d} {at if ':' in at else at + ':00'}", self.now.date())
        if not isinstance(moment, datetime):
            self.refuse(TIME, f"“{clean(at)}” is no time of day: write 19:30.")
            return None
        if moment < self.now:
            self.refuse(TIME, f"{moment:%H:%M} is past today: check the day.")
            return None
        return moment

    def before(self, key: str, text: str, usual: time, event: datetime | None) -> datetime | None:
        """A moment before the event; None after a problem."""
        found = self.moment(key, text, usual)
        if found is None or event is None:
            return found
        # an event without a time takes its whole day
        late = found.date() > event.date() if event.time() == time() else found >= event
        if late:
            day = long_date(found.date(), event.date())
            self.refuse(key, f"{day} is not before what it is for, {long_date(event.date())}.")
            return None
        return found

    def fittings(self, event: datetime | None) -> list[datetime]:
        """When they are, the earliest first; without those that are wrong."""
        parts = split_list(self.text(FITTINGS))
        found = [self.before(FITTINGS, one, USUAL_TIME, event) for one in parts]
        there = [one for one in found if one is not None]
        if len(set(there)) < len(there):
            self.refuse(FITTINGS, "Two are at the same time: keep one.")
        return sorted(set(there))


# the ensemble


def occasions_of(reader: Reader, taken: Collection[str]) -> tuple[Occasion, ...]:
    """Fittings, trial wear, departure and event, with ids that are none of ``taken``."""
    event = reader.event()
    there = reader.fittings(event)
    dated: list[tuple[OccasionKind, datetime | None, str]] = []
    dated += [(OccasionKind.FITTING, at, _nth(i, len(there))) for i, at in enumerate(there)]
    body: tuple[tuple[str, OccasionKind, time, str], ...] = (
        (TRIAL, OccasionKind.TRIAL_WEAR, USUAL_TIME, "Trial wear"),
        (DEPARTURE, OccasionKind.DEPARTURE, LEAVING, "Departure"),
    )
    for key, kind, hour, name in body:
        if reader.text(key):
            dated.append((kind, reader.before(key, reader.text(key), hour, event), name))
    dated.append((OccasionKind.EVENT, event, reader.text(EVENT)))
    used = list(taken)
    found = []
    for kind, at, name in dated:
        if at is not None:
            used.append(id_from(name, used, kind.value.replace(" ", "-")))
            found.append(Occasion(id=used[-1], kind=kind, at=at, name=name))
    return tuple(found)


def _nth(index: int, of: int) -> str:
    if of == 1:
        return "Fitting"
    return f"{_NTH[index]} fitting" if index < len(_NTH) else f"Fitting {index + 1}"


def bare_ensemble_of(reader: Reader, taken: Collection[str]) -> Ensemble:
    """The ensemble with its occasions, without garments.

    ``taken`` are the ids that others have.
    """
    name = reader.text(NAME)
    if not clean(name):
        reader.refuse(NAME, "Give it a name.")
    for key in (NAME, EVENT):
        reader.parsed(key, read_name, "")
    reserved = {Path(file).stem for file in NOT_ENSEMBLES}
    ident = id_from(name, {*taken, *reserved}, "ensemble")
    return Ensemble(id=ident, name=name, occasions=occasions_of(reader, (ident,)))


def ensemble_of(reader: Reader, taken: Collection[str]) -> Ensemble:
    """The ensemble with what is done to the whole of it, where that is wanted."""
    bare = bare_ensemble_of(reader, taken)
    return together(bare, reader.now) if wants_whole(reader.texts) else bare


def wrong_with(texts: Texts, now: datetime) -> dict[str, str]:
    """What is wrong with what is said so far, by key."""
    reader = Reader(texts, now)
    bare_ensemble_of(reader, ())
    workroom_of(reader)
    # the first that is wrong with a field is the one to mend
    return {one.key: one.text for one in reversed(reader.wrong) if one.key in texts}


def can_have_whole(texts: Texts) -> bool:
    """Whether there is an occasion for which all is put on, or packed."""
    return any(texts.get(key, "").strip().casefold() not in NOTHING for key in (TRIAL, DEPARTURE))


def wants_whole(texts: Texts) -> bool:
    """Whether what is done with all garments together is to be there from the beginning."""
    return can_have_whole(texts) and texts.get(WHOLE) != NO


def together(ensemble: Ensemble, now: datetime) -> Ensemble:
    """The ensemble with the dress trial, mending, checking and packing of the whole."""
    order = orders()[TOGETHER]
    name = f"{order.name[:1].upper()}{order.name[1:]}"
    made = split(order, usual(order))
    return join(ensemble, made, orders=orders(), now=now, name=name).ensemble


# the workroom


def workroom_of(reader: Reader) -> Workroom:
    """The new workroom."""
    nothing: WeekHours = ((),) * 7
    share = reader.parsed(FILL_TO, parse_share, 0.7)
    if not 0 <= share <= 1:
        reader.refuse(FILL_TO, "Days are filled to at most 100%: write a share such as 70%.")
    limit = reader.text(LIMIT)
    units = reader.text(UNITS).casefold() or "metric"
    if units not in ("metric", "imperial"):
        reader.refuse(UNITS, f"“{clean(units)}” are no units: write metric or imperial.")
    return Workroom(
        units=units,
        fill_to=share,
        setting_up=_minutes(reader, SETTING_UP),
        hand_sewing_limit=_minutes(reader, LIMIT) if limit else None,
        workroom_hours=reader.parsed(WORKROOM_HOURS, parse_week, nothing),
        sofa_hours=reader.parsed(SOFA, parse_week, nothing),
        take_along_hours=reader.parsed(ALONG, parse_week, nothing),
        helper_hours=reader.parsed(HELPER, parse_week, nothing),
    )


def _minutes(reader: Reader, key: str) -> int:
    found = reader.parsed(key, parse_duration, 0)
    if not 0 <= found <= 24 * 60:
        reader.refuse(key, "A day has 24 hours: write 15m, or 2h30.")
        return 0
    return found


def folder_problem(folder: Path) -> str:
    """Why no workroom can be begun in a folder; empty where one can."""
    try:
        if not folder.exists():
            return ""
        if not folder.is_dir():
            return "This is a file: name a folder, which is made if need be."
        if (folder / WORKROOM).exists():
            return "There is a workroom here already: name another folder."
        if ensemble_files(folder):
            return f"There are ensembles here and no {WORKROOM}: name another folder."
    except (OSError, ValueError):
        return "This folder can't be looked into: name another."
    return ""


def can_begin(path: Path) -> bool:
    """Whether a workroom can be begun at a path, or one there has no ensemble yet."""
    try:
        if path.suffix == ".toml" or (path.exists() and not path.is_dir()):
            return False
        return not folder_problem(path) or lacks_ensemble(path)
    except (OSError, ValueError):
        return False  # opening it says what is wrong


def lacks_ensemble(path: Path) -> bool:
    """Whether there is a workroom without an ensemble. Raises OSError."""
    return (path / WORKROOM).is_file() and not ensemble_files(path)


# the hours there are


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """Minutes of each sort from now to an event."""

    workroom: int = 0
    sofa: int = 0
    along: int = 0
    helper: int = 0
    """Of the workroom's, those with a second pair of hands."""

    @property
    def told(self) -> str:
        """ "workroom 84 h (12 h with help), sofa 20 h, on the way 5 h"."""
        helped = f" ({spoken(self.helper)} with help)" if self.helper else ""
        parts = [f"workroom {spoken(self.workroom)}{helped}"] if self.workroom else []
        parts += [f"sofa {spoken(self.sofa)}"] if self.sofa else []
        parts += [f"on the way {spoken(self.along)}"] if self.along else []
        return ", ".join(parts) or "no hours yet"


def hours_until(workroom: Workroom, ensemble: Ensemble, now: datetime) -> Hours | None:
    """The hours from now to the ensemble's last occasion; None where that can't be told.

    Setting up, the occasions' own time and time away are taken off.
    """
    bare = replace(ensemble, garments=(), stock=())
    try:
        windows = lay_ground(Project(workroom=workroom, ensembles=(bare,)), now).windows
    except InputError:
        return None
    by = {place: sum(one.minutes for one in windows if one.place is place) for place in Place}
    return Hours(
        workroom=by[Place.WORKROOM],
        sofa=by[Place.SOFA],
        along=by[Place.TAKE_ALONG],
        helper=sum(one.minutes for one in windows if one.helper),
    )


def event_told(ensemble: Ensemble, now: datetime) -> str:
    """ "Regatta: Saturday 22 May, in 17 days"."""
    found = [one for one in ensemble.occasions if one.kind is OccasionKind.EVENT]
    if not found:
        return ""
    event = found[0]
    name = clean(event.name) or "The day"
    day = event.at.date()
    at = f", {event.at:%H:%M}" if event.at.time() != time() else ""
    return f"{name}: {long_date(day, now.date())}{at}, {days_off(day, now.date())}"
