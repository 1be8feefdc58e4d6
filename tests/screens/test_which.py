"""The page that opens a workroom: samples, folders, what was opened lately."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Awaitable, Callable
from datetime import date, datetime
from pathlib import Path

import pytest

from planner.files.reading import read_project
from planner.problems import InputError
from screens.app import Wearby
from screens.dialogs.open_folder import OpenFolder
from screens.paths import completed, cut_within, path_told_apart, places, shown_path
from screens.recent import Recent, RecentWorkrooms
from screens.samples import FOLDER, SAMPLES, copy_problem, copy_to, free_folder, there
from screens.which import WhichWorkroom
from screens.which_told import Choices, gone_told, lines_of, told_of
from screens.wording import cells
from tests.screens.driving import Driven
from tests.screens.workrooms import MONDAY, SMALL, a_copy

NOW = datetime(2027, 5, 3, 9)
Body = Callable[[Driven], Awaitable[None]]


def at_first(body: Body, recent: RecentWorkrooms, size: tuple[int, int] = (80, 24)) -> None:
    """Open the program where nothing is open yet."""

    async def run() -> None:
        app = Wearby(Path(), lambda: NOW, WhichWorkroom(), recent)
        async with app.run_test(size=size) as pilot:
            driven = Driven(app, pilot)
            await driven.settle()
            assert isinstance(app.screen, WhichWorkroom)
            await body(driven)

    asyncio.run(run())


def kept_in(folder: Path) -> RecentWorkrooms:
    """A list that is kept in a test's own folder."""
    return RecentWorkrooms(folder / "state" / "recent.toml")


# the samples


def test_the_days_of_samples_are_those_their_readme_gives() -> None:
    """Each sample is there, and opens on the day it was written for."""
    told = (FOLDER / "README.md").read_text(encoding="utf-8")
    given = dict(re.findall(r"wearby plan sample_projects/(\w+) --today ([\d-]+)", told))
    assert given == {one.id: one.day.isoformat() for one in SAMPLES}
    assert there() == SAMPLES


def test_a_copy_leaves_the_sample_as_it_is(tmp_path: Path) -> None:
    """The copy is a workroom of its own; nothing that is there already is written over."""
    sample = SAMPLES[0]
    copy_to(sample, tmp_path / "deep" / "copy")
    assert read_project(tmp_path / "deep" / "copy").ensembles
    assert (tmp_path / "deep" / "copy" / "workroom.toml").stat().st_ino
    with pytest.raises(InputError, match="something in this folder"):
        copy_to(sample, tmp_path / "deep" / "copy")
    (tmp_path / "file").write_text("", encoding="utf-8")
    assert "is a file" in copy_problem(tmp_path / "file")
    with pytest.raises(InputError, match="can't be copied there"):
        copy_to(sample, tmp_path / "file" / "beneath")
    (tmp_path / sample.id).mkdir()
    assert free_folder(sample, tmp_path) == tmp_path / sample.id
    (tmp_path / sample.id / "note").write_text("", encoding="utf-8")
    assert free_folder(sample, tmp_path) == tmp_path / f"{sample.id}-2"


# what was opened lately


def test_the_last_opened_comes_first_and_nine_are_kept(tmp_path: Path) -> None:
    """Opened again a workroom moves up; the tenth is forgotten."""
    recent = kept_in(tmp_path)
    assert recent.read() == ()
    for number in range(11):
        recent.remember(Recent(path=tmp_path / str(number), name=f"No [{number}] \N{SNOWMAN}"))
    assert [one.path.name for one in recent.read()] == [str(n) for n in range(10, 1, -1)]
    again = Recent(path=tmp_path / "4", on=date(2027, 5, 22), as_of=date(2027, 5, 1))
    recent.remember(again)
    assert recent.read()[0] == again
    assert [one.path.name for one in recent.read()].count("4") == 1


@pytest.mark.parametrize(
    "text",
    ["[[workroom", "workroom = 3", "workroom = [3]", "[[workroom]]\nname = 'no path'", "\udcff"],
)
def test_a_broken_list_is_an_empty_one(tmp_path: Path, text: str) -> None:
    """Whatever the file holds, what is opened next is kept."""
    recent = kept_in(tmp_path)
    recent.file.parent.mkdir()
    recent.file.write_text(text, encoding="utf-8", errors="surrogateescape")
    assert recent.read() == ()
    recent.remember(Recent(path=tmp_path))
    assert [one.path for one in recent.read()] == [tmp_path]


def test_a_list_that_cannot_be_kept_hurts_nothing(tmp_path: Path) -> None:
    """Where its folder can't be made, nothing is remembered and nothing raised."""
    (tmp_path / "state").write_text("", encoding="utf-8")
    recent = kept_in(tmp_path)
    recent.remember(Recent(path=tmp_path))
    assert recent.read() == ()


def test_values_that_are_none_are_passed_over(tmp_path: Path) -> None:
    """An entry with wrong sorts of values keeps its path."""
    recent = kept_in(tmp_path)
    recent.file.parent.mkdir()
    text = f'[[workroom]]\npath = "{tmp_path}"\nname = 3\non = 2027-05-22T10:00:00\n'
    recent.file.write_text(text, encoding="utf-8")
    assert recent.read() == (Recent(path=tmp_path),)


# typed paths


def test_what_a_text_may_mean(tmp_path: Path) -> None:
    """Workrooms come first, then other folders; an ensemble's file where it stands alone."""
    a_copy(tmp_path)
    (tmp_path / "Wool").mkdir()
    (tmp_path / "wardrobe").mkdir()
    (tmp_path / ".hidden").mkdir()
    (tmp_path / "pyproject.toml").write_text("[project]\n", encoding="utf-8")
    (tmp_path / "cap.toml").write_text('format = 1\nname = "Cap"\n', encoding="utf-8")
    stem = f"{tmp_path}/"
    found = places(stem)
    assert [(one.name, one.opens) for one in found] == [
        ("cap.toml", "ensemble"),
        ("workroom/", "workroom"),
        ("wardrobe/", ""),
        ("Wool/", ""),
    ]
    assert completed(stem + "w", places(stem + "w")) == stem + "w"
    assert completed(stem + "wo", places(stem + "wo")) == stem + "wo"
    assert completed(stem + "wor", places(stem + "wor")) == f"{stem}workroom/"
    inside = places(f"{stem}workroom/")
    assert [(one.name, one.opens) for one in inside] == [("this folder", "workroom")]
    assert [one.name for one in places(f"{stem}.h")] == [".hidden/"]
    assert completed("x", ()) == "x"
    with pytest.raises(OSError, match="No such"):
        places(f"{stem}nowhere/")


def test_long_paths_are_cut_at_their_beginning(monkeypatch: pytest.MonkeyPatch) -> None:
    """The end of a path tells more than its beginning; the home folder is short."""
    monkeypatch.setenv("HOME", "/home/ada")
    assert shown_path(Path("/home/ada/sewing")) == "~/sewing"
    assert shown_path(Path("/home/adam/sewing")) == "/home/adam/sewing"
    assert shown_path(Path("/a/very/long/way/down"), 10) == "…/way/down"


def test_paths_of_one_name_are_told_apart() -> None:
    """The folder that differs is kept and the last name whole; what lies between is cut."""
    paths = [Path(f"/a/very/long/{way}/way/down/ball") for way in ("east", "west")]
    assert path_told_apart(paths[0], paths, 100) == "/a/very/long/east/way/down/ball"
    assert path_told_apart(paths[0], paths, 25) == "…/long/east/way/down/ball"
    assert path_told_apart(paths[0], paths, 20) == "…/east/way/down/ball"
    assert [path_told_apart(one, paths, 9) for one in paths] == ["…/east/…/ball", "…/west/…/ball"]
    assert path_told_apart(paths[0], paths[:1], 9) == "…/ball"
    pair = [Path("/home/a/ball"), Path("/home/b/ball"), Path("/ball")]
    assert [path_told_apart(one, pair, 5) for one in pair] == ["…/a/ball", "…/b/ball", "/ball"]


def test_a_name_is_cut_in_its_middle() -> None:
    """Both ends stay, and it is never wider than asked."""
    assert cut_within("short", 5) == "short"
    assert cut_within("lamp_ball_of_2027", 9) == "lamp…2027"
    for width in range(12):
        assert cells(cut_within("あ" * 20, width)) <= width


# the page as lines


def _drawn(choices: Choices, width: int, height: int, cursor: str | None = None) -> list[str]:
    """The lines of the page, with what stands at the right."""
    return [
        "".join(run.text for run in line.runs) + (f" {line.right.text}" if line.right else "")
        for line in lines_of(choices, width, cursor, height)
    ]


def _balls(number: int) -> tuple[Recent, ...]:
    """Workrooms of one name and occasion, in folders of one name."""
    return tuple(
        Recent(
            path=Path(f"/home/of/somebody/who/sews/{at}/hallow_skerry"),
            name="2 ensembles",
            occasion="The lamp ball at Skerry",
            on=date(2027, 11, 13),
        )
        for at in range(number)
    )


@pytest.mark.parametrize("number", range(10))
@pytest.mark.parametrize("height", [3, 10, 14, 17, 30])
def test_the_samples_are_in_sight_however_many_were_opened(number: int, height: int) -> None:
    """What has no room above them comes last; none is left out, and the digits stay in order."""
    choices = Choices(recent=_balls(number), samples=SAMPLES, today=NOW.date())
    lines = lines_of(choices, 79, None, height)
    keys = [line.key for line in lines if line.key]
    paths = [str(one.path) for one in choices.recent]
    assert sorted(keys) == sorted([*paths, "new", "open", *(one.id for one in SAMPLES)])
    assert [key for key in keys if key in paths] == paths
    if height >= 11:
        assert (
            max(y for y, line in enumerate(lines) if line.key in {s.id for s in SAMPLES}) < height
        )
    told = " ".join(_drawn(choices, 79, height))
    assert ("at the end" in told) == ("Opened before that" in told) == (keys[-1] in paths)


@pytest.mark.parametrize("width", [59, 79, 119])
def test_rows_of_one_name_are_told_apart(width: int) -> None:
    """The folder that differs, and the workroom's own whole, stand at the end of each row."""
    choices = Choices(recent=_balls(3), samples=SAMPLES, today=NOW.date())
    rows = [row for row in _drawn(choices, width, 30) if "2 ensembles" in row]
    assert [cells(row) <= width for row in rows] == [True] * 3
    assert all(row.endswith(f"/{at}/hallow_skerry") for at, row in enumerate(rows))
    assert all("The lamp" in row for row in rows)


def test_what_is_gone_is_said_without_its_path() -> None:
    """By its name and that of its folder alone; no row of folders."""
    gone = (Recent(path=Path("/tmp/a/b/c/cloak")), Recent(path=Path("/tmp/x"), name="W" * 90))
    told = gone_told(gone)
    assert told.startswith("cloak and “WWW") and "… (x) are no longer" in told.replace("”", "")
    assert "/" not in told and len(told) < 120


def test_lines_keep_to_eighty_columns_and_say_all_beneath() -> None:
    """A name, its occasion and its folder; beneath the lines nothing is cut."""
    long = Recent(
        path=Path("/somewhere/far/away/in/a/deep/folder/of/mine"),
        name="Ferrywoman's Sunday clothes with every [petticoat] she has",
        occasion="Regatta of the lower lakes and canals",
        on=date(2027, 5, 22),
    )
    choices = Choices(recent=(long,), samples=SAMPLES, today=NOW.date())
    lines = lines_of(choices, 79, None)
    texts = ["".join(run.text for run in line.runs) for line in lines]
    assert all(
        cells(text) + cells(line.right.text if line.right else "") <= 79
        for text, line in zip(texts, lines, strict=True)
    )
    assert not any("…" in text for text in texts[3:])
    told = told_of(choices, str(long.path))
    assert long.name in told and long.occasion in told and str(long.path) in told
    assert "Saturday 22 May, in 19 days" in told


# by keys


def test_a_sample_is_copied_and_opened_on_its_day(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing but enter and ^s: the copy is open, as of the day the sample was written for."""
    monkeypatch.chdir(tmp_path)
    recent = kept_in(tmp_path)

    async def body(driven: Driven) -> None:
        assert driven.shows("No workroom is open yet")
        assert not driven.shows("Opened lately")
        await driven.press("escape")
        assert driven.screen == "WhichWorkroom"
        await driven.press("down", "down")
        assert driven.shows("Saturday 6 March; a copy is opened")
        await driven.press("enter", "ctrl+s")
        assert driven.screen == "RunUp"
        assert driven.shows("A copy of Copper Wood masque")
        assert driven.app.state is not None
        assert driven.app.state.now == datetime(2027, 3, 6)

    at_first(body, recent)
    assert (tmp_path / "copper_wood_masque" / "workroom.toml").is_file()
    (kept,) = recent.read()
    assert kept.path == tmp_path / "copper_wood_masque"
    assert kept.as_of == date(2027, 3, 6)
    assert kept.occasion.startswith("The Copper Wood masque")

    async def again(driven: Driven) -> None:
        assert driven.shows("Opened lately")
        await driven.press("1")
        assert driven.screen == "RunUp"
        assert driven.app.state is not None
        assert driven.app.state.now == datetime(2027, 3, 6)

    at_first(again, recent)


def test_a_folder_that_has_something_in_it_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Said at the field; nothing is copied, and escape leads back to the page."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "note").write_text("", encoding="utf-8")

    async def body(driven: Driven) -> None:
        await driven.press("down", "down", "enter", *["backspace"] * 20, *"full", "ctrl+s")
        assert driven.shows("There is something in this folder already")
        await driven.press("escape", "escape")
        assert driven.screen == "WhichWorkroom"

    at_first(body, kept_in(tmp_path))
    assert [one.name for one in (tmp_path / "full").iterdir()] == ["note"]


def test_a_folder_is_opened_by_its_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Tab completes; what can't be opened is told in a sentence."""
    a_copy(tmp_path)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "empty").mkdir()
    recent = kept_in(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("o")
        assert isinstance(driven.app.screen, OpenFolder)
        assert driven.shows("workroom/")
        assert not driven.shows("Your own") and not driven.shows("No workroom is open")
        await driven.press(*"nowhere/", "enter")
        assert driven.shows("There is no such folder.")
        await driven.press(*["backspace"] * 8, *"em", "tab", "enter")
        assert driven.app.screen.query_one("#path").value == "empty/"  # type: ignore[attr-defined]
        assert driven.shows("There is no workroom in this folder")
        await driven.press(*["backspace"] * 6, *"w", "tab", "enter")
        assert driven.screen == "RunUp"
        assert driven.shows("Ferrywoman's Sunday clothes: Regatta")

    at_first(body, recent)
    assert [one.path for one in recent.read()] == [tmp_path / "workroom"]


def test_nothing_is_said_before_anything_is_typed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where there is nothing to open no sentence says so till a letter is typed."""
    monkeypatch.chdir(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("o")
        assert not driven.shows("Nothing there")
        await driven.press("x")
        assert driven.shows("Nothing there begins so")
        await driven.press("backspace")
        assert not driven.shows("Nothing there")

    at_first(body, kept_in(tmp_path / "kept"))


def test_a_new_one_is_begun_and_dropped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """n asks; leaving the questions leads back to the page."""
    monkeypatch.chdir(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("n")
        assert driven.screen == "Beginning"
        await driven.press("escape")
        assert driven.screen == "WhichWorkroom"

    at_first(body, kept_in(tmp_path))


def test_what_has_vanished_is_said_and_forgotten(tmp_path: Path) -> None:
    """Its line is gone, a sentence says so, and the next time nothing does."""
    recent = kept_in(tmp_path)
    recent.remember(Recent(path=tmp_path / "gone", name="The [old] cloak"))

    async def body(driven: Driven) -> None:
        assert driven.shows("The [old] cloak")
        assert "no longer there, and no longer listed." in " ".join(driven.text())
        assert not driven.shows("Opened lately")
        await driven.press("1")
        assert driven.screen == "WhichWorkroom"

    at_first(body, recent)
    assert recent.read() == ()


def test_another_is_opened_from_within(tmp_path: Path) -> None:
    """From the palette; escape leads back, a digit to the other, whose screens are all fresh."""
    recent = kept_in(tmp_path)
    other = a_copy(tmp_path)
    file = other / "ferrywoman.toml"
    text = file.read_text(encoding="utf-8").replace("Ferrywoman's Sunday clothes", "The other one")
    file.write_text(text, encoding="utf-8")
    recent.remember(Recent(path=other, name="The other one"))

    async def run() -> None:
        app = Wearby(SMALL, lambda: MONDAY, recent=recent)
        async with app.run_test(size=(80, 24)) as pilot:
            driven = Driven(app, pilot)
            await driven.settle()
            await driven.press("g", "ctrl+p", *"open another", "enter")
            assert driven.screen == "WhichWorkroom"
            assert driven.shows("Ferrywoman's Sunday clothes")  # what is open, still on top
            await driven.press("escape")
            assert driven.screen == "Garments"
            garments = app.screen
            await driven.press("ctrl+p", *"open another", "enter", "1")
            assert driven.screen == "RunUp" and driven.shows("The other one: Regatta")
            await driven.press("g")
            assert app.screen is not garments and driven.shows("The other one: Regatta")

    asyncio.run(run())
    assert recent.read()[0].name == "The other one"
