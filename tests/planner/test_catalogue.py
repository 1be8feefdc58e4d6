"""The built-in techniques, and the reading of a maker's own."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

import planner.catalogue
from planner.catalogue import parse_technique, parse_techniques, techniques, techniques_with
from planner.model import Minutes, Per, Place, Technique, Wait, Work


def read(text: str) -> tuple[Technique, ...]:
    """The techniques of a document in which nothing is wrong."""
    found, problems, warnings = parse_techniques(tomllib.loads(text), "techniques.toml")
    assert not problems and not warnings
    return found


def problems_of(text: str) -> list[tuple[str, str]]:
    """Place and text of what is wrong with a document."""
    _, problems, _ = parse_techniques(tomllib.loads(text), "techniques.toml")
    assert all(problem.file == "techniques.toml" for problem in problems)
    return [(problem.place, problem.text) for problem in problems]


PLAIN = '[[technique]]\nid = "knot"\nwork = "hand"\ntypical = 10\n'


# ---------------------------------------------------------------- the built-in ones


def test_there_are_at_least_120_techniques() -> None:
    """The catalogue holds at least 120 techniques, each under its own id."""
    assert len(techniques()) >= 120
    assert all(techniques()[known].id == known for known in techniques())


def test_every_built_in_table_is_read_without_a_word() -> None:
    """No built-in technique has an unknown key, a wrong value or a missing one."""
    text = Path(planner.catalogue.__file__).with_name("techniques.toml").read_text("utf-8")
    assert read(text) == tuple(techniques().values())


@pytest.mark.parametrize("known", list(techniques()))
def test_rates_rise_and_say_where_they_come_from(known: str) -> None:
    """Low, typical and high rise, all above 0; unit and source are named, pages by no address."""
    technique = techniques()[known]
    assert 0 < technique.rate.low <= technique.rate.typical <= technique.rate.high
    assert technique.unit and technique.source
    assert "://" not in technique.source + technique.caution


def test_every_kind_of_work_and_place_is_there() -> None:
    """All eight kinds of work and all three places have techniques."""
    assert {technique.work for technique in techniques().values()} == set(Work)
    assert {technique.place for technique in techniques().values()} == set(Place)


@pytest.mark.parametrize(
    ("known", "work", "place", "per", "typical"),
    [
        ("mock-up-seam", Work.MACHINE, Place.WORKROOM, Per.LENGTH, 3.5),
        ("fitting-mock-up", Work.FITTING, Place.WORKROOM, Per.COUNT, 60),
        ("transfer-corrections", Work.DRAFTING, Place.WORKROOM, Per.COUNT, 10),
        ("cut-outer-panel", Work.CUTTING, Place.WORKROOM, Per.COUNT, 5),
        ("hem-by-hand", Work.HAND, Place.SOFA, Per.LENGTH, 15),
        ("braid-by-hand", Work.HAND, Place.SOFA, Per.LENGTH, 22),
        ("braid-by-machine", Work.MACHINE, Place.WORKROOM, Per.LENGTH, 12),
        ("lace-up-and-test", Work.FITTING, Place.WORKROOM, Per.COUNT, 10),
        # corrected by trade judgement
        ("unpick-and-resew", Work.MACHINE, Place.WORKROOM, Per.LENGTH, 30),
        ("welt-pocket", Work.MACHINE, Place.WORKROOM, Per.COUNT, 85),
        ("hook-tape", Work.MACHINE, Place.WORKROOM, Per.LENGTH, 40),
        ("pleat-to-tape-by-hand", Work.HAND, Place.SOFA, Per.COUNT, 35),
        ("flat-line-by-hand", Work.HAND, Place.WORKROOM, Per.LENGTH, 7),
        ("dress-trial", Work.FITTING, Place.WORKROOM, Per.COUNT, 120),
        # in a bag on a train
        ("sew-on-button", Work.HAND, Place.TAKE_ALONG, Per.COUNT, 4),
        ("hem-linen-by-hand", Work.HAND, Place.TAKE_ALONG, Per.LENGTH, 15),
        ("baste-seam", Work.HAND, Place.TAKE_ALONG, Per.LENGTH, 5),
    ],
)
def test_techniques_that_orders_lean_on(
    known: str, work: Work, place: Place, per: Per, typical: float
) -> None:
    """These are there, of this work, at this least place, at this rate."""
    technique = techniques()[known]
    assert (technique.work, technique.place, technique.per) == (work, place, per)
    assert technique.rate.typical == typical


def test_seams_have_a_part_for_every_seam() -> None:
    """Pinning goes by the seam: straight seams take 1.5 each and curved ones 6, typically."""
    straight, curved = techniques()["straight-seam"].each, techniques()["curved-seam"].each
    assert straight is not None and straight.typical == 1.5
    assert curved is not None and curved.typical == 6


def test_usual_waits() -> None:
    """Overnight waits are nights, short ones clock time, and a level hem has none."""
    waits = {
        "pre-wash-cloth": Wait(nights=1),
        "block-hood": Wait(nights=1),
        "starch-ruff": Wait(nights=2),
        "seal-wood-glue": Wait(nights=2),
        "dye-hot": Wait(minutes=180),
        "paint-coat": Wait(minutes=60),
        "level-hem": None,
        "hem-by-hand": None,
    }
    assert {known: techniques()[known].wait for known in waits} == waits


def test_filled_embroidery_is_counted_by_ten_square_centimetres() -> None:
    """Its unit is 10 cm2, a thousandth of a square metre."""
    technique = techniques()["embroider-filled"]
    assert technique.per is Per.AREA
    assert technique.unit_size == pytest.approx(0.001)


def test_two_hands() -> None:
    """Lacing, levelling, measuring, fitting with a helper and the dress trial want two hands."""
    two = {known for known, technique in techniques().items() if technique.hands == 2}
    assert two >= {
        "lace-up-and-test",
        "level-hem",
        "take-measurements",
        "fitting-mock-up",
        "fitting-garment",
        "dress-trial",
    }
    assert "self-fitting" not in two


def test_no_way_back_is_good_cloth_and_not_the_mock_up() -> None:
    """Good cloth, slashes, allowances, grommets, glue and buttonholes can't be undone."""
    final = {known for known, technique in techniques().items() if technique.no_way_back}
    assert final >= {
        "cut-outer-panel",
        "cut-slashes",
        "trim-seam",
        "set-grommet",
        "glue-foam-seam",
        "machine-buttonhole",
        "buttonhole-by-hand",
    }
    assert not final & {"cut-mock-up-panel", "mock-up-seam", "baste-seam", "hem-by-hand"}


@pytest.mark.parametrize(
    ("known", "word"),
    [
        ("press-seam", "iron"),
        ("cut-outer-panel", "blade"),
        ("seal-edge-by-flame", "water"),
        ("dye-cold", "gloves"),
        ("mordant-cloth", "poisons"),
        ("stiffen-hat", "window"),
        ("spray-glue", "flame"),
        ("glue-foam-seam", "respirator"),
        ("heat-form-foam", "fumes"),
        ("sand-primed-piece", "mask"),
        ("cut-fur-strips", "fluff"),
        ("cut-steel-bone", "eye"),
        ("set-grommet", "hammer"),
        ("block-hood", "steam"),
        ("lace-up-and-test", "breathe"),
        ("backstitch-seam", "Rest"),
        ("dress-trial", "Heavy"),
    ],
)
def test_what_can_hurt_has_its_caution(known: str, word: str) -> None:
    """Work that can hurt carries a reminder about just that."""
    assert word in techniques()[known].caution


def test_fumes_and_dyes_defer_to_the_label() -> None:
    """Dyes, glues, solvents and sprays send the maker to the label, packet or data sheet."""
    for known in ("dye-cold", "dye-leather", "spray-glue", "glue-foam-seam", "prime-coat"):
        caution = techniques()[known].caution
        assert any(word in caution for word in ("label", "packet", "data sheet"))


# ---------------------------------------------------------------- a maker's own


def test_little_needs_to_be_written() -> None:
    """Id, work and typical minutes are enough; bounds are then 70 % and 150 %."""
    (knot,) = read(PLAIN)
    assert knot == Technique(
        id="knot",
        name="knot",
        work=Work.HAND,
        place=Place.WORKROOM,
        per=Per.COUNT,
        rate=Minutes(low=7, typical=10, high=15),
        unit="piece",
    )


def test_everything_can_be_written() -> None:
    """Every key is read, units in inches and yards too."""
    (cord,) = read(
        """
        [[technique]]
        id = "cord"
        name = "plait cord"
        work = "hand"
        place = "take-along"
        per = "length"
        unit = "yard"
        unit_size = "1 yd"
        low = 8
        typical = "12m"
        high = 20.5
        each = { low = 1, typical = 2, high = 3 }
        set_up = "4m"
        hands = 2
        one_sitting = true
        wait = "1 night"
        no_way_back = true
        caution = "Rest your hands."
        source = "my own"
        """
    )
    assert cord == Technique(
        id="cord",
        name="plait cord",
        work=Work.HAND,
        place=Place.TAKE_ALONG,
        per=Per.LENGTH,
        rate=Minutes(low=8, typical=12, high=20.5),
        unit="yard",
        unit_size=0.9144,
        each=Minutes(low=1, typical=2, high=3),
        set_up=4,
        hands=2,
        one_sitting=True,
        wait=Wait(nights=1),
        no_way_back=True,
        caution="Rest your hands.",
        source="my own",
    )


@pytest.mark.parametrize(
    ("line", "key"),
    [
        ("low = 11", "typical"),
        ("high = 9", "typical"),
        ("low = -1", "low"),
        ("low = true", "low"),
        ("high = inf", "high"),
        ('high = "long"', "high"),
        ('place = "kitchen"', "place"),
        ('per = "weight"', "per"),
        ("per = 3", "per"),
        ("unit_size = 0", "unit_size"),
        ('unit_size = "1 yd"', "unit_size"),
        ('unit_size = "some"', "unit_size"),
        ("hands = 3", "hands"),
        ('hands = "two"', "hands"),
        ('one_sitting = "yes"', "one_sitting"),
        ('wait = "overnight"', "wait"),
        ("wait = 12", "wait"),
        ("name = 5", "name"),
        ("each = 2", "each"),
        ("each = { low = 2 }", "each.typical"),
    ],
)
def test_a_wrong_value_is_placed(line: str, key: str) -> None:
    """A wrong value is the one problem told, under its key path."""
    assert [place for place, _ in problems_of(PLAIN + line)] == [f"technique[0].{key}"]


def test_missing_keys_are_all_told() -> None:
    """A table without anything lacks its id, its work and its minutes, told together."""
    places = [place for place, _ in problems_of("[[technique]]\n")]
    assert places == ["technique[0].id", "technique[0].work", "technique[0].typical"]


def test_a_misspelt_word_is_guessed() -> None:
    """The nearest word is offered."""
    ((_, text),) = problems_of(PLAIN.replace("hand", "hnd"))
    assert 'Is "hand" meant?' in text


def test_an_id_that_is_no_text_is_told_once() -> None:
    """A number for an id is one problem."""
    assert [place for place, _ in problems_of(PLAIN.replace('"knot"', "7"))] == ["technique[0].id"]


@pytest.mark.parametrize("bad", ["", "two words", "a/b", "a:b"])
def test_ids_that_can_not_be_referred_to(bad: str) -> None:
    """An id is a word without spaces and without the marks of references."""
    assert [place for place, _ in problems_of(PLAIN.replace("knot", bad))] == ["technique[0].id"]


def test_an_id_used_twice() -> None:
    """The second use of an id is a problem; the first stays."""
    found, problems, _ = parse_techniques(tomllib.loads(PLAIN + PLAIN), "techniques.toml")
    assert [technique.id for technique in found] == ["knot"]
    assert [problem.place for problem in problems] == ["technique[1].id"]


def test_unknown_keys_are_warned_about() -> None:
    """A key that means nothing is warned about with the nearest one, and stops nothing."""
    document = tomllib.loads('colour = "red"\n' + PLAIN + 'cuation = "Mind the knot."\n')
    found, problems, warnings = parse_techniques(document, "techniques.toml")
    assert len(found) == 1 and not problems
    assert [warned.place for warned in warnings] == ["colour", "technique[0].cuation"]
    assert 'Is "caution" meant?' in warnings[1].text


def test_a_single_table_is_no_list() -> None:
    """`[technique]` in place of `[[technique]]` is one problem that shows the remedy."""
    ((place, text),) = problems_of(PLAIN.replace("[[technique]]", "[technique]"))
    assert place == "technique"
    assert "[[technique]]" in text


def test_a_technique_alone_is_none_where_something_is_wrong() -> None:
    """One table gives a technique or its problems, not both."""
    good, none, _ = parse_technique({"id": "a", "work": "hand", "typical": 1}, "f", "technique[4]")
    bad, one, _ = parse_technique({"id": "a", "work": "hand"}, "f", "technique[4]")
    assert good is not None and not none
    assert bad is None and [problem.place for problem in one] == ["technique[4].typical"]


def test_the_makers_own_win() -> None:
    """A maker's technique replaces the built-in one of its id; the others stay."""
    own = read(PLAIN + PLAIN.replace("knot", "hem-by-hand"))
    both = techniques_with(own)
    assert both["hem-by-hand"] is own[1] and both["knot"] is own[0]
    assert both["mock-up-seam"] is techniques()["mock-up-seam"]
    assert len(both) == len(list(both)) == len(techniques()) + 1
    assert "knot" in both and "hem-by-foot" not in both
