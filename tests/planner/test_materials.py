"""The arithmetic of materials: the trade's worked examples, and laws."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import planner.materials
from planner.materials import RULES, Rule
from planner.materials.cloth import (
    bias_cloth,
    bias_from_square,
    bias_singly,
    bias_strips,
    circle_hem,
    cloth_for_circle,
    cloth_for_gores,
    cloth_for_pieces,
    cloth_for_strips,
    cloth_for_widths,
    cut_lengths,
    facing_strip,
    skirt_widths,
    square_for_bias,
    strip_joins,
    strip_length,
    strips_across,
    train_hem,
    tuck_length,
    with_matching,
    with_nap,
    with_shrinkage,
    with_tucks,
)
from planner.materials.fullness import (
    cartridge_count,
    cartridge_ratio,
    cartridge_skirt,
    fullness_of,
    gathers,
    pleat_count,
    pleat_ratio,
    pleated_strip,
)
from planner.materials.notions import (
    bone_length,
    bone_metres,
    braid,
    button_gap,
    buttons_for,
    each_of,
    edges,
    eyelets,
    lacing_cord,
    pieces_together,
    thread_button,
    thread_hand,
    thread_lockstitch,
    thread_machine,
)
from planner.quantity import COUNT, LENGTH

laws = settings(deadline=None, derandomize=True, database=None)

INCH, FOOT, YARD = 0.0254, 0.3048, 0.9144


def about(value: float) -> object:
    """Equal but for noise in the last digits."""
    return pytest.approx(value, rel=1e-9)


def test_bias_from_a_square() -> None:
    """A square of 20 in, cut in strips of 2 in, gives 200 in."""
    assert bias_from_square(20 * INCH, 2 * INCH) == about(200 * INCH)


def test_square_for_bias() -> None:
    """200 in of 2 in bias want a square of 20 in, and 2 to 3 cm for its seams."""
    assert square_for_bias(200 * INCH, 2 * INCH, spare=0) == about(20 * INCH)
    assert 0.02 <= square_for_bias(200 * INCH, 2 * INCH) - 20 * INCH <= 0.03


def test_bias_strips_cut_singly() -> None:
    """A full strip is about 1.4 times the usable width, and takes 1.4 widths of selvedge.

    From 1.5 m cloth with 3 cm of selvedges a strip is 2.08 m long: 6 m are three of them,
    and in strips of 4 cm they take 17 cm of the selvedge besides the corners' 1.47 m.
    """
    assert bias_strips(6, 1.5) == 3
    assert bias_singly(6, 0.04, 1.5) == pytest.approx(3 * 1.4 * 0.04 + 1.47, abs=0.005)


def test_cloth_for_bias() -> None:
    """2.9 m of 4 cm binding come from a square of 34 cm; 60 m from more than the cloth's width.

    60 m x 4 cm are 2.4 m2, which 147 cm of usable width hold in 1.63 m.
    """
    assert bias_cloth(2.9, 0.04, 1.5, spare=0) == pytest.approx(0.34, abs=0.005)
    assert bias_cloth(60, 0.04, 1.5, spare=0) == pytest.approx(1.63, abs=0.005)


def test_pleats_of_any_spacing() -> None:
    """Touching pleats take 3 to 1, half-depth 2, double-depth 5."""
    assert pleat_ratio(0.04, 0.04) == about(3)
    assert pleat_ratio(0.04, 0.02) == about(2)
    assert pleat_ratio(0.04, 0.08) == about(5)


def test_pleated_hem() -> None:
    """A hem of 72 in at 3 to 1 takes 6 yards of strip."""
    assert strip_length(72 * INCH, 3) == about(6 * YARD)
    assert gathers(72 * INCH, 3) == about(6 * YARD)
    assert pleated_strip(72 * INCH, 1 * INCH, 1 * INCH) == about(6 * YARD)
    assert pleat_count(72 * INCH, 1 * INCH) == about(72)


def test_ruffles_against_pleats() -> None:
    """Before cutting: the same edge takes twice as much pleated (3) as ruffled (1.5)."""
    assert strip_length(2.4, 3) == about(2 * strip_length(2.4, 1.5))


def test_end_hems_of_a_strip() -> None:
    """Finished length x fullness + end hems; less than 1 to 1 there is not."""
    assert strip_length(2.0, 2, ends=0.04) == about(4.04)
    assert strip_length(2.0, 0.5) == about(2)


def test_strips_across_the_cloth() -> None:
    """6 yd of strip from 115 cm cloth: usable 112 less a seam of 2 is 110; five strips.

    They have four joins as an open strip, five as a ring; 12 cm deep with a hem of 2 and a
    seam of 1.5 they take 77.5 cm of cloth.
    """
    strips = strips_across(6 * YARD, 1.15)
    assert strips == 5
    assert strip_joins(strips) == 4
    assert strip_joins(strips, ring=1) == 5
    assert cloth_for_strips(strips, 0.12, 0.02, 0.015) == about(0.775)


def test_cartridge_pleats_by_thickness() -> None:
    """A repeat of 12 mm in cloth 1.5 mm thick is 4 to 1."""
    assert cartridge_ratio(0.012, 0.0015) == about(4)


def test_cartridge_skirts() -> None:
    """3 skirt lengths for a narrower, 4 for a fuller one, and 18 in; 20 ft on 34 in is 7 to 1."""
    assert cartridge_skirt(1.0) == about(3 + 18 * INCH)
    assert cartridge_skirt(1.0, lengths=4) == about(4 + 18 * INCH)
    assert round(fullness_of(20 * FOOT, 34 * INCH)) == 7


def test_number_of_cartridge_pleats() -> None:
    """20 ft at stitches of 1/4 in are 480 pleats; at 1/2 in half as many."""
    assert cartridge_count(20 * FOOT) == about(480)
    assert cartridge_count(20 * FOOT, INCH / 2) == about(240)


def test_shrinkage() -> None:
    """Buy need / (1 - shrinkage): 4.5 m of a linen that loses a tenth are 5 m."""
    assert with_shrinkage(4.5, 0.1) == about(5)


def test_nap_and_matching() -> None:
    """10 to 25 per cent for nap; one repeat for each cut length to match."""
    assert 4 * 1.10 <= with_nap(4) <= 4 * 1.25
    assert with_nap(4, 0.25) == about(5)
    assert with_matching(4, 3, 0.32) == about(4.96)


def test_panels_of_a_straight_skirt() -> None:
    """3.2 m of hem from 115 cm cloth: 3.2 / 1.12 is three widths, 1.1 m each: 3.3 m."""
    assert skirt_widths(3.2, 1.15) == 3
    assert cloth_for_widths(3.2, 1.0, 1.15, allowance=0.1) == about(3.3)
    assert cut_lengths(3, 1.0, 0.1) == about(3.3)


def test_pieces_side_by_side() -> None:
    """Six pieces 40 cm wide from 1.5 m cloth lie three across, in two rows of 60 cm."""
    assert cloth_for_pieces(6, 0.4, 0.6, 1.5) == about(1.2)
    assert cloth_for_pieces(7, 0.4, 0.6, 1.5) == about(1.8)


def test_a_piece_wider_than_the_cloth() -> None:
    """A panel 2 m wide from 1.5 m cloth is made up of two lengths."""
    assert cloth_for_pieces(1, 2.0, 1.0, 1.5) == about(2.0)


def test_gores_head_to_tail() -> None:
    """Six gores of 60 and 15 cm from 1.5 m cloth.

    With 2 cm of seams they are 62 and 17 wide: head to tail a second and third add 39.5 each
    (1.41 of the usable 1.47), so they lie three across, in two lengths of 1.1 m. With a nap
    a second adds 62: two across, three lengths.
    """
    assert cloth_for_gores(6, 3.6, 0.9, 1.0, 1.5, allowance=0.1) == about(2.2)
    assert cloth_for_gores(6, 3.6, 0.9, 1.0, 1.5, allowance=0.1, one_way=1) == about(3.3)


def test_circles() -> None:
    """Half a circle 1 m long has a hem of pi, and comes from 2 m of a cloth wide enough."""
    assert circle_hem(1.0, part=0.5) == about(math.pi)
    assert circle_hem(1.0, waist=0.4, part=0.5) == about(math.pi + 0.4)
    assert cloth_for_circle(1.0, 1.5, part=0.5) == about(2.0)
    assert cloth_for_circle(1.6, 1.5, part=0.5) == about(6.4)


def test_hem_of_a_train() -> None:
    """Front half of the level hem, and the curve: 3.2 / 2 + 2.9 = 4.5 m."""
    assert train_hem(3.2, 2.9) == about(4.5)


def test_facing_strips() -> None:
    """Hem length + 5 per cent for curve and joins."""
    assert facing_strip(4.0) == about(4.2)


def test_tucks() -> None:
    """Each tuck uses twice its depth: four of 2 cm take up 16 cm of length."""
    assert tuck_length(4, 0.02) == about(0.16)
    assert with_tucks(1.0, 4, 0.02) == about(1.16)


def test_button_spacing() -> None:
    """(Span - top - bottom) / (count - 1): 12 buttons on 37 cm, 2 cm from either end."""
    assert button_gap(0.37, 12, 0.02, 0.02) == about(0.03)
    assert buttons_for(0.37, 0.03, 0.02, 0.02) == 12


def test_first_button() -> None:
    """The first button stands at least 1/2 in from the edge."""
    assert RULES["button_gap"].optional["top"] >= 0.5 * INCH


def test_bones() -> None:
    """A bone ends 1/2 in short of its edge; metres are channels less a centimetre each."""
    assert bone_length(0.30) == about(0.30 - 0.5 * INCH)
    assert bone_metres(12, 0.31) == about(3.6)


def test_eyelets() -> None:
    """Span / spacing + 1 each side: 30 cm at 2.5 cm are 13 a side, 26 in all."""
    assert eyelets(0.30) == 26
    assert eyelets(0.30, sides=1) == 13
    assert eyelets(0.30, spacing=0.02) == 32


def test_eyelets_of_a_laced_pair() -> None:
    """62 eyelets of one front-and-back laced pair with straps: two lacings of 15 a side.

    At 2.5 cm that is 35 cm front and back (60), and one eyelet for each strap.
    """
    assert pieces_together(eyelets(0.35), eyelets(0.35), 2) == 62


def test_lacing_cord() -> None:
    """Pairs x 2 x (gap + spacing) + 1.5 m.

    Thirteen pairs that open to 8 cm want 4.23 m: 2 m are far too short; 7.3 m are usual at most.
    """
    assert lacing_cord(13, 0.08) == about(13 * 2 * 0.105 + 1.5)
    assert 2 < lacing_cord(13, 0.08) < 7.3


def test_thread_of_machine_seams() -> None:
    """2.5 times the seam, and 10 to 15 per cent for waste."""
    assert thread_machine(10, waste=0) == about(25)
    assert 27.5 <= round(thread_machine(10), 9) <= 28.75


def test_thread_by_thickness() -> None:
    """2 + 2 x thickness x stitches per length: 1 mm at 4 stitches a cm is 2.8; at 2.5 mm: 2.8."""
    assert thread_lockstitch(10, 0.001, 0.0025, waste=0) == about(28)


def test_thread_of_jeans() -> None:
    """About 180 m for adult jeans, as about 65 m of lockstitched seam with waste."""
    assert thread_machine(65) == pytest.approx(180, rel=0.05)


def test_hand_thread() -> None:
    """3 times the seam for backstitch, 1.3 times for running."""
    assert thread_hand(2, waste=0) == about(6)
    assert thread_hand(2, takes=1.3, waste=0) == about(2.6)


def test_thread_buttons() -> None:
    """About 4 yd for one."""
    assert thread_button(9) == about(36 * YARD)


def test_braid() -> None:
    """Path x repeats with a few yards over: 47 yd traced once are nearly 50."""
    assert braid(47 * YARD) == about(50 * YARD)
    assert braid(2, 3, spare=0) == about(6)


def test_sums() -> None:
    """Edges together, both fronts twice; a length shared out."""
    assert edges(2.2, 0.4, twice=0.6) == about(3.8)
    assert each_of(3.2, 4) == about(0.8)


def test_nothing_asks_for_nothing() -> None:
    """A trim, flounce or lacing that isn't there takes nothing, also not the customary spare."""
    assert braid(0) == braid(3, 0) == 0
    assert strip_length(0, 3, 0.1) == strips_across(0, 1.5) == strip_joins(0) == 0
    assert square_for_bias(0, 0.04) == bias_cloth(0, 0.04, 1.5) == bias_singly(0, 0.04, 1.5) == 0
    assert eyelets(0) == lacing_cord(0, 0.08) == buttons_for(0, 0.05) == 0
    assert bone_metres(0, 0.3) == cloth_for_gores(0, 0, 0, 1, 1.5) == cartridge_skirt(0) == 0


@pytest.mark.parametrize(
    ("name", "given_"),
    [
        ("strips_across", {"strip": 2.0, "width": 0.04}),
        ("skirt_widths", {"hem": 2.0, "width": 0.0}),
        ("pleat_ratio", {"spacing": 0.0, "depth": 0.1}),
        ("with_shrinkage", {"length": 1.0, "share": 1.0}),
        ("each_of", {"length": 1.0, "parts": 0.0}),
        ("bias_from_square", {"side": 1.0, "strip": 0.0}),
    ],
)
def test_what_cant_be_meant(name: str, given_: dict[str, float]) -> None:
    """Cloth narrower than its selvedges and the like are said in a sentence."""
    with pytest.raises(ValueError, match="must be more than nothing"):
        RULES[name].function(**given_)


def _arguments(rule: Rule) -> st.SearchStrategy[dict[str, float]]:
    """Arguments as makers have them: lengths of 20 cm to 10 m, counts of 1 to 40."""
    length = st.integers(20, 1000).map(lambda cm: cm / 100)
    share = st.sampled_from([0.05, 0.1, 0.25])
    names = {}
    for name, dimension in rule.arguments.items():
        if name in ("share", "waste"):
            names[name] = share
        elif name in ("ring", "one_way"):
            names[name] = st.sampled_from([0.0, 1.0])
        elif name == "part":
            names[name] = st.sampled_from([0.25, 0.5, 1.0])
        else:
            names[name] = length if dimension == LENGTH else st.integers(1, 40).map(float)
    for name in ("selvedges", "seam"):
        if name in names:
            names[name] = st.just(rule.optional.get(name, 0.0))
    if {"seam", "thickness"} <= set(names) or "takes" in names or rule.name == "thread_machine":
        names["seam"] = length
    return st.fixed_dictionaries(names)


ALL = [pytest.param(rule, id=name) for name, rule in sorted(RULES.items())]
FALLING = {
    ("bias_from_square", "strip"), ("bias_strips", "width"), ("bias_cloth", "width"),
    ("pleat_ratio", "spacing"), ("pleated_strip", "spacing"), ("pleat_count", "spacing"),
    ("fullness_of", "finished"), ("cartridge_ratio", "thickness"), ("cartridge_count", "stitch"),
    ("skirt_widths", "width"), ("strips_across", "width"), ("cloth_for_widths", "width"),
    ("cloth_for_pieces", "width"), ("cloth_for_gores", "width"), ("cloth_for_circle", "width"),
    ("button_gap", "buttons"), ("button_gap", "top"), ("button_gap", "bottom"),
    ("buttons_for", "gap"), ("buttons_for", "top"), ("buttons_for", "bottom"),
    ("bone_length", "short"), ("bone_metres", "short"), ("eyelets", "spacing"),
    ("thread_lockstitch", "stitch"), ("each_of", "parts"),
}  # fmt: skip
"""Where more of the one asks for less of the other."""
EITHER_WAY = {("bias_singly", "width"), ("cloth_for_circle", "part"), ("cloth_for_gores", "gores")}
"""Wider cloth takes fewer bias strips but has larger corners; the neck of half a circle is a
larger circle's; the more gores make up a hem, the narrower they are."""


@pytest.mark.parametrize("rule", ALL)
@laws
@given(data=st.data())
def test_more_takes_more(rule: Rule, data: st.DataObject) -> None:
    """Every rule rises (or falls, where that is its sense) in each argument, never below 0."""
    before = data.draw(_arguments(rule))
    name = data.draw(st.sampled_from(sorted(rule.arguments)))
    if (rule.name, name) in EITHER_WAY or name in ("selvedges", "ring", "one_way"):
        return
    factor = 1.4 if name in ("share", "waste", "part") else data.draw(st.integers(2, 3))
    low = rule.function(**before)
    high = rule.function(**{**before, name: before[name] * factor})
    if (rule.name, name) in FALLING:
        low, high = high, low
    assert 0 <= low <= high + 1e-9


LENGTHS_IN_THEIR_SCALE = sorted(
    name
    for name, rule in RULES.items()
    if LENGTH in rule.arguments.values() and name not in ("lacing_cord",)
)


@pytest.mark.parametrize("name", LENGTHS_IN_THEIR_SCALE)
@laws
@given(data=st.data())
def test_units_do_not_matter(name: str, data: st.DataObject) -> None:
    """With every length twice as long (a finer unit), lengths come out twice, counts the same.

    (Lacing cord has its metre and a half in metres.)
    """
    rule = RULES[name]
    given_ = {**rule.optional, **data.draw(_arguments(rule))}
    scaled = {n: v * 2 if rule.arguments[n] == LENGTH else v for n, v in given_.items()}
    scale = 2 if rule.result == LENGTH else 1
    assert rule.function(**scaled) == about(rule.function(**given_) * scale)


@laws
@given(st.floats(0.1, 30), st.floats(0.01, 0.3))
def test_square_and_bias_are_each_others_inverse(length: float, strip: float) -> None:
    """The square for a length of bias gives that length, and with its spare rather more."""
    assert bias_from_square(square_for_bias(length, strip, 0), strip) == about(length)
    assert bias_from_square(square_for_bias(length, strip), strip) > length


@laws
@given(st.floats(0.1, 30), st.floats(0, 0.5))
def test_what_shrinks_to_what_is_needed(need: float, share: float) -> None:
    """What is bought, less its shrinkage, is what is needed."""
    assert with_shrinkage(need, share) * (1 - share) == about(need)


@laws
@given(st.integers(2, 40), st.floats(0.01, 0.2))
def test_buttons_and_their_gap_are_inverse(buttons: int, gap: float) -> None:
    """So many buttons at their own gap fill the span they were spaced on."""
    span = gap * (buttons - 1) + 0.03
    assert button_gap(span, buttons, 0.015, 0.015) == pytest.approx(gap)
    assert buttons_for(span, gap, 0.015, 0.015) == buttons


@laws
@given(st.floats(0.1, 10), st.floats(0.005, 0.1), st.floats(0.001, 0.2))
def test_fullness_of_a_pleated_strip(finished: float, spacing: float, depth: float) -> None:
    """A pleated strip is as many to 1 as its pleats."""
    strip = pleated_strip(finished, spacing, depth)
    assert fullness_of(strip, finished) == pytest.approx(pleat_ratio(spacing, depth))


@laws
@given(st.floats(0.1, 60), st.floats(0.5, 2.8))
def test_strips_reach(strip: float, width: float) -> None:
    """The strips, each less its seam, reach the length, and one fewer wouldn't."""
    strips, each = strips_across(strip, width), width - 0.03 - 0.02
    assert strips * each >= strip - 1e-6
    assert (strips - 1) * each < strip + 1e-6


@laws
@given(st.integers(1, 30), st.floats(0.1, 1.4), st.floats(0.9, 1.6))
def test_pieces_lie_on_the_cloth(pieces: int, piece: float, width: float) -> None:
    """The cloth holds at least the pieces' own area, and no more rows than pieces if they fit."""
    length = cloth_for_pieces(pieces, piece, 1.0, width)
    assert length * (width - 0.03) >= pieces * piece - 1e-6
    if piece <= width - 0.03:
        assert length <= pieces


@laws
@given(st.integers(1, 20), st.floats(0.2, 0.9), st.floats(0.1, 0.2))
def test_gores_take_no_more_head_to_tail(gores: int, foot: float, head: float) -> None:
    """Laid head to tail gores never take more than all one way."""
    hem, waist = foot * gores, head * gores
    assert cloth_for_gores(gores, hem, waist, 1, 1.5) <= cloth_for_gores(
        gores, hem, waist, 1, 1.5, one_way=1
    )


def test_every_rule_says_where_it_is_from() -> None:
    """Source, dimensions and defaults are there for every rule."""
    for rule in RULES.values():
        assert rule.source
        assert rule.result in (COUNT, LENGTH)
        assert set(rule.optional) < set(rule.arguments)
        assert rule.function.__doc__


def test_the_table_names_every_rule_and_argument() -> None:
    """The table that authors of orders read is complete and in the order of the arguments."""
    text = Path(planner.materials.__file__).read_text(encoding="utf-8")
    rows = {r.split("|")[1].strip(): r.split("|")[2] for r in text.splitlines() if "|" in r}
    for rule in RULES.values():
        named = [part.split()[0] for part in rows[rule.name].split(",")]
        assert named == list(rule.arguments), rule.name
