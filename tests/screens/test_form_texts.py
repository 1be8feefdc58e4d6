"""What is typed in forms, as the values of a file and back."""

from __future__ import annotations

from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from screens.forms.checked import key_of, said
from screens.forms.texts import (
    amount_from,
    amount_text,
    coming_from,
    coming_text,
    join_list,
    moment_from,
    moment_text,
    number_from,
    pairs_from,
    split_list,
    uses_from,
    uses_text,
    without_or_with,
)

TODAY = date(2027, 5, 5)
NAMES = st.text(
    st.characters(exclude_categories=("Cs", "Cc"), include_characters='", ×*x:+\\'), min_size=1
).filter(lambda text: text.strip() == text)
WORDS = NAMES.filter(lambda text: number_from(text) == text or '"' in text)
IDS = NAMES.filter(lambda text: "/" not in text and ":" not in text)


@given(st.lists(NAMES))
def test_lists_read_back(names: list[str]) -> None:
    """Any names joined by commas are read as the same names, separators in them too."""
    assert split_list(join_list(names)) == names


@given(
    st.lists(WORDS.filter(lambda text: not text[0].isdigit() and text[0] not in "+-"), min_size=1)
)
def test_amounts_read_back(names: list[str]) -> None:
    """Names of measurements joined by × are read as the same names."""
    assert amount_from(amount_text(names)) == names


@given(
    st.lists(
        st.tuples(
            IDS,
            st.sampled_from([None, ["hem", 2], ["2.4 m"]]),
            st.sampled_from([None, "5%", "12.5%"]),
        ),
        min_size=1,
    )
)
def test_uses_read_back(parts: list[tuple[str, list[object] | None, str | None]]) -> None:
    """Stock with its own amount and something on top is read as it was written."""
    tables = [
        {"stock": stock}
        | ({"extra": extra} if extra else {})
        | ({"amount": amount} if amount else {})
        for stock, amount, extra in parts
    ]
    assert uses_from(uses_text(tables)) == tables


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("hem × 2", ["hem", 2]),
        ("hem x 2", ["hem", 2]),
        ("hem*2", ["hem", 2]),
        ("hem, 2", ["hem", 2]),
        ("2.4 m × panels", ["2.4 m", "panels"]),
        ("2,5", [2.5]),
        ("2,4 m", ["2.4 m"]),
        ("box pleats", ["box pleats"]),
        ("", []),
    ],
)
def test_amounts(text: str, value: list[object]) -> None:
    """Factors are joined by ×, x, * or a comma; a decimal comma parts nothing."""
    assert amount_from(text) == value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("2027-05-22", date(2027, 5, 22)),
        ("2027-05-22T11:00:00", datetime(2027, 5, 22, 11)),
        ("2027-05-22 11:00", datetime(2027, 5, 22, 11)),
        ("22 May 2028", date(2028, 5, 22)),
        ("Sat 22 May, 14:30", datetime(2027, 5, 22, 14, 30)),
        ("4 May", date(2028, 5, 4)),
        ("tomorrow at 9.30", datetime(2027, 5, 6, 9, 30)),
        ("today", TODAY),
        ("30 Feb", "30 Feb"),
        ("22 May 25:00", "22 May 25:00"),
        ("soon", "soon"),
        (" ", None),
    ],
)
def test_dates(text: str, value: object) -> None:
    """Dates are typed in several forms; what is none stays as it was typed."""
    assert moment_from(text, TODAY) == value


def test_dates_read_back() -> None:
    """A date is shown as it can be typed."""
    for value in (TODAY, datetime(2027, 5, 22, 14, 30)):
        assert moment_from(moment_text(value), TODAY) == value


def test_deliveries_and_measurements() -> None:
    """Deliveries have an amount and perhaps a day; measurements a name and an amount."""
    tables = coming_from("3 m on 2027-05-03, 2 m, 12 on 4 June", TODAY)
    assert tables == [
        {"amount": "3 m", "arrives": date(2027, 5, 3)},
        {"amount": "2 m"},
        {"amount": 12, "arrives": date(2027, 6, 4)},
    ]
    assert coming_from(coming_text(tables), TODAY) == tables
    assert pairs_from('cuff edge = 26 cm, buttons = 6, "a, b" = 1') == {
        "cuff edge": "26 cm",
        "buttons": 6,
        "a, b": 1,
    }


def test_picking_adds_and_takes_out() -> None:
    """What is picked joins the others; picked again it is taken out."""
    assert without_or_with("", "cut") == "cut"
    assert without_or_with("cut, hem", "stays:fittable") == "cut, hem, stays:fittable"
    assert without_or_with("cut, hem", "cut") == "hem"


@pytest.mark.parametrize(
    ("place", "key"),
    [
        ("form", ""),
        ("form.hours", "hours"),
        ("form.amount[1]", "amount"),
        ("form.uses[0].extra", "uses"),
        ("form.instead[1].uses[0].amount", "instead.1.uses"),
        ('form.measurements."cuff edge"', "measurements.cuff edge"),
        ('form.measurements."a\\"b"', 'measurements.a"b'),
        ("garment[0].hours", None),
        ("formal.hours", None),
    ],
)
def test_places_are_fields(place: str, key: str | None) -> None:
    """A key path of a file is the key of the field it was typed in."""
    assert key_of(place, "form") == key


def test_messages_without_toml() -> None:
    """A form says what is wrong without how a file would be written."""
    text = '`hem` is counted by length: write one length and any counts, as `amount = ["2.4 m"]`.'
    assert said(text) == "“hem” is counted by length: write one length and any counts."
