"""Workrooms that are wrong, each with the file, the place and a fragment of what is said.

``files`` are texts by name; ``workroom.toml`` and ``heron.toml`` are added where a case
doesn't bring its own. Cases ``by`` "planning" read without a problem and are found wrong when
the plan is made.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

WORKROOM = 'format = 1\n[workroom_hours]\nsaturday = ["10:00-16:00"]\n'
OCCASION = '[[occasion]]\nid = "regatta"\nkind = "event"\nat = 2027-05-22T11:00:00\n'
GARMENT = '[[garment]]\nid = "coat"\n'
STEP = '[[garment.step]]\nid = "cut"\nhours = "1h"\n'
HEM = '[[garment.step]]\nid = "hem"\nhours = "1h"\nwork = "hand"\n'
SEWN = STEP + 'work = "hand"\n'
HERON = f"format = 1\n{OCCASION}{GARMENT}{STEP}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One broken workroom."""

    name: str
    files: Mapping[str, str | bytes] = field(default_factory=dict)
    file: str = "heron.toml"
    place: str = ""
    said: str = ""
    by: str = "reading"


def heron(name: str, more: str, place: str, said: str, by: str = "reading") -> Case:
    """A case whose ensemble goes on with ``more`` after one garment with one step."""
    return Case(name=name, files={"heron.toml": HERON + more}, place=place, said=said, by=by)


def room(name: str, text: str, place: str, said: str) -> Case:
    """A case of workroom.toml."""
    return Case(
        name=name, files={"workroom.toml": text}, file="workroom.toml", place=place, said=said
    )


def entry(name: str, text: str, place: str, said: str) -> Case:
    """A case of the diary's first entry."""
    text = f"format = 1\n[[entry]]\n{text}"
    return Case(name=name, files={"diary.toml": text}, file="diary.toml", place=place, said=said)


def occasion(name: str, lines: str, key: str, said: str) -> Case:
    """A case of a second occasion."""
    more = f'[[occasion]]\nid = "fitting"\n{lines}\n'
    return heron(name, more, f"occasion[1].{key}", said)


def plan(name: str, text: str, place: str, said: str) -> Case:
    """A case found when the plan is made."""
    files = {"heron.toml": f"format = 1\n{OCCASION}{text}"}
    return Case(name=name, files=files, place=place, said=said, by="planning")


SYNTAX = (
    Case(
        name="no closing quotation mark",
        files={"heron.toml": 'format = 1\nname = "Heron\n'},
        place="line 2, column",
        said="closing quotation mark may be missing",
    ),
    Case(
        name="no value",
        files={"heron.toml": "format = 1\nname =\n"},
        place="line 2, column 7",
        said="this is no value",
    ),
    Case(
        name="text without quotes",
        files={"heron.toml": "name = Heron\n"},
        place="line 1, column 8",
        said="put text in quotes",
    ),
    Case(
        name="list not closed",
        files={"heron.toml": 'after = ["cut"\n'},
        place="line 1",
        said="close it with ]",
    ),
    Case(
        name="a key twice",
        files={"heron.toml": 'name = "a"\nname = "b"\n'},
        place="line 2",
        said="twice",
    ),
    Case(
        name="a table twice",
        files={"workroom.toml": "[sofa_hours]\n[sofa_hours]\n"},
        file="workroom.toml",
        place="line 2",
        said="headed twice",
    ),
    Case(
        name="a date that doesn't exist",
        files={"heron.toml": "at = 2027-02-30\n"},
        place="line 1, column 6",
        said="no such date",
    ),
    Case(
        name="not UTF-8",
        files={"heron.toml": b'format = 1\nname = "Gar\xe7on"\n'},
        place="line 2",
        said="0xE7) is not UTF-8",
    ),
    Case(name="brackets without end", files={"heron.toml": "a = " + "[" * 5000}, said="too deep"),
    Case(name="thousands of digits", files={"heron.toml": "a = " + "9" * 5000}, said="digits"),
    Case(
        name="a NUL byte",
        files={"heron.toml": b'name = "a\x00b"\n'},
        place="line 1, column",
        said="no text may hold",
    ),
)

HOURS = (
    room("a later format", "format = 2\n", "format", "reads format 1"),
    room("format as text", 'format = "1"\n', "format", "reads format 1"),
    room("format true", "format = true\n", "format", "reads format 1"),
    room("a weekday misspelt", '[sofa_hours]\ntusday = ["10:00-11:00"]', "sofa_hours.tusday",
         'did you mean "tuesday"?'),
    room("a weekday in capitals", "[sofa_hours]\nMonday = []", "sofa_hours.Monday", '"monday"'),
    room("a span of nothing", '[workroom_hours]\nmonday = ["10:00-10:00"]',
         "workroom_hours.monday[0]", "ends when it begins"),
    room("hour 25", '[workroom_hours]\nmonday = ["09:00-10:00", "10:00-25:00"]',
         "workroom_hours.monday[1]", "no clock shows"),
    room("hours in words", '[workroom_hours]\nmonday = ["evening"]', "workroom_hours.monday[0]",
         "is not a span"),
    room("a time for a span", "[workroom_hours]\nmonday = [10:00:00]", "workroom_hours.monday[0]",
         "in quotes"),
    room("hours as a list", 'workroom_hours = ["10:00-12:00"]', "workroom_hours",
         "this is a list"),
    room("too full", 'fill_to = "170%"', "fill_to", "at most 100%"),
    room("filled to less than nothing", 'fill_to = "-5%"', "fill_to", "-5%"),
    room("a share without per cent", "fill_to = 0.7", "fill_to", "this is a number"),
    room("units unknown", 'units = "metrical"', "units", 'did you mean "metric"?'),
    room("setting up in words", 'setting_up = "a while"', "setting_up", "not a duration"),
    room("a change of no day", "[[change]]\nworkroom = []", "change[0]", "names no day"),
    room("a day and a span", "[[change]]\non = 2027-05-01\nfrom = 2027-05-02\nworkroom = []",
         "change[0].on", "keep one"),
    room("to alone", "[[change]]\nto = 2027-05-01\nworkroom = []", "change[0].to", "names no day"),
    room("a span backwards", "[[change]]\nfrom = 2027-05-16\nto = 2027-05-14\nsofa = []",
         "change[0].to", "is before"),
    room("a rule with to",
         '[[change]]\nrule = "FREQ=DAILY"\nfrom = 2027-05-14\nto = 2027-05-16\nsofa = []',
         "change[0].to", "UNTIL"),
    room("a rule by the hour", '[[change]]\nrule = "FREQ=HOURLY"\nsofa = []', "change[0].rule",
         "within a day"),
    room("a rule in words", '[[change]]\nrule = "every Tuesday"\nsofa = []', "change[0].rule",
         "is not a rule"),
    room("a rule of no weekday", '[[change]]\nrule = "FREQ=WEEKLY;BYDAY=XX"\nsofa = []',
         "change[0].rule", "is not a rule"),
    room("an interval without from", '[[change]]\nrule = "FREQ=WEEKLY;INTERVAL=2"\nsofa = []',
         "change[0].rule", "add from"),
    room("an interval of nothing",
         '[[change]]\nfrom = 2027-05-01\nrule = "FREQ=DAILY;INTERVAL=0"\nsofa = []',
         "change[0].rule", "1 or more"),
    room("a first Tuesday of the week", '[[change]]\nrule = "FREQ=WEEKLY;BYDAY=1TU"\nsofa = []',
         "change[0].rule", "FREQ=MONTHLY"),
    room("change as a table", "[change]\non = 2027-05-01", "change", "[[change]]"),
)  # fmt: skip

OCCASIONS = (
    occasion("a kind misspelt", 'kind = "fiting"\nat = 2027-05-01', "kind", '"fitting"?'),
    occasion("no kind", "at = 2027-05-01", "kind", "kind is missing"),
    occasion("no date", 'kind = "fitting"', "at", "at is missing"),
    occasion("a date with an offset", 'kind = "fitting"\nat = 2027-05-01T10:00:00+02:00', "at",
             "offset"),
    occasion("a time for a date", 'kind = "fitting"\nat = 10:00:00', "at", "a time of day"),
    occasion("a date in quotes", 'kind = "fitting"\nat = "2027-05-01"', "at", "without quotes"),
    occasion("a year beyond reach", 'kind = "fitting"\nat = 9999-12-31', "at", "year 9999"),
    occasion("a margin in weeks", 'kind = "event"\nat = 2027-05-01\nmargin = "2 weeks"', "margin",
             "not a margin"),
    occasion("held as text", 'kind = "event"\nat = 2027-05-01\nheld = "no"', "held",
             "true or false"),
    heron("an occasion twice", OCCASION, "occasion[1].id", "occasion[0]"),
)  # fmt: skip

GARMENTS = (
    heron("a garment twice", GARMENT, "garment[1].id", "garment[0]"),
    heron("a garment without id", '[[garment]]\nname = "x"', "garment[1].id", "id is missing"),
    heron("an empty id", '[[garment]]\nid = " "', "garment[1].id", "is empty"),
    heron("an id with a slash", '[[garment]]\nid = "a/b"', "garment[1].id", "which join ids"),
    heron("an id with a colon", '[[garment]]\nid = "a:b"', "garment[1].id", "which join ids"),
    heron("a layer in half", "[[garment]]\nid = 'hat'\nlayer = 1.5", "garment[1].layer",
          "a whole number"),
    heron("a layer true", "[[garment]]\nid = 'hat'\nlayer = true", "garment[1].layer",
          "true or false (true)"),
    heron("a source unknown", "[[garment]]\nid = 'hat'\nsource = 'borow'", "garment[1].source",
          'did you mean "borrow"?'),
    heron("a measurement not finite", "[garment.measurements]\nhem = inf",
          "garment[0].measurements.hem", "finite"),
    heron("a measurement without unit", '[garment.measurements]\n"hem line" = "2,4 m"',
          'garment[0].measurements."hem line"', "is not an amount"),
    heron("a measurement called 12", '[garment.measurements]\n12 = "2 m"',
          "garment[0].measurements.12", "no name"),
    heron("a stock twice", "[[stock]]\nid = 'a'\n[[stock]]\nid = 'a'", "stock[1].id", "stock[0]"),
    heron("less than nothing in stock", "[[stock]]\nid = 'a'\nhave = -1", "stock[0].have",
          "less than nothing"),
    heron("a delivery of nothing said", "[[stock]]\nid = 'a'\n[[stock.coming]]",
          "stock[0].coming[0].amount", "amount is missing"),
    heron("a lead in hours", "[[stock]]\nid = 'a'\nlead = '3h'", "stock[0].lead",
          "not a number of days"),
)  # fmt: skip

STEPS = (
    heron("a step twice", STEP, "garment[0].step[1].id", "garment[0].step[0]"),
    heron("hours as a number", "[[garment.step]]\nid = 'x'\nhours = 2",
          "garment[0].step[1].hours", "this is a number"),
    heron("hours of nothing", "[[garment.step]]\nid = 'x'\nhours = '0m'",
          "garment[0].step[1].hours", "is nothing"),
    heron("bounds the wrong way", "low = '2h'", "garment[0].step[0].low", "more than hours"),
    heron("bounds without hours", "[[garment.step]]\nid = 'x'\nhigh = '2h'",
          "garment[0].step[1].high", "add hours"),
    heron("three hands", "hands = 3", "garment[0].step[0].hands", "from 1 to 2"),
    heron("effort of nothing", "effort = 0", "garment[0].step[0].effort", "more than 0"),
    heron("effort too great", "effort = 20.5", "garment[0].step[0].effort", "at most 20"),
    heron("effort not a number", "effort = nan", "garment[0].step[0].effort", "more than 0"),
    heron("effort in words", 'effort = "1.3"', "garment[0].step[0].effort", "a number"),
    heron("choice that is no word", '[[garment]]\nid = "cap"\nchoices.lined = true\n',
          "garment[1].choices.lined", "text in quotes"),
    heron("choice of nothing", '[[garment]]\nid = "cap"\nchoices.lined = " "\n',
          "garment[1].choices.lined", "are words"),
    Case(name="something to pack that is no word", place="pack[1]", said="write text",
         files={"heron.toml": 'pack = ["shoes", 2]\n' + HERON}),
    heron("missed too much", "missed = 6", "garment[0].step[0].missed", "from 1 to 5"),
    heron("a stage unknown", "stage = 'wearabel'", "garment[0].step[0].stage", '"wearable"?'),
    heron("work unknown", "work = 'sewing'", "garment[0].step[0].work", "is not a work"),
    heron("a place unknown", "place = 'take along'", "garment[0].step[0].place", '"take-along"?'),
    heron("a fixed day with a time", "on = 2027-05-01T10:00:00", "garment[0].step[0].on",
          "the date alone"),
    heron("a wait in days", "wait = '2 days'", "garment[0].step[0].wait", "not a wait"),
    heron("after a number", "after = [1]", "garment[0].step[0].after[0]", "write text"),
    heron("an amount that is none", "amount = ['2.4 metres']", "garment[0].step[0].amount[0]",
          "is not an amount"),
    heron("an amount true", "amount = [true]", "garment[0].step[0].amount[0]", "true or false"),
    heron("uses of no stock", "uses = [{ extra = '5%' }]", "garment[0].step[0].uses[0].stock",
          "stock is missing"),
    heron("extra without per cent", "uses = [{ stock = 'a', extra = '5' }]",
          "garment[0].step[0].uses[0].extra", "per cent"),
    heron("two ways chosen", "instead = [{ chosen = true }, { chosen = true }]",
          "garment[0].step[0].instead[1].chosen", "chosen already"),
    heron("steps as text", "[[garment]]\nid = 'hat'\nstep = 'cut'", "garment[1].step",
          "a list of tables"),
)  # fmt: skip

DIARY = (
    entry("an entry without date", 'step = "heron/coat/cut"', "entry[0].at", "at is missing"),
    entry(
        "an entry without step", "at = 2027-05-01\nminutes = 5", "entry[0].step", "step is missing"
    ),
    entry("an entry for half an id", 'at = 2027-05-01\nstep = "cut"', "entry[0].step",
          "ensemble/garment/step"),
    entry("minutes below nothing", 'at = 2027-05-01\nstep = "heron/coat/cut"\nminutes = -5',
          "entry[0].minutes", "from 0"),
    entry("done with minutes left",
          'at = 2027-05-01\nstep = "heron/coat/cut"\ndone = true\nleft = "1h"', "entry[0].left",
          "keep one"),
)  # fmt: skip

PLANNING = (
    plan("a circle", GARMENT + SEWN + 'after = ["hem"]\n' + HEM + 'after = ["cut"]\n',
         "garment[0].step[", "circle"),
    plan("after nothing there is", GARMENT + SEWN + 'after = ["cat"]\n',
         "garment[0].step[0].after", "cat"),
    plan("an id of two things", GARMENT + '[[garment]]\nid = "regatta"\n' + SEWN
         + '[[garment]]\nid = "hat"\n' + SEWN + 'after = ["regatta"]\n',
         "garment[2].step[0].after", "regatta"),
    plan("a technique unknown", GARMENT + '[[garment.step]]\nid = "x"\ntechnique = "wave-wand"\n',
         "garment[0].step[0]", "wave-wand"),
    plan("a measurement unknown", GARMENT + '[[garment.step]]\nid = "x"\n'
         'technique = "hem-by-hand"\namount = ["brim"]\n', "garment[0].step[0].amount", "brim"),
    plan("an area where a length is wanted", GARMENT + '[[garment.step]]\nid = "x"\n'
         'technique = "hem-by-hand"\namount = ["2 m", "3 m"]\n', "garment[0].step[0]", "length"),
    plan("wants what follows itself", GARMENT + SEWN + 'during = "fit"\n'
         + HEM + 'after = ["fit"]\n'
         '[[occasion]]\nid = "fit"\nkind = "fitting"\nat = 2027-05-01\nwants = ["coat/hem"]\n',
         "occasion[1].wants", "hem"),
)  # fmt: skip

CASES = (*SYNTAX, *HOURS, *OCCASIONS, *GARMENTS, *STEPS, *DIARY, *PLANNING)
