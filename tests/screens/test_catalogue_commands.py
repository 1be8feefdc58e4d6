"""`wearby garments` and `wearby techniques`, and the list of commands."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

import planner.catalogue
from planner.catalogue import techniques
from planner.catalogue.order_reading import parse_order
from planner.catalogue.shelf import orders
from planner.model import Source, Work
from screens import arguments
from screens.command import main
from screens.wording import cells
from tests.screens.test_split_command import OWN

Printed = pytest.CaptureFixture[str]
CATALOGUE = Path(planner.catalogue.__file__).parent


def told(capsys: Printed, *words: str) -> list[dict[str, Any]]:
    """The list that a command prints as JSON; it must succeed."""
    assert main([*words, "--json"]) == 0
    found: list[dict[str, Any]] = json.loads(capsys.readouterr().out)
    return found


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """A workroom with an order and a technique of its maker's own."""
    (tmp_path / "workroom.toml").write_text("format = 1\n")
    (tmp_path / "orders").mkdir()
    (tmp_path / "orders" / "mantelet.toml").write_text(OWN)
    (tmp_path / "techniques.toml").write_text(
        'format = 1\n[[technique]]\nid = "goldwork"\nname = "gold [work] \\u001b"\nper = "length"\n'
        'low = 30\ntypical = 40\nhigh = 50\nwork = "hand"\nplace = "sofa"\ncaution = "Rest."\n'
    )
    return tmp_path


def test_every_garment_is_listed_with_its_hours(capsys: Printed) -> None:
    """As objects with an id: questions, sources and minutes; there are 24 kinds at least."""
    found = told(capsys, "garments")
    assert {one["id"] for one in found} == set(orders())
    assert len(found) >= 24
    for one in found:
        assert 0 < one["minutes"]["low"] <= one["minutes"]["typical"] <= one["minutes"]["high"]
        assert set(one["sources"]) <= set(Source)
        assert one["source"]
        assert not one["own"]
        for question in (*one["measurements"], *one["choices"]):
            assert question["ask"]
        assert {"cloth", "first"} <= {choice["id"] for choice in one["choices"]}


def test_garments_as_text(capsys: Printed) -> None:
    """By group, in 80 columns, each with what it asks and where its order is from."""
    assert main(["garments"]) == 0
    text = capsys.readouterr().out
    assert max(cells(line) for line in text.splitlines()) <= 80
    for order in orders().values():
        assert f"\n  {order.id} " in text
        assert f"\n{order.group}\n" in text
    assert text.index("next to the skin") < text.index("outer wear") < text.index("all together")


def test_the_makers_own_garments_are_listed_too(
    own: Path, capsys: Printed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Given a workroom, or standing in one; whatever letters a name has."""
    found = {one["id"]: one for one in told(capsys, "garments", str(own))}
    assert found["mantelet"]["own"]
    assert len(found) == len(orders()) + 1
    monkeypatch.chdir(own)
    assert main(["garments"]) == 0
    text = capsys.readouterr().out
    assert "[bold]Mantelet[/]" in text
    assert "Your own, " in text
    assert "\x1b" not in text


def test_every_technique_is_listed(capsys: Printed) -> None:
    """As objects with an id: rate, set-up, place, source and caution."""
    found = told(capsys, "techniques")
    assert [one["id"] for one in found] != []
    assert {one["id"] for one in found} == set(techniques())
    for one in found:
        assert one["rate"]["low"] <= one["rate"]["typical"] <= one["rate"]["high"]
        assert one["source"]
        assert one["place"] in ("workroom", "sofa", "take_along")
    works = [one["work"] for one in found]
    assert works == sorted(works, key=[work.value for work in Work].index)


def test_techniques_as_text(own: Path, capsys: Printed) -> None:
    """In 80 columns, the maker's own among them, each caution once."""
    assert main(["techniques", str(own)]) == 0
    text = capsys.readouterr().out
    assert "\x1b" not in text
    assert max(cells(line) for line in text.splitlines()) <= 80
    assert "goldwork; gold [work], your own" in text
    joined = " ".join(text.split())
    for caution in {one.caution for one in techniques().values()} - {""}:
        assert joined.count(f" {' '.join(caution.split())} (") == 1
    assert "Labels, data sheets, local rules and qualified people come first." in text


def test_the_catalogues_own_orders_pass_every_check() -> None:
    """The shelf reads them without a trial split, so it is made here: nothing is wrong or odd."""
    for folder in ("orders", "sources"):
        for path in sorted((CATALOGUE / folder).glob("*.toml")):
            document = tomllib.loads(path.read_text("utf-8"))
            order, problems, _ = parse_order(document, path.name, path.stem, techniques())
            assert problems == []
            assert order is not None


def test_help_is_one_screen(capsys: Printed) -> None:
    """Every command in a screen of 80 columns and 24 lines; each has help of its own."""
    with pytest.raises(SystemExit):
        main(["--help"])
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) <= 24
    assert max(cells(line) for line in lines) <= 80
    for name in arguments.NAMES:
        assert any(line.startswith(f"  {name} ") for line in lines)
        with pytest.raises(SystemExit) as left:
            main([name, "--help"])
        assert left.value.code == 0
        assert f"usage: wearby {name}" in capsys.readouterr().out


def test_the_version_is_told(capsys: Printed) -> None:
    """The version is told, and nothing else is wanted for it."""
    assert main(["--version"]) == 0
    assert capsys.readouterr().out.startswith("wearby ")
