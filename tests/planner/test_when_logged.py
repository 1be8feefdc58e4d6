"""The moment of what is logged: the end of a day's hours, and one of its own."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

from planner.editing.diary import log, logged_last
from planner.files.reading import read_project
from planner.files.writing import write_diary
from planner.model import Diary, Entry
from planner.when_logged import end_of_work, own_moment
from tests.planner.little import EVENINGS, ensemble, every, garment, project

EVENING = datetime(2027, 5, 3, 21)


def test_work_ends_with_the_last_hours_of_its_day(tmp_path: Path) -> None:
    """Of any place; hours beyond midnight end on the day they begin; without any at eight."""
    text = ensemble(garment("a 60"))
    sofa = f"{EVENINGS}[sofa_hours]\nmonday = ['21:30-22:15']\n"
    it = project(tmp_path, text, sofa)
    assert end_of_work(it, date(2027, 5, 3)) == datetime(2027, 5, 3, 22, 15)
    assert end_of_work(it, date(2027, 5, 4)) == datetime(2027, 5, 4, 21)
    late = project(tmp_path, text, every("workroom", "22:00-00:30"))
    assert end_of_work(late, date(2027, 5, 3)) == datetime(2027, 5, 3, 23, 59)
    none = project(tmp_path, text, "[workroom_hours]\nsunday = ['10:00-12:00']\n")
    assert end_of_work(none, date(2027, 5, 3)) == datetime(2027, 5, 3, 20)


def test_what_is_logged_twice_in_a_minute_stays_apart(tmp_path: Path) -> None:
    """By a second, which the file keeps."""
    it = project(tmp_path, ensemble(garment("a 60")))
    for minutes in (5, 6, 7):
        at = own_moment(it.diary, EVENING)
        entries = [Entry(at=at, step="e/g/a", minutes=minutes), Entry(at=at, step="e/g/a")]
        it = log(it, entries)
        assert [one.minutes for one in logged_last(it)] == [minutes, 0]
    assert own_moment(Diary(), EVENING) == EVENING
    write_diary(tmp_path / "diary.toml", None, it.diary)
    read = read_project(tmp_path)
    assert [one.at for one in read.diary.entries] == [one.at for one in it.diary.entries]
    assert [one.minutes for one in logged_last(read)] == [7, 0]
