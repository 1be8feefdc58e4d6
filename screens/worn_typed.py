"""What a wearing did to a garment, as it is typed: "30 cm seam, 2 hooks, 20 cm trim, spots"."""

from __future__ import annotations

import re
from dataclasses import replace

from planner.editing.after_wearing import NO_LENGTH, Wear
from planner.quantity import COUNT, LENGTH, Quantity, parse_quantity, with_point

EXAMPLE = "30 cm seam, 2 hooks, 20 cm trim, spots"
"""How it is written."""
NOTHING = ("nothing", "none", "-", "0")
SEAMS = ("seam", "seams", "hem", "hems", "tear", "tears", "opened")
TRIM = ("trim", "trims", "braid", "lace", "fringe", "ribbon")
CLOSURES = (
    "hook", "hooks", "eye", "eyes", "button", "buttons", "snap", "snaps", "tie", "ties", "strap",
    "straps", "buckle", "buckles", "closure", "closures", "pin", "pins", "comb", "combs",
)  # fmt: skip
SPOTS = ("spot", "spots", "stain", "stains", "mud", "wine")
AIR = ("air", "aired", "only aired", "clean")
_AMOUNT = re.compile(r"^(?P<amount>[0-9.,]+\s*(?:mm|cm|m|in|ft|yd)?)\s+(?P<what>.+)$")


def worn_typed(text: str) -> Wear:
    """What was typed. Raises ValueError with a sentence for what can't be understood."""
    wear = Wear()
    for part in re.split(r"[,;]\s+|\s+and\s+", text.strip()):
        if part.strip() and part.strip().lower() not in NOTHING:
            wear = _with(wear, " ".join(part.lower().split()))
    return wear


def _with(wear: Wear, part: str) -> Wear:
    """One thing more."""
    if part in SPOTS:
        return replace(wear, spots=True)
    if part in AIR:
        return replace(wear, washed=False)
    found = _AMOUNT.match(part)
    if found is None:
        raise ValueError(f"“{part}” isn't understood: write such as {EXAMPLE}, or air.")
    try:
        amount = parse_quantity(with_point(found["amount"]))
    except ValueError as error:
        raise ValueError(f"{error}.") from None
    return _counted(wear, amount, found["what"])


def _counted(wear: Wear, amount: Quantity, what: str) -> Wear:
    """So much of something."""
    if what in SEAMS or what in TRIM:
        if amount.dimension != LENGTH:
            raise ValueError(f"How long is it? Write such as 30 cm {what}.")
        if what in SEAMS:
            return replace(wear, seams=_and(wear.seams, amount))
        return replace(wear, trim=_and(wear.trim, amount))
    if what in CLOSURES:
        if amount.dimension != COUNT or amount.value != int(amount.value):
            raise ValueError(f"How many are they? Write such as 2 {what}.")
        return replace(wear, closures=wear.closures + int(amount.value))
    raise ValueError(f"“{what}” isn't understood: write seam, hem, trim, hooks, buttons or spots.")


def _and(one: Quantity, other: Quantity) -> Quantity:
    return replace(NO_LENGTH, value=one.value + other.value)
