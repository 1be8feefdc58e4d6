"""Earlier states are numbered and thinned with age; locks are held, told, and do without."""

from __future__ import annotations

import os
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.files import lock
from planner.files.backups import MOST_OF_AN_HOUR, earlier_states, to_keep
from planner.files.lock import Held, Holder, open_for_writing, writing
from planner.files.saving import NotSaved
from planner.files.staging import Staging
from screens.recovering import said_of_holder

NOW = datetime(2027, 5, 3, 19, 40)


def save(file: Path, text: str) -> None:
    """Have a file say something else."""
    staging = Staging()
    staging.put(file, file.read_text(encoding="utf-8"), text)
    staging.commit()


def states(file: Path) -> list[str]:
    """What the earlier states of a file say."""
    return [one.path.read_text(encoding="utf-8") for one in earlier_states(file)]


def test_each_save_keeps_what_was_and_what_is(tmp_path: Path) -> None:
    """Numbered, with the moment; what an editor wrote between two saves, too."""
    file = tmp_path / "hat.toml"
    file.write_text("one")
    save(file, "two")
    save(file, "three")
    file.write_text("an editor's")
    save(file, "four")
    assert states(file) == ["one", "two", "three", "an editor's", "four"]
    assert [one.number for one in earlier_states(file)] == [1, 2, 3, 4, 5]
    kept = sorted(one.name for one in (tmp_path / ".wearby/backups/hat.toml").iterdir())
    assert kept[0].startswith("0001_")


def test_own_orders_have_a_folder_of_their_own(tmp_path: Path) -> None:
    """An order and an ensemble of one name keep their states apart."""
    (tmp_path / "orders").mkdir()
    for file in (tmp_path / "hat.toml", tmp_path / "orders" / "hat.toml"):
        file.write_text("old")
        save(file, str(file.parent.name == "orders"))
    assert states(tmp_path / "hat.toml") == ["old", "False"]
    assert states(tmp_path / "orders" / "hat.toml") == ["old", "True"]


def test_where_no_state_can_be_kept_the_save_counts(tmp_path: Path) -> None:
    """A file in the folder's place, or rubbish in it, is in nobody's way."""
    file = tmp_path / "hat.toml"
    file.write_text("old")
    (tmp_path / ".wearby").write_text("a file")
    save(file, "new")
    assert file.read_text() == "new"
    (tmp_path / ".wearby").unlink()
    folder = tmp_path / ".wearby/backups/hat.toml"
    folder.mkdir(parents=True)
    (folder / "0001_2027-99-99_000000.toml").write_text("no such day")
    (folder / "note.txt").write_text("mine")
    save(file, "newer")
    assert states(file) == ["new", "newer"]
    assert (folder / "note.txt").exists()


def test_thinned_with_age() -> None:
    """All of the last hour, then one an hour, one a day, one a month."""
    every_ten_minutes = [NOW - timedelta(minutes=10 * n) for n in range(6 * 24 * 400)][::-1]
    kept = [
        at
        for at, stays in zip(every_ten_minutes, to_keep(every_ten_minutes, NOW), strict=True)
        if stays
    ]
    hour = [at for at in kept if NOW - at <= timedelta(hours=1)]
    day = [at for at in kept if timedelta(hours=1) < NOW - at <= timedelta(days=1)]
    month = [at for at in kept if timedelta(days=1) < NOW - at <= timedelta(days=30)]
    assert len(hour) == 7
    assert 23 <= len(day) <= 25
    assert 29 <= len(month) <= 31
    assert 12 <= len(kept) - len(hour) - len(day) - len(month) <= 14
    assert len({at.date() for at in month}) == len(month)


@given(
    ages=st.lists(st.integers(min_value=0, max_value=60 * 24 * 1500), min_size=1, max_size=200),
    later=st.integers(min_value=0, max_value=60 * 24 * 40),
)
def test_laws_of_thinning(ages: list[int], later: int) -> None:
    """The newest stays; there are never many; thinned in two goes it is as in one."""
    moments = sorted(NOW - timedelta(minutes=one) for one in ages)
    assert to_keep(moments, moments[-1])[-1]
    kept = to_keep(moments, NOW)
    assert sum(kept) <= MOST_OF_AN_HOUR + 25 + 31 + 38
    left = [at for at, stays in zip(moments, kept, strict=True) if stays]
    then = NOW + timedelta(minutes=later)
    in_two = {at for at, stays in zip(left, to_keep(left, then), strict=True) if stays}
    in_one = {at for at, stays in zip(moments, to_keep(moments, then), strict=True) if stays}
    if len(moments) <= MOST_OF_AN_HOUR:
        assert in_two == in_one


def test_one_has_it_open_the_other_is_told(tmp_path: Path) -> None:
    """By number, machine and moment; once it is let go of it can be had."""
    held = open_for_writing(tmp_path)
    assert isinstance(held, Held)
    other = open_for_writing(tmp_path)
    assert isinstance(other, Holder)
    assert other.pid == os.getpid()
    assert other.host == ""
    assert other.since is not None
    said = said_of_holder(Holder(host="attic", since=NOW), NOW)
    assert "open in another wearby on attic since today, 19:40" in said
    held.release()
    held.release()
    again = open_for_writing(tmp_path)
    assert isinstance(again, Held)
    again.release()


def test_saves_wait_for_one_another_but_not_for_ever(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Who has it open hinders no save; who hangs amid one is told."""
    monkeypatch.setattr(lock, "PATIENCE", 0.05)
    held = open_for_writing(tmp_path)
    with (
        writing(tmp_path),
        pytest.raises(NotSaved, match="has been saving for long"),
        writing(tmp_path),
    ):
        raise AssertionError("two at once")
    with writing(tmp_path):
        pass
    assert isinstance(held, Held)
    held.release()


def test_without_locks_one_goes_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a disk that has none, in a folder that can't be written, and in one that is gone."""
    monkeypatch.setattr(lock, "_lock", lambda handle: None)
    one, two = open_for_writing(tmp_path), open_for_writing(tmp_path)
    assert isinstance(one, Held)
    assert isinstance(two, Held)
    with writing(tmp_path), writing(tmp_path):
        pass
    monkeypatch.undo()
    gone = tmp_path / "gone"
    with writing(gone):
        pass
    assert isinstance(open_for_writing(gone), Held)
    assert not gone.exists()
    (tmp_path / "plain").mkdir()
    (tmp_path / "plain" / ".wearby").write_text("a file in the folder's place")
    with writing(tmp_path / "plain"):
        pass
