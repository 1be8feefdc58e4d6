"""What can be done this minute, with so many minutes, at a place, tired or not.

``candidates`` says of every open step what keeps it; here the maker's choices come to it. More
minutes, a place that serves more steps, a helper and rest never lose a step.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from planner.candidates import TIRING, Candidate, Hindrance, Keeps, candidates
from planner.ground import Ground, lay_ground
from planner.hours import Window
from planner.model import Place, Project
from planner.plan import Plan
from planner.usefulness import rank

SPARE_MOMENT = 20
"""Minutes of somebody who has no hours now."""
MOST_MINUTES = 24 * 60
NEARLY = timedelta(days=7)
"""What a wait, a delivery or an occasion keeps longer is not nearly doable."""
NEARLY_MINUTES = 60
"""What waits for more minutes of work than this is not nearly doable."""

NEVER = 366 * 24 * 60
"""As far off as what has no end in sight."""

_SERVES = {Place.TAKE_ALONG: 0, Place.SOFA: 1, Place.WORKROOM: 2}
"""A place serves the steps that need no more than it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What the maker says of this minute."""

    minutes: int = SPARE_MOMENT
    place: Place = Place.SOFA
    tired: bool = False
    helper: bool = False
    """A second pair of hands is there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Doable:
    """A step that can be done now."""

    step: str
    minutes: int
    """Of the minutes there are."""
    left: int
    """All that is left of it."""

    @property
    def ends(self) -> bool:
        """It ends within the minutes."""
        return self.minutes == self.left


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A step that can't be done now, and what keeps it."""

    step: str
    left: int
    by: tuple[Hindrance, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What can be done, and what not."""

    choices: Choices
    doable: tuple[Doable, ...]
    """The most useful first."""
    left_out: tuple[Kept, ...]
    """What only a rested maker should do, in the same order."""
    nearly: tuple[Kept, ...]
    """What suits the choices but for little, the nearest first; where it is all far off, the
    nearest alone."""
    elsewhere: tuple[Doable, ...]
    """What could be done in the workroom besides, the most useful first."""
    not_yet: tuple[tuple[str, str], ...]
    """Steps with no way back that a rested maker might begin here, each with the fitting or
    correction that must come first; the most useful first."""
    open: int
    """Steps still to do in all."""


def usual_choices(ground: Ground) -> Choices:
    """The rest of the hours that are on; else twenty minutes on the sofa."""
    set_up = timedelta(minutes=ground.project.workroom.setting_up)
    on: list[Window] = []
    for window in ground.windows:
        # who is getting the table ready is in the workroom already
        before = set_up if window.place is Place.WORKROOM else timedelta()
        begun = window.start - before <= ground.now
        if on and (window.start, window.place) != (on[-1].end, on[-1].place):
            break
        if on or begun:
            on.append(window)
    if not on:
        return Choices()
    minutes = min(MOST_MINUTES, sum(window.minutes for window in on))
    return Choices(minutes=minutes, place=on[0].place, helper=on[0].helper)


def asked_now(project: Project, plan: Plan) -> tuple[Ground, tuple[Candidate, ...]]:
    """The ground of a plan's moment, and its candidates."""
    ground = lay_ground(project, plan.now)
    return ground, candidates(ground, plan)


def doable(found: Sequence[Candidate], choices: Choices, now: datetime) -> Answer:
    """What can be done by these choices.

    1. A step can be done when nothing keeps it: what it follows is done and waited for, its
       stock is there, its day has come (``Candidate.held``); the place serves it; hands, minutes
       and the maker's rest suffice.
    2. The most useful comes first (``usefulness.rank``).
    3. What only tiredness leaves out is told apart, with why.
    4. What suits the choices and is kept by little is nearly doable; the nearest first.
    5. Where the place isn't the workroom, what could be done there.
    6. What has no way back and still lacks its fitting or correction is told before it is begun.
    """
    ranked = sorted(found, key=lambda one: rank(one.use, one.left, choices.minutes))
    kept = {one.id: (*one.held, *kept_by(one, choices)) for one in ranked}
    able = tuple(_doable(one, choices) for one in ranked if not kept[one.id])
    in_workroom = replace(choices, place=Place.WORKROOM)
    here = {one.step for one in able}
    return Answer(
        choices=choices,
        doable=able,
        left_out=tuple(
            Kept(step=one.id, left=one.left, by=kept[one.id])
            for one in ranked
            if kept[one.id] and all(by.keeps in TIRING for by in kept[one.id])
        ),
        nearly=_nearly(ranked, kept, choices, now),
        elsewhere=tuple(
            _doable(one, choices)
            for one in ranked
            if one.id not in here and not one.held and not kept_by(one, in_workroom)
        ),
        not_yet=tuple(
            (one.id, one.first)
            for one in ranked
            if one.first is not None and kept[one.id] == one.held
        ),
        open=len(found),
    )


def kept_by(one: Candidate, choices: Choices) -> tuple[Hindrance, ...]:
    """What of the maker's choices keeps a step."""
    found = []
    if _SERVES[one.place] > _SERVES[choices.place]:
        found.append(Hindrance(keeps=Keeps.PLACE))
    if one.hands > 1 and not choices.helper:
        found.append(Hindrance(keeps=Keeps.HANDS, until=one.helper))
    if one.one_sitting and one.left > choices.minutes:
        found.append(Hindrance(keeps=Keeps.MINUTES, minutes=one.left))
    if choices.tired and one.tiring is not None:
        found.append(Hindrance(keeps=one.tiring))
    return tuple(found)


def _doable(one: Candidate, choices: Choices) -> Doable:
    return Doable(step=one.id, minutes=min(one.left, choices.minutes), left=one.left)


def _nearly(
    ranked: Sequence[Candidate],
    kept: dict[str, tuple[Hindrance, ...]],
    choices: Choices,
    now: datetime,
) -> tuple[Kept, ...]:
    """What suits place and rest and is kept by little; else the nearest alone."""
    found = []
    for number, one in enumerate(ranked):
        by = kept[one.id]
        if by and not any(h.keeps is Keeps.PLACE or h.keeps in TIRING for h in by):
            far = max(how_far(h, choices.minutes, now) for h in by)
            found.append((far, number, Kept(step=one.id, left=one.left, by=by)))
    found.sort(key=lambda entry: entry[:2])
    near = tuple(one for _, _, one in found if _is_near(one, now))
    return near or tuple(one for _, _, one in found[:1])


def _is_near(one: Kept, now: datetime) -> bool:
    for by in one.by:
        if by.keeps is Keeps.LACKING or by.stock_missing:
            return False
        if by.until is not None and by.until - now > NEARLY:
            return False
        if by.keeps is Keeps.AFTER and (by.minutes or 0) > NEARLY_MINUTES:
            return False
        if by.keeps is Keeps.HANDS and by.until is None:
            return False
    return True


def how_far(by: Hindrance, minutes: int, now: datetime) -> int:
    """How far off the end of a hindrance is, in minutes by the clock or of work."""
    if by.keeps is Keeps.LACKING or by.stock_missing:
        return NEVER
    passed = int((by.until - now).total_seconds()) // 60 if by.until is not None else 0
    if by.keeps is Keeps.AFTER:
        return passed + (by.minutes or 0) + by.wait.nights * 24 * 60 + by.wait.minutes
    if by.keeps is Keeps.MINUTES:
        return (by.minutes or 0) - minutes
    return passed if by.until is not None else NEVER
