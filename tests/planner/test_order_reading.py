"""Orders of construction: read as values, and every mistake with its place and remedy."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from planner.catalogue import techniques
from planner.catalogue.order import Order
from planner.catalogue.order_reading import parse_order
from planner.catalogue.shelf import orders, orders_with, source_orders
from planner.files.reading import read_project
from planner.model import Source, Warned
from planner.problems import InputError, Problem
from planner.quantity import LENGTH, Quantity

SASH = """
format = 1
name = "sash"
group = "outer wear"
layer = 9
roles = ["belt"]
sources = ["make", "buy"]
pack = ["two pins"]

[[measurement]]
id = "length"
ask = "Length"
how = "Twice round the waist."
default = "2.4 m"

[[measurement]]
id = "tassels"
ask = "Tassels"
how = "Count both ends."
default = 2
least = 0
when = { ends = ["tassels"] }

[[choice]]
id = "ends"
ask = "Ends"
options = [{ id = "plain" }, { id = "tassels", name = "with tassels" }]

[[choice]]
id = "sewn"
ask = "Sewn"
options = [{ id = "machine" }, { id = "hand" }]

[[figure]]
id = "silk"
rule = "cut_lengths"
given = { pieces = 1, length = "length", allowance = "3 cm" }

[[stock]]
id = "silk"
name = "silk 40 cm wide"

[[step]]
id = "cut"
technique = "cut-outer-panel"
uses = [{ stock = "silk", amount = ["silk"], extra = "5%" }]

[[step]]
id = "seam"
technique = "straight-seam"
amount = ["length"]
after = ["cut"]
when = { sewn = ["machine"] }

[[step]]
id = "backstitch"
technique = "backstitch-seam"
amount = ["length"]
after = ["cut"]
unless = { sewn = ["machine"] }

[[step]]
id = "tassels"
technique = "sew-on-button"
amount = ["tassels"]
after = ["seam", "backstitch"]
stage = "wearable"

[[step]]
id = "try"
technique = "fitting-garment"
at = "trial wear"
over = [{ roles = ["coat"], stage = "wearable", why = "tied over it" }]
spared = ["cloth"]
after = ["tassels"]
"""


def parsed(text: str, stem: str = "sash") -> tuple[Order | None, list[Problem], list[Warned]]:
    """The order of a text, with what was found."""
    return parse_order(tomllib.loads(text), f"{stem}.toml", stem, techniques())


def order_of(text: str, stem: str = "sash") -> Order:
    """The order of a text that has no problems."""
    order, problems, _ = parsed(text, stem)
    assert problems == []
    assert order is not None
    return order


def changed(*pairs: tuple[str, str]) -> str:
    """The sash with words replaced, each exactly once."""
    text = SASH
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def test_an_order_is_read_as_it_is_written() -> None:
    """Every key becomes a value; bounds, the id among the roles and the choices are filled in."""
    order = order_of(SASH)
    assert (order.id, order.name, order.layer) == ("sash", "sash", 9)
    assert order.roles == {"sash", "belt"}
    assert order.sources == (Source.MAKE, Source.BUY)
    assert order.pack == ("two pins",)
    length, tassels = order.measurements
    assert length.least == Quantity(value=0.48, dimension=LENGTH)
    assert length.most == Quantity(value=12.0, dimension=LENGTH)
    assert tassels.least.value == 0
    assert [choice.id for choice in order.choices] == ["ends", "sewn", "cloth", "first"]
    assert order.choices[0].default == "plain"
    assert order.choices[0].options[1].name == "with tassels"
    assert order.figures[0].dimension == LENGTH
    assert [part.step.id for part in order.steps][-1] == "try"
    assert order.steps[-1].at == "trial wear"
    assert order.steps[-1].over[0].why == "tied over it"
    assert order.steps[1].work == "machine"


def test_the_common_choices_can_be_replaced() -> None:
    """An order with a choice called cloth has its own and the other common one."""
    text = changed(('id = "ends"', 'id = "cloth"'), ("when = { ends =", "when = { cloth ="))
    order = order_of(text)
    assert [choice.id for choice in order.choices] == ["cloth", "sewn", "first"]
    assert [option.id for option in order.choices[0].options] == ["plain", "tassels"]


BROKEN = [
    ("format", "format = 1\n", "format = 2\n", "format", "format 1"),
    ("no name", 'name = "sash"\n', "", "name", 'name = "petticoat"'),
    ("no layer", "layer = 9\n", "", "layer", "layer = 4"),
    ("source", '"buy"]', '"by"]', "sources[1]", 'mean "buy"'),
    ("no source", '["make", "buy"]', "[]", "sources", "where it can come from"),
    ("spaced id", 'id = "length"', 'id = "my length"', "measurement[0].id", '"-"'),
    ("id like an amount", 'id = "length"', 'id = "3 m"', "measurement[0].id", '"-"'),
    ("id like a number", 'id = "length"', 'id = "12"', "measurement[0].id", "use a word"),
    ("id of ours", 'id = "length"', 'id = "source"', "measurement[0].id", "another id"),
    ("no how", 'how = "Twice round the waist."\n', "", "measurement[0].how", "a sentence"),
    ("no default", 'default = "2.4 m"\n', "", "measurement[0].default", "a usual value"),
    ("an area", '"2.4 m"', '"2.4 m2"', "measurement[0].default", "a length or a count"),
    ("least", "least = 0", "least = 3", "measurement[1].least", "make it less"),
    ("sort of least", "least = 0", 'least = "3 m"', "measurement[1].least", "a bare number"),
    ("default of 0", '"2.4 m"', '"0 m"', "measurement[0].most", "the most that can be meant"),
    ("choice in when", "when = { ends", "when = { end", "measurement[1].when.end", '"ends"'),
    ("option in when", '["tassels"] }', '["tassel"] }', "measurement[1].when.ends[0]", '"tassels"'),
    ("nothing in when", '["tassels"] }', "[] }", "measurement[1].when.ends", "can't hold"),
    ("no options", 'options = [{ id = "machine" }, { id = "hand" }]', "", "choice[1].options",
     "a table each"),
    ("option twice", '{ id = "plain" }', '{ id = "tassels" }', "choice[0].options[1].id",
     "already"),
    ("effort", '{ id = "plain" }', '{ id = "plain", effort = 0 }', "choice[0].options[0].effort",
     "more than 0"),
    ("kinds of work", '{ id = "plain" }', '{ id = "plain", works = ["hond"] }',
     "choice[0].options[0].works[0]", '"hand"'),
    ("default of choice", 'ask = "Ends"', 'ask = "Ends"\ndefault = "plan"', "choice[0].default",
     '"plain"'),
    ("choice called is", 'id = "sewn"', 'id = "is"', "choice[1].id", "roles"),
    ("one name for two", 'id = "sewn"', 'id = "length"', "measurement[0].id", "choice already"),
    ("rule", 'rule = "cut_lengths"', 'rule = "cut_length"', "figure[0].rule", '"cut_lengths"'),
    ("argument", "pieces = 1", "piece = 1", "figure[0].given.piece", '"pieces"'),
    ("wanted argument", "pieces = 1, ", "", "figure[0].given", "wants pieces, a count"),
    ("sort of argument", "pieces = 1", 'pieces = "1 m"', "figure[0].given.pieces", "a count"),
    ("name of argument", 'length = "length"', 'length = "lenth"', "figure[0].given.length",
     '"length"'),
    ("two kinds", 'rule = "cut_lengths"', 'rule = "cut_lengths"\nproduct = ["length"]',
     "figure[0]", "one of product, rule and by"),
    ("figure of figures", '[[figure]]', '[[figure]]\nid = "all"\nproduct = ["silk"]\n[[figure]]',
     "figure[0].product[0]", "put it above"),
    ("figure named twice", '[[figure]]', '[[figure]]\nid = "silk"\nproduct = ["length"]\n'
     '[[figure]]', "figure[1].id", "give that one a when"),
    ("too many lengths", '[[figure]]', '[[figure]]\nid = "x"\nproduct = ["length", "1 m", "1 m"]\n'
     '[[figure]]', "figure[0].product", "take one out"),
    ("value missing", '[[figure]]', '[[figure]]\nid = "x"\nby = "sewn"\nvalues = { hand = 1 }\n'
     '[[figure]]', "figure[0].values.machine", "machine = 0"),
    ("value of nothing", '[[figure]]', '[[figure]]\nid = "x"\nby = "sewn"\n'
     'values = { hand = 1, machine = 2, bench = 3 }\n[[figure]]', "figure[0].values.bench",
     "write"),
    ("values of two sorts", '[[figure]]', '[[figure]]\nid = "x"\nby = "sewn"\n'
     'values = { hand = 1, machine = "2 m" }\n[[figure]]', "figure[0].values", "different sorts"),
    ("technique", '"straight-seam"', '"strait-seam"', "step[1].technique", '"straight-seam"'),
    ("no technique", 'technique = "straight-seam"\n', "", "step[1].technique", "hours"),
    ("hours of no work", 'technique = "straight-seam"', 'hours = "1h"', "step[1].work", "hand"),
    ("amount", 'amount = ["tassels"]', 'amount = ["tasels"]', "step[3].amount[0]", '"tassels"'),
    ("sort of amount", 'amount = ["tassels"]', 'amount = ["length"]', "step[3].amount", "pieces"),
    ("unknown before", 'after = ["tassels"]', 'after = ["tassel"]', "step[4].after[0]",
     '"tassels"'),
    ("others before", 'after = ["tassels"]', 'after = ["coat:fittable"]', "step[4].after[0]",
     "over ="),
    ("circle", 'uses = [', 'after = ["tassels"]\nuses = [', "step[0].after", "circle"),
    ("step twice", 'id = "backstitch"', 'id = "seam"', "step[2].id", "already"),
    ("step like its garment", 'id = "try"', 'id = "sash"', "step[4].id", "another id"),
    ("date", 'at = "trial wear"', "on = 2027-10-01", "step[4].on", "no dates"),
    ("occasion", 'at = "trial wear"', 'at = "trial"', "step[4].at", '"trial wear"'),
    ("stage of others", 'stage = "wearable", why', 'stage = "worn", why', "step[4].over[0].stage",
     "fittable"),
    ("no roles", 'roles = ["coat"], ', "", "step[4].over[0].roles", "what it waits for"),
    ("spared", 'spared = ["cloth"]', 'spared = ["clth"]', "step[4].spared[0]", '"cloth"'),
    ("stock", 'stock = "silk"', 'stock = "slik"', "step[0].uses[0].stock", '"silk"'),
    ("sort of stock", 'amount = ["silk"]', "amount = [2]", "step[0].uses[0]", "change its per"),
    ("way", 'spared = ["cloth"]', 'instead = [{ technique = "fitting-garmen" }]',
     "step[4].instead[0].technique", '"fitting-garment"'),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "place", "said"), [pytest.param(*c[1:], id=c[0])
                                                           for c in BROKEN])  # fmt: skip
def test_a_mistake_in_an_order(old: str, new: str, place: str, said: str) -> None:
    """A mistake is one problem, at its key path and with what to write instead."""
    order, problems, _ = parsed(changed((old, new)) if SASH.count(old) == 1 else
                                SASH.replace(old, new, 1))  # fmt: skip
    assert order is None
    found = [problem for problem in problems if problem.place == place]
    assert len(found) == 1, [str(problem) for problem in problems]
    assert said in found[0].text
    assert found[0].file == "sash.toml"


def test_all_mistakes_are_told_at_once_in_the_files_order() -> None:
    """Mistakes in head, questions, figures and steps come together, the head's first."""
    text = changed(
        ('"buy"]', '"by"]'),
        ('default = "2.4 m"\n', ""),
        ('"cut_lengths"', '"cut"'),
        ('"straight-seam"', '"straight"'),
    )
    _, problems, _ = parsed(text)
    places = [problem.place for problem in problems]
    assert places == ["sources[1]", "measurement[0].default", "figure[0].rule", "step[1].technique"]


def test_odd_keys_are_warned_about() -> None:
    """A key that means nothing is kept and warned about, with the nearest there is."""
    order, problems, warnings = parsed(changed(('ask = "Ends"', 'ask = "Ends"\nhwo = "x"')))
    assert order is not None and problems == []
    assert [(w.place, '"how"' in w.text) for w in warnings] == [("choice[0].hwo", True)]


def test_more_than_eight_questions_at_once_are_too_many() -> None:
    """Questions that are never asked together don't add up; nine at once are a problem."""
    one = '[[measurement]]\nid = "m{}"\nask = "x"\nhow = "x"\ndefault = 1\n'
    one += 'when = {{ sewn = ["{}"] }}\n'
    apart = "".join(one.format(k, ("hand", "machine")[k % 2]) for k in range(8))
    order_of(SASH + apart)
    together = "".join(one.format(k, "hand") for k in range(6))
    _, problems, _ = parsed(SASH + together)
    assert [problem.text[:38] for problem in problems] == ["10 questions are asked at once, at mos"]


def test_names_stand_as_they_are_written() -> None:
    """Brackets, quotes, emoji and right-to-left names come through."""
    name = 'שמלה [b] "x" 🧵'
    text = changed(('name = "with tassels"', f"name = '{name}'"))
    assert order_of(text).choices[0].options[1].name == name


def test_the_catalogue_is_read_when_asked_for() -> None:
    """Every order there is reads without a problem, belongs to no file and has a group."""
    for order_id, order in orders().items():
        assert order.id == order_id
        assert order.file == ""
        assert order.group
    for source in source_orders():
        assert source_orders()[source].id == source


def test_an_order_of_ones_own_takes_the_place_of_the_catalogues() -> None:
    """The maker's own come first, and one with an id of the catalogue's wins."""
    shelf = orders_with([order_of(SASH), order_of(SASH, "ruff")])
    assert list(shelf)[:2] == ["sash", "ruff"]
    assert shelf["ruff"].name == "sash"
    assert len(shelf) == len(orders()) + 1
    assert len(list(shelf)) == len(shelf)
    assert "sash" in shelf and "no such thing" not in shelf


ROOM = 'format = 1\n[workroom_hours]\nsaturday = ["10:00-16:00"]\n'
HERON = """
format = 1
[[occasion]]
id = "regatta"
kind = "event"
at = 2027-05-22T11:00:00
[[garment]]
id = "coat"
[[garment.step]]
id = "cut"
hours = "1h"
work = "cutting"
"""


def workroom(folder: Path, **files: str) -> Path:
    """A workroom with these orders of its own."""
    (folder / "orders").mkdir()
    (folder / "workroom.toml").write_text(ROOM)
    (folder / "heron.toml").write_text(HERON)
    for name, text in files.items():
        (folder / "orders" / f"{name}.toml").write_text(text)
    return folder


def test_a_workrooms_own_orders_are_read_with_it(tmp_path: Path) -> None:
    """Orders stand in the project by name, each with its file; other files are passed over."""
    folder = workroom(tmp_path, sash=SASH, belt=SASH)
    (folder / "orders" / "notes.txt").write_text("[")
    project = read_project(folder)
    assert [order.id for order in project.orders] == ["belt", "sash"]
    assert project.orders[1].file == str(folder / "orders" / "sash.toml")
    assert read_project(folder / "heron.toml").orders == project.orders


def test_a_workroom_without_orders_pays_nothing_for_them(tmp_path: Path) -> None:
    """Neither orders nor the reader of orders are loaded where there is no such folder."""
    folder = workroom(tmp_path)
    (folder / "orders").rmdir()
    code = (
        "import sys; from pathlib import Path; from planner.files.reading import read_project; "
        f"read_project(Path({str(folder)!r})); "
        "sys.exit(any(name.startswith('planner.catalogue.order') for name in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_an_order_may_name_the_makers_own_techniques(tmp_path: Path) -> None:
    """Techniques of the workroom count, and one that is wrong isn't called missing as well."""
    folder = workroom(tmp_path, sash=changed(('"straight-seam"', '"our-seam"')))
    technique = 'format = 1\n[[technique]]\nid = "our-seam"\nper = "length"\nwork = "machine"\n'
    (folder / "techniques.toml").write_text(f"{technique}typical = 4\n")
    assert read_project(folder).orders[0].steps[1].work == "machine"
    (folder / "techniques.toml").write_text(technique)
    with pytest.raises(InputError) as caught:
        read_project(folder)
    assert [problem.place for problem in caught.value.problems] == ["technique[0].typical"]


def test_mistakes_in_orders_are_told_with_all_others(tmp_path: Path) -> None:
    """A broken order, one that is no TOML and a broken ensemble are told at once."""
    folder = workroom(tmp_path, belt="[", sash=changed(('"straight-seam"', '"strait-seam"')))
    (folder / "heron.toml").write_text(HERON.replace('"1h"', '"1x"'))
    with pytest.raises(InputError) as caught:
        read_project(folder)
    found = [(Path(problem.file).name, problem.place) for problem in caught.value.problems]
    assert found == [
        ("heron.toml", "garment[0].step[0].hours"),
        ("belt.toml", "line 1"),
        ("sash.toml", "step[1].technique"),
    ]
