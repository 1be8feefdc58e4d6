"""What was typed on the command line, understood: commands, options, dates.

Anything wrong with it is a ``Problem`` like those of the files, with the option as its place.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import NoReturn

from planner.problems import InputError, Problem

COMMAND_LINE = "command line"
"""Stands for the file in problems with what was typed."""

OPEN = "open"
"""The command that is meant when none is typed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """A command as described in the help."""

    name: str
    short: str
    """One line for the list of commands."""
    long: str
    """What its own help says on top."""


COMMANDS = (
    Command(
        name="plan",
        short="every day up to the occasions, and what is done on it",
        long="Say whether it fits, and print every day up to the last occasion: how full it is,"
        " which steps are done on it, and what to watch.",
    ),
    Command(
        name="check",
        short="read the files, say what is wrong or odd in them, and whether it fits",
        long="Read everything, list what is wrong or odd, each with its file and place, and say"
        " in a sentence or two whether it fits.",
    ),
    Command(
        name="before",
        short="what must be finished before an occasion, in working order",
        long="Say what must be finished before an occasion, in working order, the hours left"
        " against the hours there are, what is late and what can wait. For a fitting, also what"
        " is done at it.",
    ),
    Command(
        name="day",
        short="one day: its steps in order, and why each is there",
        long="Print one day: its hours, its steps in order with the reason for each, and what"
        " to take care of.",
    ),
    Command(
        name="handwork",
        short="hand sewing by day and garment, against the day's limit",
        long="Print every hand step by day and garment, and each day's sum against the limit.",
    ),
    Command(
        name="stock",
        short="cloth, trim and notions: wanted, there, coming, to be ordered",
        long="Print what is wanted of each cloth, trim and notion, what is there and coming, at"
        " which step it runs out, and by when to order.",
    ),
)

NAMES = tuple(command.name for command in COMMANDS)


class _Parser(argparse.ArgumentParser):
    """A parser whose mistakes are problems, not an exit."""

    def error(self, message: str) -> NoReturn:
        raise InputError([_problem("", f"{_sentence(message)} See {self.prog} --help.")])


def parse(argv: Sequence[str]) -> argparse.Namespace:
    """Understand the arguments; raises InputError for what can't be understood."""
    given = _parser().parse_args(_command_first(list(argv)))
    if given.today is not None and given.now is not None:
        raise InputError([_problem("--now", "Give either --today or --now, not both.")])
    return given


def moment(given: argparse.Namespace, clock: datetime) -> datetime:
    """The ``now`` to plan from: what was typed, else the clock, to the minute."""
    if given.today is not None:
        return datetime.combine(read_date(given.today, "--today", clock.date()), time())
    if given.now is not None:
        return _read_moment(given.now)
    return clock.replace(second=0, microsecond=0, tzinfo=None)


def read_date(text: str, place: str, today: date) -> date:
    """A date as typed: 2027-05-08, "today" or "tomorrow"."""
    if text in ("today", "tomorrow"):
        return today + timedelta(days=text == "tomorrow")
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise InputError(
            [_problem(place, f"“{text}” is no date: write it as 2027-05-08.")]
        ) from None


def _read_moment(text: str) -> datetime:
    """A date-time as typed: 2027-05-08T19:30; a bare date is its 00:00."""
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        raise InputError(
            [_problem("--now", f"“{text}” is no date and time: write it as 2027-05-08T19:30.")]
        ) from None
    if found.tzinfo is not None:
        raise InputError(
            [_problem("--now", "Leave the offset off: wearby goes by the clock on your wall.")]
        )
    return found.replace(second=0, microsecond=0)


def wanted_json(argv: Sequence[str]) -> bool:
    """Whether JSON was asked for, also where the rest can't be understood."""
    return "--json" in argv


def wrong(place: str, text: str) -> InputError:
    """Something wrong with what was typed at ``place``."""
    return InputError([_problem(place, text)])


def _problem(place: str, text: str) -> Problem:
    return Problem(file=COMMAND_LINE, place=place, text=text)


def _sentence(message: str) -> str:
    """argparse's message as a sentence."""
    return message[:1].upper() + message[1:].rstrip(".") + "."


def _command_first(argv: list[str]) -> list[str]:
    """Put the command in front, or "open" where there is none."""
    skip = False
    for index, word in enumerate(argv):
        if skip:
            skip = False
        elif word in ("--today", "--now"):
            skip = True
        elif word in NAMES:
            return [word, *argv[:index], *argv[index + 1 :]]
        elif not word.startswith("-") or word == "--":
            break
        elif word in ("-h", "--help", "--version"):
            return argv
    return ["--help"] if {"-h", "--help"} & set(argv) else [OPEN, *argv]


def _parser() -> argparse.ArgumentParser:
    """The whole parser."""
    listed = "\n".join(f"  {command.name:<10}{command.short}" for command in COMMANDS)
    parser = _Parser(
        prog="wearby",
        usage="wearby PATH             open the program\n"
        "       wearby COMMAND PATH     print an answer",
        description="Plans the making of whole costumes backwards from the day they are worn.\n\n"
        "PATH is a folder with a workroom.toml, or a single ensemble's file. It may be\n"
        "left out of the first where you stand in such a folder.",
        epilog=f"commands:\n{listed}\n\n"
        "with any of them:\n"
        "  --today DATE     plan as from the beginning of a day: 2027-05-08, tomorrow\n"
        "  --now DATETIME   plan as from a moment: 2027-05-08T19:30\n"
        "  --json           print the answer as data\n\n"
        "for example:\n"
        "  wearby before sewing-room body-fitting\n"
        "  wearby day sewing-room tomorrow\n\n"
        "wearby COMMAND --help says more about each.\n"
        "Exit status: 0 it fits, 1 it does not fit or is undecided, 2 the input is wrong.",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        add_help=False,
    )
    parser.add_argument("-h", "--help", action="help", help="print this and leave")
    parser.add_argument("--version", action="store_true", help="print the version and leave")
    commands = parser.add_subparsers(dest="command", metavar="", help=argparse.SUPPRESS)
    _add(commands, OPEN, "Open the program.")
    for command in COMMANDS:
        _add(commands, command.name, command.long)
    return parser


def _add(commands: argparse._SubParsersAction[_Parser], name: str, description: str) -> None:
    """One command with its arguments."""
    parser = commands.add_parser(
        name, prog="wearby" if name == OPEN else f"wearby {name}", description=description
    )
    optional = name == OPEN
    parser.add_argument(
        "path",
        metavar="PATH",
        nargs="?" if optional else None,
        help="a folder with a workroom.toml, or one ensemble's file",
    )
    if name == "before":
        parser.add_argument(
            "occasion",
            metavar="OCCASION",
            nargs="?",
            help="its id, such as body-fitting, or its name; without it the ids are listed",
        )
    if name == "day":
        parser.add_argument(
            "date",
            metavar="DATE",
            nargs="?",
            default="today",
            help="such as 2027-05-08, today or tomorrow (default: today)",
        )
    parser.add_argument("--today", metavar="DATE", help="plan as from 00:00 of this date")
    parser.add_argument("--now", metavar="DATETIME", help="plan as from this moment")
    parser.add_argument("--json", action="store_true", help="print the answer as JSON")
