"""How a solved frame answers small changes of wire length and load, from its own tangent."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from cringle.physics.frame import Equilibrium, Frame, across_load, chords
from cringle.physics.wire_element import chord_tension_slopes

Array = NDArray[np.float64]


def wire_shortening_sensitivity(frame: Frame, state: Equilibrium) -> tuple[Array, Array]:
    """Return how positions and tensions change when unstressed lengths change.

    Parameters
    ----------
    frame : Frame
        The structure.
    state : Equilibrium
        A solved state.

    Returns
    -------
    motion : array, shape (n, 6, w)
        Change of displacement and rotation a metre of longer unstressed wire. [-, rad/m]
    tension : array, shape (w, w)
        Change of tension (row) a metre of longer unstressed wire (column). [N/m]
    """
    wires = frame.wires
    load = across_load(frame)
    length, along = chords(frame, state.position)
    by_chord, by_unstressed = chord_tension_slopes(
        length, state.unstressed, stiffness=wires.stiffness, load=load, tension=state.tension
    )
    count = len(wires.start)
    pull = np.zeros((len(frame.nodes), 6, count))
    for wire in range(count):
        pull[wires.end[wire], :3, wire] += along[wire] * by_unstressed[wire]
        pull[wires.start[wire], :3, wire] -= along[wire] * by_unstressed[wire]
    free = np.flatnonzero(~frame.fixed.ravel())
    motion = np.zeros((6 * len(frame.nodes), count))
    motion[free] = np.linalg.solve(state.tangent, -pull.reshape(-1, count)[free])
    change = motion.reshape(-1, 6, count)
    relative = change[wires.end, :3] - change[wires.start, :3]
    tension = by_chord[:, None] * np.einsum("wi,wic->wc", along, relative)
    tension[np.diag_indices(count)] += by_unstressed
    return change, tension


def force_sensitivity(frame: Frame, state: Equilibrium, node: int, direction: Array) -> tuple[Array, Array]:
    """Return how positions and tensions change a newton of extra force at a node.

    Parameters
    ----------
    frame : Frame
        The structure.
    state : Equilibrium
        A solved state.
    node : int
        Node number.
    direction : array, shape (3,)
        Unit vector of the force.

    Returns
    -------
    motion : array, shape (n, 6)
        [m/N, rad/N]
    tension : array, shape (w,)
        [N/N]
    """
    load = np.zeros((len(frame.nodes), 6))
    load[node, :3] = direction
    free = np.flatnonzero(~frame.fixed.ravel())
    motion = np.zeros(6 * len(frame.nodes))
    motion[free] = np.linalg.solve(state.tangent, load.ravel()[free])
    change = motion.reshape(-1, 6)
    wires = frame.wires
    length, along = chords(frame, state.position)
    by_chord, _ = chord_tension_slopes(
        length, state.unstressed, stiffness=wires.stiffness, load=across_load(frame), tension=state.tension
    )
    relative = change[wires.end, :3] - change[wires.start, :3]
    return change, by_chord * np.sum(along * relative, axis=1)
