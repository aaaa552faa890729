"""The recorder behind every outside check: it records what was measured, then asserts.

`cringle verify` runs this folder with ``--outside-record FILE`` and turns the record into a table.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Literal

import numpy as np
import pytest

Kind = Literal["evidence", "arithmetic", "simulation", "practice"]
RECORD: list[dict[str, object]] = []


@dataclass(frozen=True)
class Row:
    """One outside check as it came out."""

    id: str
    what: str
    got: str
    expected: str
    tolerance: str
    source: str
    kind: Kind
    from_memory: bool
    passed: bool
    test: str
    missed: bool = False


def _range(low: float, high: float) -> str:
    if np.isinf(low):
        return f"at most {high:g}"
    return f"at least {low:g}" if np.isinf(high) else f"{low:g} to {high:g}"


def _text(value: object) -> str:
    if isinstance(value, str | bool):
        return str(value)
    array = np.asarray(value, dtype=float)
    if array.size > 6:
        return f"{array.size} values, {array.min():.6g} to {array.max():.6g}"
    return ", ".join(f"{x:.6g}" for x in np.atleast_1d(array).ravel())


class Outside:
    """Records one check after another for the test that asked for it."""

    def __init__(self, test: str) -> None:
        self.test = test

    def _keep(self, row: Row) -> None:
        RECORD.append(asdict(row))
        assert row.passed, (
            f"{row.id} {row.what}: got {row.got}, expected {row.expected} ({row.tolerance}); {row.source}"
        )

    def close(
        self,
        *,
        id: str,
        what: str,
        got: object,
        expected: object,
        source: str,
        kind: Kind = "evidence",
        rtol: float = 0.0,
        atol: float = 0.0,
        memory: bool = False,
    ) -> None:
        """Check that numbers agree within a relative and an absolute tolerance."""
        ok = bool(np.allclose(np.asarray(got, float), np.asarray(expected, float), rtol=rtol, atol=atol))
        bits = [f"{100 * rtol:g} %" if rtol else "", f"{atol:g}" if atol else ""]
        tolerance = " + ".join(b for b in bits if b) or "exact"
        self._keep(Row(id, what, _text(got), _text(expected), tolerance, source, kind, memory, ok, self.test))

    def within(
        self,
        *,
        id: str,
        what: str,
        got: object,
        low: float,
        high: float,
        source: str,
        kind: Kind = "evidence",
        memory: bool = False,
    ) -> None:
        """Check that numbers lie in a range."""
        array = np.asarray(got, float)
        ok = bool(np.all((array >= low) & (array <= high)))
        self._keep(Row(id, what, _text(got), _range(low, high), "range", source, kind, memory, ok, self.test))

    def missed(
        self,
        *,
        id: str,
        what: str,
        got: object,
        low: float,
        high: float,
        held: tuple[float, float],
        source: str,
        memory: bool = False,
    ) -> None:
        """Record a fact of the trade that is not met; `held` pins what is computed instead.

        Fails when the fact is met, so that the row becomes a check, and when the computed numbers move.
        """
        array = np.asarray(got, float)
        is_met = bool(np.all((array >= low) & (array <= high)))
        RECORD.append(
            asdict(
                Row(
                    id, what, _text(got), _range(low, high), "range", source, "practice", memory, is_met,
                    self.test, missed=not is_met,
                )
            )
        )  # fmt: skip
        assert not is_met, f"{id} {what}: met now, got {_text(got)}; make it a check with `within`"
        assert np.all((array >= held[0]) & (array <= held[1])), f"{id} {what}: moved to {_text(got)}"

    def true(
        self,
        *,
        id: str,
        what: str,
        ok: bool,
        got: str,
        source: str,
        kind: Kind = "evidence",
        memory: bool = False,
    ) -> None:
        """Check a yes-or-no fact."""
        self._keep(Row(id, what, got, "holds", "yes or no", source, kind, memory, bool(ok), self.test))


@pytest.fixture
def outside(request: pytest.FixtureRequest) -> Outside:
    """Return the recorder of this test."""
    return Outside(request.node.nodeid)


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the option that `cringle verify` uses."""
    parser.addoption(
        "--outside-record", default=None, help="write the record of all outside checks to this file"
    )


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Write the record when asked."""
    target = session.config.getoption("--outside-record", default=None)
    if target:
        Path(target).write_text(json.dumps(RECORD, indent=1), encoding="utf-8")
