"""`wearby new` on a terminal: questions one after another, each of which can be gone back to."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from planner.catalogue.order import Choice, Measurement, Order
from planner.problems import InputError
from planner.splitting.answers import (
    SOURCE,
    asked,
    measured,
    option_of,
    understood,
)
from planner.splitting.split import split
from screens.new_ensemble import NAME as CALLED
from screens.new_ensemble import read_name
from screens.plain.catalogue import SOURCES, default_text, find_order, how_text, like, minutes_text
from screens.plain.garments import in_groups
from screens.plain.lines import WIDTH, verdict
from screens.plain.new import Ask, Said, all_pieces
from screens.plain.new_fields import FIELDS, Field
from screens.plain.new_garments import NAME, Piece
from screens.plain.new_ground import Ground
from screens.wording import clean, count, listed, wrapped

BACK, HELP = "back", "?"
_MOST = 8
_INTRODUCTION = (
    "Enter takes what stands in brackets; ? tells how to answer, back goes a question back,"
    " ctrl+c leaves. Nothing is written before the end."
)


class WentBack(Exception):
    """The question before is to be asked again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Put:
    """A question as it is put."""

    ask: str
    how: Callable[[], str]
    read: Callable[[str], None]
    """Takes the answer; raises ValueError with a sentence, InputError."""
    usual: str
    """In brackets, and taken where nothing is typed; "none" may stand for nothing."""


def talk(said: Said, there: Ground, ask: Ask) -> None:
    """Ask for what isn't said yet, until it may be written.

    Raises KeyboardInterrupt where the answering is broken off, also by saying no at the end.
    """
    try:
        _Talk(said, there, ask).run()
    except EOFError:
        print()
        raise KeyboardInterrupt from None


def _say(text: str, indent: int = 2) -> None:
    for line in wrapped([text], WIDTH - indent):
        print(" " * indent + line)


class _Talk:
    """One conversation: the fields, then the garments, then whether to write it."""

    def __init__(self, said: Said, there: Ground, ask: Ask) -> None:
        self.said, self.there, self.ask = said, there, ask
        self.asks_for_whole = not said.whole
        self.backwards = False
        """The stage was gone back to from a later one."""
        self.fields = [
            field
            for field in FIELDS
            if field.asked and field.key not in said.texts and (there.new or not field.of_workroom)
        ]

    def run(self) -> None:
        """All of it, in turns."""
        _say(_INTRODUCTION, 0)
        if not self.there.new:
            _say(f"An ensemble more, in the workroom that is in {self.there.folder}.", 0)
        stages = [self._head, self._garments, self._whole, self._keep]
        stage = 0
        while stage < len(stages):
            try:
                stages[stage]()
                stage, self.backwards = stage + 1, False
            except WentBack:
                stage, self.backwards = max(0, stage - 1), True

    def put(self, question: Put) -> None:
        """Ask until there is an answer that can be taken."""
        while True:
            usual = f" [{clean(question.usual)}]" if question.usual else ""
            text = self.ask(f"{question.ask}{usual}: ").strip()
            if text.casefold() == BACK:
                raise WentBack
            if text == HELP:
                _say(question.how())
                continue
            try:
                question.read(text or question.usual)
            except InputError as error:
                self._say_problems(error)
            except ValueError as error:
                _say(clean(f"{str(error).rstrip('.')}."))
            else:
                return

    @staticmethod
    def _say_problems(error: InputError) -> None:
        for problem in error.problems:
            _say(clean(f"{problem.place}: {problem.text}" if problem.place else problem.text))

    # ---- the ensemble

    def _head(self) -> None:
        """Every field that wasn't given; gone back to from the garments, the last first."""
        index = len(self.fields) - 1 if self._answered() else 0
        while index < len(self.fields):
            try:
                self.put(self._field(self.fields[index]))
                index += 1
            except WentBack:
                if index == 0:
                    _say("This is the first question.")
                index = max(0, index - 1)

    def _answered(self) -> bool:
        return bool(self.fields) and all(field.key in self.said.texts for field in self.fields)

    def _field(self, field: Field) -> Put:
        texts, now = self.said.texts, self.there.now

        def read(text: str) -> None:
            field.check({**texts, field.key: text}, now)
            texts[field.key] = text

        usual = texts.get(field.key) or field.usual
        return Put(ask=field.ask, how=lambda: field.how, read=read, usual=usual)

    # ---- garments

    def _garments(self) -> None:
        """Garments one after another, until an empty line."""
        again: Piece | None = None
        while True:
            try:
                piece = _Garment(self, again).asked()
            except WentBack:
                if not self.said.pieces:
                    raise
                again = self.said.pieces.pop()
                _say(f"Back to {clean(again.name or again.order.name)}.")
                continue
            if piece is None:
                return
            again = None
            self.said.pieces.append(piece)
            try:
                self._tell(piece)
            except InputError as error:
                self._say_problems(error)
                again = self.said.pieces.pop()

    def _tell(self, piece: Piece) -> None:
        """The garment's hours, and the verdict so far."""
        total = self.there.shelves.hours(piece.split())
        _say(f"{clean(piece.name or piece.order.name)}: {minutes_text(total)}.")
        self._verdict()

    def _verdict(self) -> None:
        """Whether all of it would fit."""
        try:
            ensemble = self.there.ensemble(self.said.texts, all_pieces(self.said, self.there))
            plan = self.there.plan(ensemble, self.there.workroom(self.said.texts))
        except InputError as error:
            self._say_problems(error)
            return
        for line in verdict(plan):
            print(f"  {line}")

    # ---- the end

    def _whole(self) -> None:
        if not (self.said.pieces and self.asks_for_whole):
            if self.backwards:
                raise WentBack
            return

        def read(text: str) -> None:
            self.said.whole = _yes(text)

        how = "A full trial, mending after it, airing, pressing and packing, as steps of their own."
        ask = "Also the steps for all of it together"
        self.put(Put(ask=ask, how=lambda: how, read=read, usual="yes"))

    def _keep(self) -> None:
        number = count(len(self.said.pieces), "garment")
        _say(f"{clean(self.said.texts[CALLED])}, {number}:", 0)
        self._verdict()
        wanted = [True]

        def read(text: str) -> None:
            wanted[0] = _yes(text)

        how = "Yes writes the files; no leaves without writing; back goes on asking."
        self.put(Put(ask=f"Write it to {clean(str(self.there.folder))}", how=lambda: how,
                     read=read, usual="yes"))  # fmt: skip
        if not wanted[0]:
            raise KeyboardInterrupt


def _yes(text: str) -> bool:
    word = text.casefold()
    if word not in ("y", "yes", "n", "no"):
        raise ValueError("write yes or no")
    return word.startswith("y")


class _Garment:
    """One garment being asked about."""

    def __init__(self, talk: _Talk, again: Piece | None) -> None:
        """``again``: a garment that is answered already, asked from its last question on."""
        self.talk = talk
        self.there = talk.there
        self.units = talk.there.units(talk.said.texts)
        self.piece = again
        self.trail: list[str] = []
        """Questions answered, in order; the last is asked again first."""
        if again is not None:
            self.trail = [KIND_OF, *self._questions(again)][:-1]
        self.repeated = False
        """Another question than the one put was answered: it is put again."""

    def asked(self) -> Piece | None:
        """The garment as answered; None where none is wanted. Raises WentBack."""
        while True:
            question = self._next()
            if question is None:
                assert self.piece is not None
                return self.piece.known()
            try:
                self.talk.put(self._put(question))
            except WentBack:
                if not self.trail:
                    raise
                self.trail.pop()
                continue
            if self.piece is None:
                return None
            if self.repeated:
                self.repeated = False
            else:
                self.trail.append(question)

    def _next(self) -> str | None:
        """The first question that isn't answered yet."""
        if self.piece is None or not self.trail:
            return KIND_OF
        # what is asked hangs on what was chosen
        return next((one for one in self._questions(self.piece) if one not in self.trail), None)

    def _questions(self, piece: Piece) -> list[str]:
        source = [SOURCE] if len(piece.order.sources) > 1 else []
        return [NAME_OF, *source, *piece.known().questions()]

    def _put(self, question: str) -> Put:
        if question == KIND_OF:
            return self._kind()
        assert self.piece is not None
        if question == NAME_OF:
            return self._name(self.piece)
        if question == SOURCE:
            return self._source(self.piece)
        return self._one(self.piece, question)

    def _kind(self) -> Put:
        orders = self.there.shelves.orders

        def read(text: str) -> None:
            if text in ("", "none"):
                self.piece = None
                return
            order = self._found(text)
            if self.piece is None or self.piece.order.id != order.id:
                self.piece = Piece(order=order, units=self.units)

        first = "First garment" if not self.talk.said.pieces else "Next garment"
        usual = self.piece.order.id if self.piece is not None else "none"

        def how() -> str:
            ids = ", ".join(clean(order.id) for order in in_groups(list(orders.values())))
            return f"Its id or a part of its name; an empty line ends. There are {ids}."

        return Put(ask=f"\n{first}", how=how, read=read, usual=usual)

    def _found(self, text: str) -> Order:
        """The order meant. Raises ValueError with those that could be, or the nearest."""
        found = find_order(text, self.there.shelves.orders)
        if isinstance(found, Order):
            return found
        alike = like(text, self.there.shelves.orders)
        if len(alike) == 1:
            return alike[0]
        if alike:
            raise ValueError(f"which: {listed([one.id for one in alike], _MOST)}")
        raise ValueError(found.rstrip("."))

    def _name(self, piece: Piece) -> Put:
        def read(text: str) -> None:
            usual = text == piece.order.name
            self.piece = replace(piece, name="" if usual else read_name(text))

        how = "What you call it; a second of its kind is numbered."
        return Put(ask="  Name", how=lambda: how, read=read, usual=piece.name or piece.order.name)

    def _source(self, piece: Piece) -> Put:
        def read(text: str) -> None:
            found = understood(piece.order, {SOURCE: text}, units=self.units).source
            self.piece = replace(piece, pairs={**piece.pairs, SOURCE: found.value}).known()

        def how() -> str:
            ways = []
            for source in piece.order.sources:
                answers = understood(piece.order, {SOURCE: source.value}, units=self.units)
                total = self.there.shelves.hours(split(piece.order, answers))
                ways.append(f"{source.value} ({SOURCES[source]}): {minutes_text(total)}")
            return "; ".join(ways) + "."

        words = ", ".join(source.value for source in piece.order.sources)
        usual = piece.pairs.get(SOURCE, piece.order.sources[0].value)
        return Put(ask=f"  Where from: {words}", how=how, read=read, usual=usual)

    def _one(self, piece: Piece, name: str) -> Put:
        """One of its order's questions; "name=value" answers another of them."""
        answers = piece.known().answers()
        questions = {one.id: one for one in asked(piece.order, answers)}
        question = questions[name]

        def read(text: str) -> None:
            other, equals, value = text.partition("=")
            if equals:
                pairs = {other.strip(): value.strip()}
                source = {key: text for key, text in piece.pairs.items() if key == SOURCE}
                understood(piece.order, source | pairs, units=self.units)
                self.piece = replace(piece, pairs={**piece.pairs, **pairs}).known()
                self.repeated = True
                return
            _check(question, text, self.units)
            self.piece = replace(piece, pairs={**piece.pairs, name: text})

        def how() -> str:
            more = [one.id for one in questions.values() if not one.asked]
            other = f" As usual otherwise, or name=value: {', '.join(more)}." if more else ""
            return f"{how_text(question)}{other}"

        usual = piece.pairs.get(name) or default_text(question, self.units)
        return Put(ask=f"  {_asked(question)}", how=how, read=read, usual=usual)


KIND_OF, NAME_OF = "its kind", f"its {NAME}"
"""Questions besides an order's own: with a space, so that none of those can be called so."""


def _asked(question: Measurement | Choice) -> str:
    """The label; of a choice with its options, of a length with that it is one."""
    if isinstance(question, Choice):
        return clean(f"{question.ask}: {', '.join(one.id for one in question.options)}")
    return clean(question.ask)


def _check(question: Measurement | Choice, text: str, units: str) -> None:
    """Raises ValueError where it is no answer."""
    if isinstance(question, Measurement):
        measured(question, text, units)
    else:
        option_of(question, text)
