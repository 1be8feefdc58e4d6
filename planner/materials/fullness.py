"""Fullness: pleats, cartridge pleats and gathers."""

from __future__ import annotations

from planner.materials.cloth import strip_length
from planner.materials.rule import Count, Metres, Ratio, over_zero, rule

EIGHTEEN_INCHES = 0.4572


@rule("S135; knife and box pleats S136")
def pleat_ratio(spacing: Metres, depth: Metres) -> Ratio:
    """Fullness of pleats ``depth`` deep at every ``spacing``.

    Touching pleats (as deep as they are apart) take 3 to 1, half as deep 2, twice as deep 5.
    """
    return (spacing + 2 * depth) / over_zero(spacing, "The spacing of the pleats")


@rule("S135")
def pleated_strip(finished: Metres, spacing: Metres, depth: Metres, ends: Metres = 0.0) -> Metres:
    """Length of strip for a finished length of pleats; ``ends``: both end hems."""
    return strip_length(finished, pleat_ratio(spacing, depth), ends)


@rule("geometry")
def pleat_count(finished: Metres, spacing: Metres) -> Count:
    """Pleats in a finished length."""
    return finished / over_zero(spacing, "The spacing of the pleats")


@rule("S139: ruffles 1.5 to 3; S140: box-pleated ruche a little under 3, quilling 3")
def gathers(finished: Metres, fullness: Ratio = 2.0) -> Metres:
    """Length of cloth that is gathered into a finished length."""
    return strip_length(finished, fullness)


@rule("arithmetic; 20 ft on to 34 in is 7 to 1: S152")
def fullness_of(ungathered: Metres, finished: Metres) -> Ratio:
    """How many to 1 a length is drawn up or pleated."""
    return ungathered / over_zero(finished, "The finished length")


@rule("trade knowledge, unsourced")
def cartridge_ratio(repeat: Metres, thickness: Metres) -> Ratio:
    """Fullness of cartridge pleats by their stitch repeat and the cloth with its padding."""
    return repeat / (2 * over_zero(thickness, "The thickness of the cloth"))


@rule("geometry; stitch 1/4 in usual, 3/8 to 1/2 in deeper: S138")
def cartridge_count(length: Metres, stitch: Metres = 0.00635) -> Count:
    """Cartridge pleats in an ungathered length, at stitches so long."""
    return length / (2 * over_zero(stitch, "The stitch length"))


@rule("S137: 3 skirt lengths for a narrower, 4 for a fuller skirt, and 18 in for the band")
def cartridge_skirt(length: Metres, lengths: Count = 3, band: Metres = EIGHTEEN_INCHES) -> Metres:
    """Cloth for a cartridge pleated skirt: 3 or 4 skirt lengths and its band."""
    return length * lengths + band if length else 0.0
