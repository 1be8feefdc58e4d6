"""The questions of an order of construction as fields, and their texts as answers.

For any form that asks them: ``answer_fields`` gives the fields for what is typed, ``answers_from``
reads them. Their keys begin with ``ANSWER``. An order's questions are those of its source: a
garment that isn't made has those of the short order.
"""

from __future__ import annotations

from planner.catalogue.order import Choice, Measurement, Order
from planner.files.phrasing import write_quantity
from planner.splitting.answers import Answers, asked, measured
from screens.forms.fields import Field, Option, Texts, Wrong

ANSWER = "answer."
"""Before a question's id in the key of its field."""


def answer_fields(order: Order, started: Answers, texts: Texts, units: str) -> list[Field]:
    """The questions that apply for the choices typed; at first they hold what ``started`` says.

    What the order doesn't ask at once is further.
    """
    return [_field(one, started, units) for one in _asked(order, started, texts)]


def answers_from(
    order: Order, started: Answers, texts: Texts, units: str
) -> tuple[Answers, tuple[Wrong, ...]]:
    """What the texts of ``answer_fields`` answer, and what is wrong at which field.

    What wasn't typed in stays as it is in ``started``, to the last digit; so does what is wrong.
    """
    measurements, choices = dict(started.measurements), dict(started.choices)
    wrong = []
    for question in _asked(order, started, texts):
        field = _field(question, started, units)
        text = texts.get(field.key, field.value)
        if isinstance(question, Choice):
            choices[question.id] = text
        elif text != field.value:
            try:
                measurements[question.id] = measured(question, text, units)
            except ValueError as error:
                wrong.append(Wrong(key=field.key, text=str(error)))
    answers = Answers(measurements=measurements, choices=choices, source=started.source)
    return answers, tuple(wrong)


def _asked(order: Order, started: Answers, texts: Texts) -> tuple[Measurement | Choice, ...]:
    """The questions that apply; what is typed for a measurement is no choice, and passed over."""
    typed = {
        key.removeprefix(ANSWER): text for key, text in texts.items() if key.startswith(ANSWER)
    }
    choices = {**started.choices, **typed}
    return asked(
        order,
        Answers(measurements=started.measurements, choices=choices, source=started.source),
    )


def _field(question: Measurement | Choice, started: Answers, units: str) -> Field:
    """One question as a field."""
    if isinstance(question, Choice):
        return Field(
            key=f"{ANSWER}{question.id}",
            label=question.ask,
            help=question.how or "Left and right go through the answers.",
            value=started.choices.get(question.id, question.default),
            options=tuple(Option(key=one.id, name=one.name) for one in question.options),
            further=not question.asked,
        )
    value = started.measurements.get(question.id, question.default)
    return Field(
        key=f"{ANSWER}{question.id}",
        label=question.ask,
        help=question.how,
        value=str(write_quantity(value, units)),
        further=not question.asked,
    )
