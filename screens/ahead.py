"""The first plan, made by a process of its own while this one gets the screens ready.

Getting ready and planning each keep a processor busy for a tenth of a second and more; side by
side the first picture is there so much sooner. Whatever goes wrong there (no second process, no
plan, files that can't be read) is left to the program, which then plans as it always does.
"""

from __future__ import annotations

import os
import pickle
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from screens.state import Fingerprint, State, fingerprint, read_and_plan


class Ahead:
    """A plan under way in another process."""

    def __init__(self, child: int, pipe: int) -> None:
        self._child, self._pipe = child, pipe

    def state(self, seen: Fingerprint) -> State | None:
        """What it came to; waits for it. None where there is nothing, or files changed since.

        ``seen``: how the files look now. Can be asked once.
        """
        try:
            with os.fdopen(self._pipe, "rb") as pipe:
                sent = pipe.read()
            os.waitpid(self._child, 0)
            was, state = pickle.loads(sent) if sent else ((), None)  # from our own process
        except Exception:  # whatever it was, there is no plan from there
            return None
        return state if was == seen else None


def plan_ahead(path: Path, now: datetime) -> Ahead | None:
    """Begin to read and plan in another process; None where there can't be one.

    To be called before anything else runs in this process, for it is copied as it is.
    """
    if not hasattr(os, "fork") or (os.cpu_count() or 1) < 2:
        return None
    try:
        out, into = os.pipe()
        child = os.fork()
    except OSError:
        return None
    if child:
        os.close(into)
        return Ahead(child, out)
    _plan_and_go(path, now, into)
    return None


def _plan_and_go(path: Path, now: datetime, into: int) -> None:
    """In the other process: send the plan, and end it whatever happens."""
    try:
        seen = fingerprint(path)
        state = replace(read_and_plan(path, now, thorough=False), exactly=None)
        with os.fdopen(into, "wb") as pipe:
            pipe.write(pickle.dumps((seen, state), protocol=pickle.HIGHEST_PROTOCOL))
    finally:
        os._exit(0)
