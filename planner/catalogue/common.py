"""The choices that every order of construction has besides its own."""

from __future__ import annotations

from typing import Final

from planner.catalogue.order import Choice, Option
from planner.model import Work

SPARED_WORKS: Final = frozenset({Work.DRAFTING, Work.FITTING, Work.CHECKS})
"""Kinds of work that an option's effort leaves alone unless the choice names them."""

USUAL_WORKS: Final = frozenset(work.value for work in Work if work not in SPARED_WORKS)
"""Kinds of work that an option's effort multiplies unless the choice says otherwise."""

COMMON: Final = (
    Choice(
        id="cloth",
        ask="Cloth",
        how="What most of it is cut from.",
        options=(
            Option(id="ordinary", name="ordinary"),
            Option(
                id="slippery",
                name="slippery or with a pile (velvet, satin, fur)",
                effort=1.6,
                works=frozenset({"cutting", "machine", "hand", "pressing"}),
            ),
            Option(
                id="heavy",
                name="heavy (wool, brocade)",
                effort=1.5,
                works=frozenset({"hand"}),
            ),
            Option(
                id="matched",
                name="with stripes or checks to match",
                effort=1.4,
                works=frozenset({"cutting", "machine"}),
            ),
        ),
        default="ordinary",
        works=USUAL_WORKS,
        asked=False,
    ),
    Choice(
        id="first",
        ask="First time with it",
        how="Whether you have made one like it before.",
        options=(
            Option(id="no", name="made before"),
            Option(id="yes", name="first time", effort=1.7),
        ),
        default="no",
        works=USUAL_WORKS | {"drafting"},
        asked=False,
    ),
)
"""Difficult cloth and a first time, within the multipliers of trade A7; neither is asked at once.
An order with a choice of the same id has its own instead."""
