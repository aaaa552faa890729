"""What is true about a simulated boat: her manoeuvres, wind, legs, heel and where her time went."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.simulator.options import SimOptions

Array = NDArray[np.float64]

SCHEMA: Final = 1
SERIES_STEP_S: Final = 5
"""The truth file has the wind every so many seconds."""


@dataclass(frozen=True)
class TrueManoeuvre:
    """When the wind crossed (UTC), ``tack`` or ``gybe``, metres lost against sailing on."""

    time: datetime
    kind: str
    metres_lost: float


@dataclass(frozen=True)
class TrueHandling:
    """When the boat was at the mark (UTC), ``set`` or ``drop``, metres lost against sailing on."""

    time: datetime
    kind: str
    metres_lost: float


@dataclass(frozen=True)
class TrueLeg:
    """``up``, ``run`` or ``reach``; first and last second (UTC); the mark at its end."""

    kind: str
    start: datetime
    end: datetime
    mark: str


@dataclass(frozen=True)
class BoatTruth:
    """Everything true about one simulated boat, one row a second.

    Parameters
    ----------
    name : str
        Of the boat.
    start : datetime
        UTC of row 0.
    twd_deg, tws_kn : array, shape (n,)
        True wind at the boat.
    twa_deg : array, shape (n,)
        Of the course through the water, in (-180, 180], starboard positive.
    speed_kn : array, shape (n,)
        Through the water.
    heel_deg : array, shape (n,)
        To leeward positive; NaN in manoeuvres never.
    right_m, up_m : array, shape (n,)
        Metres from the start line, across and along the mean wind.
    manoeuvres, legs : tuple
        Of the whole log; legs of the race only.
    gun : datetime
        The start.
    starts : tuple of datetime
        All starts, recalled ones too.
    finished : bool
        Whether she got to the finish.
    heel_bias_deg : float
        Heel above the target upwind, as injected.
    ledger_s : dict
        Cause to seconds.
    handlings : tuple of TrueHandling
        Sets and drops of the kite.
    """

    name: str
    start: datetime
    twd_deg: Array
    tws_kn: Array
    twa_deg: Array
    speed_kn: Array
    heel_deg: Array
    right_m: Array
    up_m: Array
    manoeuvres: tuple[TrueManoeuvre, ...]
    legs: tuple[TrueLeg, ...]
    gun: datetime
    starts: tuple[datetime, ...]
    finished: bool
    heel_bias_deg: float
    ledger_s: dict[str, float]
    handlings: tuple[TrueHandling, ...] = ()

    def to_json(self, options: SimOptions, seed: int) -> dict[str, Any]:
        """Return the truth as plain values; the wind every `SERIES_STEP_S` seconds."""
        every = slice(None, None, SERIES_STEP_S)
        times = [
            (self.start + timedelta(seconds=row)).isoformat()
            for row in range(0, self.twd_deg.size, SERIES_STEP_S)
        ]
        return {
            "schema": SCHEMA,
            "boat": self.name,
            "seed": seed,
            "start": self.gun.isoformat(),
            "starts": [one.isoformat() for one in self.starts],
            "finished": self.finished,
            "manoeuvres": [
                {"kind": one.kind, "time": one.time.isoformat(), "metres_lost": round(one.metres_lost, 3)}
                for one in self.manoeuvres
            ],
            "kite": [
                {"kind": one.kind, "time": one.time.isoformat(), "metres_lost": round(one.metres_lost, 3)}
                for one in self.handlings
            ],
            "legs": [
                {
                    "kind": one.kind,
                    "start": one.start.isoformat(),
                    "end": one.end.isoformat(),
                    "mark": one.mark,
                }
                for one in self.legs
            ],
            "time": times,
            "twd_deg": [round(float(value), 2) for value in self.twd_deg[every]],
            "tws_kn": [round(float(value), 3) for value in self.tws_kn[every]],
            "ledger": {name: round(value, 3) for name, value in self.ledger_s.items()},
            "heel_bias_deg": round(self.heel_bias_deg, 3),
            "options": options.to_json(),
        }
