"""Equilibrium of a frame at large displacements, by Newton's method.

Wires go slack and come back by themselves, because every evaluation starts from their present length. Rigging
screws change unstressed lengths.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError, NotConvergedError
from cringle.physics.beam_element import beam_state
from cringle.physics.frame import Equilibrium, Frame, across_load, chords
from cringle.physics.frame_stability import check_stable
from cringle.physics.rotation import rotation_matrix, rotation_vector
from cringle.physics.wire_element import chord_tension, chord_tension_slopes

Array = NDArray[np.float64]

_ITERATIONS = 60
_PLAIN_ITERATIONS = 14
_HALVINGS = 10
_ATTEMPTS = ((1, False), (4, False), (16, False), (1, True), (4, True))
"""Load steps, and whether steps are halved until the residual falls: plain first, because a mast moving
sideways stretches its wires to second order, which a falling residual would forbid."""


@dataclass(frozen=True)
class _Evaluation:
    residual: Array
    tangent: Array
    tension: Array
    beam_force: Array
    axial_force: Array


def _degrees_of_freedom(start: NDArray[np.int64], end: NDArray[np.int64]) -> NDArray[np.int64]:
    six = np.arange(6)
    return np.concatenate([start[:, None] * 6 + six, end[:, None] * 6 + six], axis=1)


def _wire_force(frame: Frame, position: Array, unstressed: Array, load: Array) -> tuple[Array, Array, Array]:
    """Return end forces (w, 6), tangents (w, 6, 6) and tensions of all wires."""
    wires = frame.wires
    length, along = chords(frame, position)
    tension = chord_tension(length, unstressed, wires.stiffness, load)
    by_chord, _ = chord_tension_slopes(
        length, unstressed, stiffness=wires.stiffness, load=load, tension=tension
    )
    pull = tension[:, None] * along
    outer = along[:, :, None] * along[:, None, :]
    block = (by_chord - tension / length)[:, None, None] * outer
    block += (tension / length)[:, None, None] * np.eye(3)
    tangent = np.concatenate(
        [np.concatenate([block, -block], axis=2), np.concatenate([-block, block], axis=2)], axis=1
    )
    return np.concatenate([-pull, pull], axis=1), tangent, tension


State = tuple[Array, Array]
"""Node positions and rotations."""

Stop = tuple[Array, Array, _Evaluation, int]
"""Where Newton's method stopped, what was found there, and after how many steps."""


class _Assembly:
    """Index tables and loads of one problem, made once and used in every step."""

    def __init__(self, frame: Frame, unstressed: Array, forces: Array) -> None:
        self.frame, self.unstressed = frame, unstressed
        self.count = 6 * len(frame.nodes)
        self.load = across_load(frame)
        self.free = np.flatnonzero(~frame.fixed.ravel())
        self.beam_dof = _degrees_of_freedom(frame.beams.start, frame.beams.end)
        wire_dof = _degrees_of_freedom(frame.wires.start, frame.wires.end)
        self.wire_dof = wire_dof[:, [0, 1, 2, 6, 7, 8]]
        self.applied = forces.ravel() + self._side_loads()
        self.springs = np.zeros(self.count) if frame.springs is None else frame.springs.ravel()
        self.flat = np.concatenate(
            [
                (dof[:, :, None] * self.count + dof[:, None, :]).ravel()
                for dof in (self.beam_dof, self.wire_dof)
            ]
        )
        held = frame.fixed[:, 3:]
        self.partly = np.flatnonzero(held.any(axis=1) & ~held.all(axis=1))
        self.rows = np.concatenate([self.beam_dof.ravel(), self.wire_dof.ravel()])

    def _side_loads(self) -> Array:
        wires = self.frame.wires
        half = 0.5 * wires.side_load * chords(self.frame, self.frame.nodes)[0][:, None]
        total = np.zeros((len(self.frame.nodes), 6))
        np.add.at(total[:, :3], wires.start, half)
        np.add.at(total[:, :3], wires.end, half)
        return total.ravel()

    def moved(self, state: State, step: Array, factor: float) -> State:
        """Return a state after a share of a step."""
        full = np.zeros(self.count)
        full[self.free] = factor * step
        move = full.reshape(-1, 6)
        return state[0] + move[:, :3], self.held(rotation_matrix(move[:, 3:]) @ state[1])

    def held(self, rotation: Array) -> Array:
        """Return rotations with held components taken out again.

        Small turns about two free axes add up to one about the held third; without this a mast step that
        holds twist would creep round, and the answer would depend on the way taken to it.
        """
        if len(self.partly):
            vector = rotation_vector(rotation[self.partly])
            rotation[self.partly] = rotation_matrix(np.where(self.frame.fixed[self.partly, 3:], 0.0, vector))
        return rotation

    def evaluate(self, position: Array, rotation: Array, share: float) -> _Evaluation:
        """Return residual (internal minus applied) and tangent at a state, all directions."""
        frame = self.frame
        beam = beam_state(frame.beams, frame.lengths, frame.axes, position, rotation)
        pull, stiffness, tension = _wire_force(frame, position, self.unstressed, share * self.load)
        values = np.concatenate([beam.tangent.ravel(), stiffness.ravel()])
        shape = (self.count, self.count)
        tangent: Array = np.bincount(self.flat, values, self.count**2).astype(np.float64).reshape(shape)
        inner = np.bincount(self.rows, np.concatenate([beam.force.ravel(), pull.ravel()]), self.count)
        if np.any(self.springs):
            moved = np.concatenate([position - frame.nodes, _small_rotation(rotation)], axis=1).ravel()
            inner = inner + self.springs * moved
            tangent[np.diag_indices(self.count)] += self.springs
        return _Evaluation(inner - share * self.applied, tangent, tension, beam.force, beam.axial_force)


def _small_rotation(rotation: Array) -> Array:
    """Return the axial part of the rotations: small-angle rotation vectors for elastic supports."""
    return 0.5 * np.stack(
        [
            rotation[:, 2, 1] - rotation[:, 1, 2],
            rotation[:, 0, 2] - rotation[:, 2, 0],
            rotation[:, 1, 0] - rotation[:, 0, 1],
        ],
        axis=1,
    )


def solve(
    frame: Frame,
    unstressed: Array,
    forces: Array,
    *,
    start: Equilibrium | None = None,
    tolerance: float = 1e-9,
) -> Equilibrium:
    """Return the equilibrium of a frame.

    Parameters
    ----------
    frame : Frame
        The structure.
    unstressed : array, shape (w,)
        Unstressed wire lengths. [m]
    forces : array, shape (n, 6)
        Loads on the nodes. [N, N m]
    start : Equilibrium, optional
        A nearby solved state to begin from.
    tolerance : float
        Largest residual over the largest wire force or load.

    Returns
    -------
    Equilibrium
        A stable state.

    Raises
    ------
    InputError
        A wire has no length.
    NotConvergedError
        A mechanism, a buckled or a slack rig; the message names the place that moves.
    """
    _check_lengths(frame, unstressed)
    assembly = _Assembly(frame, unstressed, forces)
    reason: NotConvergedError | None = None
    for steps, careful in _ATTEMPTS:
        try:
            return _march(assembly, steps, start, careful=careful, tolerance=tolerance)
        except NotConvergedError as error:
            reason, start = error, None
    raise reason if reason is not None else NotConvergedError("no equilibrium found")


def _check_lengths(frame: Frame, unstressed: Array) -> None:
    bad = np.flatnonzero(~(unstressed > 1e-6))
    if len(bad):
        ends = frame.names[frame.wires.start[bad[0]]], frame.names[frame.wires.end[bad[0]]]
        raise InputError(
            f"nothing is left of the wire from {ends[0]} to {ends[1]}",
            next_step="check its turns and its unstressed length",
        )


def _march(
    assembly: _Assembly, steps: int, start: Equilibrium | None, *, careful: bool, tolerance: float
) -> Equilibrium:
    """Raise the load in equal steps, each brought to equilibrium."""
    frame = assembly.frame
    position = frame.nodes.copy() if start is None else start.position
    rotation = np.tile(np.eye(3), (len(frame.nodes), 1, 1)) if start is None else start.rotation
    total = 0
    for step in range(1, steps + 1):
        last = step == steps
        newton = _careful_newton if careful else _plain_newton
        position, rotation, found, count = newton(
            assembly, (position, rotation), share=step / steps, tolerance=tolerance if last else 1e-4
        )
        total += count
    free = assembly.free
    tangent = found.tangent[np.ix_(free, free)]
    check_stable(frame, free, tangent, found.tension)
    reaction = np.where(frame.fixed.ravel(), found.residual, 0.0).reshape(-1, 6)
    return Equilibrium(
        position,
        rotation,
        found.tension,
        found.beam_force,
        found.axial_force,
        tangent,
        reaction,
        total,
        assembly.unstressed,
    )


def _plain_newton(assembly: _Assembly, state: State, *, share: float, tolerance: float) -> Stop:
    """Return the state where the residual vanishes, by whole Newton steps."""
    free = assembly.free
    position, rotation = state
    for iteration in range(_PLAIN_ITERATIONS):
        found = assembly.evaluate(position, rotation, share)
        residual = found.residual[free]
        if not np.all(np.isfinite(residual)):
            break
        if np.max(np.abs(residual), initial=0.0) <= _allowed(assembly, found, tolerance):
            return position, rotation, found, iteration
        step = _direction(found.tangent[np.ix_(free, free)], residual)
        position, rotation = assembly.moved((position, rotation), step, 1.0)
    raise NotConvergedError("whole steps do not settle")


def _careful_newton(assembly: _Assembly, state: State, *, share: float, tolerance: float) -> Stop:
    """Return the state where the residual vanishes, by Newton's method with step halving."""
    free = assembly.free
    position, rotation = state
    found = assembly.evaluate(position, rotation, share)
    for iteration in range(_ITERATIONS):
        residual = found.residual[free]
        if np.max(np.abs(residual), initial=0.0) <= _allowed(assembly, found, tolerance):
            return position, rotation, found, iteration
        step = _direction(found.tangent[np.ix_(free, free)], residual)
        position, rotation, found = _take_step(assembly, (position, rotation), step, share, residual)
    raise NotConvergedError(
        f"the rig found no equilibrium in {_ITERATIONS} steps",
        next_step="the mast may buckle or fall under these loads: check tensions, wire lengths and turns",
    )


def _allowed(assembly: _Assembly, found: _Evaluation, tolerance: float) -> float:
    """Return the residual that counts as zero: a share of the loads, or what rounding of positions leaves."""
    scale = max(1.0, float(np.max(np.abs(assembly.applied))), float(np.max(found.tension, initial=0.0)))
    reach = float(np.max(np.abs(assembly.frame.nodes)))
    rounding = 4.0 * np.finfo(np.float64).eps * reach * float(np.max(np.abs(np.diag(found.tangent))))
    return tolerance * scale + rounding


def _direction(tangent: Array, residual: Array) -> Array:
    """Return the Newton step, held small where the tangent is nearly singular."""
    try:
        step = np.linalg.solve(tangent, -residual)
    except np.linalg.LinAlgError:
        lift = 1e-8 * float(np.max(np.abs(np.diag(tangent))))
        step = np.linalg.solve(tangent + lift * np.eye(len(tangent)), -residual)
    largest = float(np.max(np.abs(step), initial=0.0))
    return np.asarray(step if largest <= 0.5 else step * (0.5 / largest), dtype=np.float64)


def _take_step(
    assembly: _Assembly, state: tuple[Array, Array], step: Array, share: float, residual: Array
) -> tuple[Array, Array, _Evaluation]:
    """Return the state after a step, halved until the residual stops growing."""
    size = float(np.linalg.norm(residual))
    best: tuple[float, tuple[Array, Array, _Evaluation]] | None = None
    factor = 1.0
    for _ in range(_HALVINGS):
        position, rotation = assembly.moved(state, step, factor)
        found = assembly.evaluate(position, rotation, share)
        now = float(np.linalg.norm(found.residual[assembly.free]))
        if best is None or now < best[0]:
            best = (now, (position, rotation, found))
        if now < size * (1.0 - 1e-3 * factor):
            break
        factor *= 0.5
    return best[1] if best is not None else (state[0], state[1], assembly.evaluate(*state, share))
