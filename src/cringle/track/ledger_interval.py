"""How sure the ledger is: the split again and again with wind, heel and target off by what they may be."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from cringle.track.ledger import PARTS, Baseline, LedgerRows, Split, split
from cringle.units import wrap_signed_degrees

DRAWS: Final = 48
LOW_PERCENT, HIGH_PERCENT = 5.0, 95.0
"""The interval holds nine tenths of the draws."""

LEAST_S: Final = 1.0
"""A part below a second is not worth a line [s]."""

PARTS_OF_TOTAL: Final = "total"


@dataclass(frozen=True)
class Doubt:
    """Standard deviations of what the ledger rests on, each as one error that lasts the whole log.

    Parameters
    ----------
    wind_from_deg : float
        Direction of the true wind.
    wind_share : float
        Strength of the true wind, as a share.
    heel_deg : float
        Zero of the heel sensor.
    target_share : float
        Speed of the baseline, as a share.
    """

    wind_from_deg: float = 2.0
    wind_share: float = 0.05
    heel_deg: float = 1.0
    target_share: float = 0.02


WIND_SHARES: Final = {"instruments": 0.05, "file": 0.07, "entered": 0.10, "inferred": 0.15}
"""How well the strength of the wind is known, by where it comes from (judgement)."""

TARGET_SHARES: Final = {"model target": 0.03, "fitted target": 0.015, "own best tenth": 0.01}
"""How well a baseline is known: spread of the model, of a fit, of the boat's own (judgement)."""


@dataclass(frozen=True)
class LedgerPart:
    """One cause: seconds lost, the 90 % interval, and whether it is larger than its own uncertainty."""

    name: str
    seconds: float
    low: float
    high: float

    @property
    def told_apart(self) -> bool:
        """Whether the seconds are more than half the width of their interval."""
        return abs(self.seconds) > max(0.5 * (self.high - self.low), LEAST_S)


@dataclass(frozen=True)
class Ledger:
    """The ledger of a log or of one leg; the parts add up to the total.

    Parameters
    ----------
    parts : tuple of LedgerPart
        In the order of `PARTS`.
    total : LedgerPart
        Their sum.
    baseline : str
        What it is held against.
    sailed_s : float
        Time on the legs.
    heel_known : bool
        Without heel its part is 0 and means nothing.
    """

    parts: tuple[LedgerPart, ...]
    total: LedgerPart
    baseline: str
    sailed_s: float
    heel_known: bool

    @property
    def shown(self) -> tuple[LedgerPart, ...]:
        """Parts that can be told apart, the longest first."""
        return tuple(sorted((one for one in self.parts if one.told_apart), key=lambda one: -one.seconds))

    @property
    def withheld_s(self) -> float:
        """Seconds in parts smaller than their own interval."""
        return sum(one.seconds for one in self.parts if not one.told_apart)

    @property
    def withheld(self) -> tuple[str, ...]:
        """Names of the parts that are withheld and not exactly nothing."""
        return tuple(one.name for one in self.parts if not one.told_apart and one.seconds != 0.0)

    def part(self, name: str) -> LedgerPart:
        """Return a part by its name."""
        return next(one for one in self.parts if one.name == name)

    def to_json(self) -> dict[str, float]:
        """Return part to seconds, and the total."""
        return {**{one.name: one.seconds for one in self.parts}, PARTS_OF_TOTAL: self.total.seconds}


def draws_of(
    rows: LedgerRows, baseline: Baseline, doubt: Doubt, *, seed: int = 1, count: int = DRAWS
) -> tuple[Split, ...]:
    """Return the split of rows under wind, heel and target drawn from what they may be."""
    rng = np.random.default_rng(seed)
    turns, shares, heels, targets = rng.standard_normal((4, count))
    return tuple(
        split(
            replace(
                rows,
                wind_kn=rows.wind_kn * max(1.0 + doubt.wind_share * share, 0.2),
                angle_deg=wrap_signed_degrees(rows.angle_deg + doubt.wind_from_deg * turn),
                heel_deg=rows.heel_deg + doubt.heel_deg * heel,
            ),
            replace(
                baseline,
                up_factor=baseline.up_factor * max(1.0 + doubt.target_share * target, 0.2),
                run_factor=baseline.run_factor * max(1.0 + doubt.target_share * target, 0.2),
            ),
        )
        for turn, share, heel, target in zip(turns, shares, heels, targets, strict=True)
    )


def ledger_of(
    best: Split, draws: tuple[Split, ...], *, rows: LedgerRows, baseline: str, leg: int | None = None
) -> Ledger:
    """Return the ledger of the whole race, or of one leg, with an interval for each part.

    Parameters
    ----------
    best : Split
        The best values.
    draws : tuple of Split
        From `draws_of`.
    rows : LedgerRows
        What was sailed.
    baseline : str
        Name of the baseline.
    leg : int, optional
        Number of the leg; the whole race without it.
    """
    inside = best.leg >= 0 if leg is None else best.leg == leg
    centre = best.seconds[:, inside].sum(axis=1)
    spread = np.stack([one.seconds[:, inside].sum(axis=1) for one in draws])
    low, high = np.percentile(spread, [LOW_PERCENT, HIGH_PERCENT], axis=0)
    totals = spread.sum(axis=1)
    total_low, total_high = np.percentile(totals, [LOW_PERCENT, HIGH_PERCENT])
    total = float(centre.sum())
    return Ledger(
        parts=tuple(
            LedgerPart(name, float(value), float(min(a, value)), float(max(b, value)))
            for name, value, a, b in zip(PARTS, centre, low, high, strict=True)
        ),
        total=LedgerPart(PARTS_OF_TOTAL, total, float(min(total_low, total)), float(max(total_high, total))),
        baseline=baseline,
        sailed_s=float(inside.sum()) * rows.step_s,
        heel_known=bool(np.isfinite(rows.heel_deg[inside]).mean() > 0.5) if inside.any() else False,
    )
