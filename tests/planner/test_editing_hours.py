"""Edits of hours: what each does, and laws of days, weeks and changes."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner import editing as e
from planner.editing import DaySpans
from planner.files.reading import read_project
from planner.files.writing import write_workroom
from planner.model import (
    NO_HOURS,
    Change,
    Ensemble,
    Occasion,
    OccasionKind,
    Project,
    Span,
    WeekHours,
    Workroom,
)

MON = date(2027, 5, 3)
TUE, WED, THU, FRI = (MON + timedelta(days=n) for n in range(1, 5))
EVENING = (Span(start=19 * 60 + 30, end=21 * 60 + 30),)
LATE = (Span(start=21 * 60, end=23 * 60),)
NIGHT = (Span(start=22 * 60, end=25 * 60),)
NOON = (Span(start=720, end=750),)

HOME = Project(
    workroom=Workroom(
        workroom_hours=(EVENING,) * 7,
        sofa_hours=((), LATE, *((),) * 5),
        take_along_hours=(NOON,) * 7,
    ),
    ensembles=(),
)


def changed(*changes: Change) -> Project:
    """The workroom with some changes."""
    project = HOME
    for change in changes:
        project = e.add_change(project, change)
    return project


CHOIR = Change(rule="FREQ=MONTHLY;BYDAY=1TU", workroom=(), reason="choir")
FERRY = Change(first=TUE, last=THU, workroom=(), take_along=LATE, reason="on the night ferry")


# One day


def test_a_day_has_its_week_and_what_changes_name() -> None:
    """The later change wins place by place; a place none names keeps its week."""
    assert e.day_spans(HOME, TUE) == DaySpans(workroom=EVENING, sofa=LATE, take_along=NOON)
    assert e.day_spans(changed(FERRY), TUE) == DaySpans(sofa=LATE, take_along=LATE)
    later = changed(FERRY, Change(first=TUE, workroom=NIGHT, reason=""))
    assert e.day_spans(later, TUE) == DaySpans(workroom=NIGHT, sofa=LATE, take_along=LATE)


def test_a_day_gets_one_change_of_its_own_that_names_what_differs() -> None:
    """Hours as the week has them are not written; a second edit replaces the first."""
    project = e.set_day(HOME, TUE, workroom=LATE, sofa=LATE, reason="guests")
    want = Change(first=TUE, last=TUE, workroom=LATE, reason="guests", where="change[0]")
    assert project.workroom.changes == (want,)
    project = e.set_day(project, TUE, take_along=())
    assert project.workroom.changes == (replace(want, take_along=()),)


def test_a_day_as_its_week_needs_no_change() -> None:
    """Put back to what the day would have anyway, its change goes."""
    project = e.set_day(HOME, TUE, workroom=())
    assert e.set_day(project, TUE, workroom=EVENING).workroom == HOME.workroom
    assert e.set_day(HOME, TUE, workroom=EVENING) is HOME


def test_a_day_inside_a_span_wins_over_it() -> None:
    """The day's change stands behind the span; the span stays."""
    project = e.set_day(changed(FERRY), WED, workroom=LATE)
    assert e.day_spans(project, WED) == DaySpans(workroom=LATE, take_along=LATE)
    assert project.workroom.changes[0].reason == FERRY.reason
    assert [e.day_spans(project, d) for d in (TUE, THU)] == [
        e.day_spans(changed(FERRY), d) for d in (TUE, THU)
    ]


def test_a_day_s_change_stays_in_its_place_unless_a_later_one_would_win() -> None:
    """What stands beside it in the file stays; where it would lose, it goes behind."""
    own = Change(first=TUE, workroom=LATE, reason="guests")
    first = e.set_day(changed(own, replace(FERRY, first=WED)), TUE, workroom=NIGHT)
    assert [c.reason for c in first.workroom.changes] == ["guests", FERRY.reason]
    # 4 May 2027 is a first Tuesday
    behind = e.set_day(changed(own, CHOIR), TUE, workroom=NIGHT)
    assert [c.reason for c in behind.workroom.changes] == ["choir", "guests"]
    assert e.day_spans(behind, TUE).workroom == NIGHT


def test_several_changes_of_one_day_become_one() -> None:
    """Written one after the other by hand, they are one after an edit, and say the same."""
    both = changed(Change(first=TUE, workroom=LATE), Change(first=TUE, sofa=(), reason="tired"))
    project = e.set_day(both, TUE, take_along=())
    assert project.workroom.changes == (
        Change(first=TUE, last=TUE, workroom=LATE, sofa=(), take_along=(), reason="tired",
               where="change[0]"),
    )  # fmt: skip


def test_between_departure_and_event_there_are_only_hours_that_are_named() -> None:
    """A whole day away has no workroom hours; the week's own must be written to be had."""

    def occasion(id: str, kind: OccasionKind, day: date) -> Occasion:
        return Occasion(id=id, kind=kind, at=datetime(day.year, day.month, day.day, 9))

    trip = Ensemble(
        id="trip",
        occasions=(
            occasion("leave", OccasionKind.DEPARTURE, MON),
            occasion("ball", OccasionKind.EVENT, WED),
        ),
    )
    project = replace(HOME, ensembles=(trip,))
    assert e.day_spans(project, MON).workroom == EVENING
    assert e.day_spans(project, TUE) == DaySpans(take_along=NOON)
    there = e.set_day(project, TUE, workroom=EVENING)
    assert there.workroom.changes[0].workroom == EVENING
    assert e.day_spans(there, TUE) == DaySpans(workroom=EVENING, take_along=NOON)


# Days away


def test_away_takes_every_place_and_back_again_gives_it() -> None:
    """Nothing on any day of the span, whatever was said before; the days around it stay."""
    before = e.set_day(HOME, WED, workroom=LATE, helper=LATE)
    gone = e.away(before, TUE, THU, " ferry ")
    assert [e.day_spans(gone, d) for d in (TUE, WED, THU)] == [DaySpans()] * 3
    assert e.day_spans(gone, FRI) == e.day_spans(HOME, FRI)
    back = e.present(gone, WED)
    assert e.day_spans(back, WED) == e.day_spans(before, WED)
    spans = [(c.first, c.last, c.reason) for c in back.workroom.changes]
    assert spans == [(WED, WED, ""), (TUE, TUE, "ferry"), (THU, THU, "ferry")]


def test_back_again_takes_back_the_last_thing_said_of_a_day() -> None:
    """First the day's own hours, then its part of the span, then nothing is left to take."""
    project = e.set_day(changed(FERRY), WED, workroom=LATE)
    once = e.present(project, WED)
    assert once.workroom == changed(FERRY).workroom
    twice = e.present(once, WED)
    assert e.day_spans(twice, WED) == e.day_spans(HOME, WED)
    assert e.day_spans(twice, THU) == e.day_spans(once, THU)
    assert e.taken_back(twice, WED) is None
    assert e.present(twice, WED) is twice


def test_a_recurrence_is_not_taken_back_for_one_day() -> None:
    """There is no exception in a rule: other hours on that day win over it."""
    project = changed(CHOIR)
    assert e.present(project, TUE) is project
    assert e.day_spans(e.set_day(project, TUE, workroom=EVENING), TUE).workroom == EVENING


def test_away_again_is_away_once() -> None:
    """Spans away that overlap are cut, so that one key brings a day back."""
    project = e.away(e.away(HOME, MON, WED, "fair"), WED, FRI, "ferry")
    assert [(c.first, c.last, c.reason) for c in project.workroom.changes] == [
        (MON, TUE, "fair"),
        (WED, FRI, "ferry"),
    ]
    assert e.day_spans(e.present(project, WED), WED) == e.day_spans(HOME, WED)


# Changes and weeks


def test_changes_are_added_exchanged_and_removed_by_their_index() -> None:
    """Each has the key path its file will give it; what isn't there is a KeyError."""
    project = changed(FERRY, CHOIR)
    assert [c.where for c in project.workroom.changes] == ["change[0]", "change[1]"]
    project = e.replace_change(project, 1, replace(CHOIR, reason="band"))
    assert project.workroom.changes[1].reason == "band"
    project = e.remove_change(project, 0)
    assert [(c.where, c.reason) for c in project.workroom.changes] == [("change[0]", "band")]
    for index in (-1, 1):
        with pytest.raises(KeyError):
            e.remove_change(project, index)
        with pytest.raises(KeyError):
            e.replace_change(project, index, CHOIR)


def test_a_week_of_one_place() -> None:
    """The other places keep theirs."""
    week: WeekHours = (LATE, *((),) * 6)
    project = e.set_week(HOME, "sofa", week)
    assert project.workroom == replace(HOME.workroom, sofa_hours=week)
    assert e.set_week(HOME, "helper", week).workroom.helper_hours == week
    with pytest.raises(KeyError):
        e.set_week(HOME, "kitchen", week)


OVERLAP = (Span(start=1170, end=1290), Span(start=1200, end=1350))


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (Change(first=TUE, workroom=OVERLAP), "19:30-21:30 and 20:00-22:30 overlap"),
        (Change(first=TUE, sofa=(Span(start=60, end=60),)), "ends before it begins"),
        (Change(first=TUE, sofa=(Span(start=1440, end=1500),)), "no time of a day"),
        (Change(first=WED, last=TUE, workroom=()), "2027-05-04 is before 2027-05-05"),
        (Change(rule="every Tuesday", workroom=()), "is not a rule"),
        (Change(rule="FREQ=HOURLY", workroom=()), "repeats within a day"),
        (Change(rule="FREQ=DAILY;COUNT=3", workroom=()), "add from"),
        (Change(rule="FREQ=DAILY", first=TUE, last=WED, workroom=()), "UNTIL"),
        (Change(first=TUE), "names no hours"),
        (Change(workroom=()), "names no day"),
    ],
)
def test_what_can_not_be_meant_is_said(change: Change, said: str) -> None:
    """A sentence for the maker, and nothing is changed."""
    with pytest.raises(ValueError, match=said):
        e.add_change(HOME, change)
    with pytest.raises(ValueError, match=said):
        e.replace_change(changed(CHOIR), 0, change)


def test_a_day_a_span_and_a_week_are_checked_too() -> None:
    """Overlapping hours name their weekday; a span away ends after it begins."""
    with pytest.raises(ValueError, match="overlap"):
        e.set_day(HOME, TUE, sofa=OVERLAP)
    with pytest.raises(ValueError, match=r"^Tuesday: 19:30-21:30 and 20:00-22:30 overlap"):
        e.set_week(HOME, "sofa", ((), OVERLAP, *((),) * 5))
    with pytest.raises(ValueError, match="is before"):
        e.away(HOME, WED, TUE)


# Laws

DAYS = [MON + timedelta(days=n) for n in range(-1, 9)]
days = st.sampled_from(DAYS)
SPANS = [(), EVENING, LATE, NIGHT, NOON, (*NOON, *NIGHT)]
some_spans = st.sampled_from(SPANS)
maybe = st.none() | some_spans
weeks: st.SearchStrategy[WeekHours] = st.lists(some_spans, min_size=7, max_size=7).map(tuple)
reasons = st.sampled_from(["", "choir", 'on the "night" ferry', "Übung [früh]", "a\tb"])


@st.composite
def named_changes(draw: st.DrawFn) -> Change:
    """A day, a span of days or a rule, that names something."""
    named = draw(st.dictionaries(st.sampled_from(e.PLACES), some_spans, min_size=1))
    rule = draw(st.sampled_from([None, None, "FREQ=WEEKLY;BYDAY=TU", "FREQ=DAILY;INTERVAL=2"]))
    first, last = sorted((draw(days), draw(days)))
    return Change(
        rule=rule,
        first=first,
        last=None if rule else last,
        workroom=named.get("workroom"),
        sofa=named.get("sofa"),
        take_along=named.get("take_along"),
        helper=named.get("helper"),
        reason=draw(reasons),
    )


@st.composite
def projects(draw: st.DrawFn) -> Project:
    """Hours of every place, and some changes."""
    project = Project(
        workroom=Workroom(
            workroom_hours=draw(weeks),
            sofa_hours=draw(weeks | st.just(NO_HOURS)),
            take_along_hours=draw(weeks | st.just(NO_HOURS)),
            helper_hours=draw(weeks | st.just(NO_HOURS)),
        ),
        ensembles=(),
    )
    for change in draw(st.lists(named_changes(), max_size=4)):
        project = e.add_change(project, change)
    return project


def hours(project: Project, *but: date) -> list[DaySpans]:
    """The hours of all days these laws look at, without some."""
    return [e.day_spans(project, day) for day in DAYS if day not in but]


LAWS = settings(deadline=None, max_examples=80)


@LAWS
@given(projects(), days, maybe, maybe, maybe, maybe, st.none() | reasons)
def test_a_day_has_what_it_was_given_and_no_other_day_changes(
    project: Project,
    day: date,
    workroom: tuple[Span, ...] | None,
    sofa: tuple[Span, ...] | None,
    take_along: tuple[Span, ...] | None,
    helper: tuple[Span, ...] | None,
    reason: str | None,
) -> None:
    """Also a second time, when nothing is left to do; and never two changes of its own."""
    was = e.day_spans(project, day)

    def give(it: Project) -> Project:
        return e.set_day(
            it, day, workroom=workroom, sofa=sofa, take_along=take_along, helper=helper,
            reason=reason,
        )  # fmt: skip

    after = give(project)
    assert e.day_spans(after, day) == DaySpans(
        workroom=was.workroom if workroom is None else workroom,
        sofa=was.sofa if sofa is None else sofa,
        take_along=was.take_along if take_along is None else take_along,
        helper=was.helper if helper is None else helper,
    )
    assert hours(after, day) == hours(project, day)
    assert sum(c.rule is None and c.first == c.last == day for c in after.workroom.changes) <= 1
    assert give(after).workroom == after.workroom


@LAWS
@given(projects(), days, days, reasons)
def test_away_leaves_other_days_alone_and_nothing_on_its_own(
    project: Project, one: date, two: date, reason: str
) -> None:
    """Then each day of it, brought back, has what it had, unless it was away before."""
    first, last = min(one, two), max(one, two)
    inside = [day for day in DAYS if first <= day <= last]
    after = e.away(project, first, last, reason)
    assert all(e.day_spans(after, day) == DaySpans() for day in inside)
    assert hours(after, *inside) == hours(project, *inside)
    was_away = [
        c
        for c in project.workroom.changes
        if c.rule is None and c.workroom == c.sofa == c.take_along == ()
    ]
    for day in inside:
        back = e.present(after, day)
        assert hours(back, day) == hours(after, day)
        if not was_away:
            assert e.day_spans(back, day) == e.day_spans(project, day)


@LAWS
@given(projects(), days)
def test_back_again_comes_to_an_end(project: Project, day: date) -> None:
    """Once for each change there is at most, and only that day differs."""
    after = project
    for _ in project.workroom.changes:
        after = e.present(after, day)
        assert hours(after, day) == hours(project, day)
    assert e.taken_back(after, day) is None


@LAWS
@given(projects(), named_changes())
def test_the_last_change_wins_on_its_days(project: Project, change: Change) -> None:
    """Where it names a place it is as it says, elsewhere as before; taken out, all is as before."""
    after = e.add_change(project, change)
    assert e.remove_change(after, len(after.workroom.changes) - 1).workroom == project.workroom
    alone = e.add_change(replace(project, workroom=Workroom()), change)
    marked = e.add_change(
        replace(project, workroom=Workroom()),
        replace(change, workroom=NOON, sofa=None, take_along=None, helper=None),
    )
    for day in DAYS:
        was, now = e.day_spans(project, day), e.day_spans(after, day)
        falls = bool(e.day_spans(marked, day).workroom)
        for place in e.PLACES:
            named = falls and getattr(change, place) is not None
            assert getattr(now, place) == getattr(e.day_spans(alone, day) if named else was, place)


@settings(deadline=None, max_examples=60)
@given(projects(), days, days, some_spans, maybe, reasons, weeks, st.sampled_from(e.PLACES))
def test_every_edit_reads_back_from_its_file(
    project: Project,
    one: date,
    two: date,
    workroom: tuple[Span, ...],
    sofa: tuple[Span, ...] | None,
    reason: str,
    week: WeekHours,
    place: str,
) -> None:
    """Saved one after the other into the maker's file, each says there what it is."""
    first, last = min(one, two), max(one, two)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "workroom.toml"
        write_workroom(path, None, project.workroom)
        (Path(folder) / "it.toml").write_text('format = 1\nname = "It"\n')
        edits: list[Callable[[Project], Project]] = [
            lambda p: e.set_day(p, one, workroom=workroom, sofa=sofa, reason=reason),
            lambda p: e.away(p, first, last, reason),
            lambda p: e.present(p, one),
            lambda p: e.set_week(p, place, week),
            lambda p: e.set_day(p, two, helper=workroom),
        ]
        for edited in edits:
            before, project = project, edited(project)
            write_workroom(path, before.workroom, project.workroom)
            read = read_project(Path(folder)).workroom
            assert replace(read, file="") == project.workroom


def test_the_maker_s_file_keeps_its_comments_and_order(tmp_path: Path) -> None:
    """A day's change is written over in its place; a span that is split begins with its days."""
    path = tmp_path / "workroom.toml"
    path.write_text(
        "[[change]]  # the ferry\nfrom = 2027-05-04\nto = 2027-05-06\nworkroom = []\n\n"
        '[[change]]\non = 2027-05-07   # Friday\nworkroom = ["18:00-22:00"]  # late\nown = 1\n'
    )
    (tmp_path / "it.toml").write_text('format = 1\nname = "It"\n')
    project = read_project(tmp_path)
    after = e.set_day(e.present(project, THU), FRI, sofa=LATE)
    write_workroom(path, project.workroom, after.workroom)
    assert path.read_text() == (
        "[[change]]  # the ferry\nfrom = 2027-05-04\nto = 2027-05-05\nworkroom = []\n\n"
        '[[change]]\non = 2027-05-07   # Friday\nworkroom = ["18:00-22:00"]  # late\n'
        'sofa = ["21:00-23:00"]\nown = 1\n'
    )
    again = read_project(tmp_path)
    write_workroom(path, again.workroom, e.present(again, WED).workroom)
    assert path.read_text().startswith("[[change]]  # the ferry\non = 2027-05-04\nworkroom = []")
