"""Solve every seed once, smallest first: ``python -m tests.oracle.run``.

One line of JSON a seed is appended to ``results.jsonl``; seeds already there are skipped. The
optimum and its bound are exact fractions, planned minutes over minutes of a window.
"""

from __future__ import annotations

import json
from pathlib import Path

from tests.oracle import exact, interval, workrooms
from tests.oracle.check import faults
from tests.oracle.core import core_of

RESULTS = Path(__file__).with_name("results.jsonl")
LIMIT = 60.0


def line(seed: int) -> dict[str, object]:
    """The result of a seed, its schedule checked."""
    found = workrooms.instance(seed)
    result = exact.least_peak(found, LIMIT)
    core = core_of(found)
    wrong = faults(core, result.amounts, core.caps(result.peak))
    if found.kind == "plain" and interval.least_peak(found) != result.peak:
        wrong.append("interval bound not met")
    if wrong:
        raise AssertionError(f"seed {seed}: {wrong}")
    return {
        "seed": seed,
        "steps": len(found.tasks),
        "kind": found.kind,
        "optimum": str(result.peak),
        "bound": str(result.bound),
        "proven": result.proven,
        "seconds": round(result.seconds, 2),
    }


def main() -> None:
    """Go on where the file ends."""
    lines = RESULTS.read_text(encoding="utf-8").splitlines() if RESULTS.exists() else []
    known = {json.loads(text)["seed"] for text in lines}
    for seed in sorted(workrooms.seeds(), key=lambda s: (workrooms.size(s), s)):
        if seed not in known:
            with RESULTS.open("a", encoding="utf-8") as file:
                file.write(json.dumps(line(seed)) + "\n")


if __name__ == "__main__":
    main()
