"""Cloth: cut lengths, widths, gores, strips, bias, shrinkage, nap and matching."""

from __future__ import annotations

import math

from planner.materials.rule import Count, Metres, Ratio, over_zero, rule, up

SELVEDGES = 0.03
"""Both selvedges of a width together; 2 to 4 cm (trade knowledge, unsourced)."""
SEAM = 0.02
"""Taken by a join, both allowances together."""
DIAGONAL = math.sqrt(2)
"""A bias strip is so much longer than the cloth is wide, and takes so much of the selvedge."""

_TRADE = "trade knowledge, unsourced"


def _usable(width: Metres, selvedges: Metres) -> Metres:
    return over_zero(width - selvedges, "The width of the cloth less its selvedges")


@rule(_TRADE)
def cut_lengths(pieces: Count, length: Metres, allowance: Metres = 0.0) -> Metres:
    """Cloth for so many lengths cut one after the other, each with its hems and seams."""
    return pieces * (length + allowance) if length else 0.0


@rule("geometry")
def cloth_for_pieces(
    pieces: Count,
    piece: Metres,
    length: Metres,
    width: Metres,
    allowance: Metres = 0.0,
    selvedges: Metres = SELVEDGES,
) -> Metres:
    """Cloth for pieces ``piece`` wide and ``length`` long, as many side by side as go across.

    ``allowance`` is added to both. A piece wider than the cloth is made up of several.
    """
    if not pieces or not length:
        return 0.0
    usable = _usable(width, selvedges)
    return _rows(pieces, piece + allowance, piece + allowance, usable) * (length + allowance)


def _rows(pieces: Count, widest: Metres, step: Metres, usable: Metres) -> float:
    """Rows of pieces of which the first is ``widest`` and each further one adds ``step``."""
    if widest > usable:
        return pieces * up(widest / usable)
    across = 1 + math.floor(round((usable - widest) / step, 9)) if step > 0 else pieces
    return up(pieces / across)


@rule("trade knowledge, unsourced: panels of a straight skirt")
def skirt_widths(hem: Metres, width: Metres, selvedges: Metres = SELVEDGES) -> Count:
    """Whole widths of cloth that make up a straight skirt's hem."""
    return up(hem / _usable(width, selvedges))


@rule("trade knowledge, unsourced: panels of a straight skirt")
def cloth_for_widths(
    hem: Metres,
    length: Metres,
    width: Metres,
    allowance: Metres = 0.0,
    selvedges: Metres = SELVEDGES,
) -> Metres:
    """Cloth for a straight skirt: whole widths, each a length and its hem and seams."""
    return cut_lengths(skirt_widths(hem, width, selvedges), length, allowance)


@rule("geometry of gores laid head to tail; each way one way with a nap")
def cloth_for_gores(
    gores: Count,
    hem: Metres,
    waist: Metres,
    length: Metres,
    width: Metres,
    allowance: Metres = 0.0,
    one_way: Count = 0,
    selvedges: Metres = SELVEDGES,
    seam: Metres = SEAM,
) -> Metres:
    """Cloth for a skirt of equal gores, its whole hem and waist given.

    Gores lie head to tail, or with ``one_way`` (1) all the same way up. One that is wider
    than the cloth takes several lengths, for it is pieced.
    """
    if not gores or not length:
        return 0.0
    usable = _usable(width, selvedges)
    foot, head = hem / gores + seam, waist / gores + seam
    step = max(foot, head) if one_way else (foot + head) / 2
    return _rows(gores, max(foot, head), step, usable) * (length + allowance)


@rule("geometry")
def circle_hem(length: Metres, waist: Metres = 0.0, part: Ratio = 1.0) -> Metres:
    """Hem of a circle (``part`` 0.5: of a half one) so long, cut round a waist or neck."""
    return part * 2 * math.pi * length + waist if length else 0.0


@rule("geometry")
def cloth_for_circle(
    length: Metres,
    width: Metres,
    waist: Metres = 0.0,
    part: Ratio = 1.0,
    selvedges: Metres = SELVEDGES,
) -> Metres:
    """Cloth for a part of a circle, laid with its straight edges along and across the cloth.

    What is longer than the cloth is wide is pieced from further lengths.
    """
    if not length:
        return 0.0
    radius = length + waist / (part * 2 * math.pi)
    quarters = up(part * 4)
    return quarters * radius * up(radius / _usable(width, selvedges))


@rule("trade knowledge, unsourced: measure the pattern's edge")
def train_hem(hem: Metres, curve: Metres) -> Metres:
    """Hem of a train: the front half of the level hem, and the curve behind."""
    return hem / 2 + curve


@rule(_TRADE)
def strip_length(finished: Metres, fullness: Ratio = 1.0, ends: Metres = 0.0) -> Metres:
    """Length of strip for a finished length at ``fullness`` to 1; ``ends``: both end hems."""
    return finished * max(1.0, fullness) + ends if finished else 0.0


@rule(_TRADE)
def strips_across(
    strip: Metres, width: Metres, selvedges: Metres = SELVEDGES, seam: Metres = SEAM
) -> Count:
    """Strips to cut across the cloth for a strip so long, joins allowed for."""
    usable = over_zero(_usable(width, selvedges) - seam, "The width of the cloth less a seam")
    return up(strip / usable)


@rule(_TRADE)
def strip_joins(strips: Count, ring: Count = 0) -> Count:
    """Joins of so many strips: one less than strips, or with ``ring`` (1) as many."""
    return strips if ring else max(0.0, strips - 1)


@rule(_TRADE)
def cloth_for_strips(strips: Count, depth: Metres, hem: Metres = 0.0, seam: Metres = 0.0) -> Metres:
    """Cloth for strips cut across it, each so deep when finished, with its hem and seam."""
    return strips * (depth + hem + seam)


@rule("S133")
def bias_from_square(side: Metres, strip: Metres) -> Metres:
    """Bias that a square yields, cut in strips so wide."""
    return side * side / over_zero(strip, "The width of a bias strip")


@rule("S133, S134")
def square_for_bias(length: Metres, strip: Metres, spare: Metres = 0.025) -> Metres:
    """Side of the square for so much bias, with ``spare`` (2 to 3 cm) for its seams."""
    return math.sqrt(length * strip) + spare if length else 0.0


@rule("geometry: a full strip is 1.4 times as long as the cloth is wide")
def bias_strips(length: Metres, width: Metres, selvedges: Metres = SELVEDGES) -> Count:
    """Full strips from selvedge to selvedge that so much bias takes."""
    return up(length / (DIAGONAL * _usable(width, selvedges)))


@rule("geometry: each strip takes 1.4 times its width of the selvedge")
def bias_singly(
    length: Metres, strip: Metres, width: Metres, selvedges: Metres = SELVEDGES
) -> Metres:
    """Cloth for bias cut in full single strips from selvedge to selvedge.

    Besides the strips' own share of the selvedge, as much as the cloth is wide: the two
    corners, of which other pieces can be cut.
    """
    strips = bias_strips(length, width, selvedges)
    return strips * DIAGONAL * strip + _usable(width, selvedges) if strips else 0.0


@rule("S133, S134; geometry where a square is wider than the cloth")
def bias_cloth(
    length: Metres,
    strip: Metres,
    width: Metres,
    selvedges: Metres = SELVEDGES,
    spare: Metres = 0.025,
) -> Metres:
    """Cloth for bias cut from a square, or from a rectangle as wide as the cloth."""
    usable = _usable(width, selvedges)
    side = square_for_bias(length, strip, 0.0)
    if not side:
        return 0.0
    return max(side, side * side / usable) + spare


@rule("arithmetic; cotton 3-5, linen 5-10, rayon 5-10 or more, polyester under 3 per cent: S141")
def with_shrinkage(length: Metres, share: Ratio = 0.05) -> Metres:
    """Cloth to buy where the wash takes a share (0.05) of it."""
    return length / over_zero(1 - share, "What is left after shrinking")


@rule("direction S144; 10 to 25 per cent: trade knowledge, unsourced")
def with_nap(length: Metres, share: Ratio = 0.15) -> Metres:
    """Cloth with nap, pile or a one-way print, all pieces laid one way."""
    return length * (1 + share)


@rule(_TRADE)
def with_matching(length: Metres, pieces: Count, repeat: Metres) -> Metres:
    """Cloth with a pattern to match: one repeat more for each cut length."""
    return length + pieces * repeat if length else 0.0


@rule("trade knowledge, unsourced: 5 per cent for curve and joins")
def facing_strip(hem: Metres, share: Ratio = 0.05) -> Metres:
    """Length of facing strips for a hem."""
    return hem * (1 + share)


@rule("geometry")
def tuck_length(tucks: Count, depth: Metres) -> Metres:
    """Length that tucks take up: twice its depth each."""
    return tucks * 2 * depth


@rule("geometry")
def with_tucks(length: Metres, tucks: Count, depth: Metres) -> Metres:
    """A length and what its tucks take up."""
    return length + tuck_length(tucks, depth) if length else 0.0
