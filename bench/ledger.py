"""The time ledger against the truth of simulated races, by the two commands as a person runs them.

``python -m bench.ledger --seeds 10`` prints the table of ``docs/models/ledger.md``; two boats a seed.
"""

from __future__ import annotations

import argparse
import json
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
from typer.testing import CliRunner

from cringle.cli.main import app

PARTS: Final = ("heel", "angle", "trim", "tack", "gybe", "set", "drop")
OF_TOTAL, OF_PART, LEAST_S = 0.03, 0.15, 3.0
BOATS: Final = 2
FIRST, SEEDS = 900, 3


@dataclass(frozen=True)
class Kind:
    """One kind of log: its name, options of the simulator, and whether it comes with heel."""

    name: str
    options: tuple[str, ...] = ()
    ending: str = "nmea"
    has_heel: bool = True


KINDS: Final = (
    Kind("as it comes (NMEA)"),
    Kind("as it comes (GPX)", ("--format", "gpx"), "gpx"),
    Kind("6 kn", ("--wind", "6")),
    Kind("15 kn", ("--wind", "15")),
    Kind("a tenth of the time without fixes", ("--dropped", "0.1")),
    Kind("no heel sensor (its part apart)", ("--no-heel",), has_heel=False),
    Kind("positions and a wind record", ("--no-instruments",)),
    Kind("positions only, wind inferred", ("--no-instruments", "--no-wind-record")),
)


@dataclass(frozen=True)
class Judged:
    """What came of one kind: error of each total as a share, parts judged, and those off too far."""

    kind: Kind
    off: tuple[float, ...]
    parts: int
    beyond: tuple[str, ...]

    @property
    def within(self) -> int:
        """Boats whose total is as near as asked."""
        return sum(abs(one) <= OF_TOTAL for one in self.off)

    @property
    def rms(self) -> float:
        """Root mean square of the totals' errors."""
        return float(np.sqrt(np.mean(np.square(self.off))))


def judge(kind: Kind, seeds: range) -> Judged:
    """Simulate, debrief and compare part by part."""
    off: list[float] = []
    beyond: list[str] = []
    wanted = [one for one in PARTS if kind.has_heel or one != "heel"]
    for mine, true in (pair for seed in seeds for pair in _raced(kind, seed)):
        off.append(mine["total"] / true["total"] - 1.0)
        beyond += [
            one for one in wanted if abs(mine[one] - true[one]) > max(LEAST_S, OF_PART * abs(true[one]))
        ]
    return Judged(kind, tuple(off), len(off) * len(wanted), tuple(beyond))


def _raced(kind: Kind, seed: int) -> Iterator[tuple[dict[str, float], dict[str, float]]]:
    with tempfile.TemporaryDirectory() as name:
        options = ("--seed", str(seed), "--boats", str(BOATS), "--out", name, *kind.options)
        _ran("log", "simulate", *options)
        for log in sorted(Path(name).glob(f"*.{kind.ending}")):
            truth = json.loads((log.parent / f"{log.stem}.truth.json").read_text(encoding="utf-8"))
            yield _ran("log", "debrief", str(log))["ledger"], truth["ledger"]


def _ran(*words: str) -> Any:
    done = CliRunner().invoke(app, [*words, "--json"])
    if done.exit_code != 0:
        raise SystemExit(done.output)
    return json.loads(done.stdout)


def rows() -> list[dict[str, object]]:
    """Return the share of totals within 3 % and of parts within 15 % or 3 s, for logs as they come."""
    return [row for kind in KINDS[:2] for row in _rows(judge(kind, range(FIRST, FIRST + SEEDS)))]


def _rows(found: Judged) -> Iterator[dict[str, object]]:
    shares = {
        f"{found.kind.name}: totals within 3 %, of {len(found.off)}": found.within / len(found.off),
        f"{found.kind.name}: parts within 15 % or 3 s, of {found.parts}": 1.0
        - len(found.beyond) / found.parts,
    }
    for name, share in shares.items():
        yield {
            "name": name,
            "ours": 100.0 * share,
            "theirs": None,
            "ratio": None,
            "unit": "%",
            "target": 100.0,
            "ok": share == 1.0,
        }


def main() -> None:
    """Print the table for the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--first", type=int, default=FIRST)
    parser.add_argument("--seeds", type=int, default=SEEDS)
    asked = parser.parse_args()
    print("| log | boats | total, root mean square | total within 3 % | parts beyond 15 % and 3 s |")
    print("|---|---|---|---|---|")
    for kind in KINDS:
        found = judge(kind, range(asked.first, asked.first + asked.seeds))
        which = f" ({', '.join(sorted(set(found.beyond)))})" if found.beyond else ""
        share = f"{len(found.beyond) or 'none'}{which} of {found.parts}"
        print(f"| {kind.name} | {len(found.off)} | {100 * found.rms:.1f} % | {found.within} | {share} |")


if __name__ == "__main__":
    main()
