"""How sure the ledger is: the split again and again with wind, heel and target off by what they may be."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.ledger.ledger import PARTS, SAILED, Baseline, LedgerRows, Split, split
from cringle.units import wrap_signed_degrees

Array = NDArray[np.float64]

DRAWS: Final = 48
HELD_PERCENT: Final = 90.0
SIGMAS_HELD: Final = 1.645
"""The interval holds nine tenths of the draws: so many standard deviations of a normal error."""

LASTING_SHARE: Final = 1.0 / 3.0
BOTH_SIDES_SHARE: Final = 1.0 / 6.0
"""Of what the wind's direction is off by at a moment, so much lasts the whole log: it shows as unequal angles
on the two sides, and is mended. So much makes the angles too wide, or too narrow, on both (judgement; on
simulated races 0.1 deg with instruments and 0.5 deg without)."""

ANGLE_OF_TARGET_DEG: Final = 33.0
HEEL_OF_TARGET_DEG: Final = 50.0
"""A baseline off by a share of its speed may be off in angle and heel too: by 1 deg and 1.5 deg for
3 % (judgement: so much the ensemble's members differ)."""

WINDOW_SD_S: Final = 2.0
"""The rows of a manoeuvre, set or drop are known to about two seconds (measured on simulated races)."""

LEAST_S: Final = 1.0
"""A part below a second is not worth a line [s]."""

PARTS_OF_TOTAL: Final = "total"


@dataclass(frozen=True)
class Doubt:
    """Standard deviations of what the ledger rests on, each as one error that lasts the whole log.

    Parameters
    ----------
    wind_from_deg : float
        Direction of the true wind at a moment; `LASTING_SHARE` and `BOTH_SIDES_SHARE` of it last.
    wind_share : float
        Strength of the true wind, as a share.
    heel_deg : float
        Zero of the heel sensor.
    target_share : float
        Speed of the baseline, as a share; its angle and heel are doubted in proportion.
    """

    wind_from_deg: float = 2.0
    wind_share: float = 0.05
    heel_deg: float = 1.0
    target_share: float = 0.02


WIND_SHARES: Final = {"instruments": 0.05, "file": 0.07, "entered": 0.10, "inferred": 0.12}
"""How well the strength of the wind is known, by where it comes from (judgement)."""

HEEL_SDS_DEG: Final = {"instruments": 1.0, "file": 1.0, "entered": 2.0, "inferred": 2.5}
"""Zero of the heel sensor; where gusts are not seen the heel to keep in them is not known either. By where
the wind's strength comes from [deg] (judgement)."""

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
    """Return the split of rows under wind, heel and target drawn from what they may be.

    Notes
    -----
    Every draw comes with its opposite, so that errors to both sides are seen alike often.
    """
    rng = np.random.default_rng(seed)
    drawn = rng.standard_normal((5, (count + 1) // 2))
    turns, wides, shares, heels, targets = np.concatenate((drawn, -drawn), axis=1)[:, :count]
    turns = doubt.wind_from_deg * LASTING_SHARE * turns
    wides = wides * np.hypot(doubt.wind_from_deg * BOTH_SIDES_SHARE, ANGLE_OF_TARGET_DEG * doubt.target_share)
    heels = heels * np.hypot(doubt.heel_deg, HEEL_OF_TARGET_DEG * doubt.target_share)
    side = np.sign(rows.angle_deg)
    return tuple(
        split(
            replace(
                rows,
                wind_kn=rows.wind_kn * max(1.0 + doubt.wind_share * share, 0.2),
                angle_deg=wrap_signed_degrees(rows.angle_deg + turn + wide * side),
                heel_deg=rows.heel_deg + heel,
            ),
            replace(
                baseline,
                up_factor=baseline.up_factor * max(1.0 + doubt.target_share * target, 0.2),
                run_factor=baseline.run_factor * max(1.0 + doubt.target_share * target, 0.2),
            ),
        )
        for turn, wide, share, heel, target in zip(turns, wides, shares, heels, targets, strict=True)
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
    half = np.hypot(_half(spread - centre), SIGMAS_HELD * _window_sd(best, rows, inside))
    total = float(centre.sum())
    total_half = float(_half((spread.sum(axis=1) - total)[:, None])[0])
    return Ledger(
        parts=tuple(
            LedgerPart(name, float(value), float(value - wide), float(value + wide))
            for name, value, wide in zip(PARTS, centre, half, strict=True)
        ),
        total=LedgerPart(PARTS_OF_TOTAL, total, total - total_half, total + total_half),
        baseline=baseline,
        sailed_s=float(inside.sum()) * rows.step_s,
        heel_known=bool(np.isfinite(rows.heel_deg[inside]).mean() > 0.5) if inside.any() else False,
    )


def _half(errors: Array) -> Array:
    """Return half the width of the interval of each column: nine tenths of the draws lie so near.

    Notes
    -----
    The same to both sides. An error only ever adds to some parts (a bend of the polar costs on either side of
    its top), so the best value may hold such an addition already, and the truth may as well be below it.
    """
    return np.asarray(np.percentile(np.abs(errors), HELD_PERCENT, axis=0))


def _window_sd(best: Split, rows: LedgerRows, inside: NDArray[np.bool_]) -> Array:
    """Return what the ends of their windows make uncertain in parts charged whole, 0 for others [s]."""
    found = np.zeros(len(PARTS))
    for cause in np.unique(rows.charge[inside & (rows.charge != SAILED)]):
        taken = inside & (rows.charge == cause)
        windows = int((np.diff(taken.astype(np.int8), prepend=0) == 1).sum())
        rate = abs(float(best.seconds[cause, taken].sum())) / (float(taken.sum()) * rows.step_s)
        found[cause] = WINDOW_SD_S * rate * np.sqrt(windows)
    return found
