"""Laws of saving: what is written reads back, and what the maker wrote besides stays."""

from __future__ import annotations

import tempfile
import unicodedata
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.files.findings import Findings
from planner.files.loading import load
from planner.files.plain import plain_diary, plain_ensemble, plain_workroom
from planner.files.reading import read_project
from planner.files.statements import split
from planner.files.writing import write_diary, write_ensemble, write_workroom
from planner.model import (
    Change,
    Coming,
    Diary,
    Ensemble,
    Entry,
    Garment,
    Margin,
    Occasion,
    OccasionKind,
    PaceChoices,
    Place,
    Source,
    Span,
    Step,
    Stock,
    Use,
    Used,
    Wait,
    Way,
    Work,
    Workroom,
)
from planner.quantity import Quantity, parse_quantity
from screens.wording import clean

HEADED = """\
# The lamplighter's file: this line is the file's.

format = 1   # as it was in spring
name = "The lamplighter"
mine = "kept"
pack = [
    "lantern",   # the tall one
    "wicks",
]

# about lamp-night
[[occasion]]
id = "lamp-night"            # the longest night
kind = "event"
at = 2027-12-21T18:00:00
mine = 1

[[occasion]]
id = "try"
at = 2027-12-04      # a Saturday
kind = "fitting"

# a remark that hangs in the air

[[stock]]
id   =   "felt"
have = "2 m"

  [[stock.coming]]
  amount = "36 in"   # from the aunt
  arrives = 2027-11-02

# about cloak
[[garment]]
id = "cloak"
layer = 5
# about the measurements
[garment.measurements]
hem = "3.20 m"     # at the widest
"neck line" = '42 cm'
buttons = 0x0A

[garment.choices]
lining = "full"    # it will be cold

# about cloak/cut
[[garment.step]]
id = "cut"
effort = 1.30      # the pile
technique = "cut-outer-panel"
amount = [
    "buttons",   # one for each
    2,
]
mine = { deep = [1, 2] }

# about cloak/hem
[[garment.step]]
id = "hem"
technique = "hem-by-hand"
amount = ["hem"]
after = ["cut"]
optional = false
wait = "1 night"   # it hangs
uses = [{ stock = "felt", extra = "5%" }]   # just enough

# about hood
[[garment]]
id = "hood"
# about hood/line
[[garment.step]]
id = "line"
hours = "1h30"
[[garment.step.instead]]
name = "unlined"   # it would itch
hours = "20m"
# the end
"""

MIXED = '''\
# first
[[garment]]
id = "cloak"
measurements.hem = "3 m"
measurements."neck line" = "40 cm"
measurements.buttons = 4
choices.lining = "none"

# about lamp-night
[[occasion]]
id = "lamp-night"
kind = "event"
at = 2027-12-21
[[stock]]
id = "felt"
coming = [{ amount = "1 m" }, { amount = 2, arrives = 2027-11-02 }]
# about cloak/cut
[[garment.step]]
id = "cut"
hours = "2h"
instead = [
    { hours = "1h", missed = 2 },   # the quick way
    { hours = "3h" },
]
# about cloak/hem
[[garment.step]]
id = "hem"
hours = "45m"
"my words" = """
# not a comment
[[garment]]
"""

[[occasion]]
id = "try"
kind = "fitting"
at = 2027-12-04T10:00:00
# about hood
[[garment]]
id = "hood"
step = [{ id = "line", hours = "10m", after = ["cloak/cut"] }, { id = "sew", hours = "20m" }]'''

INLINE = """\
garment = [
    { id = "cloak", measurements = { hem = "3 m", buttons = 2 }, step = [
        { id = "cut", hours = "2h" },   # with care
    ], choices = { lining = "full" } },
    { id = "hood" },
]
occasion = [{ id = "lamp-night", kind = "event", at = 2027-12-21 }]
"""

MARK = "\ufeff"

LAYOUTS = {
    "headed": HEADED,
    "mixed": MIXED,
    "inline": INLINE,
    "crlf": HEADED.replace("\n", "\r\n"),
    "mark": MARK + MIXED,
    "bare": "format = 1\n",
    "empty": "",
}

words = st.text(
    st.characters(codec="utf-8"), min_size=1, max_size=8
).filter(str.strip)
ids = st.sampled_from(["cut", "hem", "line", "press", "a b", 'quo"ted', "näht", "x.y"])
days = st.dates(date(2026, 1, 1), date(2028, 12, 31))
moments = st.datetimes(datetime(2026, 1, 1), datetime(2028, 12, 31)).map(
    lambda at: at.replace(second=0, microsecond=0)
)
minutes = st.integers(1, 5000)
lengths = st.sampled_from(["2.4 m", "36 in", "1.5 yd", "7 ft", "3 mm", "40 cm2", "0.1 m"]).map(
    parse_quantity
) | st.floats(0, 1e6).map(lambda v: Quantity(value=v, dimension=1))
quantities = lengths | st.integers(0, 10**6).map(lambda n: Quantity(value=float(n)))
shares = st.integers(0, 300).map(lambda n: n / 100) | st.sampled_from([0.055, 0.125])
waits = st.builds(Wait, nights=st.integers(0, 9)) | st.builds(Wait, minutes=st.integers(0, 900))
margins = st.builds(Margin, days=st.integers(0, 9)) | st.builds(Margin, minutes=minutes)
amounts = st.lists(st.sampled_from(["hem", "neck line", "buttons"]) | quantities, max_size=3).map(
    tuple
)
uses = st.lists(
    st.builds(Use, stock=ids, extra=shares, amount=st.none() | amounts), max_size=2
).map(tuple)
texts = st.none() | words
flags = st.none() | st.booleans()
ways = st.lists(
    st.builds(
        Way, technique=texts, name=texts, amount=st.none() | amounts, hours=st.none() | minutes,
        work=st.none() | st.sampled_from(Work), place=st.none() | st.sampled_from(Place),
        hands=st.sampled_from([None, 1, 2]), one_sitting=flags, wait=st.none() | waits,
        no_way_back=flags, caution=texts, uses=st.none() | uses,
        missed=st.none() | st.integers(1, 5),
    ),
    max_size=3,
).map(tuple)  # fmt: skip
step_fields: dict[str, st.SearchStrategy[Any]] = {
    "name": words, "technique": texts, "amount": amounts, "hours": minutes,
    "work": st.none() | st.sampled_from(Work), "place": st.none() | st.sampled_from(Place),
    "during": texts, "after": st.lists(words, max_size=3).map(tuple),
    "stage": st.sampled_from([None, "fittable", "wearable", "finished"]),
    "wait": st.none() | waits, "uses": uses, "optional": st.booleans(),
    "missed": st.integers(1, 5), "instead": ways, "one_sitting": st.booleans(),
    "effort": st.sampled_from([1.0, 1.3, 2.0, 0.05, 20.0]) | st.floats(1e-3, 20),
    "hands": st.sampled_from([None, 1, 2]), "on": st.none() | days,
    "not_before": st.none() | days | moments, "left_off": st.booleans(),
    "done": st.booleans(), "no_way_back": flags, "caution": texts,
}  # fmt: skip
steps = st.builds(
    Step, id=ids, **{k: step_fields[k] for k in ("name", "hours", "after", "instead", "uses")}
)
coming = st.builds(Coming, amount=quantities, arrives=st.none() | days)
stock_fields: dict[str, st.SearchStrategy[Any]] = {
    "name": words, "have": quantities, "counted": st.none() | days,
    "lead": st.none() | st.integers(0, 90), "again": st.booleans(),
    "coming": st.lists(coming, max_size=3).map(tuple),
}  # fmt: skip
occasion_fields: dict[str, st.SearchStrategy[Any]] = {
    "kind": st.sampled_from(OccasionKind), "at": moments, "name": words,
    "takes": st.none() | minutes, "wants": st.none() | st.lists(words, max_size=2).map(tuple),
    "margin": margins, "held": flags,
}  # fmt: skip
measurements = st.dictionaries(
    st.sampled_from(["hem", "neck line", "buttons", "on", "from"]) | words.map(lambda w: "w" + w),
    quantities,
    max_size=4,
)
choices = st.dictionaries(st.sampled_from(["lining", "first", "a b"]) | words, words, max_size=3)
garment_fields: dict[str, st.SearchStrategy[Any]] = {
    "name": words, "kind": texts, "layer": st.none() | st.integers(0, 9), "wearer": words,
    "source": st.sampled_from(Source), "in_order": st.booleans(), "measurements": measurements,
    "choices": choices,
    "steps": st.lists(steps, max_size=3, unique_by=lambda step: step.id).map(tuple),
}  # fmt: skip
stocks = st.builds(Stock, id=ids, **stock_fields)
occasions = st.builds(Occasion, id=ids, **occasion_fields)
garments = st.builds(Garment, id=ids, **garment_fields)


packs = st.lists(st.sampled_from(["lantern", "wicks"]) | words, max_size=4).map(tuple)


def edited_items(
    data: st.DataObject, items: tuple[Any, ...], fields: dict[str, Any], new: Any
) -> tuple[Any, ...]:
    """Some items changed in a field, taken out, added, put in another order, renamed."""
    found = list(items)
    for _ in range(data.draw(st.integers(0, 2))):
        what = data.draw(st.sampled_from(["change", "add", "remove", "order", "rename"]))
        at = data.draw(st.integers(0, max(0, len(found) - 1)))
        if what == "add":
            item = data.draw(new)
            if item.id not in [other.id for other in found]:
                found.insert(at, item)
        elif what == "order":
            found = data.draw(st.permutations(found))
        elif found and what == "remove":
            del found[at]
        elif found and what == "rename":
            found[at] = replace(found[at], id=f"renamed {at}")
        elif found:
            field = data.draw(st.sampled_from(sorted(fields)))
            found[at] = replace(found[at], **{field: data.draw(fields[field])})
    return tuple({item.id: item for item in found}.values())


def edited_ensemble(data: st.DataObject, before: Ensemble) -> Ensemble:
    """An ensemble after a few edits of a maker's."""
    after = replace(
        before,
        name=data.draw(st.just(before.name) | words),
        pack=data.draw(st.just(before.pack) | packs),
        occasions=edited_items(data, before.occasions, occasion_fields, occasions),
        stock=edited_items(data, before.stock, stock_fields, stocks),
        garments=edited_items(data, before.garments, garment_fields, garments),
    )
    return replace(
        after,
        garments=tuple(
            replace(g, steps=edited_items(data, g.steps, step_fields, steps))
            for g in after.garments
        ),
    )


def comments(text: str) -> set[str]:
    """The comments of a text that lie on lines of their own."""
    return {
        line.text.strip()
        for line in split(text.removeprefix(MARK))
        if line.text.lstrip().startswith("#")
    }


@pytest.mark.parametrize("layout", LAYOUTS)
@settings(
    max_examples=40, deadline=None, derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)  # fmt: skip
@given(data=st.data())
def test_an_edited_ensemble_reads_back(layout: str, data: st.DataObject) -> None:
    """After saving an edit, reading gives the edited value, in any layout of the file."""
    units = data.draw(st.sampled_from(["metric", "imperial"]))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "lamplighter.toml")
        path.write_bytes(LAYOUTS[layout].encode())
        before = read_project(path).ensembles[0]
        after = edited_ensemble(data, before)
        write_ensemble(path, before, after, units)
        again = read_project(path).ensembles[0]
        assert plain_ensemble(again, units) == plain_ensemble(after, units)
        assert [g.measurements for g in again.garments] == [g.measurements for g in after.garments]
        assert [g.choices for g in again.garments] == [g.choices for g in after.garments]
        assert [s.effort for g in again.garments for s in g.steps] == [
            s.effort for g in after.garments for s in g.steps
        ]
        assert again.pack == after.pack
        # besides the earlier states of the files, nothing is left lying about
        assert [one.name for one in Path(folder).glob(".*")] in ([], [".wearby"])


@pytest.mark.parametrize("layout", ["headed", "mixed", "crlf", "mark"])
@settings(max_examples=40, deadline=None, derandomize=True)
@given(data=st.data())
def test_what_the_maker_wrote_besides_stays(layout: str, data: st.DataObject) -> None:
    """Comments above what is still there stay above it; hanging remarks and unknown keys stay."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "lamplighter.toml")
        path.write_bytes(LAYOUTS[layout].encode())
        before = read_project(path).ensembles[0]
        after = edited_ensemble(data, before)
        write_ensemble(path, before, after)
        text = path.read_bytes().decode()
        there = {o.id for o in after.occasions} | {g.id for g in after.garments}
        there |= {f"{g.id}/{s.id}" for g in after.garments for s in g.steps}
        for comment in comments(LAYOUTS[layout]) - comments(text):
            about = comment.removeprefix("# about ")
            assert about not in there
            assert about != comment or comment == "# the end"
        lines = [line.strip() for line in text.split("\n")]
        for i, line in enumerate(lines):
            if line.startswith("# about ") and line != "# about the measurements":
                assert lines[i + 1].startswith("[[")
                own = line.removeprefix("# about ").split("/")[-1]
                assert lines[i + 2].startswith((f'id = "{own}"', 'id = "renamed'))
        if layout in ("headed", "crlf") and "cloak/cut" in there:
            assert "mine = { deep = [1, 2] }" in text
        if layout == "crlf":
            assert "\n" not in text.replace("\r\n", "")
        assert text.startswith(MARK) == (layout == "mark")


@pytest.mark.parametrize("layout", LAYOUTS)
def test_saving_nothing_changes_nothing(layout: str) -> None:
    """Saving a value unchanged leaves every byte of the file."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "lamplighter.toml")
        path.write_bytes(LAYOUTS[layout].encode())
        before = read_project(path).ensembles[0]
        write_ensemble(path, before, replace(before, file="elsewhere"))
        assert path.read_bytes() == LAYOUTS[layout].encode()


@given(text=st.sampled_from(sorted(LAYOUTS.values())))
def test_statements_are_the_whole_text(text: str) -> None:
    """Split into statements and joined again, a text is the same."""
    assert "".join(line.text for line in split(text)) == text


ROOM = """\
format = 1
fill_to = "80%"   # no more
mine = true

# evenings
[workroom_hours]
tuesday = ["19:30-21:30"]   # after supper
friday = []

# the ferry
[[change]]
from = 2027-05-14
to = 2027-05-16
workroom = []

# choir
[[change]]
rule = "FREQ=MONTHLY;BYDAY=1TU"   # the first
sofa = ["10:00-12:00",]
"""

spans = st.builds(
    lambda start, length: Span(start=start, end=start + length),
    st.integers(0, 1439),
    st.integers(1, 1439),
)
span_lists = st.lists(spans, max_size=2).map(tuple)
weeks = st.lists(span_lists, min_size=7, max_size=7).map(tuple)
places = {k: st.none() | span_lists for k in ("workroom", "sofa", "take_along", "helper")}
changes = (
    st.builds(lambda day, **k: Change(first=day, last=day, **k), days, reason=words, **places)
    | st.builds(
        lambda day, n, **k: Change(first=day, last=day.replace(year=2029), **k),
        days, st.integers(), **places,
    )
    | st.builds(Change, rule=st.just("FREQ=WEEKLY;BYDAY=SA"), first=st.none() | days, **places)
)  # fmt: skip
room_fields: dict[str, st.SearchStrategy[Any]] = {
    "units": st.sampled_from(["metric", "imperial"]),
    "fill_to": st.integers(1, 100).map(lambda n: n / 100),
    "setting_up": st.integers(0, 99), "hand_sewing_limit": st.none() | st.integers(0, 999),
    "workroom_hours": weeks, "sofa_hours": weeks, "take_along_hours": weeks,
    "helper_hours": weeks,
    "pace": st.builds(
        PaceChoices, learn=st.booleans(),
        by_hand=st.dictionaries(ids, st.integers(1, 99).map(lambda n: n / 10), max_size=3),
    ),
}  # fmt: skip


@settings(max_examples=100, deadline=None, derandomize=True)
@given(data=st.data())
def test_an_edited_workroom_reads_back(data: st.DataObject) -> None:
    """After saving, reading gives the edited workroom; comments and unknown keys stay."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "workroom.toml")
        path.write_text(ROOM)
        Path(folder, "lamplighter.toml").write_text("")
        before = read_project(Path(folder)).workroom
        fields = data.draw(st.lists(st.sampled_from(sorted(room_fields)), max_size=3))
        after = replace(before, **{field: data.draw(room_fields[field]) for field in fields})
        found = list(after.changes)
        if data.draw(st.booleans()):
            found[data.draw(st.integers(0, 1))] = data.draw(changes)
        if data.draw(st.booleans()):
            del found[data.draw(st.integers(0, 1))]
        found[1:1] = data.draw(st.lists(changes, max_size=2))
        after = replace(after, changes=tuple(found))
        write_workroom(path, before, after)
        again = read_project(Path(folder)).workroom
        assert plain_workroom(again) == plain_workroom(after)
        text = path.read_text()
        assert "mine = true" in text and "# evenings\n[workroom_hours]" in text


entries = st.builds(
    Entry, at=moments, step=st.just("lamplighter/cloak/cut"), minutes=st.integers(0, 600),
    left=st.none() | st.integers(0, 600), note=st.just("") | words,
    used=st.lists(st.builds(Used, stock=ids, amount=quantities), max_size=2).map(tuple),
)  # fmt: skip


@settings(max_examples=60, deadline=None, derandomize=True)
@given(old=st.lists(entries, max_size=4), new=st.lists(entries, max_size=4))
def test_a_diary_reads_back(old: list[Entry], new: list[Entry]) -> None:
    """A diary written anew and then changed reads as the changed one."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "diary.toml")
        before = Diary(entries=tuple(old))
        write_diary(path, None, before)
        after = Diary(entries=tuple(new))
        write_diary(path, before, after)
        findings = Findings("diary.toml")
        assert load(path, findings) is not None
        write_diary(path, after, before)  # raises when the file doesn't say what ``after`` does
        assert plain_diary(before) == plain_diary(before)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(data=st.data())
def test_a_new_ensemble_reads_back(data: st.DataObject) -> None:
    """An ensemble written as a new file reads back, and without a warning of unknown keys."""
    after = Ensemble(
        id="lamplighter",
        occasions=(data.draw(occasions),),
        garments=(data.draw(garments),),
        stock=(data.draw(stocks),),
        pack=data.draw(packs),
    )
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "lamplighter.toml")
        write_ensemble(path, None, after)
        project = read_project(path)
        assert plain_ensemble(project.ensembles[0], "metric") == plain_ensemble(after, "metric")
        assert [w.place for w in project.warnings] == ["workroom_hours"]
        assert project.workroom == Workroom(file=str(path))


ODD = (
    "bodice [lining]", "[/]", "[bold]", 'the "good" one', "it's", '"""', "back\\slash", "näht",
    "Å ring", "👩‍🔧 sews 🧵", "שמלה", "فستان", "\u202eturned\u202c", "\x1b[31mred\x1b[0m",
    "bell\x07", "\x00", "tab\there", "two\nlines", "cr\rhere", "\r\n", "\x7f", "\x85\x9b",
    "\u2028", "\ufeff", "# no remark", "a = 1", "[[step]]", "袖",
)  # fmt: skip
"""Names that a file, a terminal or a markup reader could take for something else."""


@pytest.mark.parametrize("name", ODD)
def test_odd_names_survive_in_every_place(name: str) -> None:
    """Written new and worked into a file that is there, in every key that holds the maker's words,
    also as names of keys; the file stays text that any editor shows, without bare controls."""
    step = Step(id="plain", name=name, hours=30, work=Work.HAND, caution=name,
                amount=(f"m{name}",), instead=(Way(name=name, hours=5),))  # fmt: skip
    garment = Garment(
        id=f"g{name.replace('/', '')}g", name=name, wearer=name, steps=(step,),
        measurements={f"m{name}": parse_quantity("2 m")}, choices={f"c{name}": f"o{name}o"},
    )  # fmt: skip
    after = Ensemble(id="lamplighter", name=name, pack=(f"p{name}",), garments=(garment,),
                     stock=(Stock(id="s", name=name),))  # fmt: skip
    with tempfile.TemporaryDirectory() as folder:
        new, worked = Path(folder, "lamplighter.toml"), Path(folder, "b", "lamplighter.toml")
        worked.parent.mkdir()
        worked.write_bytes(HEADED.encode())
        write_ensemble(new, None, after)
        write_ensemble(worked, read_project(worked).ensembles[0], after)
        for path in (new, worked):
            again = read_project(path).ensembles[0]
            assert plain_ensemble(again, "metric") == plain_ensemble(after, "metric")
            text = path.read_bytes().decode()
            assert not {c for c in text if c < " " or c == "\x7f"} - {"\n"}


@pytest.mark.parametrize("name", ODD)
def test_odd_names_are_shown_literally(name: str) -> None:
    """Letters, brackets, quotes and emoji are shown as they are; what would steer the terminal is
    left out, and a line end is a space."""
    shown = clean(name)
    assert not {c for c in shown if unicodedata.category(c) in ("Cc", "Cf", "Zl", "Zp")}
    left = [c for c in name if unicodedata.category(c) not in ("Cc", "Cf", "Zl", "Zp")]
    assert [c for c in shown if c != " "] == [c for c in left if c != " "]
