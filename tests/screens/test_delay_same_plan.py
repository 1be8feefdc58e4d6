"""What is shown before a delay is accepted is the plan that is there afterwards, to the minute."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from screens import state
from screens.delay_asking import asking
from screens.delaying import Near
from screens.delays_doing import Delay
from screens.delays_told import accepted_sentence, effect_of, told
from screens.dialogs.delay import DelayDialog
from screens.previews import Asked, previews_of
from screens.session import Session
from screens.state import State
from screens.then import NUMBERS
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import SMALL, a_copy

SAMPLES = {
    SMALL: datetime(2027, 5, 4, 9),
    Path("sample_projects/copper_wood_masque"): datetime(2027, 3, 6, 9),
    Path("sample_projects/oldmere_regatta"): datetime(2027, 6, 7, 18),
    Path("sample_projects/hallow_skerry"): datetime(2027, 8, 30, 9),
}
WHATS = ("tonight", "away", "delivery", "occasion", "helper", "afresh")
TUESDAY = SAMPLES[SMALL]


def _opened(path: Path, now: datetime) -> tuple[Session, State]:
    """A run of the program that holds on to the plan it shows."""
    session = Session(path, lambda: now)
    shown = state.refined(state.plan_of(session.current(), now, thorough=False))
    session.keep(shown.plan)
    return session, shown


def _delay(what: str, session: Session, shown: State) -> Delay | None:
    """What stands in the dialog at first; None where that can't be."""
    it = asking(what, session.project, shown.plan, shown.now, Near())
    key = it.there or (it.options[0].key if it.options else "")
    try:
        return it.read(key, it.proposed(key) if it.label else "")
    except (KeyError, ValueError):
        return None


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.name)
def test_the_plan_before_it_is_accepted_is_the_plan_after(sample: Path, tmp_path: Path) -> None:
    """For each thing that happens: the project of the preview is the one that is saved and read
    again, and its plan is the one that is made of that; taken back at once, the plan is the one
    before."""
    now, done = SAMPLES[sample], 0
    for what in WHATS:
        session, shown = _opened(a_copy(tmp_path / what, sample), now)
        delay = _delay(what, session, shown)
        if delay is None:
            continue
        asked = Asked(
            number=1, project=session.project, before=shown.plan, change=delay.doing.change,
            now=now, told=lambda preview: None, entire=True,
        )  # fmt: skip
        made = list(previews_of(asked, lambda: False))[-1].made
        assert made is not None
        if what == "afresh":
            session.spread_afresh(delay.doing.label)
        else:
            session.apply(delay.doing.label, delay.doing.change)
        assert made.project == session.project, what
        assert made.plan == state.plan_of(session.project, now).plan, what
        session.keep(made.plan)
        session.save_kept()
        session.undo()
        back = state.plan_of(session.current(), now).plan
        # the bound beneath the load is what was proven on the way, be it more or less
        assert replace(back, lower_bound=shown.plan.lower_bound) == shown.plan, what
        done += 1
    assert done >= 4


@pytest.mark.parametrize("sample", list(SAMPLES)[:3], ids=lambda path: path.name)
def test_as_many_steps_move_as_was_told(sample: Path, tmp_path: Path) -> None:
    """The sentence afterwards counts what the dialog counted."""
    session, shown = _opened(a_copy(tmp_path, sample), SAMPLES[sample])
    delay = _delay("away", session, shown)
    assert delay is not None
    changed = delay.doing.change(session.project)
    becomes = state.plan_of(changed, shown.now).plan
    effect = effect_of(session.project, shown.plan, changed, becomes)
    (moves,) = (one.text for one in told(effect) if one.label == "Moves")
    said = accepted_sentence(delay.doing.label, effect)
    number = int(moves.split()[0])
    in_words = NUMBERS[number] if number < len(NUMBERS) else str(number)
    assert f"{in_words} steps move" in said.lower() or (number == 1 and "moves to" in said), said


def test_it_is_shown_without_planning_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Accepting shows the very plan of the dialog; ^z brings the identical plan of before."""

    async def body(driven: Driven) -> None:
        assert driven.app.state is not None
        before = driven.app.state.plan
        await driven.press("d", "1")
        dialog = driven.app.screen
        assert isinstance(dialog, DelayDialog) and dialog.effect is not None
        shown = dialog.effect.after
        planned: list[object] = []
        monkeypatch.setattr(type(driven.app), "_plan", lambda *given: planned.append(given))
        await driven.press("enter")
        assert driven.app.state.plan is shown and not planned
        assert driven.app.session.project.kept.hours and driven.app.answered
        monkeypatch.undo()
        await driven.press("ctrl+z")
        assert driven.app.state.plan == before

    drive(body, path=a_copy(tmp_path), now=TUESDAY)


def test_what_the_clock_did_is_not_the_delays_doing(tmp_path: Path) -> None:
    """Open since the morning, asked in the evening: compared with what is shown from now on; and
    "tonight" is what is left from now."""
    times = [TUESDAY]

    async def body(driven: Driven) -> None:
        app = driven.app
        app.clock = app.session.clock = lambda: times[-1]
        times.append(TUESDAY.replace(hour=20))
        await driven.press("d", "1")
        dialog = app.screen
        assert isinstance(dialog, DelayDialog) and dialog.effect is not None
        assert dialog.effect.before.now == dialog.effect.after.now == times[-1]
        await driven.press("enter")
        (change,) = app.session.project.workroom.changes
        assert change.workroom is not None
        assert [(one.start, one.end) for one in change.workroom] == [(19 * 60 + 30, 20 * 60)]

    drive(body, path=a_copy(tmp_path), now=TUESDAY)


def test_files_that_changed_meanwhile_are_planned(tmp_path: Path) -> None:
    """The plan of the dialog isn't taken for that of other files."""
    path = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("d", "1")
        dialog = driven.app.screen
        assert isinstance(dialog, DelayDialog) and dialog.effect is not None
        file = path / "workroom.toml"
        file.write_text(
            file.read_text() + '\n[[change]]\non = 2027-05-06\nworkroom = ["18:00-18:30"]\n'
        )
        await driven.press("enter")
        state = driven.app.state
        assert state is not None and state.plan != dialog.effect.after
        thursday = date(2027, 5, 6)
        assert any(one.workroom and one.first == thursday for one in state.project.workroom.changes)

    drive(body, path=path, now=TUESDAY)
