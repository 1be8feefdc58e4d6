"""Bar 1: published times of whole garments against what their orders make of them."""

from __future__ import annotations

import tomllib

from tests.bench.published import NOTED, WANTED, published


def test_six_of_eight_lie_between() -> None:
    """Of eight timed garments at least six were made in hours between low and high."""
    found = published()
    assert len(found) == 8
    rows = "\n".join(one.row for one in found)
    assert sum(one.lies_between for one in found) >= WANTED, rows


def test_none_is_far_off() -> None:
    """Those that miss were quicker than low by no more than a factor of three, none slower."""
    for one in published():
        assert one.where != "above", one.row
        assert one.most * 60 * 3 >= one.hours.low, one.row


def test_every_quantity_counts() -> None:
    """Each quantity noted is one the order asks for, and each has a source and what it assumes."""
    noted = tomllib.loads(NOTED.read_text("utf-8"))["garment"]
    for one, table in zip(published(), noted, strict=True):
        measurements = {m.id for m in one.split.working.measurements}
        choices = {c.id for c in one.split.working.choices}
        assert set(table["quantities"]) <= measurements
        assert set(table["choices"]) <= choices
        assert set(table["quantities"]) <= set(one.split.garment.measurements)
        assert table["source"] and table["known"] and table["assumed"]
