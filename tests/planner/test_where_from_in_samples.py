"""Garments written by hand may come from elsewhere, and be made again, and still be planned."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from planner.catalogue.shelf import orders
from planner.files.reading import read_project
from planner.ground import all_operations
from planner.model import Ensemble, Project, Source
from planner.network import order_problems
from planner.splitting.again import split_again
from planner.splitting.answers import usual

SAMPLES = {
    "hallow_skerry": datetime(2027, 8, 30),
    "copper_wood_masque": datetime(2027, 3, 6),
    "oldmere_regatta": datetime(2027, 6, 7),
}


def sound(project: Project, ensemble: Ensemble) -> None:
    """The project with this ensemble has minutes for every step, and no circle."""
    found = tuple(ensemble if e.id == ensemble.id else e for e in project.ensembles)
    all_operations(replace(project, ensembles=found))
    assert order_problems(found) == ()


@pytest.mark.parametrize("sample", SAMPLES)
def test_every_source_and_back(sample: str) -> None:
    """Also where a measurement or a stock of the maker's has the name of one of the order's and
    is another kind of quantity."""
    project, now = read_project(Path("sample_projects") / sample), SAMPLES[sample]
    tried = 0
    for ensemble in project.ensembles:
        for garment in ensemble.garments:
            order = orders().get(garment.kind or "")
            for source in order.sources if order else ():
                assert order is not None
                there = split_again(
                    ensemble, garment.id, usual(order, source), orders=orders(), now=now
                )
                sound(project, there)
                again = split_again(
                    there, garment.id, usual(order, Source.MAKE), orders=orders(), now=now
                )
                sound(project, again)
                tried += 1
    assert tried >= 20
