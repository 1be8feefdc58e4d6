"""Reading: values of what the maker wrote, and every problem with its place and remedy."""

from __future__ import annotations

import os
from datetime import date, datetime
from pathlib import Path

import pytest

from planner.files.clock import checked_rule, format_span, parse_span
from planner.files.loading import LARGEST
from planner.files.reading import read_project
from planner.model import (
    Margin,
    OccasionKind,
    Place,
    Project,
    Source,
    Span,
    Use,
    Wait,
    Way,
    Work,
)
from planner.planning import plan_project
from planner.problems import InputError
from planner.quantity import Quantity, parse_quantity
from tests.planner.broken_cases import CASES, HERON, WORKROOM, Case


def laid_out(folder: Path, files: dict[str, str | bytes]) -> Path:
    """A folder with these files."""
    for name, text in files.items():
        (folder / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    return folder


def broken(case: Case, folder: Path) -> Path:
    """A case's workroom."""
    return laid_out(folder, {"workroom.toml": WORKROOM, "heron.toml": HERON, **case.files})


def problems(path: Path) -> list[tuple[str, str, str]]:
    """File name, place and text of all problems there."""
    with pytest.raises(InputError) as caught:
        read_project(path)
    return [(Path(p.file).name, p.place, p.text) for p in caught.value.problems]


def read(folder: Path, text: str) -> Project:
    """A workroom of one ensemble, heron.toml."""
    return read_project(laid_out(folder, {"workroom.toml": WORKROOM, "heron.toml": text}))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_broken_workroom(case: Case, tmp_path: Path) -> None:
    """What is wrong is reported with file, place and remedy, and never with a traceback."""
    path = broken(case, tmp_path)
    with pytest.raises(InputError) as caught:
        project = read_project(path)
        assert case.by == "planning", "reading found nothing wrong"
        planning = pytest.importorskip("planner.planning")
        planning.plan_project(project, datetime(2027, 4, 1))
    found = [p for p in caught.value.problems if case.said in p.text]
    assert found, caught.value
    assert [p.file for p in found] == [str(path / case.file)]
    assert found[0].place.startswith(case.place)
    assert case.by == "planning" or len(caught.value.problems) == 1


def test_there_are_enough_broken_workrooms() -> None:
    """At least sixty, and no name twice."""
    assert len({case.name for case in CASES}) == len(CASES) >= 60


def test_all_problems_at_once(tmp_path: Path) -> None:
    """Problems of all files come together, in order of the files."""
    laid_out(
        tmp_path,
        {
            "workroom.toml": 'units = "feet"\nfill_to = 1\n',
            "a.toml": '[[garment]]\nid = "a/b"\nlayer = "x"\n',
            "b.toml": "name = ",
            "diary.toml": "[[entry]]\nminutes = 5\n",
            "techniques.toml": "[",
        },
    )
    found = problems(tmp_path)
    assert [(file, place) for file, place, _ in found[:7]] == [
        ("workroom.toml", "fill_to"),
        ("workroom.toml", "units"),
        ("a.toml", "garment[0].id"),
        ("a.toml", "garment[0].layer"),
        ("b.toml", "line 1"),
        ("diary.toml", "entry[0].at"),
        ("diary.toml", "entry[0].step"),
    ]
    assert found[7][0] == "techniques.toml"


def test_a_whole_step(tmp_path: Path) -> None:
    """Every key of a step is read into its field."""
    text = """
format = 1
[[garment]]
id = "coat"
measurements = { hem = "1.6 m", panels = 8, "2nd hem" = "1 m" }
[[garment.step]]
id = "trim"
name = "Two rows"
technique = "braid-by-hand"
amount = ["hem", 2, "30 cm", "2nd hem"]
hours = "1h30"
low = "1h"
high = "2h"
work = "hand"
place = "take-along"
during = "fair"
after = "cut"
stage = "wearable"
wait = "2 nights"
uses = [{ stock = "braid", extra = "5%", amount = ["hem"] }, { stock = "thread" }]
optional = true
missed = 2
instead = [{ hours = "20m", uses = [], wait = "0h", missed = 1, chosen = true }]
one_sitting = true
effort = 2
hands = 2
on = 2027-05-01
not_before = 2027-04-30T12:00:59
left_off = true
done = true
no_way_back = false
caution = "hot"
"""
    project = read(tmp_path, text)
    step = project.ensembles[0].garments[0].steps[0]
    assert [w.place for w in project.warnings] == ["occasion"]
    assert step.amount == ("hem", Quantity(value=2.0), parse_quantity("30 cm"), "2nd hem")
    assert (step.hours, step.low, step.high) == (90, 60, 120)
    assert (step.work, step.place) == (Work.HAND, Place.TAKE_ALONG)
    assert (step.during, step.after, step.stage) == ("fair", ("cut",), "wearable")
    assert step.wait == Wait(nights=2)
    assert step.uses == (
        Use(stock="braid", extra=0.05, amount=("hem",)),
        Use(stock="thread"),
    )
    assert step.instead == (Way(hours=20, uses=(), wait=Wait(), missed=1, chosen=True),)
    assert (step.optional, step.missed, step.one_sitting, step.hands) == (True, 2, True, 2)
    assert step.effort == 2.0
    assert (step.on, step.not_before) == (date(2027, 5, 1), datetime(2027, 4, 30, 12))
    assert (step.left_off, step.done, step.no_way_back) == (True, True, False)
    assert (step.name, step.caution, step.where) == ("Two rows", "hot", "garment[0].step[0]")


def test_occasions_stock_and_garments(tmp_path: Path) -> None:
    """Keys of an ensemble's other tables are read into their fields."""
    text = """
format = 1
name = "Heron"
[[occasion]]
id = "trial"
kind = "trial wear"
at = 2027-05-20
takes = "2h"
wants = ["coat:wearable"]
margin = "1 day"
held = false
[[stock]]
id = "braid"
have = "4.5 m"
counted = 2027-04-30
lead = "10 days"
again = false
coming = [{ amount = 3 }]
[[garment]]
id = "coat"
wearer = "Ottilie"
source = "alter"
layer = 3
in_order = true
kind = "coat"
"""
    ensemble = read(tmp_path, text).ensembles[0]
    (occasion,), (stock,), (garment,) = ensemble.occasions, ensemble.stock, ensemble.garments
    assert (occasion.kind, occasion.at) == (OccasionKind.TRIAL_WEAR, datetime(2027, 5, 20))
    assert (occasion.takes, occasion.wants, occasion.held) == (120, ("coat:wearable",), False)
    assert occasion.margin == Margin(days=1)
    assert (stock.have, stock.lead, stock.again) == (parse_quantity("4.5 m"), 10, False)
    assert stock.coming[0].amount == Quantity(value=3.0)
    assert stock.coming[0].arrives is None
    assert (garment.wearer, garment.source, garment.layer) == ("Ottilie", Source.ALTER, 3)
    assert garment.in_order and garment.kind == "coat"
    assert (ensemble.id, ensemble.name) == ("heron", "Heron")


def test_unknown_keys_are_warned_about(tmp_path: Path) -> None:
    """A key nobody knows is a warning with the nearest known one, and stops nothing."""
    project = read(tmp_path, HERON + 'technik = "x"\nzzz = 1\n')
    assert [(w.place, w.text) for w in project.warnings] == [
        (
            "garment[0].step[0].technik",
            '"technik" is not a key wearby knows: did you mean "technique"?',
        ),
        (
            "garment[0].step[0].zzz",
            '"zzz" is not a key wearby knows: it is kept, and not used',
        ),
    ]


def test_a_missing_format_is_a_warning(tmp_path: Path) -> None:
    """Files without a format are read, with a word about it."""
    project = read(tmp_path, HERON.replace("format = 1\n", ""))
    assert [(w.place, Path(w.file).name) for w in project.warnings] == [("format", "heron.toml")]


def test_entries_for_lost_steps_are_warned_about(tmp_path: Path) -> None:
    """An entry whose step is gone is a warning with the nearest id, and stays in the diary."""
    diary = 'format = 1\n[[entry]]\nat = 2027-05-01\nstep = "heron/coat/cat"\nminutes = 5\n'
    laid_out(tmp_path, {"diary.toml": diary})
    project = read(tmp_path, HERON)
    assert [(w.place, w.text) for w in project.warnings] == [
        ("entry[0].step", 'there is no step "heron/coat/cat": did you mean "heron/coat/cut"?')
    ]
    assert project.diary.entries[0].at == datetime(2027, 5, 1)
    assert read_project(tmp_path / "heron.toml").warnings == project.warnings


def test_a_single_file_with_its_own_hours(tmp_path: Path) -> None:
    """An ensemble's file works alone, with its hours in it."""
    path = tmp_path / "heron.toml"
    path.write_text('units = "imperial"\n' + HERON + WORKROOM.replace("format = 1\n", ""))
    (tmp_path / "workroom.toml").write_text('setting_up = "15m"')
    project = read_project(path)
    assert project.warnings == ()
    assert (project.workroom.units, project.workroom.setting_up) == ("imperial", 0)
    assert project.workroom.workroom_hours[5] == (Span(start=600, end=960),)


def test_a_single_file_beside_a_workroom(tmp_path: Path) -> None:
    """A file without hours takes those of the workroom beside it, and no other ensemble."""
    laid_out(tmp_path, {"other.toml": "[", "workroom.toml": WORKROOM, "heron.toml": HERON})
    project = read_project(tmp_path / "heron.toml")
    assert [e.id for e in project.ensembles] == ["heron"]
    assert project.workroom.workroom_hours[5] == (Span(start=600, end=960),)
    assert project.warnings == ()


def test_hours_in_an_ensemble_of_a_workroom(tmp_path: Path) -> None:
    """In a folder the hours are the workroom's: those of an ensemble are warned about."""
    project = read(tmp_path, HERON + "[sofa_hours]\nmonday = []\n")
    assert [w.place for w in project.warnings] == ["sofa_hours"]


def test_which_files_are_ensembles(tmp_path: Path) -> None:
    """Ensembles come by name; hidden files, other files and subfolders are passed over."""
    (tmp_path / "letters").mkdir()
    laid_out(tmp_path / "letters", {"x.toml": "["})
    laid_out(tmp_path, {"b.toml": HERON, "a b.toml": HERON, ".c.toml": "[", "d.txt": "["})
    laid_out(tmp_path, {"workroom.toml": WORKROOM, "kept.toml": "["})
    assert [e.id for e in read_project(tmp_path).ensembles] == ["a b", "b"]


def test_a_folder_of_one_file(tmp_path: Path) -> None:
    """A folder of one ensemble without a workroom is read as that file."""
    laid_out(tmp_path, {"heron.toml": HERON})
    project = read_project(tmp_path)
    assert [e.id for e in project.ensembles] == ["heron"]
    assert [w.place for w in project.warnings] == ["workroom_hours"]


def test_paths_that_hold_no_workroom(tmp_path: Path) -> None:
    """A path that can't be read is one problem that names it and says what to do."""
    (tmp_path / "empty").mkdir()
    (tmp_path / "two").mkdir()
    laid_out(tmp_path / "two", {"a.toml": HERON, "b.toml": HERON})
    (tmp_path / "hours").mkdir()
    laid_out(tmp_path / "hours", {"workroom.toml": WORKROOM})
    (tmp_path / "loop.toml").symlink_to(tmp_path / "loop.toml")
    os.mkfifo(tmp_path / "pipe.toml")
    for name, words in [
        ("gone", "no such file or folder"),
        ("empty", "no ensemble here"),
        ("two", "there is no workroom.toml"),
        ("hours", "no ensemble here"),
        ("hours/workroom.toml", "give its folder"),
        ("hours/workroom.toml/x", "no such file or folder"),
        ("loop.toml", "round in a circle"),
        ("pipe.toml", "not an ordinary file"),
        ("n" * 300, "too long"),
        ("nul\0", "no path"),
    ]:
        ((_, place, text),) = problems(tmp_path / name)
        assert (place, words in text) == ("", True), text


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    """A folder in a file's place, a link to nowhere, a loop and a huge file are problems."""
    laid_out(tmp_path, {"workroom.toml": WORKROOM})
    (tmp_path / "a.toml").mkdir()
    (tmp_path / "b.toml").symlink_to(tmp_path / "nowhere")
    (tmp_path / "c.toml").symlink_to(tmp_path / "c.toml")
    with open(tmp_path / "d.toml", "wb") as file:
        file.truncate(LARGEST + 1)
    (tmp_path / "e:f.toml").write_text(HERON)
    found = {file: text for file, _, text in problems(tmp_path)}
    assert "a folder where a file" in found["a.toml"]
    assert "no such file" in found["b.toml"]
    assert "in a circle" in found["c.toml"]
    assert "larger than 20 MB" in found["d.toml"]
    assert "which join ids" in found["e:f.toml"]


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Missing permission is said so."""
    laid_out(tmp_path, {"workroom.toml": WORKROOM, "heron.toml": HERON})

    def refuse(*args: object) -> None:
        raise PermissionError(13, "no")

    monkeypatch.setattr("planner.files.loading.open", refuse, raising=False)
    assert {text for _, _, text in problems(tmp_path)} == {
        "it may not be read: change its permissions"
    }


def test_a_byte_order_mark_and_control_characters(tmp_path: Path) -> None:
    """A byte order mark is passed over; escaped control characters stay in the model."""
    text = "\ufeff" + HERON.replace("format = 1", 'format = 1\nname = "a\\u001b[31mb"')
    assert read(tmp_path, text).ensembles[0].name == "a\x1b[31mb"


@pytest.mark.parametrize(
    ("text", "start", "end"),
    [
        ("19:30-21:30", 1170, 1290),
        ("22:00-01:00", 1320, 1500),
        ("00:00-24:00", 0, 1440),
        ("22:00-00:00", 1320, 1440),
        (" 9:05 – 10:00 ", 545, 600),
    ],
)
def test_spans(text: str, start: int, end: int) -> None:
    """Hours are spans of minutes; one that ends before it begins ends on the next day."""
    span = parse_span(text)
    assert span == Span(start=start, end=end)
    assert parse_span(format_span(span)) == span


def test_changes(tmp_path: Path) -> None:
    """A day, a span, a span of one day and a rule; a place not named keeps its week."""
    text = WORKROOM + (
        "[[change]]\non = 2027-05-01\nworkroom = []\n"
        "[[change]]\nfrom = 2027-05-02\nsofa = '10:00-11:00'\n"
        "[[change]]\nfrom = 2027-05-02\nto = 2027-05-04\nhelper = []\nreason = 'ferry'\n"
        "[[change]]\nfrom = 2027-05-02\nrule = 'RRULE:FREQ=WEEKLY;INTERVAL=2'\n"
    )
    laid_out(tmp_path, {"workroom.toml": text, "heron.toml": HERON})
    project = read_project(tmp_path)
    day, single, span, rule = project.workroom.changes
    assert (day.first, day.last, day.workroom, day.sofa) == (
        date(2027, 5, 1), date(2027, 5, 1), (), None,
    )  # fmt: skip
    assert (single.last, single.sofa) == (date(2027, 5, 2), (Span(start=600, end=660),))
    assert (span.first, span.last, span.helper) == (date(2027, 5, 2), date(2027, 5, 4), ())
    assert (rule.first, rule.last, rule.rule) == (
        date(2027, 5, 2), None, "FREQ=WEEKLY;INTERVAL=2",
    )  # fmt: skip
    assert (span.reason, span.where) == ("ferry", "change[2]")
    assert [w.place for w in project.warnings] == ["change[3]"]


@pytest.mark.parametrize(
    "rule",
    [
        "",
        "FREQ=SOMETIMES",
        "BYDAY=TU",
        "FREQ=DAILY;COUNT=2;UNTIL=20270101",
        "FREQ=DAILY;UNTIL=20270101T000000Z",
        "FREQ=DAILY;BYHOUR=3",
        "FREQ=DAILY;FREQ=DAILY",
        "FREQ=DAILY\nFREQ=DAILY",
        "FREQ=MONTHLY;BYMONTHDAY=x",
        "FREQ=DAILY;COUNT=99999999999",
        "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=YEARLY;BYMONTH=4;BYMONTHDAY=31",
        "FREQ=DAILY;INTERVAL=7;BYDAY=TU",
    ],
)
def test_rules_that_are_none(rule: str) -> None:
    """What is no rule of days is refused with a sentence."""
    with pytest.raises(ValueError, match=": "):
        checked_rule(rule, datetime(2027, 1, 1))


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29",
        "FREQ=DAILY;INTERVAL=7;BYDAY=FR",
        "FREQ=MONTHLY;INTERVAL=5;BYDAY=-1SU",
        "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1",
        "FREQ=YEARLY;INTERVAL=99999;UNTIL=20280101",
        "FREQ=WEEKLY;COUNT=3;WKST=SU",
        "freq=weekly;byday=tu,sa",
    ],
)
def test_rules_of_days(rule: str) -> None:
    """Rules of RFC 5545 that name days are taken as they are."""
    assert checked_rule(rule, datetime(2027, 1, 1)) == rule  # a Friday


@pytest.mark.parametrize("name", [" ", "\\n", "\\u200b"])
def test_a_name_in_which_nothing_is_seen_is_kept_and_not_shown(tmp_path: Path, name: str) -> None:
    """A name of blanks or marks without ink stays in the file; the technique's is shown."""
    for file in (Path(__file__).parents[2] / "sample_projects/copper_wood_masque").glob("*.toml"):
        (tmp_path / file.name).write_text(file.read_text())
    file = tmp_path / "copper_beetle.toml"
    first, begin, rest = file.read_text().partition("[[garment.step]]\n")
    file.write_text(f'{first}{begin}name = "{name}"\n{_without_name(rest)}')
    project = read_project(tmp_path)
    assert project.ensembles[0].garments[0].steps[0].name.strip(" \n\u200b") == ""
    plan = plan_project(project, datetime(2027, 3, 6), thorough=False)
    assert all(step.name.strip(" \n\u200b") for step in plan.steps)
    assert all(shown.strip(" \n\u200b") for shown in plan.names.values())


def _without_name(rest: str) -> str:
    """A step's table without its own name."""
    mine, more, others = rest.partition("[[garment.step]]")
    return "".join(line for line in mine.splitlines(True) if not line.startswith("name")) + (
        more + others
    )
