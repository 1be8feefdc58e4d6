"""A plan that fits only because nobody wants the work says so first."""

from __future__ import annotations

from pathlib import Path

import pytest

from screens.then import then_sentence
from screens.verdict import verdict_sentences
from tests.planner.little import ensemble, garment, plan

BALL = '{ id = "ball", kind = "event", at = 2027-05-08 }'


def fitted_on(day: str) -> str:
    """A garment fitted on a day and sewn after that, for a ball on 8 May."""
    steps = garment(
        "cut 30",
        'fit - during="fitting", technique="fitting-garment", after=["cut"]',
        'sew 60 after=["fit"], stage="wearable"',
        id="gown",
    )
    fitting = f'{{ id = "fitting", kind = "fitting", at = 2027-05-{day}T14:00:00 }}'
    return ensemble(steps, f"{fitting}, {BALL}")


def test_a_fitting_after_the_event(tmp_path: Path) -> None:
    """What follows it is wanted by no occasion: verdict, preview and warnings say so."""
    (tmp_path / "before").mkdir()
    (tmp_path / "after").mkdir()
    good = plan(tmp_path / "before", fitted_on("05"))
    bad = plan(tmp_path / "after", fitted_on("20"))
    assert verdict_sentences(good)[0].startswith("Fits:")
    head = "Fits, but can't be worn: 1 step is wanted by no occasion."
    assert verdict_sentences(bad)[0] == head
    assert not any(one.startswith("Fits") for one in verdict_sentences(bad)[1:])
    then = then_sentence(good, bad)
    assert then.startswith("then: fits, but can't be worn: 1 step is wanted by no occasion")
    assert any("is after the last event" in one.text for one in bad.warnings)
    assert not any("is after the last event" in one.text for one in good.warnings)


@pytest.mark.parametrize("more", ['optional=true, after=["sew"]', 'left_off=true, after=["sew"]'])
def test_what_can_be_done_without_is_not_missed(tmp_path: Path, more: str) -> None:
    """Extras and what is left off don't make the verdict worse."""
    found = plan(tmp_path, ensemble(garment('sew 60 stage="wearable"', f"bows 20 {more}"), BALL))
    assert verdict_sentences(found)[0].startswith("Fits:")


def test_many_steps_of_a_garment_are_one_line(tmp_path: Path) -> None:
    """Dozens of lines would say no more; a single step keeps its place in the file."""
    cape = garment(*(f"c{n} 10" for n in range(6)), id="cape")
    fitting = '{ id = "fitting", kind = "fitting", at = 2027-05-05T14:00:00, wants = ["gown/sew"] }'
    gown = garment("sew 60", "bows 20", id="gown")
    found = plan(tmp_path, ensemble(gown + cape, fitting))
    told = [(one.place, one.text) for one in found.warnings if "no coming" in one.text]
    assert told == [
        ("garment[0].step[1]", 'no coming occasion wants "e/gown/bows", so it is not planned.'),
        (
            "garment[1]",
            'no coming occasion wants 6 steps of "e/cape", so they are not planned:'
            ' "c0", "c1", "c2", "c3" and 2 more.',
        ),
    ]
