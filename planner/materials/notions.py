"""Notions: buttons, bones, eyelets, lacing cord, thread and braid; and what is measured round."""

from __future__ import annotations

from planner.materials.rule import Count, Metres, Ratio, over_zero, rule, up

HALF_INCH = 0.0127
YARD = 0.9144
EYELET_GAP = 0.025
THREAD_WASTE = 0.1

_TRADE = "trade knowledge, unsourced"


@rule("arithmetic; the first at least 1/2 in from the edge: S145")
def button_gap(
    span: Metres, buttons: Count, top: Metres = HALF_INCH, bottom: Metres = HALF_INCH
) -> Metres:
    """From button to button, the first and the last so far from the ends of the span."""
    between = max(0.0, span - top - bottom)
    return between / (buttons - 1) if buttons > 1 else between


@rule("arithmetic; one at the fullest bust, spaced from there: S146, S145")
def buttons_for(
    span: Metres, gap: Metres, top: Metres = HALF_INCH, bottom: Metres = HALF_INCH
) -> Count:
    """Buttons, hooks or snaps on a span, no further apart than ``gap``."""
    if not span:
        return 0.0
    return 1 + up(max(0.0, span - top - bottom) / over_zero(gap, "The gap between two"))


@rule("S147: 1/2 in short of the edge in a bodice; S123: never over the channel's end in stays")
def bone_length(channel: Metres, short: Metres = HALF_INCH) -> Metres:
    """Finished length of a bone for a channel, so much short of its end."""
    return max(0.0, channel - short)


@rule(_TRADE)
def bone_metres(bones: Count, channel: Metres, short: Metres = 0.01) -> Metres:
    """Boning to buy: the channels together, less a centimetre each."""
    return bones * max(0.0, channel - short)


@rule("spacing 2 to 2.5 cm: trade knowledge, unsourced")
def eyelets(span: Metres, spacing: Metres = EYELET_GAP, sides: Count = 2) -> Count:
    """Eyelets along an opening, on both its sides."""
    return sides * (up(span / over_zero(spacing, "The spacing")) + 1) if span else 0.0


@rule("rule: trade knowledge, unsourced; 2 m far too short, up to 7.3 m usual: S148")
def lacing_cord(pairs: Count, gap: Metres, spacing: Metres = EYELET_GAP) -> Metres:
    """Cord for so many pairs of eyelets, to open to ``gap``, with 1.5 m to pull by."""
    return pairs * 2 * (gap + spacing) + 1.5 if pairs else 0.0


@rule("2.5 times the seam: S149; waste 10 to 15 per cent: S151")
def thread_machine(seam: Metres, waste: Ratio = THREAD_WASTE) -> Metres:
    """Thread of a lockstitched seam, upper and lower."""
    return 2.5 * seam * (1 + waste)


@rule("2 + 2 x thickness x stitches per length: S150; waste S151")
def thread_lockstitch(
    seam: Metres, thickness: Metres, stitch: Metres, waste: Ratio = THREAD_WASTE
) -> Metres:
    """Thread of a lockstitched seam by the thickness of the cloth and the stitch length."""
    return seam * (2 + 2 * thickness / over_zero(stitch, "The stitch length")) * (1 + waste)


@rule("3 times the seam for backstitch, 1.3 for running: trade knowledge; waste S151")
def thread_hand(seam: Metres, takes: Ratio = 3.0, waste: Ratio = THREAD_WASTE) -> Metres:
    """Thread of a hand-sewn seam: ``takes`` 3 for backstitch, 1.3 for running."""
    return seam * takes * (1 + waste)


@rule("about 4 yd for a 3/4 in mould: S74")
def thread_button(buttons: Count, each: Metres = 4 * YARD) -> Metres:
    """Thread of thread-covered buttons."""
    return buttons * each


@rule("trace with string, multiply, a few yards over: S75")
def braid(path: Metres, repeats: Count = 1, spare: Metres = 3 * YARD) -> Metres:
    """Braid for a traced path, laid so many times, with a few yards over."""
    return path * repeats + spare if path and repeats else 0.0


@rule("arithmetic")
def edges(
    first: Metres,
    second: Metres = 0.0,
    third: Metres = 0.0,
    fourth: Metres = 0.0,
    twice: Metres = 0.0,
) -> Metres:
    """Edges taken together; ``twice`` is one there are two of, as both fronts."""
    return first + second + third + fourth + 2 * twice


@rule("arithmetic")
def pieces_together(first: Count, second: Count = 0, third: Count = 0, fourth: Count = 0) -> Count:
    """Pieces of several kinds taken together."""
    return first + second + third + fourth


@rule("arithmetic")
def each_of(length: Metres, parts: Count) -> Metres:
    """A length shared out evenly: the hem of one panel."""
    return length / over_zero(parts, "The number of parts")
