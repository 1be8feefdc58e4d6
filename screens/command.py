"""The command line: understands what was typed, calls the planner, prints text or JSON.

The only place that reads the clock. Textual is imported only where the program opens.
"""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from planner.problems import InputError

if TYPE_CHECKING:
    from textual.screen import Screen

    from planner.files.recovery import Unsaved

OK, DOES_NOT_FIT, WRONG_INPUT, STOPPED = 0, 1, 2, 130
"""The exit statuses."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command; returns the exit status."""
    words = sys.argv[1:] if argv is None else list(argv)
    try:
        return _run(words)
    except InputError as error:
        return _say_problems(error, "--json" in words)
    except KeyboardInterrupt:
        print("Stopped; nothing was changed.", file=sys.stderr)
        return STOPPED


def _run(words: Sequence[str]) -> int:
    """Understand, answer, print."""
    from screens import arguments

    given = arguments.parse(words)
    if given.version:
        return _print(f"wearby {_version()}", OK)
    now = arguments.moment(given, datetime.now())
    if given.command == arguments.NEW:
        return _begin(given, now)
    if given.command in arguments.OF_THE_CATALOGUE:
        return _look_up(given)
    opens = given.command == arguments.OPEN and not given.json and _has_terminal()
    fixed = now if given.today is not None or given.now is not None else None
    if opens and _can_show_screens() and _begins(given.path):
        return _open(Path(given.path or "."), fixed, begins=True, named=given.path is not None)
    path = Path(_which(given.path))
    if opens:
        if _can_show_screens():
            return _open(path, fixed)
        print(
            "This terminal can't show screens (TERM is "
            f"{os.environ.get('TERM') or 'not set'}); here is the plan as text.",
            file=sys.stderr,
        )
    # an answer is a short life: looking for rubbish would only make it longer
    gc.disable()
    try:
        from screens.answers import answer, saving

        said = (saving if given.command in arguments.SAVING else answer)(given, path, now)
        return _print(said.as_text() if not given.json else _json(said.as_json()), said.status)
    finally:
        gc.enable()


def _look_up(given: argparse.Namespace) -> int:
    """Answer what the catalogue alone can answer."""
    gc.disable()
    try:
        from screens.answers import of_the_catalogue

        said = of_the_catalogue(given)
        return _print(said.as_text() if not given.json else _json(said.as_json()), said.status)
    finally:
        gc.enable()


def _begin(given: argparse.Namespace, now: datetime) -> int:
    """Begin a workroom or an ensemble, asking where somebody is there to answer."""
    from screens.plain.new import begin

    # questions on standard output would spoil the JSON
    ask = None if given.no_questions or given.json or not _has_terminal() else input
    said = begin(given, now, ask)
    return _print(said.as_text() if not given.json else _json(said.as_json()), said.status)


def _which(path: str | None) -> str:
    """The path that was typed, else the workroom one stands in; raises InputError."""
    from screens.arguments import wrong

    if path is not None:
        return path
    if Path("workroom.toml").is_file():
        return "."
    raise wrong(
        "PATH",
        "Say which workroom to open: wearby FOLDER, where FOLDER holds a workroom.toml."
        " There is none in the folder you are in. wearby --help tells the rest.",
    )


def _begins(path: str | None) -> bool:
    """Whether there is nothing to open yet: no workroom, or one without an ensemble."""
    if path is None:
        return not Path("workroom.toml").is_file()
    from screens.new_ensemble import can_begin

    return can_begin(Path(path))


def _open(path: Path, fixed: datetime | None, *, begins: bool = False, named: bool = True) -> int:
    """Open the program; where there is nothing to open, with what begins it."""
    # there is no rubbish before the first picture, after which the program looks for it again
    gc.disable()
    # what a key brings about is drawn in two or three pictures: none is to wait long for the next
    os.environ.setdefault("TEXTUAL_FPS", "120")

    def clock() -> datetime:
        return fixed or datetime.now().replace(second=0, microsecond=0)

    from screens.ahead import plan_ahead

    ahead = None if begins else plan_ahead(path, clock())
    from screens.app import Wearby
    from screens.recent import RecentWorkrooms, recent_file

    beginning: Screen[None] | None = None
    if begins and not named:
        from screens.which import WhichWorkroom

        beginning = WhichWorkroom()
    elif begins:
        from screens.beginning import beginning_at

        beginning = beginning_at(path, clock())
    program = Wearby(path, clock, beginning, RecentWorkrooms(recent_file()))
    program.warms = program.holds = True
    # who looks ahead from another day hasn't lost the evenings until then
    program.keeps, program.keeps_edited = fixed is None, True
    program.ahead = ahead
    status = program.run() or OK
    from screens.settling import lost

    if left := lost(program):
        _say_lost(left)
    return status


def _say_lost(edits: Sequence[Unsaved]) -> None:
    """Print what is kept nowhere, in full, so that it can be copied."""
    from screens.recovering import in_full

    for line in in_full(edits):
        print(line, file=sys.stderr)


def _has_terminal() -> bool:
    """Whether somebody sits at both ends."""
    return sys.stdin is not None and sys.stdin.isatty() and sys.stdout.isatty()


def _can_show_screens() -> bool:
    """Whether the terminal can move its cursor about."""
    return sys.platform == "win32" or os.environ.get("TERM", "dumb") not in ("", "dumb")


def _json(value: object) -> str:
    import json

    return json.dumps(value, indent=2, ensure_ascii=False)


def _say_problems(error: InputError, as_json: bool) -> int:
    """Every problem on standard error; as an object on standard output where asked for."""
    from screens.wording import clean

    # what a command couldn't save, where anything
    edit: Unsaved | None = getattr(error, "edit", None)
    lost = [edit] if edit is not None and edit.file is None else []
    if lost:
        error = _ended(error)
    for problem in error.problems:
        print(clean(str(problem)), file=sys.stderr)
    if lost:
        _say_lost(lost)
    if as_json:
        from planner.exports.as_json import problems_as_json

        return _print(_json(problems_as_json(error.problems)), WRONG_INPUT)
    return WRONG_INPUT


def _ended(error: InputError) -> InputError:
    """The same error of a run that is over."""
    from screens.recovering import ONLY_HERE

    return InputError(
        [replace(one, text=one.text.removesuffix(ONLY_HERE)) for one in error.problems]
    )


def _print(text: str, status: int) -> int:
    """Print to standard output, whatever its letters, and also if nobody reads to the end."""
    try:
        if hasattr(sys.stdout, "reconfigure"):
            sys.stdout.reconfigure(errors="replace")
        print(text)
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return status


def _version() -> str:
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("wearby")
    except PackageNotFoundError:
        return "(not installed)"


if __name__ == "__main__":
    sys.exit(main())
