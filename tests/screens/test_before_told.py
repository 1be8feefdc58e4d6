"""What an occasion needs, in words: computed, whole, and the same for screen and command."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from planner.before import Before, needs
from screens import before_list_told as list_told
from screens import before_others_told
from screens import before_steps_told as steps_told
from screens import before_told as told
from screens.command import main
from screens.state import State
from screens.wording import cells, spoken
from tests.screens.workrooms import SMALL, a_copy, state_of

HALLOW = Path("sample_projects/hallow_skerry")
OLDMERE = Path("sample_projects/oldmere_regatta")
Printed = pytest.CaptureFixture[str]


@pytest.fixture(scope="module")
def hallow() -> State:
    """The largest sample."""
    return state_of(HALLOW, datetime(2027, 8, 30))


@pytest.fixture(scope="module")
def oldmere() -> State:
    """A workroom three evenings behind."""
    return state_of(OLDMERE, datetime(2027, 6, 7))


@pytest.fixture(scope="module")
def small() -> State:
    """The small workroom."""
    return state_of(SMALL)


def of(state: State, ident: str) -> Before:
    """What an occasion of a state needs."""
    occasion = next(one for one in state.plan.occasions if one.id == ident)
    return needs(state.project, state.plan, occasion)


def said(state: State, ident: str) -> str:
    """The answer as one paragraph."""
    return " ".join(one.text for one in told.answer(state.plan, of(state, ident)))


def test_what_must_be_done_before_the_second_fitting_and_whether_it_can_be(hallow: State) -> None:
    """The first sentences answer it: when, whether, by how much, which garments how far."""
    needed = of(hallow, "lamp_keeper/second-fitting")
    hours = needed.hours
    text = said(hallow, "lamp_keeper/second-fitting")
    assert "is on Saturday 16 October, 14:00, in 47 days." in text
    assert (
        "All of it can be done: 47 h 23 of work, 8 h 37 of it for the Tide-reckoner, in 66 h 56"
        " of hours that serve it" in text
    )
    assert (hours.left, hours.serving) == (47 * 60 + 23, 66 * 60 + 56)
    assert "Wanted fittable by then: Stays, Shoes, Petticoat and Skirt; wearable: Hip roll" in text
    assert (
        "Of the Tide-reckoner too, as “In cloth, with the breeches” comes after it, wanted"
        " fittable by then: Wide smock, Father's velvet breeches and Doublet." in text
    )
    assert "as far as needed: Old linen shift and Boned bodice." in text


def test_what_cannot_be_done_in_time(oldmere: State) -> None:
    """How much is short where it is tightest; what is late is named."""
    text = said(oldmere, "signal_master/second-fitting")
    short = next(o.short for o in oldmere.plan.occasions if o.id == "signal_master/second-fitting")
    assert short > 60
    assert (
        f"Not all of it can be done: {spoken(short)} short, for {spoken(short + 9 * 60)} of"
        " work must be done from today, 07:50 on, in 9 h of hours." in text
    )
    assert "20 min" not in text  # over all hours less is lacking: no second shortfall
    text = said(oldmere, "signal_master/trial")
    assert "1 step is late for it: “Flag buttons” (Signal-master's coat)." in text
    groups = steps_told.groups(oldmere.plan, of(oldmere, "signal_master/trial"), False)
    assert (groups[0].heading, groups[0].late) == ("late for it", True)
    assert not {*groups[0].steps} & {one for group in groups[1:] for one in group.steps}


def test_a_past_occasion_says_what_it_lacked(oldmere: State, tmp_path: Path) -> None:
    """That it was, and that it lacked nothing, or what."""
    text = said(oldmere, "signal_master/first-fitting")
    assert text == "The Mock-ups on Jory was on Saturday 29 May. It lacked nothing."
    later = state_of(SMALL, datetime(2027, 5, 9))
    text = said(later, "ferrywoman/body-fitting")
    lacked = "It lacked 6 steps, 6 h 25 of work; 4 before it: “cut the layers”"
    assert f"was on Saturday 8 May. {lacked}" in text
    assert "; 2 to be done at it: “lace up” (Stays) and “fit over the stays” (Jacket" in text
    assert text.count("Saturday") == 1


def test_whether_the_time_kept_is_enough(small: State) -> None:
    """Things counted, minutes added up, and the time kept for them."""
    needed = of(small, "ferrywoman/body-fitting")
    assert list_told.at_it(small.plan, needed) == [
        "Saturday has two things to do, about 50 min, and it is planned to take 1 h."
    ]


def test_too_little_time_kept(tmp_path: Path) -> None:
    """The maker kept half an hour for fifty minutes."""
    path = a_copy(tmp_path)
    file = path / "ferrywoman.toml"
    kept = 'at = 2027-05-08T14:00:00\ntakes = "30m"'
    text = file.read_text("utf-8").replace("at = 2027-05-08T14:00:00", kept)
    file.write_text(text, encoding="utf-8")
    state = state_of(path)
    assert list_told.at_it(state.plan, of(state, "ferrywoman/body-fitting")) == [
        "Saturday has two things to do, about 50 min, and you have kept 30 min for it:"
        " 20 min too little."
    ]


def test_what_is_needed_only_and_what_can_wait(hallow: State) -> None:
    """Of what is worn under it, the garment of which most can wait."""
    needed = of(hallow, "lamp_keeper/first-fitting")
    assert list_told.at_it(hallow.plan, needed)[1] == (
        "The Stays need only “work eyelets by hand” and “insert bones and close the channels”"
        " by then; “Binding, first side” and 2 more can wait."
    )


def test_each_thing_over_what_and_what_it_decides(hallow: State) -> None:
    """In dressing order, with hands, and up to what has no way back."""
    needed = of(hallow, "lamp_keeper/first-fitting")
    lines = [list_told.thing_told(hallow.plan, needed, thing) for thing in needed.things]
    assert lines[-1] == [
        "worn under it: Old linen shift, Stays, Hip roll and Skirt",
        "decides: “transfer fitting corrections to the pattern”, then “cut outer panels”",
    ]
    under = [must.garment.split("/")[1] for must in list_told.under_it(needed)]
    assert under == ["shift", "smock", "stays", "roll", "skirt"]
    stays = list_told.under_it(needed)[2]
    assert list_told.must_told(hallow.plan, stays).startswith(
        "fittable with “work eyelets by hand” and “insert bones and close the channels”, on "
    )


def test_occasions_that_are_alike_are_told_apart(hallow: State) -> None:
    """Of the same sort at the same time: each says whose it is."""
    labels = [told.label(hallow.plan, one) for one in hallow.plan.occasions]
    assert labels[:4] == [
        "Sat 25 Sep fitting",
        "Sat 16 Oct fitting",
        "Sat 30 Oct trial wear, Lamp-keeper",
        "Sat 30 Oct trial wear, Tide-reckoner",
    ]


def test_what_is_packed_and_when_it_is_ready(oldmere: State) -> None:
    """The rows of a packing list, and how many are packed."""
    needed = of(oldmere, "signal_master/boat")
    assert list_told.packed(oldmere.plan, needed) == ["0 of 9 things are packed."]
    rows = {item.thing: list_told.item_states(oldmere.plan, item) for item in needed.packing}
    assert rows["trousers"][0].startswith("1 step left, 0:17; ready ")
    assert rows["trousers"][1].startswith("0:17 left; ready ")
    assert rows["trousers"][2].startswith("ready ")


def test_steps_by_garment(hallow: State) -> None:
    """Every open step once, each garment under its own heading with its stage and day."""
    needed = of(hallow, "lamp_keeper/second-fitting")
    groups = steps_told.groups(hallow.plan, needed, by_garment=True)
    found = [one for group in groups for one in group.steps]
    assert sorted(found) == sorted(needed.open)
    assert any(group.heading.startswith("Stays: fittable ") for group in groups)
    assert all(one.startswith(f"{group.garment}/") for group in groups for one in group.steps)


def test_nothing_ends_in_the_middle(hallow: State, oldmere: State) -> None:
    """Every sentence of every occasion is whole."""
    for state in (hallow, oldmere):
        for occasion in state.plan.occasions:
            needed = needs(state.project, state.plan, occasion)
            for one in told.answer(state.plan, needed):
                assert one.text.endswith((".", "?")) and "  " not in one.text


def test_the_command_takes_the_next_occasion(capsys: Printed) -> None:
    """Without one named; eighty columns; by garment where asked."""
    assert main(["before", str(SMALL), "--today", "2027-05-03"]) == 0
    text = capsys.readouterr().out
    assert "The Body fitting is on Saturday 8 May, 14:00, in 5 days." in " ".join(text.split())
    assert all(cells(line) <= 80 for line in text.splitlines())
    assert "As far as needed, 4 steps" in text
    assert main(["before", str(SMALL), "--by-garment", "--today", "2027-05-03"]) == 0
    assert "Stays: as far as “bones in front” Sat 8 May, 3 steps" in capsys.readouterr().out


def test_the_command_s_packing_list(tmp_path: Path, capsys: Printed) -> None:
    """Ticked as the file says, the things of the list after the garments."""
    path = a_copy(tmp_path)
    file = path / "ferrywoman.toml"
    pack = 'format = 1\npack = ["shoes", "repair kit"]\npacked = ["stays", "repair kit"]\n'
    file.write_text(file.read_text("utf-8").replace("format = 1\n", pack, 1), encoding="utf-8")
    assert main(["before", str(path), "regatta", "--today", "2027-05-03"]) == 0
    lines = capsys.readouterr().out.splitlines()
    start = lines.index("To pack, in dressing order:")
    assert lines[start - 1] == "2 of 4 things are packed."
    assert [line[:4] for line in lines[start + 1 :]] == ["  × ", "  · ", "  wh", "  · ", "  × "]


def test_the_command_as_data(capsys: Printed) -> None:
    """Every key of JSON.md, those from before among them."""
    assert main(["before", str(SMALL), "body-fitting", "--today", "2027-05-03", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert {"occasion", "steps", "left", "available", "short", "late", "can_wait"} <= set(found)
    assert found["serving"] <= found["available"]
    assert found["things"][-1] == {
        "step": "ferrywoman/bodice/fit",
        "over": ["ferrywoman/stays"],
        "decides": ["ferrywoman/bodice/correct", "ferrywoman/bodice/seams"],
    }
    text = Path("planner/exports/JSON.md").read_text("utf-8")
    assert all(f"`{key}`" in text for key in found)


def test_the_sums_of_the_groups_meet_what_the_answer_says(hallow: State, oldmere: State) -> None:
    """What is done at another occasion takes its time, and is told apart."""
    for state in (hallow, oldmere):
        for one in state.plan.occasions:
            needed = of(state, one.id)
            found = steps_told.groups(state.plan, needed, False)
            assert sum(group.minutes for group in found) == needed.hours.left
            for group in found:
                said = steps_told.group_told(group, needed, spoken)
                apart = f"{spoken(group.at_occasions)} at a "
                assert (apart in said) == bool(group.at_occasions)


def test_other_work_is_told_by_whose_it_is(hallow: State) -> None:
    """By the ensemble where it is none of this one's."""
    needed = of(hallow, "lamp_keeper/trial")
    assert needed.hours.also_of == ("tide_reckoner",)
    assert "for the Tide-reckoner by then" in told.whether(hallow.plan, needed)


def test_what_is_no_garment_is_not_told_as_one(
    hallow: State, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is done with all together stands apart; garments not named are listed beneath."""
    needed = of(hallow, "lamp_keeper/ball")
    said = told.what_must_be_there(hallow.plan, needed, most=6)
    assert "and 5 more; done with all together: Wearing, mending, packing" in said
    assert not told.some_unnamed(needed)
    monkeypatch.setattr(told, "NAMED", 6)
    assert told.some_unnamed(needed)
    assert not told.some_unnamed(of(hallow, "tide_reckoner/trial"))


def test_work_of_another_ensemble_is_told_apart(hallow: State) -> None:
    """Only through steps that truly come after it, which are named; its steps come last."""
    needed = of(hallow, "lamp_keeper/mail-boat")
    (other,) = before_others_told.others(hallow.plan, needed)
    steps = {step.id: step for step in hallow.plan.steps}
    assert other.ensemble == "tide_reckoner"
    assert other.through == ("lamp_keeper/going/check", "lamp_keeper/going/pack")
    assert all(set(steps[one].after) & set(other.steps) for one in other.through)
    *own, last = steps_told.groups(hallow.plan, needed, False)
    assert last.heading == "for the Tide-reckoner"
    assert last.steps == other.steps
    assert all(one.startswith("lamp_keeper/") for group in own for one in group.steps)
    back = of(hallow, "tide_reckoner/mail-boat")  # nothing of the Lamp-keeper comes before it
    assert before_others_told.others(hallow.plan, back) == []


def test_what_is_ticked_and_is_not_ready_says_so(hallow: State) -> None:
    """It can be ticked any time; what it lacks then is told with it."""
    needed = of(hallow, "lamp_keeper/mail-boat")
    stays = next(one for one in needed.packing if one.garment == "lamp_keeper/stays")
    assert list_told.item_told(hallow.plan, stays).endswith("ready Sun 31 Oct")
    ticked = replace(stays, packed=True)
    said = "packed, though not ready before Sun 31 Oct"
    assert list_told.item_states(hallow.plan, ticked) == [said, "not ready before Sun 31 Oct"]
    ready = replace(ticked, open=(), left=0, ready=None)
    assert list_told.item_told(hallow.plan, ready) == "ready"
