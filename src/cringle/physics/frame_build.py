"""Putting a frame together by the names of its points."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError
from cringle.physics.beam_element import Beams
from cringle.physics.frame import Frame
from cringle.physics.wire_element import Wires

Array = NDArray[np.float64]
Triple = tuple[float, float, float]

DIRECTIONS = {"x": 0, "y": 1, "z": 2, "turn_x": 3, "turn_y": 4, "turn_z": 5}
"""Names of the six directions of a node: displacements and rotations."""


@dataclass(frozen=True)
class Section:
    """A spar section.

    Parameters
    ----------
    modulus : float
        E. [Pa]
    area : float
        [m2]
    fore_aft, athwart : float
        Second moments for bending fore and aft and athwartships. [m4]
    torsion : float
        Torsion constant. [m4]
    shear_modulus : float or None
        G; E / 2.6 (a Poisson ratio of 0.3) when not given. [Pa]
    """

    modulus: float
    area: float
    fore_aft: float
    athwart: float
    torsion: float
    shear_modulus: float | None = None

    def __post_init__(self) -> None:
        if min(self.modulus, self.area, self.fore_aft, self.athwart, self.torsion) <= 0.0:
            raise InputError(
                "a spar section needs stiffness above zero", next_step="check E, A, I and J in class.toml"
            )

    def blend(self, other: Section, share: float) -> Section:
        """Return the section a share of the way to another one, for a taper."""
        pairs = zip(self._values(), other._values(), strict=True)
        return Section(*((1.0 - share) * one + share * two for one, two in pairs))

    def _values(self) -> tuple[float, float, float, float, float, float]:
        shear = self.modulus / 2.6 if self.shear_modulus is None else self.shear_modulus
        return self.modulus, self.area, self.fore_aft, self.athwart, self.torsion, shear

    def stiffness(self) -> tuple[float, float, float, float]:
        """Return E A, E I athwartships, E I fore and aft and G J."""
        modulus, area, fore_aft, athwart, torsion, shear = self._values()
        return modulus * area, modulus * athwart, modulus * fore_aft, shear * torsion


class FrameBuilder:
    """Collects points, spars, wires and supports, then makes a `Frame`."""

    def __init__(self) -> None:
        self._points: dict[str, Triple] = {}
        self._beams: list[tuple[str, str, tuple[float, float, float, float], Triple]] = []
        self._wires: list[tuple[str, str, float, Triple]] = []
        self._held: dict[str, set[str]] = {}
        self._springs: dict[tuple[str, str], float] = {}

    def point(self, name: str, place: Triple) -> None:
        """Add a named point. [m]."""
        self._points[name] = (float(place[0]), float(place[1]), float(place[2]))

    def ground(self, name: str, place: Triple) -> None:
        """Add a point that is held in every direction: a chainplate, a stem fitting."""
        self.point(name, place)
        self.hold(name, *DIRECTIONS)

    def hold(self, name: str, *directions: str) -> None:
        """Hold a point in some directions."""
        self._held.setdefault(name, set()).update(directions)

    def spring(self, name: str, direction: str, stiffness: float) -> None:
        """Support a point elastically. [N/m, N m/rad]."""
        self._springs[name, direction] = stiffness

    def spar(
        self,
        start: str,
        end: str,
        section: Section,
        *,
        pieces: int = 1,
        top: Section | None = None,
        side: Triple = (1.0, 0.0, 0.0),
    ) -> list[str]:
        """Add a straight spar between two named points.

        Parameters
        ----------
        start, end : str
            Named points.
        section : Section
            Section, or that of the start when it tapers.
        pieces : int
            Elements.
        top : Section, optional
            Section at the end of a taper.
        side : triple
            Direction in the plane that `Section.fore_aft` is for.

        Returns
        -------
        list of str
            Names of all nodes along it, from start to end.
        """
        first, last = np.array(self._points[start]), np.array(self._points[end])
        names = [start]
        for piece in range(1, pieces + 1):
            name = end if piece == pieces else f"{start} to {end}, {piece}/{pieces}"
            if piece < pieces:
                x, y, z = first + (last - first) * piece / pieces
                self.point(name, (x, y, z))
            here = section if top is None else section.blend(top, (piece - 0.5) / pieces)
            self._beams.append((names[-1], name, here.stiffness(), side))
            names.append(name)
        return names

    def wire(self, start: str, end: str, stiffness: float, *, side_load: Triple = (0.0, 0.0, 0.0)) -> None:
        """Add a tension-only wire: E A [N] and an even side load [N/m]."""
        self._wires.append((start, end, stiffness, side_load))

    def build(self) -> Frame:
        """Return the frame.

        Raises
        ------
        InputError
            A spar or wire ends at a point nobody named.
        """
        names = tuple(self._points)
        number = {name: index for index, name in enumerate(names)}
        for start, end, *_ in [*self._beams, *self._wires]:
            for end_name in (start, end):
                if end_name not in number:
                    raise InputError(
                        f"no point called {end_name!r}; there are: {', '.join(names)}",
                        next_step="name the point in class.toml under [rig.points]",
                    )
        shape = (len(names), 6)
        fixed = np.zeros(shape, dtype=np.bool_)
        for name, directions in self._held.items():
            fixed[number[name], [DIRECTIONS[one] for one in directions]] = True
        springs = np.zeros(shape)
        for (name, direction), stiffness in self._springs.items():
            springs[number[name], DIRECTIONS[direction]] = stiffness
        nodes = np.array(list(self._points.values()), dtype=np.float64)
        return Frame(nodes, self._beam_rows(number), self._wire_rows(number), fixed, names, springs)

    def _beam_rows(self, number: dict[str, int]) -> Beams:
        stiffness = np.array([beam[2] for beam in self._beams], dtype=np.float64).reshape(-1, 4)
        ends = np.array([[number[beam[0]], number[beam[1]]] for beam in self._beams], dtype=np.int64).reshape(
            -1, 2
        )
        side = np.array([beam[3] for beam in self._beams], dtype=np.float64).reshape(-1, 3)
        axial, bending_y, bending_z, torsion = (stiffness[:, column] for column in range(4))
        return Beams(ends[:, 0], ends[:, 1], axial, bending_y, bending_z, torsion, side)

    def _wire_rows(self, number: dict[str, int]) -> Wires:
        ends = np.array([[number[wire[0]], number[wire[1]]] for wire in self._wires], dtype=np.int64).reshape(
            -1, 2
        )
        stiffness = np.array([wire[2] for wire in self._wires], dtype=np.float64)
        load = np.array([wire[3] for wire in self._wires], dtype=np.float64).reshape(-1, 3)
        return Wires(ends[:, 0], ends[:, 1], stiffness, load)
