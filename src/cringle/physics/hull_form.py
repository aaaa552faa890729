"""The shape of a canoe body as the numbers that the resistance methods ask for."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from cringle.constants import STANDARD_GRAVITY_M_PER_S2
from cringle.errors import InputError
from cringle.physics.arrays import Array, not_negative, require_between, require_positive


@dataclass(frozen=True)
class HullForm:
    """A canoe body floating upright, without foils. Lengths in m, areas in m2, angles in rad.

    Parameters
    ----------
    length_waterline, beam_waterline, draft_canoe : float
        Lwl, Bwl and Tc. [m]
    volume_canoe : float
        Displaced volume of the canoe body. [m3]
    cp, cm : float
        Prismatic and midship section coefficient.
    area_waterplane : float
        [m2]
    lcb_from_bow, lcf_from_bow : float
        Centre of buoyancy and of flotation, aft of the forward end of the waterline. [m]
    half_entrance : float
        Half angle of entrance of the waterline. [rad]
    transom_ratio : float
        Immersed transom area over maximum section area, 0 to 1.
    chine_beam : float
        Beam that carries the boat when planing, over chines or the turn of the bilge. [m]
    deadrise : float
        Of the planing bottom. [rad]
    planing_lcg : float
        Effective centre of all vertical forces ahead of the transom when planing; a calibration value. [m]
    bow_length_95 : float
        Length of the bow on the waterline, up to 95 % of the largest beam. [m]

    Raises
    ------
    InputError
        A length, area or volume is not positive, or a ratio is impossible.
    """

    length_waterline: float
    beam_waterline: float
    draft_canoe: float
    volume_canoe: float
    cp: float
    cm: float
    area_waterplane: float
    lcb_from_bow: float
    lcf_from_bow: float
    half_entrance: float
    transom_ratio: float
    chine_beam: float
    deadrise: float
    planing_lcg: float
    bow_length_95: float

    def __post_init__(self) -> None:
        require_positive(
            length_waterline=self.length_waterline,
            beam_waterline=self.beam_waterline,
            draft_canoe=self.draft_canoe,
            volume_canoe=self.volume_canoe,
            cp=self.cp,
            cm=self.cm,
            area_waterplane=self.area_waterplane,
            lcb_from_bow=self.lcb_from_bow,
            lcf_from_bow=self.lcf_from_bow,
            chine_beam=self.chine_beam,
            planing_lcg=self.planing_lcg,
            bow_length_95=self.bow_length_95,
        )
        require_between("cp", self.cp, 0.0, 1.0)
        require_between("cm", self.cm, 0.0, 1.0)
        require_between("transom_ratio", self.transom_ratio, 0.0, 1.0)
        require_between("half_entrance", self.half_entrance, 0.0, math.pi / 2, unit="rad")
        require_between("deadrise", self.deadrise, 0.0, math.pi / 3, unit="rad")
        for name in ("lcb_from_bow", "lcf_from_bow", "planing_lcg", "bow_length_95"):
            require_between(name, getattr(self, name), 0.0, self.length_waterline, unit="m")
        box = self.length_waterline * self.beam_waterline
        require_between("area_waterplane", self.area_waterplane, 0.0, box, unit="m2")
        require_between("volume_canoe", self.volume_canoe, 0.0, box * self.draft_canoe, unit="m3")

    def __repr__(self) -> str:
        return (
            f"HullForm({self.length_waterline:g} m x {self.beam_waterline:g} m x {self.draft_canoe:g} m, "
            f"{self.volume_canoe:g} m3)"
        )

    @property
    def slenderness(self) -> float:
        """Waterline length over the cube root of the displaced volume."""
        return self.length_waterline / math.cbrt(self.volume_canoe)

    @property
    def lcb_percent(self) -> float:
        """Centre of buoyancy in per cent of Lwl from its middle, forward positive."""
        return 100.0 * (0.5 - self.lcb_from_bow / self.length_waterline)

    @property
    def block_coefficient(self) -> float:
        """Displaced volume over Lwl Bwl Tc."""
        return self.volume_canoe / (self.length_waterline * self.beam_waterline * self.draft_canoe)

    @property
    def waterplane_coefficient(self) -> float:
        """Waterplane area over Lwl Bwl."""
        return self.area_waterplane / (self.length_waterline * self.beam_waterline)


@dataclass(frozen=True)
class RangeNote:
    """One way in which a hull lies outside what a method was made for."""

    name: str
    found: float
    low: float
    high: float

    def __str__(self) -> str:
        return f"{self.name}: found {self.found:.3g}, the method was made for {self.low:g} to {self.high:g}"


def froude_number(speed: ArrayLike, length: float) -> Array:
    """Return ``V / sqrt(g L)``.

    Parameters
    ----------
    speed : float or array
        Speed through the water, not negative. [m/s]
    length : float
        Waterline length. [m]
    """
    require_positive(length=length)
    return not_negative("speed", speed) / math.sqrt(STANDARD_GRAVITY_M_PER_S2 * length)


def volume_froude_number(speed: ArrayLike, volume: float) -> Array:
    """Return ``V / sqrt(g volume^(1/3))``.

    Parameters
    ----------
    speed : float or array
        Speed through the water, not negative. [m/s]
    volume : float
        Displaced volume. [m3]
    """
    require_positive(volume=volume)
    return not_negative("speed", speed) / math.sqrt(STANDARD_GRAVITY_M_PER_S2 * math.cbrt(volume))


def with_volume(hull: HullForm, volume: float) -> HullForm:
    """Return the same hull carrying more or less weight, by parallel sinkage.

    The waterline keeps its length, beam and area; draft, midship and prismatic coefficient follow. Good for
    changes of some 15 % of the displacement (a person more or less), not for another boat.

    Parameters
    ----------
    hull : HullForm
        As floating now.
    volume : float
        Displaced volume wanted. [m3]

    Raises
    ------
    InputError
        So little volume that the canoe body would leave the water.
    """
    sinkage = (volume - hull.volume_canoe) / hull.area_waterplane
    draft = hull.draft_canoe + sinkage
    if draft <= 0.0:
        raise InputError(
            f"volume_canoe: {volume:g} m3 would lift the hull {-sinkage:.3f} m, more than its draft",
            next_step="give a volume nearer to the one the hull was described with",
        )
    section = hull.beam_waterline * (hull.cm * hull.draft_canoe + sinkage)
    return replace(
        hull,
        draft_canoe=draft,
        volume_canoe=volume,
        cm=section / (hull.beam_waterline * draft),
        cp=volume / (section * hull.length_waterline),
    )


def with_centre_moved(hull: HullForm, forward: float) -> HullForm:
    """Return the same hull trimmed so that its centres of buoyancy and of planing lift lie further forward.

    Parameters
    ----------
    hull : HullForm
        As floating now.
    forward : float
        How far the centre of mass of boat and crew moved forward. [m]

    Notes
    -----
    The systematic series varied the centre of buoyancy of the design, not the trim of one hull; the answer
    is an indication of sign and order of magnitude.
    """
    return replace(hull, lcb_from_bow=hull.lcb_from_bow - forward, planing_lcg=hull.planing_lcg + forward)


def is_consistent(hull: HullForm, *, tolerance: float = 0.05) -> bool:
    """Return whether volume and ``Cp Cm Lwl Bwl Tc`` agree within a relative tolerance."""
    return bool(np.isclose(hull.cp * hull.cm, hull.block_coefficient, rtol=tolerance))
