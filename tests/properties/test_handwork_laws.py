"""Laws of the hand sewing and the stock on random workrooms."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.editing.ways import add_way, choose_way
from planner.exports.account import stock_reports_of
from planner.files.reading import read_project
from planner.ground import lay_ground
from planner.handwork import hand_work
from planner.model import Project, Work
from planner.planning import plan_project
from planner.stock import GRAIN
from tests.independent.random_workrooms import NOW, write_workroom


def left(it: Project) -> int:
    """Minutes left of all steps."""
    ground = lay_ground(it, NOW)
    return sum(ground.stand[name].left for name in ground.network.nodes)


@pytest.mark.parametrize("seed", range(20))
def test_laws(tmp_path: Path, seed: int) -> None:
    """Hand minutes are the plan's; a way saves what choosing it saves; the stock's sums agree."""
    write_workroom(tmp_path, seed)
    it = read_project(tmp_path)
    plan = plan_project(it, NOW, thorough=False)
    found = hand_work(it, plan)
    assert {d.date: d.minutes for d in found.days} == {
        d.date: d.hand_minutes for d in plan.days if d.hand_minutes
    }
    limit = plan.hand_sewing_limit
    assert all(d.over == max(0, d.minutes - limit) for d in found.days if limit is not None)
    assert found.could_leave <= found.workroom
    for one in found.steps:
        assert one.step.work is Work.HAND
        for way in one.ways:
            if way.offered:
                after = choose_way(it, way.step, way.index)
            else:
                assert way.way is not None
                after = add_way(it, way.step, way.way)
            assert way.saved == left(it) - left(after)
    for report in stock_reports_of(it, plan):
        assert report.short <= report.wanted + GRAIN
        assert (report.short > 0) == (report.runs_out_at is not None)
        assert sum(use.lacking for use in report.uses) <= report.short + GRAIN
        days = [use.day for use in report.uses if use.day is not None]
        assert report.to_hand_by == min(days, default=None)
        if report.suffices is not None:
            assert report.suffices.wanted <= report.there + report.coming + GRAIN
