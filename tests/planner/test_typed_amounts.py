"""Amounts as people type them, and what is said of those that are none."""

from __future__ import annotations

import pytest

from planner.catalogue import shelf
from planner.files.checks import quantity_of
from planner.quantity import LENGTH, Quantity
from planner.splitting.answers import amount_of, measured

LENGTH_WANTED = "write a length with its unit, as 2.4 m"
COUNT_WANTED = "write a whole number, as 12"


@pytest.mark.parametrize(
    ("typed", "like", "told"),
    [
        ("-1", Quantity(value=6.0), f'"-1" is no count: {COUNT_WANTED}'),
        ("three", Quantity(value=6.0), f'"three" is no count: {COUNT_WANTED}'),
        ("3 m", Quantity(value=6.0), f'"3 m" is no count: {COUNT_WANTED}'),
        ("", Quantity(value=6.0), COUNT_WANTED.capitalize()),
        ("x", Quantity(value=1.5), '"x" is no count: write a number, as 1.5'),
        ("-1", Quantity(value=2.0, dimension=LENGTH), f'"-1" is no length: {LENGTH_WANTED}'),
        ("3", Quantity(value=2.0, dimension=LENGTH), f'"3" is no length: {LENGTH_WANTED}'),
        (" ", Quantity(value=2.0, dimension=LENGTH), LENGTH_WANTED.capitalize()),
        (
            "1,200 m",
            Quantity(value=2.0, dimension=LENGTH),
            f'"1,200 m" is no length: {LENGTH_WANTED}; with a point, not a comma',
        ),
        ("3 m", Quantity(value=2.0, dimension=2), '"3 m" is no area: write an area with its unit'),
    ],
)
def test_a_wrong_amount_is_told_how_its_sort_is_written(
    typed: str, like: Quantity, told: str
) -> None:
    """What is no amount of the sort is answered by how this sort is written."""
    with pytest.raises(ValueError) as caught:
        amount_of(typed, like)
    assert str(caught.value).startswith(told)


def test_amounts_as_people_type_them() -> None:
    """A decimal comma is a point, nothing is nothing of any sort; inches in imperial units."""
    length = Quantity(value=2.0, dimension=LENGTH)
    assert amount_of("3,2 m", length) == amount_of("3.2 m", length)
    assert amount_of("0", length) == Quantity(value=0.0, dimension=LENGTH)
    assert amount_of("2,5", Quantity(value=1.5)) == Quantity(value=2.5)
    with pytest.raises(ValueError, match="as 36 in"):
        amount_of("wide", length, "imperial")


@pytest.mark.parametrize("typed", ["9999999999999999999 m", "9" * 400 + " m"])
def test_more_than_can_be_meant_is_told_as_typed(typed: str) -> None:
    """However large a number is, it is told as it was typed, and short."""
    asked = shelf.orders()["petticoat"].measurements
    question = next(one for one in asked if one.default.dimension == LENGTH)
    with pytest.raises(ValueError, match="more than can be meant") as caught:
        measured(question, typed)
    assert "e+" not in str(caught.value) and "inf" not in str(caught.value)
    assert len(str(caught.value)) < 100
    with pytest.raises(ValueError, match="larger than anything") as caught:
        quantity_of(typed)
    assert "e+" not in str(caught.value)
