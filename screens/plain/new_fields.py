"""What is asked of a new ensemble besides its garments: each question, and how it is put."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from screens.new_ensemble import (
    ALONG,
    DATE,
    DEPARTURE,
    EVENT,
    FITTINGS,
    HELPER,
    HOW,
    NAME,
    NOTHING,
    SETTING_UP,
    SOFA,
    TIME,
    TRIAL,
    UNITS,
    USUAL,
    WORKROOM_HOURS,
    wrong_with,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One question."""

    key: str
    """Its key among what is said."""
    id: str
    """Its option, without dashes."""
    ask: str
    """The question, as put on a terminal."""
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

    @property
    def how(self) -> str:
        """What ? says, and what is said where it is missing."""
        return HOW[self.key]

    def check(self, texts: Mapping[str, str], now: datetime) -> None:
        """Raises ValueError with a sentence where what is said of it can't be taken.

        ``texts`` hold what is said of the others too, by key.
        """
        if self.needed and texts[self.key].strip() in NOTHING:
            raise ValueError(f"This can't be left out. {self.how}")
        wrong = wrong_with(texts, now).get(self.key)
        if wrong:
            raise ValueError(wrong)


def _hours(key: str, id: str, ask: str) -> Field:
    return Field(key=key, id=id, ask=ask, usual="none", of_workroom=True)


FIELDS = (
    Field(key=NAME, id="name", ask="What is the ensemble called", needed=True),
    Field(key=EVENT, id="event", ask="What is it worn for", needed=True),
    Field(key=DATE, id="date", ask="On which day", needed=True),
    Field(key=TIME, id="time", ask="From what time", usual="all day"),
    Field(key=FITTINGS, id="fitting", ask="Fittings", usual="none"),
    Field(key=TRIAL, id="trial", ask="Trial wear", usual="none"),
    Field(key=DEPARTURE, id="departure", ask="Departure", usual="none", asked=False),
    _hours(WORKROOM_HOURS, "workroom-hours", "Hours in the workroom, in a week"),
    _hours(SOFA, "sofa-hours", "Hours on the sofa, for what needs no table"),
    _hours(ALONG, "take-along-hours", "Hours on the way, for what can be taken along"),
    _hours(HELPER, "helper-hours", "Hours in which somebody helps"),
    Field(key=UNITS, id="units", ask="Units", usual=USUAL[UNITS], of_workroom=True),
    Field(
        key=SETTING_UP,
        id="setting-up",
        ask="Setting up",
        usual=USUAL[SETTING_UP],
        of_workroom=True,
        asked=False,
    ),
)
"""In the order they are asked in."""
HOURS = tuple(field for field in FIELDS if field.id.endswith("-hours"))
