"""How near the planner comes to the least peak, and how soon: ``python -m tests.bench.least_peak``.

Plans the 300 drawn workrooms and compares with what the exact oracle found. Seeds may be named
on the command line; ``--list`` shows every workroom that is not equal.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.oracle.known import CLOSE, Known, planned, results


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One workroom: what is known, and the plan."""

    known: Known
    peak: float
    bound: float
    fits: bool | None
    seconds: float

    @property
    def above(self) -> float:
        """How far the peak is above the best known, as a share."""
        return self.peak / float(self.known.optimum) - 1

    @property
    def equal(self) -> bool:
        """Within half a percent of the best known."""
        return self.above <= CLOSE

    @property
    def wrong(self) -> bool:
        """A verdict the oracle refutes, a bound above the optimum or a peak below it."""
        fits = self.known.optimum <= 1
        verdict = self.known.proven and self.fits is (not fits)
        impossible = self.peak < float(self.known.bound) - 1e-9
        return verdict or impossible or self.bound > float(self.known.optimum) + 1e-9


def measured(seed: int) -> Row:
    """Plan the workroom of a seed."""
    with TemporaryDirectory() as folder:
        found = planned(Path(folder), seed)
    plan = found.plan
    return Row(
        known=results()[seed],
        peak=plan.peak_load if plan.peak_load is not None else float("inf"),
        bound=plan.lower_bound or 0.0,
        fits=plan.fits,
        seconds=found.seconds,
    )


def share(count: int, of: int) -> str:
    """A count as a share of another."""
    return f"{count} of {of} ({100 * count / of:.1f} %)" if of else "none"


def at(values: Iterable[float], part: float) -> float:
    """The value below which this part of the values lies."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(part * len(ordered)))]


def report(rows: Sequence[Row]) -> list[str]:
    """The figures, as lines."""
    proven = [r for r in rows if r.known.proven]
    rest = [r for r in rows if not r.known.proven]
    tight = [r for r in rows if r.bound >= r.peak - 1e-9]
    lines = [
        f"equal to the proven optimum: {share(sum(r.equal for r in proven), len(proven))}",
        f"  of these exactly: {share(sum(abs(r.above) < 1e-9 for r in proven), len(proven))}",
    ]
    large = [r for r in proven if r.known.steps > 60]
    lines.append(f"  above 60 steps: {share(sum(r.equal for r in large), len(large))}")
    worst = max(rows, key=lambda r: r.above)
    lines += [
        f"worst miss: {100 * worst.above:.2f} % (seed {worst.known.seed})",
        f"proven by the planner's own bound: {share(len(tight), len(rows))}",
        f"undecided: {share(sum(r.fits is None for r in rows), len(rows))}",
        f"wrong: {[r.known.seed for r in rows if r.wrong] or 'none'}",
        f"replanning: median {1000 * at((r.seconds for r in rows), 0.5):.0f} ms, "
        f"p95 {1000 * at((r.seconds for r in rows), 0.95):.0f} ms, "
        f"worst {1000 * max(r.seconds for r in rows):.0f} ms",
    ]
    lines += [
        f"unproven seed {r.known.seed}: {100 * (r.peak / float(r.known.bound) - 1):.2f} % above "
        f"the solver's bound, {100 * r.above:.2f} % above its best"
        for r in rest
    ]
    return lines


def main(arguments: Sequence[str]) -> int:
    """Plan, compare, print; 1 where anything is wrong."""
    named = [int(word) for word in arguments if word.isdigit()]
    rows = [measured(seed) for seed in named or sorted(results())]
    if "--list" in arguments:
        for r in sorted((r for r in rows if not r.equal), key=lambda r: -r.above):
            print(
                f"seed {r.known.seed}: {r.known.steps} steps, optimum "
                f"{float(r.known.optimum):.4f}, peak {r.peak:.4f}, {100 * r.above:.2f} % above, "
                f"{1000 * r.seconds:.0f} ms"
            )
    print("\n".join(report(rows)))
    return int(any(r.wrong for r in rows))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
