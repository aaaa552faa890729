"""Whether a solved frame can hold its place, and what moves when it cannot."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from cringle.errors import NotConvergedError
from cringle.physics.frame import Frame

Array = NDArray[np.float64]

_DIRECTIONS = ("fore and aft", "athwartships", "up and down", "in heel", "in pitch", "in twist")


def check_stable(frame: Frame, free: NDArray[np.int64], tangent: Array, tension: Array) -> None:
    """Raise when the tangent at equilibrium lets something move without resistance.

    Parameters
    ----------
    frame : Frame
        The structure.
    free : int array, shape (f,)
        Free directions, counted over all nodes.
    tangent : array, shape (f, f)
        Tangent stiffness of the free directions.
    tension : array, shape (w,)
        Wire tensions. [N]

    Raises
    ------
    NotConvergedError
        Names the place that moves, and whether it is a mechanism, buckling, or every wire slack.
    """
    symmetric = 0.5 * (tangent + tangent.T)
    scale = np.sqrt(np.maximum(np.diag(symmetric), 1e-12 * np.max(np.diag(symmetric))))
    scaled = symmetric / scale[:, None] / scale[None, :]
    try:
        if np.min(np.diag(np.linalg.cholesky(scaled))) > 1e-6:
            return
    except np.linalg.LinAlgError:
        pass
    values, vectors = np.linalg.eigh(scaled)
    mode = np.abs(vectors[:, 0] / scale)
    mode[free % 6 >= 3] *= 0.1
    place = free[int(np.argmax(mode))]
    where = f"{frame.names[place // 6]} moves {_DIRECTIONS[place % 6]} without resistance"
    slack = int(np.sum(tension <= 0.0))
    cause = "a mechanism" if abs(values[0]) < 1e-9 else "an unstable rig: the mast buckles or topples"
    if slack == len(tension):
        cause = "every wire is slack"
    raise NotConvergedError(
        f"no stable equilibrium ({cause}): {where}; {slack} of {len(tension)} wires are slack",
        next_step="shorten the slack wires; check mast step, chainplates and the direction of the loads",
    )
