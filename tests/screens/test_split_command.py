"""`wearby split`: steps, hours and stock of a garment, as text and as JSON."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from planner.catalogue.shelf import orders
from screens.command import main
from screens.wording import cells

Printed = pytest.CaptureFixture[str]

OWN = """format = 1
name = "[bold]Mantelet[/] \\"é\\" \\u202e\\u001b[2J 🧵"
group = "own wear"
layer = 9
[[measurement]]
id = "hem"
ask = "Hem"
how = "All round."
default = "2 m"
[[stock]]
id = "wool"
name = "wool [red]"
[[step]]
id = "cut"
hours = "1h"
work = "cutting"
[[step]]
id = "hem"
technique = "hem-by-hand"
amount = ["hem"]
after = ["cut"]
uses = [{ stock = "wool", amount = ["hem", 2] }]
stage = "wearable"
"""


def told(capsys: Printed, *words: str) -> dict[str, Any]:
    """What a command prints as JSON; it must succeed."""
    assert main(["split", *words, "--json"]) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """A workroom with an order of its maker's own and no ensemble yet."""
    (tmp_path / "workroom.toml").write_text("format = 1\n")
    (tmp_path / "orders").mkdir()
    (tmp_path / "orders" / "mantelet.toml").write_text(OWN)
    return tmp_path


def test_every_garment_is_split_into_text_of_eighty_columns(capsys: Printed) -> None:
    """Each order prints its steps, in plain text that fits a terminal of 80 columns."""
    for kind in orders():
        assert main(["split", kind]) == 0
        printed = capsys.readouterr()
        assert printed.err == ""
        lines = printed.out.splitlines()
        assert max(cells(line) for line in lines) <= 80, kind
        assert "In working order; hours as usual, and at the least and most:" in lines


def test_steps_stand_behind_what_they_follow(capsys: Printed) -> None:
    """Working order: whatever is chosen, a step comes after all that it follows."""
    for kind in orders():
        done: set[str] = set()
        for step in told(capsys, kind)["steps"]:
            assert done.issuperset(step["after"])
            done.add(step["id"])


def test_a_measurement_changes_hours_and_stock(capsys: Printed) -> None:
    """What is answered counts: more bones take longer and want more boning."""
    usual, more = told(capsys, "stays"), told(capsys, "stays", "bones=80", "sewn=hand")
    assert more["answers"]["bones"] == 80
    assert more["answers"]["sewn"] == "hand"
    assert usual["answers"] == {**usual["answers"], "source": "make", "bones": 44}
    assert more["total"]["typical"] > usual["total"]["typical"]
    stock = [{one["id"]: one["amount"] for one in found["stock"]} for found in (usual, more)]
    assert stock[1]["bones"] > stock[0]["bones"]


def test_the_keys_of_a_split(capsys: Printed) -> None:
    """Steps say what the plan's steps say; the total is their sum; stock has its unit."""
    found = told(capsys, "stays")
    assert (found["kind"], found["source"]) == ("stays", "make")
    for key in ("low", "typical", "high"):
        assert found["total"][key] == sum(step["minutes"][key] for step in found["steps"])
    eyelets = next(step for step in found["steps"] if step["id"] == "eyelets")
    assert eyelets["work"] == "hand"
    assert eyelets["place"] == "sofa"
    assert eyelets["stage"] == "fittable"
    assert (eyelets["amount"], eyelets["unit"]) == (26, "piece")
    assert eyelets["after"] == ["lacing-edges"]
    fit = next(step for step in found["steps"] if step["id"] == "fit")
    assert fit["at"] == "fitting"
    assert fit["over"][0]["roles"] == ["shift"]
    assert {one["unit"] for one in found["stock"]} <= {"m", "m2", "piece"}


def test_where_it_comes_from_changes_the_steps(capsys: Printed) -> None:
    """What is altered has the short order of alterations, and its own questions."""
    made, altered = told(capsys, "stays"), told(capsys, "stays", "source=alter")
    assert altered["source"] == "alter"
    assert altered["total"]["typical"] < made["total"]["typical"]
    assert "panels" not in altered["answers"]


def test_a_first_time_takes_longer(capsys: Printed) -> None:
    """`first=yes` multiplies minutes and leaves the stock alone."""
    usual, first = told(capsys, "shift"), told(capsys, "shift", "first=yes")
    assert first["total"]["typical"] > 1.3 * usual["total"]["typical"]
    assert first["stock"] == usual["stock"]


def test_options_may_stand_between_answers(capsys: Printed) -> None:
    """Where an option stands makes no difference."""
    assert main(["split", "--json", "stays", "bones=50"]) == 0
    before = capsys.readouterr().out
    assert main(["split", "stays", "--json", "bones=50"]) == 0
    assert capsys.readouterr().out == before


def test_each_caution_is_said_once(capsys: Printed) -> None:
    """A caution stands at the first step that carries it, and nowhere else."""
    for kind in ("stays", "foam-armour", "petticoat", "wig"):
        cautions = {step["caution"] for step in told(capsys, kind)["steps"]} - {""}
        main(["split", kind])
        text = " ".join(capsys.readouterr().out.split())
        for caution in cautions:
            assert text.count(" ".join(caution.split())) == 1, caution


def test_all_that_is_wrong_is_told_at_once(capsys: Printed) -> None:
    """Every answer that can't be meant is named with its place, and nothing is printed."""
    words = [
        "bones=x",
        "eyelets=3 m",
        "edge=3",
        "sewn=glued",
        "tassels=4",
        "bare",
        "tabs=2",
        "tabs=3",
    ]
    assert main(["split", "stays", *words]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    for place in ("bones", "eyelets", "edge", "sewn", "tassels", "tabs"):
        assert f"command line, {place}: " in printed.err
    assert "“bare” is no answer" in printed.err
    assert "Traceback" not in printed.err


def test_wrong_input_is_also_json(capsys: Printed) -> None:
    """With --json the problems are an object on standard output."""
    assert main(["split", "stays", "bones=x", "--json"]) == 2
    problems = json.loads(capsys.readouterr().out)["problems"]
    assert [one["place"] for one in problems] == ["bones"]


@pytest.mark.parametrize(
    ("kind", "said"),
    [("stais", "did you mean stays?"), ("zzz", "wearby garments lists all there are")],
)
def test_an_unknown_garment_names_the_nearest(kind: str, said: str, capsys: Printed) -> None:
    """A garment that there is no order for: status 2, with what could be meant."""
    assert main(["split", kind]) == 2
    assert said in capsys.readouterr().err


def test_a_name_does_as_well_as_an_id(capsys: Printed) -> None:
    """Capitals or not."""
    assert told(capsys, "Stays, 18th Century") == told(capsys, "stays")


def test_the_makers_own_orders_count(
    own: Path, capsys: Printed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By --workroom, or by standing in it; names of any letters are shown literally."""
    assert main(["split", "mantelet"]) == 2
    capsys.readouterr()
    assert main(["split", "mantelet", "--workroom", str(own), "hem=3 m"]) == 0
    text = capsys.readouterr().out
    assert '[bold]Mantelet[/] "é"' in text
    assert "🧵" in text
    assert "wool [red]" in text
    assert "\x1b" not in text and "\u202e" not in text
    monkeypatch.chdir(own)
    assert told(capsys, "mantelet")["stock"][0]["amount"] == 4


def test_own_techniques_win(own: Path, capsys: Printed) -> None:
    """A technique that the maker corrected counts in every split."""
    (own / "techniques.toml").write_text(
        'format = 1\n[[technique]]\nid = "eyelet-by-hand"\nname = "eyelets, my pace"\n'
        'per = "count"\nunit = "eyelet"\nlow = 30\ntypical = 40\nhigh = 50\n'
        'work = "hand"\nplace = "sofa"\n'
    )
    found = told(capsys, "stays", "--workroom", str(own))
    eyelets = next(step for step in found["steps"] if step["id"] == "eyelets")
    assert eyelets["name"] == "eyelets, my pace"
    assert eyelets["minutes"]["typical"] >= 26 * 40


def test_a_mistake_in_an_own_order_is_told(own: Path, capsys: Printed) -> None:
    """With file and place, like any other; mistakes in ensembles are in nobody's way."""
    (own / "ball.toml").write_text("this is no TOML")
    assert main(["split", "stays", "--workroom", str(own)]) == 0
    (own / "orders" / "mantelet.toml").write_text(OWN.replace("hem-by-hand", "hem-by-hnd"))
    capsys.readouterr()
    assert main(["split", "stays", "--workroom", str(own)]) == 2
    said = capsys.readouterr().err
    assert "mantelet.toml, step[1].technique" in said
    assert "hem-by-hand" in said


def test_a_folder_that_is_not_there(capsys: Printed) -> None:
    """Said plainly, status 2."""
    assert main(["split", "stays", "--workroom", "no/such/folder"]) == 2
    assert "no/such/folder" in capsys.readouterr().err


def test_looking_up_never_imports_the_screens_toolkit() -> None:
    """Commands of the catalogue answer at once: Textual and Rich stay where they are."""
    script = (
        "import sys\nfrom screens.command import main\n"
        "for words in ('split stays', 'garments', 'techniques', 'split stays --json'):\n"
        "    main(words.split())\n"
        "heavy = [name for name in ('textual', 'rich', 'tomlkit') if name in sys.modules]\n"
        "print(heavy, file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONPATH": "."},
    )
    assert done.stderr.strip() == "[]"
