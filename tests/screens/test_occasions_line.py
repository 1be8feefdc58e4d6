"""The occasions to choose from: which of them stand in the line at which width."""

from __future__ import annotations

from itertools import pairwise

import pytest

from screens.widgets.occasions import Choice, counted, placed
from screens.wording import cells

LABELS = (
    "Sat 25 Sep fitting",
    "Sat 16 Oct fitting",
    "Sat 30 Oct trial wear, Lamp-keeper",
    "Sat 30 Oct trial wear, Tide-reckoner",
    "Fri 12 Nov departure",
    "Sat 13 Nov event",
)
CHOICES = [
    Choice(id=str(number), label=label, past=False, short=" ".join(label.split()[:3]))
    for number, label in enumerate(LABELS)
]


def test_all_stand_where_there_is_room_for_all() -> None:
    """In as many lines as they need, the chosen one between marks; nothing need be counted."""
    found = placed(CHOICES, 1, 118, 4)
    assert [one.index for one in found] == list(range(len(CHOICES)))
    assert found[1].text == "‹2 Sat 16 Oct fitting›"
    assert counted(CHOICES, 1, found) == ""


@pytest.mark.parametrize("chosen", range(len(CHOICES)))
@pytest.mark.parametrize("width", [40, 60, 80, 118])
def test_else_the_chosen_one_stands_in_one_line_with_its_neighbours(
    chosen: int, width: int
) -> None:
    """Whole where it fits, within the width, in order, without one over another."""
    found = placed(CHOICES, chosen, width, 1)
    assert {one.line for one in found} == {0}
    assert chosen in [one.index for one in found]
    assert [one.index for one in found] == sorted(one.index for one in found)
    for one, following in pairwise(found):
        assert one.column + cells(one.text) < following.column
    assert found[-1].column + cells(found[-1].text) <= width - 1
    if width >= 60:
        own = next(one for one in found if one.index == chosen)
        assert own.text == f"‹{chosen + 1} {LABELS[chosen]}›"
    if width >= 80:
        near = {one for one in (chosen - 1, chosen + 1) if 0 <= one < len(CHOICES)}
        assert near <= {one.index for one in found}
    assert counted(CHOICES, chosen, found) == f"{chosen + 1} of {len(CHOICES)}"
