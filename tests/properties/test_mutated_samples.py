"""Samples broken at random: an answer or a refusal with its place, never a traceback.

``WEARBY_MUTATIONS=2000`` in the environment tries so many in the tests;
``python -m tests.properties.test_mutated_samples 2000`` counts them by exit status.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import random
import re
import sys
import tempfile
import traceback
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from screens.command import main

SAMPLES = Path(__file__).parents[2] / "sample_projects"
TODAY = {
    "copper_wood_masque": "2027-03-06",
    "hallow_skerry": "2027-08-30",
    "oldmere_regatta": "2027-06-07",
}
MUTATIONS = int(os.environ.get("WEARBY_MUTATIONS", "150"))
GROUPS = 10
"""The tests' parts, so that several cores share them."""

Random = random.Random

ODD = ("\x00", "\ufeff", "\u2028", "ß", "\U0001f9f5", "\t", '"', "'''", "[", "]]", "{", "=", "#",
       "\r", "\x1b[31m", "\u202e", "é", "\\", "/", ":", ",", "%")  # fmt: skip
VALUES = (
    "true", "false", '""', "0", "-1", "1", "3.7", "-0.0", "nan", "inf", "-inf", "1e300", "1e-300",
    "99999999999999999999999", "9" * 5000, "[]", "[[]]", "{}", '"text"', '["text"]', '"-3 m"',
    '"0 m"', '"1e9 m"', '"999999999h"', '"0m"', '"1e5 nights"', '"100000 nights"', '"25:00-26:00"',
    '"10:00-10:00"', '"00:00-24:00"', '"23:59-00:01"', '"0%"', '"500%"', '"-5%"', "2027-02-30",
    "0001-01-01", "1900-01-01", "2199-12-31", "9999-12-31", "2027-05-22T11:00:00Z",
    "2027-05-22T11:00:00+01:00", "2027-05-22T11:00:00.999", "2027-05-22 11:00:00", "11:00:00",
    '"FREQ=DAILY"', '"FREQ=SECONDLY"', '"FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30"', '"1 day"',
    '"99999 days"', '"ball"', '"shift"', '"shift:wearable"', '"a/b/c/d"', '"fitting"', '"event"',
    '"1.5 m2"', '"3 furlong"', "[1, 2]", '["1 m", "1 m", "1 m"]', "2", "3", "10", "1000000",
    '"48h"', '"1 night"', '"none"', "[true]", "[{}]", '{ stock = "x" }', "0x10", "1_000",
)  # fmt: skip


def _lines(text: str) -> list[str]:
    return text.splitlines(keepends=True)


def _delete(text: str, r: Random) -> str:
    rows = _lines(text)
    at = r.randrange(len(rows))
    del rows[at : at + r.choice((1, 1, 1, 2, 5, 30))]
    return "".join(rows)


def _double(text: str, r: Random) -> str:
    rows = _lines(text)
    a = r.randrange(len(rows))
    some = rows[a : a + r.choice((1, 1, 3, 10))]
    b = r.choice((a, r.randrange(len(rows))))
    return "".join([*rows[:b], *some, *rows[b:]])


def _swap(text: str, r: Random) -> str:
    rows = _lines(text)
    a, b = r.randrange(len(rows)), r.randrange(len(rows))
    rows[a], rows[b] = rows[b], rows[a]
    return "".join(rows)


def _cut(text: str, r: Random) -> str:
    return text[: r.randrange(len(text))]


def _odd(text: str, r: Random) -> str:
    at = r.randrange(len(text))
    return text[:at] + r.choice(ODD) + text[at + r.randrange(2) :]


def _keys(text: str) -> list[re.Match[str]]:
    return list(re.finditer(r"(?m)^([\w-]+)( *= *)(.+?)((?: +#.*)?)$", text))


def _value(text: str, r: Random) -> str:
    """Another value for a key."""
    m = r.choice(_keys(text))
    return text[: m.start(3)] + r.choice(VALUES) + text[m.end(3) :]


def _others_value(text: str, r: Random) -> str:
    """The value of another key of the same file."""
    m, n = r.choice(_keys(text)), r.choice(_keys(text))
    return text[: m.start(3)] + n[3] + text[m.end(3) :]


def _same_keys_value(text: str, r: Random) -> str:
    """The value that the same key has elsewhere: mostly sound, and odd in sum."""
    m = r.choice(_keys(text))
    n = r.choice([k for k in _keys(text) if k[1] == m[1]])
    return text[: m.start(3)] + n[3] + text[m.end(3) :]


def _rename_key(text: str, r: Random) -> str:
    m = r.choice(_keys(text))
    to = r.choice((m[1] + "s", m[1][:-1], r.choice(_keys(text))[1], m[1].upper(), f'"{m[1]} "'))
    return text[: m.start(1)] + to + text[m.end(1) :]


def _rename_id(text: str, r: Random) -> str:
    """One id renamed, or all that is written like it."""
    found = list(re.finditer(r'(?m)^(?:id|stock|technique|during) = "(.*?)"', text))
    if not found:
        return _value(text, r)
    m = r.choice(found)
    to = r.choice((r.choice(found)[1], m[1] + "x", "", " ", "a/b", "a:b", m[1].upper(), "e", "9"))
    if r.random() < 0.3:
        return text.replace(f'"{m[1]}"', f'"{to}"')
    return text[: m.start(1)] + to + text[m.end(1) :]


def _reference(text: str, r: Random) -> str:
    """A word of some list replaced by one of another: circles, doubles and nothings."""
    words = list(re.finditer(r'(?m)(?<=[\[ ])"([\w:/ -]+)"(?=[,\]])', text))
    ids = re.findall(r'(?m)^id = "(.*?)"', text)
    if not words or not ids:
        return _others_value(text, r)
    m = r.choice(words)
    to = r.choice((r.choice(ids), r.choice(ids), r.choice(words)[1], m[1] + ":fittable", "nil"))
    return text[: m.start(1)] + to + text[m.end(1) :]


def _number(text: str, r: Random) -> str:
    """A number made negative, huge, nothing or another one."""
    m = r.choice(list(re.finditer(r"\d+(?:\.\d+)?", text)))
    other = str(r.randrange(99))
    by = r.choice(("0", "-" + m[0], m[0] + "000000", "1" + "0" * 30, m[0] + ".5", other, other))
    return text[: m.start()] + by + text[m.end() :]


def _date(text: str, r: Random) -> str:
    """A date far away, impossible, with an offset, or another one."""
    found = list(re.finditer(r"\d{4}-\d\d-\d\d(T[\d:]+)?", text))
    if not found:
        return _number(text, r)
    m = r.choice(found)
    to = r.choice((
        "1899-12-31", "1900-01-01", "2199-12-31", "2200-01-01", "9999-12-31", "2027-02-29",
        m[0][:10] + "T09:00:00Z", m[0][:10] + "T09:00:00-11:30", m[0][:10] + "T23:59:59",
        m[0][:10], r.choice(found)[0], f"2027-{r.randrange(1, 13):02}-{r.randrange(1, 29):02}",
        f"20{r.randrange(20, 40)}-06-15",
    ))  # fmt: skip
    return text[: m.start()] + to + text[m.end() :]


def _table(text: str, r: Random) -> str:
    """A whole table removed, doubled, renamed or moved to the end."""
    heads = [m.start() for m in re.finditer(r"(?m)^\[", text)] or [0]
    k = r.randrange(len(heads))
    a, b = heads[k], heads[k + 1] if k + 1 < len(heads) else len(text)
    return r.choice((
        text[:a] + text[b:],
        text[:b] + text[a:b] + text[b:],
        text[:a] + text[b:] + text[a:b],
        text[:a] + text[a:b].replace("[[", "[", 1).replace("]]", "]", 1) + text[b:],
        text[:a] + "[[garment]]\n" + text[a:],
    ))  # fmt: skip


def _flag(text: str, r: Random) -> str:
    """A sound key more in some step."""
    heads = [m.end() for m in re.finditer(r"(?m)^\[\[garment\.step\]\]\n", text)]
    if not heads:
        return _value(text, r)
    at = r.choice(heads)
    key = r.choice((
        "left_off = true", "done = true", "optional = true", "one_sitting = true", "hands = 2",
        "on = 2027-09-26", "on = 2027-06-12", "not_before = 2027-09-01", 'wait = "9 nights"',
        'wait = "5h"', 'stage = "wearable"', 'stage = "fittable"', "not_before = 2028-01-01",
        'place = "take-along"', 'hours = "900h"', 'hours = "1m"', 'wait = "400 nights"',
    ))  # fmt: skip
    return text[:at] + key + "\n" + text[at:]


CHANGES: tuple[Callable[[str, Random], str], ...] = (
    _delete, _double, _swap, _cut, _odd, _value, _value, _others_value, _same_keys_value,
    _same_keys_value, _same_keys_value, _rename_key, _rename_id, _reference, _reference, _number,
    _number, _date, _date, _table, _flag, _flag, _flag, _flag, _flag,
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """How a command ended."""

    seed: int
    what: str
    status: int | None
    """None where it raised."""
    out: str
    err: str
    trace: str = ""


def _mutate(folder: Path, seed: int) -> tuple[str, str, list[str]]:
    """Write a broken sample into ``folder``; what was done, its name, and further words."""
    r = Random(seed)
    sample = r.choice(sorted(TODAY))
    texts = {
        f.name: f.read_text(encoding="utf-8") for f in sorted((SAMPLES / sample).glob("*.toml"))
    }
    done = [sample]
    for _ in range(r.choice((1, 1, 1, 2, 3))):
        name, change = r.choice(sorted(texts)), r.choice(CHANGES)
        with contextlib.suppress(IndexError, ValueError):  # nothing of its kind is left in it
            texts[name] = change(texts[name], r)
        done.append(f"{change.__name__[1:]} {name}")
    if r.random() < 0.03:
        done.append("without " + texts.popitem()[0])
    for name, text in texts.items():
        (folder / name).write_bytes(text.encode("utf-8", "surrogatepass"))
    path = folder
    if r.random() < 0.1:
        path = folder / r.choice(sorted(texts))
    words = ["plan", str(path), "--today", TODAY[sample]]
    return ", ".join(done), sample, words + (["--json"] if r.random() < 0.3 else [])


def outcome(seed: int) -> Outcome:
    """Run the plan of one broken sample."""
    with tempfile.TemporaryDirectory() as root:
        what, _, words = _mutate(Path(root), seed)
        out, err = io.StringIO(), io.StringIO()
        status: int | None = None
        trace = ""
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            try:
                status = main(words)
            except (Exception, SystemExit):
                trace = traceback.format_exc()
    return Outcome(
        seed=seed, what=f"{what}: {' '.join(words[4:])}", status=status,
        out=out.getvalue(), err=err.getvalue(), trace=trace,
    )  # fmt: skip


PLACED = re.compile(r"^.+\.toml, (line \d+(, column \d+)?|[\w-]+(\[\d+\])?([.\[].*)?|\".*): \S")
FILED = re.compile(r"^.+(\.toml|wearby-\w+|tmp\w+): \S")
"""A problem of a whole file, such as one that is missing or not UTF-8, has no place in it."""
WHOLE_FILE = ("a number has too many digits", "brackets lie too deep", "there is no", "no ensemble")


def fault(found: Outcome) -> str | None:
    """What is wrong with how it ended; None where nothing is."""
    if found.trace:
        return found.trace
    if found.status not in (0, 1, 2):
        return f"exit status {found.status}"
    if "Traceback" in found.err:
        return found.err
    if found.status == 2:
        if not found.err.strip():
            return "exit status 2 without a message"
        for line in found.err.splitlines():
            whole = FILED.match(line) and any(w in line for w in WHOLE_FILE)
            if not PLACED.match(line) and not whole:
                return f"no file or place: {line}"
    elif not found.out.strip():
        return "no answer"
    if "--json" in found.what and found.out:
        json.loads(found.out)
    return None


@pytest.mark.parametrize("group", range(GROUPS))
def test_broken_samples_are_answered_or_refused_with_their_place(group: int) -> None:
    """Exit 0, 1 or 2, never a traceback; on 2 every message names its file and place."""
    faults = {}
    for seed in range(group, MUTATIONS, GROUPS):
        found = outcome(seed)
        text = fault(found)
        if text is not None:
            faults[seed, found.what] = text
    assert faults == {}


def test_mutations_are_told_by_their_seed(tmp_path: Path) -> None:
    """The same seed breaks the same sample alike."""
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        _mutate(tmp_path / name, 7)
    files = sorted(f.name for f in (tmp_path / "one").iterdir())
    assert files == sorted(f.name for f in (tmp_path / "two").iterdir())
    for file in files:
        assert (tmp_path / "one" / file).read_bytes() == (tmp_path / "two" / file).read_bytes()


def count(total: int) -> int:
    """Run so many mutations and print how they ended; 1 where any has a fault."""
    ends: Counter[int | None] = Counter()
    faulty = 0
    for seed in range(total):
        found = outcome(seed)
        ends[found.status] += 1
        text = fault(found)
        if text is not None:
            faulty += 1
            print(f"seed {seed} ({found.what}): {text}")
    print(f"{total} mutations; by exit status: {dict(ends)}; with faults: {faulty}")
    return 1 if faulty else 0


if __name__ == "__main__":
    sys.exit(count(int(sys.argv[1]) if len(sys.argv) > 1 else 2000))
