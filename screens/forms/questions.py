"""What the owner of a form says: its fields, what they come to, and what to show beside them."""

from __future__ import annotations

from collections.abc import Sequence

from planner.plan import Plan
from screens.forms.fields import Field, Reading, Texts
from screens.state import State
from screens.widgets.lines import Line


class Questions:
    """The questions of one form; pure but for the state it is told.

    The form calls ``fields`` and ``read`` after every key, so both must be quick (a few
    milliseconds). Nothing here draws or saves.
    """

    title: str = ""
    """What the form is about: "A step of the Jacket bodice"."""
    kept: str = "keep"
    """What keeping is called at its key: "keep", "add"."""
    whole: bool = False
    """Whether a change is there without a key typed: a new garment can be kept at once."""

    def __init__(self, state: State) -> None:
        self.state = state

    def renew(self, state: State) -> None:
        """The files were read again while the form is open."""
        self.state = state

    def fields(self, texts: Texts) -> Sequence[Field]:
        """The fields for what is typed; at first ``texts`` is empty.

        A field may come and go with what is typed elsewhere. Its ``value`` must not depend on
        what is typed in itself: it says whether the field was touched.
        """
        raise NotImplementedError

    def read(self, texts: Texts) -> Reading:
        """What the texts come to: an edit, or what is wrong at which field."""
        raise NotImplementedError

    def beside(self, texts: Texts, plan: Plan | None, width: int) -> Sequence[Line]:
        """Lines shown beside the fields (beneath them in a narrow terminal), live.

        ``plan`` is the plan as it would become, as soon as it is known. None at all: no region.
        """
        return ()
