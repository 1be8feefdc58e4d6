"""The pictures of the README: ``python -m tests.pictures`` makes them anew.

Each is a screen of the program on a sample, as the program draws it; a test keeps them current.
"""

from __future__ import annotations

import asyncio
import re
import sys
from datetime import datetime
from pathlib import Path

from screens.app import Wearby
from screens.registry import SCREENS
from tests.screens.driving import Driven

GOLDEN = Path("tests/golden")
SAMPLE = Path("sample_projects/copper_wood_masque")
NOW = datetime(2027, 3, 6, 9)
"""The day the sample was written for, in the morning."""
SIZE = (100, 32)
KEYS = {
    "run-up": ("down", "enter"),
    "now": ("2", "0"),
    "before": ("2",),
    "hand-sewing": (),
    "garments": ("down", "down"),
    "stock": (),
    "hours": ("down", "down"),
    "diary": (),
}
"""What is pressed on a screen before its picture is made."""


def file_of(screen: str) -> Path:
    """Where the picture of a screen is kept."""
    return GOLDEN / f"readme_{screen.replace('-', '_')}.svg"


def picture(driven: Driven) -> str:
    """What is drawn as SVG: no ids that differ from run to run, no frame of a window, no fonts
    from elsewhere."""
    svg = driven.app.export_screenshot(title="wearby", simplify=True)
    svg = re.sub(r"terminal-\d+", "terminal", svg)
    svg = re.sub(r"<circle [^>]*/>\s*", "", svg)
    svg = re.sub(r"@font-face \{.*?\}\s*", "", svg, flags=re.DOTALL)
    return re.sub(r"<!--.*?-->\n?", "", svg)


def made(screen: str) -> str:
    """The picture of a screen, as the program draws it now."""
    letter = next(one.key for one in SCREENS if one.name == screen)

    async def run() -> str:
        app = Wearby(SAMPLE, lambda: NOW)
        async with app.run_test(size=SIZE) as pilot:
            driven = Driven(app, pilot)
            await driven.settle()
            if app.current_mode != screen:
                await driven.press(letter)
            await driven.press(*KEYS[screen])
            return picture(driven)

    return asyncio.run(run())


def main() -> int:
    """Make all of them, or those that are named."""
    for one in SCREENS:
        if one.name in sys.argv[1:] or not sys.argv[1:]:
            file_of(one.name).write_text(made(one.name), encoding="utf-8")
            print(file_of(one.name))
    return 0


if __name__ == "__main__":
    sys.exit(main())
