"""What is told and asked once a workroom is open: who else has it, what is broken, what is kept."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from planner.files.reading import DIARY
from planner.files.recovery import Unsaved
from screens.recovering import said_of_holder, twins_of, was_at, words_of
from screens.widgets.verdict_line import VerdictLine
from screens.wording import clean, count

if TYPE_CHECKING:
    from screens.app import Wearby
    from screens.showing import ShowsState

NO_EARLIER = "No earlier state of any file is kept yet: one is, whenever a file is changed here."


def settle(program: Wearby) -> None:
    """Once for each workroom that is opened, as soon as its plan is there; later, with each
    plan, only what is gone since."""
    session = program.session
    if session.settled:
        if gone := said_of_gone(session.texts.gone()):
            program.call_after_refresh(program.tell, gone)
        return
    session.settled = True
    told = [*_holder(program), *_broken(program)]
    if told:
        program.call_after_refresh(program.tell, " ".join(told))
    program.call_after_refresh(offer_unsaved, program)


def _holder(program: Wearby) -> Iterator[str]:
    """Who else has the workroom open."""
    if program.holds and (holder := program.session.open_for_writing()) is not None:
        yield said_of_holder(holder, program.clock())


def _broken(program: Wearby) -> Iterator[str]:
    """What can't be read of the diary."""
    state = program.state
    for warned in state.project.warnings if state is not None else ():
        if Path(warned.file).name == DIARY and warned.place.startswith("line"):
            yield f"{DIARY}, {warned.place}: {clean(warned.text)}."
            return


def said_of_gone(gone: Sequence[tuple[Path, int]]) -> str:
    """That somebody saved over what was written here; empty where nobody did."""
    told = [f"{count(lines, 'line')} of {clean(file.name)}" for file, lines in gone]
    if not told:
        return ""
    which = "an earlier state" if len(told) == 1 else "earlier states"
    return (
        f"Gone since wearby wrote it: {' and '.join(told)}. Somebody saved an older text, or took "
        f'it out. It is in {which}: "Bring back an earlier state of a file" (^p).'
    )


def offer_unsaved(program: Wearby) -> None:
    """Ask about an edit that couldn't be saved, the oldest first."""
    from screens.page import Page

    session, state = program.session, program.state
    waiting = [one for one in session.unsaved if one not in program.put_off]
    # what a form holds is asked about once that is closed
    waiting = [one for one in waiting if not session.aside.is_held(one)]
    if not waiting or not isinstance(program.screen, Page):
        return
    from screens.dialogs.not_saved import NotSavedYet

    edit, today = waiting[0], program.clock().date()
    plan = state.plan if state is not None else None
    twins = twins_of(state.project, edit, state.plan, today) if state is not None else []
    words = words_of(edit, plan, today)
    asking = NotSavedYet(edit, words, twins, was_at=was_at(edit, session.folder))
    program.push_screen(asking, partial(_answered, program, edit))


def form_closed(program: Wearby) -> None:
    """A page is on top again: where the form above it held what couldn't be saved, ask."""
    if program.session.aside.let_go(program.screen_stack):
        program.call_after_refresh(offer_unsaved, program)


def ask_again(program: Wearby) -> None:
    """Ask about all edits that couldn't be saved, also those put off."""
    program.put_off.clear()
    offer_unsaved(program)


def _answered(program: Wearby, edit: Unsaved, answer: str | None) -> None:
    """Keep it, throw it away, or ask again another time."""
    from screens.dialogs.not_saved import DROP, KEEP

    if answer == KEEP:
        if program.keep_unsaved(edit):
            program.put_off.append(edit)
    elif answer == DROP:
        program.session.aside.forget(edit)
        program.tell(f"Thrown away: {clean(edit.label)}.")
    else:
        program.put_off.append(edit)
    program.call_after_refresh(offer_unsaved, program)


def lost(program: Wearby) -> list[Unsaved]:
    """What would be lost if the program ended now: edits that are kept in no file."""
    return [*program.left_unsaved, *program.session.aside.in_memory]


def asks_before_leaving(program: Wearby) -> bool:
    """Ask whether to leave where that loses something; whether that is asked now."""
    from screens.dialogs.not_saved import KEEP, LEAVE, Leaving

    edits = lost(program)
    if not edits or isinstance(program.screen, Leaving):
        return bool(edits)
    plan = program.state.plan if program.state is not None else None
    words = [one for edit in edits for one in words_of(edit, plan, program.clock().date())]

    def answered(answer: str | None) -> None:
        if answer == KEEP:
            waiting = program.session.aside.in_memory
            refused = [edit for edit in waiting if program.keep_unsaved(edit)]
            if not refused and not lost(program):
                program.exit()
        elif answer == LEAVE:
            program.exit()

    program.push_screen(Leaving(edits[0], words, number=len(edits)), answered)
    return True


def say_who_has_it(program: Wearby, form: ShowsState) -> None:
    """A form is opened over a workroom that is only read here: say so before it is filled in."""
    if form in program.told_who_has_it:
        return
    program.told_who_has_it.add(form)
    for told in _holder(program):
        for verdict in form.query(VerdictLine):
            verdict.told = told


def bring_back(program: Wearby) -> None:
    """Ask which earlier state of which file is to come back."""
    from screens.dialogs.earlier_states import EarlierStates
    from screens.earlier import states_of

    states = {one.key: one for one in states_of(program.session.folder)}

    def picked(key: str | None) -> None:
        if key is not None:
            one = states[key]
            label = f"{one.file.name} as it was at {one.earlier.at:%H:%M:%S}"
            path = one.earlier.path
            program.edit_text(label, one.file, path)

    asking = EarlierStates(list(states.values()), program.clock().date(), NO_EARLIER)
    program.push_screen(asking, picked)
