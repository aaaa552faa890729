"""What a frame of beam-columns and tension-only wires is, and what a solved state of it holds."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.physics.beam_element import Beams, element_axes
from cringle.physics.wire_element import Wires

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Frame:
    """The structure without loads.

    Parameters
    ----------
    nodes : array, shape (n, 3)
        Positions before any load. [m]
    beams : Beams
        Beam-column elements.
    wires : Wires
        Tension-only wires and their even side loads.
    fixed : bool array, shape (n, 6)
        Which displacements and rotations are held.
    names : tuple of str
        A name for every node, used in messages.
    springs : array, shape (n, 6) or None
        Stiffness of elastic supports to earth. [N/m, N m/rad]
    """

    nodes: Array
    beams: Beams
    wires: Wires
    fixed: NDArray[np.bool_]
    names: tuple[str, ...]
    springs: Array | None = None
    lengths: Array = field(init=False, repr=False)
    axes: Array = field(init=False, repr=False)

    def __post_init__(self) -> None:
        chord = self.nodes[self.beams.end] - self.nodes[self.beams.start]
        short = np.flatnonzero(np.linalg.norm(chord, axis=1) < 1e-9)
        if len(short):
            raise InputError(
                f"a beam at {self.names[self.beams.start[short[0]]]} has no length",
                next_step="give its two ends different places",
            )
        run = np.linalg.norm(self.nodes[self.wires.end] - self.nodes[self.wires.start], axis=1)
        short = np.flatnonzero(run < 1e-6)
        if len(short):
            ends = self.names[self.wires.start[short[0]]], self.names[self.wires.end[short[0]]]
            raise InputError(
                f"the wire from {ends[0]} to {ends[1]} has no length",
                next_step="give its two ends different places",
            )
        lengths, axes = element_axes(
            self.nodes[self.beams.start], self.nodes[self.beams.end], self.beams.side
        )
        object.__setattr__(self, "lengths", lengths)
        object.__setattr__(self, "axes", axes)


@dataclass(frozen=True)
class Equilibrium:
    """A solved state of a frame.

    Parameters
    ----------
    position : array, shape (n, 3)
        Node positions. [m]
    rotation : array, shape (n, 3, 3)
        Node rotations.
    tension : array, shape (w,)
        Wire tensions along their chords; 0 is slack. [N]
    beam_force : array, shape (b, 12)
        Forces and moments the elements put on their end nodes, as in `BeamState`.
    axial_force : array, shape (b,)
        Tension positive. [N]
    tangent : array, shape (f, f)
        Tangent stiffness of the free directions.
    reaction : array, shape (n, 6)
        What the supports give; zero at free directions. [N, N m]
    iterations : int
        Newton steps taken.
    unstressed : array, shape (w,)
        Unstressed wire lengths it was solved for. [m]
    """

    position: Array
    rotation: Array
    tension: Array
    beam_force: Array
    axial_force: Array
    tangent: Array
    reaction: Array
    iterations: int
    unstressed: Array


def chords(frame: Frame, position: Array) -> tuple[Array, Array]:
    """Return chord lengths [m] and unit vectors of all wires."""
    chord = position[frame.wires.end] - position[frame.wires.start]
    length = np.linalg.norm(chord, axis=1)
    return length, chord / length[:, None]


def across_load(frame: Frame) -> Array:
    """Return the size of each wire's side load across its first chord. [N/m]."""
    _, along = chords(frame, frame.nodes)
    load = frame.wires.side_load
    return np.asarray(np.linalg.norm(load - np.sum(load * along, axis=1)[:, None] * along, axis=1))
