"""`wearby log`: what was done goes into the diary; then what became of the plan."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

from planner.editing.diary import log, logged_last, remove_entry
from planner.exports.log_as_json import entry_as_json
from planner.far_more import FarMore, far_more_used
from planner.files.kept_before import keep_before, kept_before
from planner.kept import kept_of
from planner.model import Entry, Project
from planner.when_logged import own_moment
from screens import log_told as told
from screens.answers import fits_status
from screens.arguments import wrong
from screens.log_typed import typed_entries
from screens.plain.lines import WIDTH, common, named, names_column, said, verdict
from screens.session import Session
from screens.state import plan_of
from screens.then import became_sentence
from screens.wording import column, garment_of, name_of, wrapped

LAST = 8
"""Entries that are listed where nothing is logged."""


class Saved:
    """What was saved, and the answer; raises InputError, and then nothing was."""

    def __init__(self, given: argparse.Namespace, path: Path, now: datetime) -> None:
        self.session = Session(path, lambda: now)
        self.before = plan_of(self.session.read(), now, thorough=False).plan
        self.diary = self.project.diary
        """As it was."""
        self.plan = self.before
        self.logged: tuple[Entry, ...] = ()
        self.taken_back: tuple[Entry, ...] = ()
        if given.undo:
            self._take_back(given)
        elif given.words:
            self._log(typed_entries(given, self.project, self.before, now))
        elif given.done or given.left or given.note or given.used or given.at:
            raise wrong("STEP", "Say which step: wearby log PATH STEP MINUTES --done.")

    @property
    def project(self) -> Project:
        """As the files say now."""
        return self.session.project

    def _log(self, entries: Sequence[Entry]) -> None:
        """Save entries, as one edit."""

        def change(project: Project) -> Project:
            moment = own_moment(project.diary, entries[0].at)
            placed = [replace(one, at=moment) for one in entries]
            self.logged = tuple(placed)
            return log(project, placed)

        self._apply(told.label(self.before, entries), change)
        kept = kept_of(self.before, self.project)
        keep_before(self.session.folder, kept, self.project)

    def _take_back(self, given: argparse.Namespace) -> None:
        """Take out what was logged last."""
        if given.words or given.done or given.left or given.note or given.used or given.at:
            raise wrong("--undo", "It takes back what was logged last: give it no steps.")
        last = logged_last(self.project)
        if not last:
            raise wrong("--undo", "Nothing is logged yet.")

        def change(project: Project) -> Project:
            self.taken_back = logged_last(project)
            kept = kept_before(self.session.folder, project)
            for _ in self.taken_back:
                project = remove_entry(project, len(project.diary.entries) - 1)
            # the plan comes back as it was
            return project if kept is None else replace(project, kept=kept)

        self._apply("what was logged last taken back", change)

    def _apply(self, label: str, change: Callable[[Project], Project]) -> None:
        """Save, plan anew holding on to the plan as it was, and hold on to the new one."""
        self.session.keep(self.before)
        self.session.apply(label, change)
        self.plan = plan_of(self.project, self.before.now, thorough=False).plan
        self.session.keep(self.plan)
        self.session.save_kept()

    # the answer

    @property
    def broken(self) -> list[str]:
        """What of the diary can't be read."""
        return told.broken_sentences(self.project.warnings, self.project.diary.file)

    @property
    def status(self) -> int:
        """Whether all fits now."""
        return fits_status(self.plan.fits)

    def as_json(self) -> dict[str, Any]:
        """What was logged or taken back and what became of it, or what was logged last."""
        units = self.plan.units
        changed = bool(self.logged or self.taken_back)
        return {
            **common(self.plan),
            "logged": [entry_as_json(one, units) for one in self.logged],
            "taken_back": [entry_as_json(one, units) for one in self.taken_back],
            "became": became_sentence(self.before, self.plan) if changed else None,
            "notes": self._logged_notes(),
            "last": [entry_as_json(one, units) for one in self.project.diary.entries[-LAST:]],
            "today": [
                {"step": step, "minutes": minutes} for step, minutes in self._not_logged().items()
            ],
        }

    def _logged_notes(self) -> list[str]:
        """What about it may not have been meant, and what of the diary couldn't be read."""
        today = self.plan.now.date()
        return [
            *told.done_already_sentences(self.before, self.diary, self.logged, today),
            *told.far_more_sentences(self.plan, self.far_more),
            *self.broken,
        ]

    def lines(self) -> list[str]:
        """The verdict, then what was logged and what became of the plan; else what there is."""
        found = verdict(self.plan)
        if self.logged:
            found += said([*self._logged(), became_sentence(self.before, self.plan)])
            return [*found, *said(self.broken)]
        if self.taken_back:
            today = self.plan.now.date()
            found += ["", "Taken back:"]
            for entry in self.taken_back:
                found += wrapped([f"{told.entry_told(self.plan, entry, today)}."], WIDTH)
            found += said([became_sentence(self.before, self.plan)])
            return [*found, *said(self.broken)]
        return [*found, *self._last(), *self._today(), *said(self.broken)]

    def _logged(self) -> list[str]:
        """What was logged, and what about it may not have been meant."""
        today = self.plan.now.date()
        return [
            *told.logged_sentences(self.before, self.plan, self.logged),
            *filter(None, [told.as_of_sentence(self.logged[0].at, today)]),
            *filter(None, [told.planned_sentence(self.before, self.plan, self.logged)]),
            *told.done_already_sentences(self.before, self.diary, self.logged, today),
            *told.far_more_sentences(self.plan, self.far_more),
        ]

    @property
    def far_more(self) -> tuple[FarMore, ...]:
        """Uses that may be a slip."""
        return far_more_used(self.project, self.logged)

    def _last(self) -> list[str]:
        """What was logged last, the newest below."""
        entries = self.project.diary.entries[-LAST:]
        if not entries:
            return ["", *wrapped([told.NOTHING_LOGGED], WIDTH)]
        found = ["", "Logged last:"]
        for entry in entries:
            first, *rest = wrapped(
                [told.entry_told(self.plan, entry, self.plan.now.date())], WIDTH - 2
            )
            found += [f"  {first}", *(f"    {more}" for more in rest)]
        return found

    def _today(self) -> list[str]:
        """What is planned today, and isn't logged yet."""
        steps = self._not_logged()
        today = self.plan.now.date()
        if not steps:
            logged = any(one.at.date() == today for one in self.project.diary.entries)
            return said([f"Nothing {'more ' if logged else ''}is planned today."])
        letters = {step.id: step.work.letter for step in self.plan.steps}
        names = names_column(name_of(self.plan, step) for step in steps)
        found = ["", "Planned today, not logged yet:"]
        for step, minutes in steps.items():
            head = f"  {column(minutes):>5}  {letters[step]}  "
            garment = f"{garment_of(self.plan, step)}; {step}"
            found += named(head, name_of(self.plan, step), garment, names)
        return found

    def _not_logged(self) -> dict[str, int]:
        """Minutes planned today by step, of those nothing is logged of today."""
        today = self.plan.now.date()
        logged = {one.step for one in self.project.diary.entries if one.at.date() == today}
        found: dict[str, int] = {}
        for one in self.plan.sittings:
            if one.date == today and one.step not in logged:
                found[one.step] = found.get(one.step, 0) + one.minutes
        return found
