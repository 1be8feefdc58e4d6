"""Who imports whom."""

from __future__ import annotations

import subprocess
import sys

ASK = """
import sys
from tests.screens.a_plan import a_plan, a_project, NOW
from screens import state
held = state.State(project=a_project(), plan=a_plan(), now=NOW)
state.read_and_plan = lambda path, now, thorough=True: held
from screens.command import main
for words in (["plan"], ["plan", "--json"], ["check"], ["day"], ["handwork"], ["--help"]):
    try:
        main([words[0], ".", *words[1:], "--today", "2027-05-05"])
    except SystemExit:
        pass
print(sorted(name for name in ("textual", "rich") if name in sys.modules), file=sys.stderr)
"""

PLANNER = """
import pkgutil, sys, importlib, planner
for module in pkgutil.walk_packages(planner.__path__, "planner."):
    importlib.import_module(module.name)
found = [name for name in ("textual", "rich", "screens") if name in sys.modules]
print(found, file=sys.stderr)
"""


def _said(script: str) -> str:
    """What a fresh interpreter says on standard error."""
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    return done.stderr.strip().splitlines()[-1]


def test_commands_import_neither_textual_nor_rich() -> None:
    """A command that prints text never pays for the screens."""
    assert _said(ASK) == "[]"


def test_planner_imports_no_screens() -> None:
    """The planner reaches neither screens nor Textual nor Rich."""
    assert _said(PLANNER) == "[]"
