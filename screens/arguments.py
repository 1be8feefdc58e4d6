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

FIRST_YEAR, LAST_YEAR = 1900, 2900
"""From when on one may plan, and till when."""

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
        short="what is wrong or odd in the files, and whether it fits",
        long="Read everything, list what is wrong or odd, each with its file and place, and say"
        " in a sentence or two whether it fits.",
    ),
    Command(
        name="before",
        short="what must be there before an occasion, in working order",
        long="Say what must be there before an occasion, by stage and in working order, the work"
        " left against the hours that serve it, what is late and what can wait. For a fitting,"
        " also what is done at it and what goes on under it; for a departure or an event, what"
        " to pack.",
    ),
    Command(
        name="day",
        short="one day: its steps in order, and why each is there",
        long="Print one day: its hours, its steps in order with the reason for each, and what"
        " to take care of.",
    ),
    Command(
        name="now",
        short="what can be done this minute, and what goes into tonight's bag",
        long="Say what can be done this minute: with so many minutes, at a place, tired or not;"
        " the most useful first. Then what to put in the bag tonight for the next hours on the"
        " way. Without options: the hours that are on, else 20 minutes on the sofa.",
    ),
    Command(
        name="delay",
        short="what went wrong, and what that moves: wearby delay PATH tonight",
        long="Say what went wrong, and print what that moves: the verdict now and then, what to"
        " do next, how full it gets, which steps change day and why. WHAT is tonight (nothing is"
        " done in what is left of today), away DATE (till the day you are back), delivery STOCK"
        " DATE (it comes on that day instead), occasion OCCASION DATE (it moves; DATE TIME"
        " moves its time too), helper [DATE] (nobody comes that day, else the next), or afresh"
        " (hold on to nothing that was planned). With --keep it is taken into the files.",
    ),
    Command(
        name="moved",
        short="what moved since an earlier day, and why",
        long="Compare the plan with the one a day began with: what was done since and what was"
        " not, which steps moved from when to when and why, what is newly short or late.",
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
    Command(
        name="log",
        short="what was done goes into the diary: wearby log PATH hem 45 done",
        long="Log what was done, several steps at once, and say what became of the plan. A step is"
        " named by its id, garment/step, or its name; behind it stands what is said of it, in any"
        " order: minutes (45, 1h30, 1:30), the word done, left=30m by your guess, note=..., and"
        " stock=amount for what was really used: wearby log PATH hem 45 done trim 1h30 left=30m"
        " braid=2.9m. Without a step: what was logged last, and what is planned today.",
    ),
    Command(
        name="pace",
        short="how quick you are against the catalogue, by what the diary says",
        long="Say how quick you are against the catalogue's minutes: over all work, by kind of"
        " work and by technique, learnt from the steps of the diary that were done with all their"
        " minutes. Estimates follow it. With an option, set a pace by hand, or turn learning off:"
        " wearby pace PATH --set hand=1.2 is a fifth slower than the catalogue at hand sewing.",
    ),
    Command(
        name="export",
        short="the record of how an ensemble was made: wearby export record",
        long="Write the record of how an ensemble was made, in Markdown: its garments with their"
        " measurements, what was used of cloth and trim, every step in working order with its hours"
        " against the estimate, and the notes of the diary. WHAT is record. It is printed, or with"
        " --to saved in a file.",
    ),
    Command(
        name="split",
        short="a garment's steps, hours and stock: wearby split stays panels=12",
        long="Print the steps a garment is made in, in working order, with their hours, what they"
        " take of cloth, trim and notions, and what was asked. Answers are typed behind it:"
        " wearby split stays panels=12 sewn=hand",
    ),
    Command(
        name="garments",
        short="every garment there is an order of construction for",
        long="List the garments there is an order of construction for, with the hours of each and"
        " what it asks; in a workroom also the maker's own.",
    ),
    Command(
        name="techniques",
        short="every technique, with its rate, place, caution and source",
        long="List the techniques by kind of work, with rate, set-up, place, hands, wait, source"
        " and what to mind; in a workroom also the maker's own.",
    ),
    Command(
        name="new",
        short="begin a workroom, or an ensemble in one: asks, or takes options",
        long="Begin a workroom in a folder, or in a workroom that is there another ensemble. On a"
        " terminal it asks for what isn't given; nothing is written before the end, and no file is"
        " ever written over.",
    ),
)
"""Those of a workroom's plan, then those of the catalogue, then the beginning of it all."""

NEW = "new"
EXPORT = "export"
SAVING = ("log",)
"""The commands that change the maker's files, and then say what became of the plan."""
OF_THE_CATALOGUE = ("split", "garments", "techniques")
"""The commands that need no plan."""

NAMES = tuple(command.name for command in COMMANDS)


class _Parser(argparse.ArgumentParser):
    """A parser whose mistakes are problems, not an exit."""

    def error(self, message: str) -> NoReturn:
        raise InputError([_problem("", f"{_sentence(message)} See {self.prog} --help.")])


def parse(argv: Sequence[str]) -> argparse.Namespace:
    """Understand the arguments; raises InputError for what can't be understood."""
    given = _parser().parse_args(_options_first(_command_first(list(argv))))
    if given.version:
        return given
    if given.today is not None and given.now is not None:
        raise InputError([_problem("--now", "Give either --today or --now, not both.")])
    return given


def moment(given: argparse.Namespace, clock: datetime) -> datetime:
    """The ``now`` to plan from: what was typed, else the clock, to the minute."""
    if given.today is not None:
        day = read_date(given.today, "--today", clock.date())
        return _within(datetime.combine(day, time()), given.today, "--today")
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
    return _within(found.replace(second=0, microsecond=0), text, "--now")


def _within(found: datetime, text: str, place: str) -> datetime:
    """A moment that can be planned from: far off, there are no days around it to count with."""
    if not FIRST_YEAR <= found.year <= LAST_YEAR:
        told = f"“{text}” is too far off: plan from a day of the years {FIRST_YEAR} to {LAST_YEAR}."
        raise InputError([_problem(place, told)])
    return found


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
        elif word in VALUED:
            skip = True
        elif word in NAMES:
            return [word, *argv[:index], *argv[index + 1 :]]
        elif not word.startswith("-") or word == "--":
            break
        elif word in ("-h", "--help", "--version"):
            return argv
    return ["--help"] if {"-h", "--help"} & set(argv) else [OPEN, *argv]


VALUED = (
    "--today", "--now", "--workroom", "--name", "--event", "--date", "--time", "--fitting",
    "--trial", "--departure", "--workroom-hours", "--sofa-hours", "--take-along-hours",
    "--helper-hours", "--units", "--setting-up", "--garment", "--minutes", "--place", "--since",
    "--left", "--note", "--used", "--at", "--ensemble", "--to",
    "--set", "--forget", "--learn",
)  # fmt: skip
"""Options with a value behind them."""


def _options_first(argv: list[str]) -> list[str]:
    """The command, its options, then all else: argparse takes a list of words only in one piece."""
    if not argv or argv[0] not in NAMES:
        return argv
    options: list[str] = []
    words: list[str] = []
    rest = iter(argv[1:])
    for word in rest:
        if word == "--":
            words += rest
        elif word.startswith("-") and not word[1:2].isdigit():
            value = next(rest, None) if word in VALUED else None
            # joined, so that a value may begin with a dash
            options.append(word if value is None else f"{word}={value}")
        else:
            words.append(word)
    return [argv[0], *options, "--", *words]


def _parser() -> _Parser:
    """The whole parser."""
    parser = _Parser(
        prog="wearby",
        usage="wearby PATH opens the program, wearby COMMAND PATH prints an answer",
        description="PATH: a folder with workroom.toml (else where you stand), "
        "or one ensemble's file",
        epilog=_epilog(),
        formatter_class=argparse.RawDescriptionHelpFormatter,
        add_help=False,
    )
    parser.add_argument("-h", "--help", action="help", help=argparse.SUPPRESS)
    parser.add_argument("--version", action="store_true", help=argparse.SUPPRESS)
    commands = parser.add_subparsers(dest="command", metavar="", help=argparse.SUPPRESS)
    _of_a_plan(_added(commands, OPEN, "Open the program."), OPEN)
    for command in COMMANDS:
        one = _added(commands, command.name, command.long)
        if command.name == NEW:
            _of_beginning(one)
        elif command.name in OF_THE_CATALOGUE:
            _of_the_catalogue(one, command.name)
        else:
            _of_a_plan(one, command.name)
    return parser


def _epilog() -> str:
    """The commands and what all take; with the rest it fits into one screen."""
    listed = "\n".join(f"  {one.name:<12}{one.short}" for one in COMMANDS)
    return (
        f"{listed}\n"
        "--today DATE, --now DATETIME  as from then: 2027-05-08T19:30; --json  as data\n"
        "--help of a command: wearby day --help; --version\n"
        "Exit status: 0 it fits, 1 it does not fit or is undecided, 2 the input is wrong."
    )


def _added(commands: argparse._SubParsersAction[_Parser], name: str, description: str) -> _Parser:
    """A command without its arguments but those that every one takes."""
    parser = commands.add_parser(
        name,
        prog="wearby" if name == OPEN else f"wearby {name}",
        description=description,
        allow_abbrev=False,
    )
    shown = name not in OF_THE_CATALOGUE
    parser.add_argument(
        "--today",
        metavar="DATE",
        help="plan as from 00:00 of this date" if shown else argparse.SUPPRESS,
    )
    parser.add_argument(
        "--now",
        metavar="DATETIME",
        help="plan as from this moment" if shown else argparse.SUPPRESS,
    )
    parser.add_argument("--json", action="store_true", help="print the answer as JSON")
    return parser


def _of_a_plan(parser: _Parser, name: str) -> None:
    """What is asked of a workroom's plan."""
    if name == EXPORT:
        _of_an_export(parser)
    parser.add_argument(
        "path",
        metavar="PATH",
        nargs="?" if name in (OPEN, EXPORT, "moved") else None,
        help="a folder with a workroom.toml, or one ensemble's file",
    )
    if name == "before":
        parser.add_argument(
            "occasion",
            metavar="OCCASION",
            nargs="?",
            help="its id, such as body-fitting, or its name; without it the next",
        )
        parser.add_argument(
            "--by-garment",
            action="store_true",
            help="list the steps garment by garment, not by stage",
        )
    if name == "now":
        _of_this_minute(parser)
    if name == "log":
        _of_what_was_done(parser)
    if name == "delay":
        _of_a_delay(parser)
    if name == "pace":
        _of_the_pace(parser)
    if name == "moved":
        parser.add_argument(
            "--since",
            metavar="DATE",
            help="such as 2027-05-03, yesterday or Monday (default: today)",
        )
    if name == "day":
        parser.add_argument(
            "date",
            metavar="DATE",
            nargs="?",
            default="today",
            help="such as 2027-05-08, today or tomorrow (default: today)",
        )


def _of_the_pace(parser: _Parser) -> None:
    """What the maker says of their pace."""
    parser.add_argument(
        "--set",
        metavar="KEY=RATIO",
        action="append",
        help='"all", a kind of work or a technique, and times the catalogue\'s minutes: hand=1.2;'
        " may be given again",
    )
    parser.add_argument(
        "--forget",
        metavar="KEY",
        action="append",
        help="go by the diary again; may be given again",
    )
    parser.add_argument(
        "--learn",
        metavar="yes|no",
        choices=("yes", "no"),
        help="whether estimates follow what the diary teaches",
    )


def _of_a_delay(parser: _Parser) -> None:
    """What went wrong."""
    parser.add_argument(
        "what",
        metavar="WHAT",
        nargs="?",
        help="tonight, away, delivery, occasion, helper or afresh",
    )
    parser.add_argument(
        "words",
        metavar="WORDS",
        nargs="*",
        help="which, and when: 2027-05-08, today, Friday, 6 May",
    )
    parser.add_argument("--keep", action="store_true", help="take it into the files")


def _of_an_export(parser: _Parser) -> None:
    """What is exported, of which ensemble and to where; it stands before the path."""
    parser.add_argument("what", metavar="WHAT", help="record")
    parser.add_argument(
        "--ensemble", metavar="NAME", help="id or name of the ensemble, where there are several"
    )
    parser.add_argument("--to", metavar="FILE", help="save it in this file (default: print it)")
    parser.add_argument(
        "--over",
        action="store_true",
        help="write over a file even if it is not as wearby wrote it",
    )


def _of_this_minute(parser: _Parser) -> None:
    """What the maker says of this minute."""
    parser.add_argument("--minutes", metavar="MINUTES", help="how long you have: 20, or 1h30")
    parser.add_argument("--place", metavar="PLACE", help="workroom, sofa or take-along")
    parser.add_argument(
        "--tired", action="store_true", help="no cutting, nothing that can't be undone"
    )
    parser.add_argument("--helper", action="store_true", help="a second pair of hands is there")


def _of_what_was_done(parser: _Parser) -> None:
    """Steps with what was done of them."""
    parser.add_argument(
        "words",
        metavar="STEP [MINUTES] [done] [left=...]",
        nargs="*",
        help="a step and what is said of it; as many as you like",
    )
    parser.add_argument("--done", action="store_true", help="all of them are done")
    parser.add_argument("--left", metavar="MINUTES", help="what is left of a single step: 30m")
    parser.add_argument("--note", metavar="TEXT", help="a note on all of them")
    parser.add_argument(
        "--used",
        metavar="STOCK=AMOUNT",
        action="append",
        help="what a single step really used: braid=2.9m; may be given again",
    )
    parser.add_argument(
        "--at",
        metavar="MOMENT",
        help="when it ended: 21:30, yesterday, 2027-05-08 (the end of its hours) or"
        " 2027-05-08T21:30 (default: now)",
    )
    parser.add_argument(
        "--undo", action="store_true", help="take back what was logged last, wherever that was"
    )


def _of_the_catalogue(parser: _Parser, name: str) -> None:
    """What is asked of the catalogue, and of what a maker added to it."""
    if name != "split":
        parser.add_argument(
            "path",
            metavar="PATH",
            nargs="?",
            help="a workroom whose own are listed too (default: the one you stand in, if any)",
        )
        return
    parser.add_argument(
        "kind", metavar="KIND", help="the garment's id, as wearby garments lists it"
    )
    parser.add_argument(
        "answers",
        metavar="name=value",
        nargs="*",
        help='such as panels=12, "hem=3.4 m", sewn=hand, source=alter, first=yes; the rest is as'
        " usual",
    )
    parser.add_argument(
        "--workroom",
        metavar="PATH",
        help="the workroom whose own orders of construction and techniques count (default: the"
        " one you stand in, if any)",
    )
    parser.add_argument(
        "--units",
        choices=("metric", "imperial"),
        help="how lengths are shown (default: as in the workroom, else metric)",
    )


def _of_beginning(parser: _Parser) -> None:
    """Everything that would be asked, as options."""
    parser.add_argument(
        "path", metavar="FOLDER", help="a folder that is made, or a workroom that is there"
    )
    for option, metavar, help in (
        ("--name", "NAME", "what the ensemble is called"),
        ("--event", "NAME", "what it is worn for"),
        ("--date", "DATE", 'the day of that: "22 May", or 2027-05-22'),
        ("--time", "TIME", "from when it must be on: 11:00 (default: all day)"),
        ("--trial", "DATE", 'a trial wear: "15 May 16:00"; without a time at 14:00'),
        ("--departure", "DATE", "when you leave, if that is earlier; without a time at 8:00"),
        ("--workroom-hours", "WEEK", '"tue thu 19:30-21:30, sat 10:00-13:00"'),
        ("--sofa-hours", "WEEK", "hours for what needs no table"),
        ("--take-along-hours", "WEEK", "hours on the way, for hand sewing"),
        ("--helper-hours", "WEEK", "hours in which a second pair of hands is there"),
        ("--units", "UNITS", "metric or imperial: how lengths are shown and asked"),
        ("--setting-up", "DURATION", "off every stretch in the workroom (default: 15m)"),
    ):
        parser.add_argument(option, metavar=metavar, help=help)
    parser.add_argument(
        "--fitting",
        metavar="DATE",
        action="append",
        help='a fitting: "8 May 16:30"; without a time at 14:00; may be given again',
    )
    parser.add_argument(
        "--garment",
        metavar="WORDS",
        action="append",
        help='a garment and its answers, as in wearby split: "stays panels=12 sewn=hand'
        " name='Green stays'\"; may be given again",
    )
    parser.add_argument(
        "--whole",
        action="store_true",
        help="also what is done with all of it together: the full trial, mending, packing",
    )
    parser.add_argument(
        "--no-questions", action="store_true", help="ask nothing, and refuse what is missing"
    )
