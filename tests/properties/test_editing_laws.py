"""Laws of edits: whatever is done to the samples, they still plan, and files say the same."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner import editing as e
from planner.files.plain import plain_diary, plain_ensemble
from planner.files.reading import read_project
from planner.files.writing import write_diary, write_ensemble
from planner.ground import lay_ground
from planner.model import Garment, Occasion, OccasionKind, Project, Step, Stock, Use, Work
from planner.network import Network
from planner.planning import plan_project
from planner.problems import InputError
from planner.quantity import parse_quantity

SAMPLES = Path(__file__).parents[2] / "sample_projects"
NOW = {
    "copper_wood_masque": datetime(2027, 3, 6),
    "hallow_skerry": datetime(2027, 8, 30),
    "oldmere_regatta": datetime(2027, 6, 7),
}
NAMES = ("hem", "Kleid [blau]", 'quo"ted\\', "naïve", "🧵🪡", "שמלה", "\x1b[31mred\x07", "a\tb",
         "\u202eback", "shirt", "stays", "fitting", "half\nline", "\x00", "\x7f\x85", "#", "x = 1",
         "'''", "trial wear", "'", "cut", "event")  # fmt: skip
"""Names of every sort, some of which are ids in the samples already."""

LAWS = settings(
    max_examples=30, deadline=None, derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)  # fmt: skip
each_sample = pytest.mark.parametrize("sample", sorted(NOW))


@cache
def read(sample: str) -> Project:
    """A sample as it is."""
    return read_project(SAMPLES / sample)


def network(project: Project, sample: str) -> Network:
    """The order of a project's work, after everything that planning asks of its files."""
    return lay_ground(project, NOW[sample]).network


def garments(project: Project) -> list[str]:
    """Full ids of all garments."""
    return [f"{it.id}/{g.id}" for it in project.ensembles for g in it.garments]


def steps(project: Project) -> list[str]:
    """Full ids of all steps."""
    return [
        f"{it.id}/{g.id}/{s.id}" for it in project.ensembles for g in it.garments for s in g.steps
    ]


def occasions(project: Project) -> list[str]:
    """Full ids of all occasions."""
    return [f"{it.id}/{o.id}" for it in project.ensembles for o in it.occasions]


def stocks(project: Project) -> list[str]:
    """Full ids of all stock."""
    return [f"{it.id}/{s.id}" for it in project.ensembles for s in it.stock]


def the(project: Project, full: str) -> Any:
    """The garment, step or occasion of a full id."""
    ensemble, id, *step = full.split("/")
    it = next(it for it in project.ensembles if it.id == ensemble)
    inside: tuple[Any, ...] = (*it.garments, *it.occasions)
    found = next(o for o in inside if o.id == id)
    return next(s for s in found.steps if s.id == step[0]) if step else found


def free(data: st.DataObject, project: Project) -> str:
    """A name that is no garment's and no occasion's."""
    used = {full.split("/")[1] for full in (*garments(project), *occasions(project))}
    return data.draw(st.sampled_from([n for n in NAMES if n.strip() not in used])).strip() or "x"


def new_step(data: st.DataObject, id: str, *after: str) -> Step:
    """A step of the maker's own hours, whatever it is called."""
    return Step(
        id=id,
        name=data.draw(st.sampled_from(("", *NAMES))),
        hours=data.draw(st.integers(1, 90)),
        effort=data.draw(st.sampled_from([1.0, 1.3])),
        work=Work.HAND,
        after=after,
        optional=data.draw(st.booleans()),
        stage=data.draw(st.sampled_from([None, None, "wearable"])),
    )


Edit = Callable[[st.DataObject, Project], Project]


def _rename(data: st.DataObject, p: Project) -> Project:
    name = data.draw(st.sampled_from(NAMES)).strip() or "x"
    what = data.draw(st.sampled_from(["garment", "step", "occasion", "stock", "measurement"]))
    if what == "garment":
        return e.rename_garment(p, data.draw(st.sampled_from(garments(p))), name)
    if what == "step":
        return e.rename_step(p, data.draw(st.sampled_from(steps(p))), name)
    if what == "occasion":
        return e.rename_occasion(p, data.draw(st.sampled_from(occasions(p))), name)
    if what == "stock":
        return e.rename_stock(p, data.draw(st.sampled_from(stocks(p))), name)
    full = data.draw(st.sampled_from(garments(p)))
    measured = list(the(p, full).measurements)
    if not measured:
        return p
    return e.rename_measurement(p, full, data.draw(st.sampled_from(measured)), f"w{name}")


def _remove(data: st.DataObject, p: Project) -> Project:
    what = data.draw(st.sampled_from(["garment", "step", "step", "step", "occasion", "stock"]))
    if what == "garment" and len(garments(p)) > 2:
        return e.remove_garment(p, data.draw(st.sampled_from(garments(p))))
    if what == "occasion" and len(occasions(p)) > 2:
        return e.remove_occasion(p, data.draw(st.sampled_from(occasions(p))))
    if what == "stock" and len(stocks(p)) > 1:
        return e.remove_stock(p, data.draw(st.sampled_from(stocks(p))))
    return e.remove_step(p, data.draw(st.sampled_from(steps(p))))


def _duplicate(data: st.DataObject, p: Project) -> Project:
    if data.draw(st.booleans()):
        return e.duplicate_garment(p, data.draw(st.sampled_from(garments(p))), free(data, p))
    full = data.draw(st.sampled_from(steps(p)))
    garment = full.rpartition("/")[0]
    return e.duplicate_step(p, full, e.free_step(p, garment, data.draw(st.sampled_from(NAMES))))


def _move(data: st.DataObject, p: Project) -> Project:
    by = data.draw(st.integers(-4, 4))
    if data.draw(st.booleans()):
        return e.move_garment(p, data.draw(st.sampled_from(garments(p))), by)
    return e.move_step(p, data.draw(st.sampled_from(steps(p))), by)


def _leave_off(data: st.DataObject, p: Project) -> Project:
    on = data.draw(st.booleans())
    if data.draw(st.booleans()):
        return e.leave_off_garment(p, data.draw(st.sampled_from(garments(p))), on)
    return e.leave_off_step(p, data.draw(st.sampled_from(steps(p))), on)


def _add(data: st.DataObject, p: Project) -> Project:
    ensemble = data.draw(st.sampled_from([it.id for it in p.ensembles]))
    what = data.draw(st.sampled_from(["garment", "step", "occasion", "stock", "pack"]))
    name = data.draw(st.sampled_from(NAMES))
    if what == "garment":
        first = new_step(data, "begin", *data.draw(st.sampled_from([(), (garments(p)[0],)])))
        garment = Garment(
            id=free(data, p), name=name, in_order=data.draw(st.booleans()),
            choices={"x" + name: "y"}, steps=(first, new_step(data, "end", "begin")),
        )  # fmt: skip
        return e.add_garment(p, ensemble, garment, data.draw(st.sampled_from([None, 0])))
    if what == "step":
        full = data.draw(st.sampled_from(garments(p)))
        at = data.draw(st.integers(0, len(the(p, full).steps)))
        return e.add_step(p, full, at, new_step(data, e.free_step(p, full, name)))
    if what == "occasion":
        kind = data.draw(st.sampled_from(OccasionKind))
        at_ = the(p, occasions(p)[0]).at + timedelta(hours=data.draw(st.integers(-90, 90)))
        return e.add_occasion(p, ensemble, Occasion(id=free(data, p), kind=kind, at=at_, name=name))
    if what == "stock":
        return e.add_stock(p, ensemble, Stock(id=e.free_stock(p, ensemble, name), name=name))
    return e.with_pack(p, ensemble, data.draw(st.lists(st.sampled_from(NAMES), max_size=3)))


def _replace(data: st.DataObject, p: Project) -> Project:
    if data.draw(st.booleans()):
        full = data.draw(st.sampled_from(occasions(p)))
        occasion = the(p, full)
        later = occasion.at + timedelta(days=data.draw(st.integers(-5, 5)))
        return e.replace_occasion(p, full, replace(occasion, at=later, margin=occasion.margin))
    full = data.draw(st.sampled_from(garments(p)))
    garment = the(p, full)
    kept = [s for s in garment.steps if data.draw(st.integers(0, 5))]
    left = {s.id for s in kept}
    fewer = tuple(
        replace(
            s,
            effort=data.draw(st.sampled_from([1.0, 0.5, 2.25])),
            # what goes is no longer named by the garment itself
            after=tuple(a for a in s.after if a in left or a not in {x.id for x in garment.steps}),
        )
        for s in kept
    )
    return e.replace_garment(p, full, replace(garment, steps=fewer, wearer="Ångström"))


EDITS: Mapping[str, Edit] = {
    "rename": _rename, "remove": _remove, "duplicate": _duplicate, "move": _move,
    "leave off": _leave_off, "add": _add, "replace": _replace,
}  # fmt: skip
REFUSED = ("leave off", "move", "add", "replace")
"""Edits that may be refused, as what they ask for would be a circle."""


def edited(data: st.DataObject, project: Project) -> Project:
    """A project after one edit, or as it was where that was refused."""
    name = data.draw(st.sampled_from(sorted(EDITS)))
    try:
        return EDITS[name](data, project)
    except ValueError as error:
        assert "already" in str(error)
    except InputError as error:
        assert name in REFUSED, f"{name}: {error}"
        assert "in a circle" in str(error)
    return project


@contextmanager
def copied(sample: str) -> Iterator[Path]:
    """A copy of a sample's folder."""
    with tempfile.TemporaryDirectory() as folder:
        yield Path(shutil.copytree(SAMPLES / sample, Path(folder, sample)))


def save(folder: Path, before: Project, after: Project) -> None:
    """Save what differs into the files of a folder."""
    olds = {it.id: it for it in before.ensembles}
    for it in after.ensembles:
        write_ensemble(folder / f"{it.id}.toml", olds[it.id], it, after.workroom.units)
    if before.diary != after.diary:
        write_diary(folder / "diary.toml", before.diary, after.diary)


@each_sample
@LAWS
@given(data=st.data())
def test_edited_samples_still_plan_and_are_saved_as_they_are(
    sample: str, data: st.DataObject
) -> None:
    """Any edits one after another leave a workroom that plans; read back it is the same."""
    before = read(sample)
    project = before
    with copied(sample) as folder:
        for _ in range(data.draw(st.integers(1, 4))):
            after = edited(data, project)
            network(after, sample)
            save(folder, project, after)
            project = after
        again = read_project(folder)
        units = project.workroom.units
        assert [plain_ensemble(it, units) for it in again.ensembles] == [
            plain_ensemble(it, units) for it in project.ensembles
        ]
        assert plain_diary(again.diary) == plain_diary(project.diary)
        assert [(s, the(again, s).where) for s in steps(again)] == [
            (s, the(project, s).where or the(again, s).where) for s in steps(project)
        ]
        plan_project(again, NOW[sample], thorough=False)


@each_sample
@settings(LAWS, max_examples=40)
@given(data=st.data())
def test_long_rows_of_edits_still_plan(sample: str, data: st.DataObject) -> None:
    """However many edits follow on one another, references stay sound."""
    project = read(sample)
    for _ in range(10):
        project = edited(data, project)
        network(project, sample)


def order(net: Network, named: Callable[[str], str] = lambda full: full) -> dict[str, Any]:
    """What follows what and is done when, with names put into others."""
    found: dict[str, Any] = {
        named(name): (
            frozenset(map(named, node.after)),
            frozenset(map(named, node.after_occasions)),
            node.during and named(node.during),
        )
        for name, node in net.nodes.items()
    }
    return found | {
        f"wants of {named(o)}": frozenset(map(named, want)) for o, want in net.wants.items()
    }


@each_sample
@settings(LAWS, max_examples=40)
@given(data=st.data())
def test_renaming_changes_names_and_nothing_else(sample: str, data: st.DataObject) -> None:
    """The order of work is the same but for the name; back again it is the very same."""
    project = read(sample)
    if data.draw(st.booleans()):
        project = e.add_step(project, garments(project)[1], 0, new_step(data, "hem-2"))
    before = network(project, sample)
    rename, fulls = data.draw(
        st.sampled_from(
            [
                (e.rename_garment, garments(project)),
                (e.rename_step, steps(project)),
                (e.rename_occasion, occasions(project)),
            ]
        )
    )
    old = data.draw(st.sampled_from(fulls))
    # an id of something else there is where that can be: references must be told apart
    others = {full.rpartition("/")[2] for full in (*garments(project), *occasions(project))}
    name = data.draw(st.sampled_from(NAMES) | st.sampled_from(sorted(others))).strip() or "x"
    new = f"{old.rpartition('/')[0]}/{name}"
    try:
        after = rename(project, old, name)
    except ValueError:
        assert name in others or new in steps(project)
        return

    def back(full: str) -> str:
        same = full == new or full.startswith(f"{new}/")
        return old + full.removeprefix(new) if same else full

    assert order(network(after, sample), back) == order(before)
    home = rename(after, new, old.rpartition("/")[2])
    assert order(network(home, sample)) == order(before)
    assert home.diary == project.diary


def reach(net: Network) -> dict[str, frozenset[str]]:
    """All that each step comes after."""
    found: dict[str, frozenset[str]] = {}
    for name in net.order:
        after = net.nodes[name].after
        found[name] = frozenset(after).union(*(found[a] for a in after))
    return found


@each_sample
@settings(LAWS, max_examples=60)
@given(data=st.data())
def test_a_removed_step_leaves_the_order_of_the_others(sample: str, data: st.DataObject) -> None:
    """What followed it follows what it did; without a stage it adds nothing to the order."""
    project = read(sample)
    net = network(project, sample)
    full = data.draw(st.sampled_from(list(net.nodes)))
    after = e.remove_step(project, full)
    before, now = reach(net), reach(network(after, sample))
    step = the(project, full)
    for name, it in now.items():
        if step.stage is None:
            assert it <= before[name]
        texts = {step.id, f"{full.split('/')[1]}/{step.id}", full}
        named = set(the(project, name).after) & texts
        if named - {step.id} or (named and name.rpartition("/")[0] == full.rpartition("/")[0]):
            assert it >= frozenset(net.nodes[full].after)


@each_sample
@settings(LAWS, max_examples=40)
@given(data=st.data())
def test_edits_that_undo_one_another(sample: str, data: st.DataObject) -> None:
    """Off and back on, down and up again, twice and once: all is as it was."""
    project = read(sample)
    full = data.draw(st.sampled_from(steps(project)))
    garment, _, id = full.rpartition("/")
    it = the(project, garment)
    units = project.workroom.units
    plain = [plain_ensemble(x, units) for x in project.ensembles]

    def is_as_it_was(again: Project) -> bool:
        return [plain_ensemble(x, units) for x in again.ensembles] == plain

    try:
        off = e.leave_off_step(project, full, not the(project, full).left_off)
        assert is_as_it_was(e.leave_off_step(off, full, the(project, full).left_off))
    except InputError as error:
        assert "in a circle" in str(error)
    if not it.in_order:
        at = [s.id for s in it.steps].index(id)
        by = data.draw(st.integers(-at, len(it.steps) - 1 - at))
        assert is_as_it_was(e.move_step(e.move_step(project, full, by), full, -by))
        twice = e.duplicate_step(project, full, e.free_step(project, garment, id))
        copy = the(twice, garment).steps[at + 1].id
        assert is_as_it_was(e.remove_step(twice, f"{garment}/{copy}"))
    second = e.duplicate_garment(project, garment, e.free_name(project, garment.split("/")[0], id))
    copy = next(g for g in garments(second) if g not in garments(project))
    assert is_as_it_was(e.remove_garment(second, copy))
    ensemble = garment.split("/")[0]
    stock = Stock(id="new thing", have=parse_quantity("1 m"))
    more = e.add_stock(project, ensemble, stock)
    use = Use(stock="new thing", amount=(stock.have,))
    using = replace(the(more, full), uses=(*the(more, full).uses, use))
    used = e.replace_step(more, full, using)
    assert is_as_it_was(e.remove_stock(used, f"{ensemble}/new thing"))
