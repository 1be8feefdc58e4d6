"""A circle that an edit would close, told in names at the field that closes it."""

from __future__ import annotations

from collections.abc import Sequence

from planner.model import Project
from screens.forms import lookups
from screens.forms.fields import Wrong
from screens.wording import with_article

ITSELF = {1: "this occasion", 2: "this step"}
"""What the thing in the form is called, by the slashes in its full id."""


def circle_told(project: Project, circle: Sequence[str], ident: str) -> Wrong:
    """ "That would be a circle: this step, then “hem” (Petticoat), then this step again. ...".

    ``circle`` holds full ids, each before the next; ``ident`` is what is edited. A step that
    isn't in the circle itself is in it by the occasion it is done at.
    """
    first = next((one for one in circle if one == ident), None)
    if first is None:
        first = next((one for one in circle if one.count("/") == 1), circle[0])
    place = circle.index(first)
    turned = [*circle[place:], *circle[:place]]
    names = [_name(project, one, ident) for one in turned]
    told = f"That would be a circle: {', then '.join([*names, names[0]])} again."
    step = ident.count("/") == 2
    if step and first == ident:
        key, remedy = "after", f"Change what it comes after: {names[-1]} comes after it already."
        if names[-1] == names[0]:
            remedy = "Nothing comes after itself."
    elif step:
        key = "during"
        remedy = "Have it done at another occasion, or change what it comes after."
    elif first == ident:
        key, remedy = "wants", f"Take what leads to {names[-1]} out of what must be ready."
    else:
        key, remedy = "", "Change what one of them comes after."
    return Wrong(key=key, text=f"{told} {remedy}")


def _name(project: Project, full: str, ident: str) -> str:
    """A step with its garment, or an occasion, in a sentence."""
    slashes = full.count("/")
    if full == ident:
        return ITSELF.get(slashes, "it")
    name = lookups.name_of(project, full)
    if slashes < 2:
        return with_article(name)
    return f"“{name}” ({lookups.name_of(project, full.rpartition('/')[0])})"
