"""Heel and the heel to keep, second by second, from the rows of the ledger."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np

from cringle.track.frozen_polar import FrozenPolar
from cringle.track.heel.discipline import HeelRows
from cringle.track.ledger.ledger import RUN, UPWIND, LedgerRows, code
from cringle.track.sliding import mean_around
from cringle.track.turns.manoeuvre import KINDS

CALLED_S: Final = 60
"""The heel to keep goes by the mean wind of a minute: nobody calls a new target in every gust [s]."""


def heel_rows(rows: LedgerRows, polar: FrozenPolar, targets_deg: Mapping[str, float]) -> HeelRows:
    """Return heel and the heel to keep; manoeuvres are left out, and reaches have no target.

    Parameters
    ----------
    rows : LedgerRows
        What was sailed.
    polar : FrozenPolar
        Targets of the boat.
    targets_deg : mapping
        ``upwind`` or ``downwind`` to the heel to keep, going before the polar's.
    """
    called = mean_around(rows.wind_kn, CALLED_S)
    up, run = (polar.target(called, upwind=one).heel_deg for one in (True, False))
    up = np.full_like(up, targets_deg["upwind"]) if "upwind" in targets_deg else up
    run = np.full_like(run, targets_deg["downwind"]) if "downwind" in targets_deg else run
    target = np.where(rows.kind == UPWIND, up, np.where(rows.kind == RUN, run, np.nan))
    turning = np.isin(rows.charge, [code(kind) for kind in KINDS])
    return HeelRows(np.where(turning, np.nan, rows.heel_deg), target, rows.wind_kn, rows.kind, rows.leg)
