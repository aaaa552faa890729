"""Where a person's mass centre is: body segments, a three-link body, and the postures on board.

Cautions: a posture is only what the class rules allow; hiking is never advised beyond them, and nobody needs
to sit where it hurts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from cringle.errors import InputError
from cringle.physics.arrays import Array, as_array, require_between, require_positive
from cringle.physics.tables import load_table
from cringle.units import degrees_to_radians

Build = Literal["male", "female", "mean"]

MEAN_STATURE_M = 1.72
"""Stature used when nobody gave one [m]: about the mean of adults of both sexes (from memory, spread 0.10)"""

STANDING_CENTRE: dict[Build, float] = {"male": 0.57, "female": 0.55, "mean": 0.56}
"""Height of the mass centre of a standing person over stature; spread 0.015. From de Leva's masses with
segment lengths from memory."""


@dataclass(frozen=True)
class BodyLinks:
    """A body as three links; masses over body mass, lengths over stature, centres over length.

    Parameters
    ----------
    trunk_moment, thigh_moment, shank_moment : float
        Mass times distance of its centre from the upper end, head and arms with the trunk, both legs.
    below_knee_mass, thigh_length : float
        Mass of both shanks and feet, and length of the thigh.
    """

    trunk_moment: float
    thigh_moment: float
    shank_moment: float
    below_knee_mass: float
    thigh_length: float


@dataclass(frozen=True)
class Posture:
    """How a person sits or stands.

    Parameters
    ----------
    name : str
        As in the class file.
    lean : float
        Trunk from vertical, outboard positive. [rad]
    legs : float
        +1 over the side, -1 inboard, 0 fore and aft or below the hips.
    level : float
        1 sitting with level thighs, 0 standing.
    hip_outboard : float
        Hip joint outboard of the station. [m]
    hip_above : float
        Hip joint above the station's surface. [m]
    spread : float
        One standard deviation of the lateral place of the mass centre. [m]
    """

    name: str
    lean: float
    legs: float
    level: float
    hip_outboard: float
    hip_above: float
    spread: float

    def __post_init__(self) -> None:
        require_between("lean", self.lean, -np.pi / 2, np.pi / 2, unit="rad")
        require_between("legs", self.legs, -1.0, 1.0)
        require_between("level", self.level, 0.0, 1.0)
        require_between("spread", self.spread, 0.0, 1.0, unit="m")


@dataclass(frozen=True)
class MassCentre:
    """Place of a mass centre against its station: outboard and above, in m."""

    outboard: Array
    above: Array


def body_links() -> BodyLinks:
    """Return the three-link body of the table (Winter after Dempster; Drillis and Contini)."""
    table = load_table("body_links")
    mass = table.columns["count"] * table.columns["mass"]
    reach = table.columns["length"] * table.columns["centre"]
    moment = mass * reach
    return BodyLinks(
        trunk_moment=float(moment[0]),
        thigh_moment=float(moment[1]),
        shank_moment=float(moment[2]),
        below_knee_mass=float(mass[2]),
        thigh_length=float(table.columns["length"][1]),
    )


def segment_mass_sum(build: Build) -> float:
    """Return the sum of the segment masses over body mass, which ought to be 1.

    Parameters
    ----------
    build : {"male", "female", "mean"}
        Columns of the table; ``"mean"`` takes both.
    """
    table = load_table("body_segments")
    return float(np.sum(table.columns["count"] * _segment_column("mass", build)))


def segment_centres(build: Build = "mean") -> dict[str, float]:
    """Return the centre of each body segment as a fraction of its length from the first-named end.

    Parameters
    ----------
    build : {"male", "female", "mean"}
        Columns of the table; ``"mean"`` takes both.
    """
    names = load_table("body_segments").labels["segment"]
    return dict(zip(names, _segment_column("centre", build).tolist(), strict=True))


def _segment_column(what: str, build: Build) -> Array:
    columns = load_table("body_segments").columns
    if build == "mean":
        return as_array(0.5 * (columns[f"{what}_male"] + columns[f"{what}_female"]))
    if f"{what}_{build}" not in columns:
        raise InputError(f"build: found {build!r}, accepted: male, female, mean")
    return columns[f"{what}_{build}"]


def seated_offset(stature: ArrayLike, *, lean: ArrayLike, legs: ArrayLike) -> Array:
    """Return the mass centre of a seated person outboard of the hip joint, thighs level, in m.

    ``H [trunk sin(lean) + legs (thighs + shanks at the knee)]``.

    Parameters
    ----------
    stature : float or array
        H. [m]
    lean : float or array
        Trunk from vertical, outboard positive. [rad]
    legs : float or array
        +1 over the side, -1 inboard, 0 fore and aft or below the hips.
    """
    links = body_links()
    reach = links.thigh_moment + links.below_knee_mass * links.thigh_length
    return as_array(
        as_array(stature) * (links.trunk_moment * np.sin(as_array(lean)) + as_array(legs) * reach)
    )


def hip_to_centre(stature: ArrayLike, *, lean: ArrayLike, level: ArrayLike) -> Array:
    """Return the mass centre of a person above the hip joint, shanks hanging, in m.

    Parameters
    ----------
    stature : float or array
        H. [m]
    lean : float or array
        Trunk from vertical. [rad]
    level : float or array
        1 sitting with level thighs, 0 standing; between them in proportion.
    """
    links = body_links()
    hanging = links.thigh_moment + links.below_knee_mass * links.thigh_length
    below = links.shank_moment + (1.0 - as_array(level)) * hanging
    return as_array(as_array(stature) * (links.trunk_moment * np.cos(as_array(lean)) - below))


def standing_height(stature: ArrayLike, *, build: Build = "mean") -> Array:
    """Return the height of a standing person's mass centre above the feet, in m.

    Parameters
    ----------
    stature : float or array
        [m]
    build : {"male", "female", "mean"}
        ``"mean"`` when nobody asked.
    """
    return as_array(STANDING_CENTRE[build] * as_array(stature))


def posture_named(name: str) -> Posture:
    """Return a posture of the table.

    Raises
    ------
    InputError
        There is no such posture; the message lists those there are.
    """
    table = load_table("postures")
    names = table.labels["posture"]
    if name not in names:
        raise InputError(
            f"no posture named {name!r}; there are: {', '.join(names)}", next_step="use one of these"
        )
    row = {title: float(values[names.index(name)]) for title, values in table.columns.items()}
    return Posture(
        name,
        lean=float(degrees_to_radians(row["lean_deg"])),
        legs=row["legs"],
        level=row["level"],
        hip_outboard=row["hip_outboard"],
        hip_above=row["hip_above"],
        spread=row["spread_m"],
    )


def mass_centre(posture: Posture, stature: float = MEAN_STATURE_M) -> MassCentre:
    """Return where a person's mass centre is, outboard of and above the station.

    Parameters
    ----------
    posture : Posture
        How the person sits or stands.
    stature : float
        [m]
    """
    require_positive(stature=stature)
    outboard = posture.hip_outboard + seated_offset(stature, lean=posture.lean, legs=posture.legs)
    above = posture.hip_above + hip_to_centre(stature, lean=posture.lean, level=posture.level)
    return MassCentre(outboard, above)
