"""The jib's luff: what headstay sag does to its draft, what the sail does to the stay, and what twist costs.

A section is a parabola of chord c and draft f = depth / chord.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from cringle.errors import OutOfRangeError
from cringle.physics.wind import Quantity

MOST_DRAFT = 0.30
"""Deepest section the formulae are used for [1]; attached flow ends near 0.15."""


class TwistedJib(NamedTuple):
    """Lift over that of the same jib without twist, and height of effort over the height of the sail."""

    lift_ratio: Quantity
    centre_height_ratio: Quantity


def _draft_in_range(draft: Quantity) -> None:
    value = np.asarray(draft, dtype=float)
    wrong = value[(value <= 0.0) | (value > MOST_DRAFT)]
    if wrong.size:
        raise OutOfRangeError(
            "draft",
            float(wrong.flat[0]),
            0.0,
            MOST_DRAFT,
            next_step="give depth over chord, for example 0.10",
        )


def arc_over_chord(draft: Quantity) -> Quantity:
    """Return the length of cloth across a parabolic section over its chord [1].

    Notes
    -----
    s / c = sqrt(1 + 16 f^2) / 2 + asinh(4 f) / (8 f), about 1 + (8/3) f^2 - (32/5) f^4. Exact for a parabola.
    """
    _draft_in_range(draft)
    steep = 4.0 * np.asarray(draft)
    return (0.5 * np.sqrt(1.0 + steep**2) + np.arcsinh(steep) / (2.0 * steep))[()]


def entry_half_angle(draft: Quantity) -> Quantity:
    """Return the angle between cloth and chord at the luff, atan(4 f) [rad]: a fuller entry points less."""
    _draft_in_range(draft)
    return np.arctan(4.0 * draft)


def chord_shortening(sag: Quantity, draft: Quantity, *, luff_hollow: Quantity = 0.0) -> Quantity:
    """Return by how much headstay sag shortens the chord of the jib [m].

    Parameters
    ----------
    sag : float or array
        Sag of the stay at this height. [m]
    draft : float or array
        Draft of the section. [1]
    luff_hollow : float or array
        What the sailmaker cut away there, expecting sag. [m] More hollow than sag stretches the section
        flatter.

    Notes
    -----
    The sail pulls the stay along its cloth, so only the part along the chord counts: (sag - hollow) cos(atan
    4f).
    """
    return (sag - np.asarray(luff_hollow)) * np.cos(entry_half_angle(draft))


def draft_after_shortening(chord: Quantity, draft: Quantity, *, shortening: Quantity) -> Quantity:
    """Return the draft of a section whose chord became shorter while its cloth kept its length.

    Parameters
    ----------
    chord : float or array
        Chord before. [m]
    draft : float or array
        Draft before. [1]
    shortening : float or array
        How much shorter the chord became; negative: longer. [m]

    Returns
    -------
    float or array
        New draft [1]; NaN where the cloth is too short for the longer chord, or where the new section would
        be deeper than `MOST_DRAFT`.

    Notes
    -----
    Solves (c - d) g(f') = c g(f), g = arc over chord, by Newton's method; first order f' - f = (3/16)(d / c)
    / f.
    """
    _draft_in_range(draft)
    wanted = np.asarray(chord * arc_over_chord(draft) / (chord - np.asarray(shortening)), dtype=float)
    possible = (wanted > 1.0) & (wanted < arc_over_chord(MOST_DRAFT))
    target = np.where(possible, wanted, 1.01)
    square = 0.375 * (target - 1.0)
    for _ in range(8):
        new = np.sqrt(square)
        steep = 4.0 * new
        value = 0.5 * np.sqrt(1.0 + steep**2) + np.arcsinh(steep) / (2.0 * steep) - target
        slope = (np.sqrt(1.0 + steep**2) - np.arcsinh(steep) / steep) / (4.0 * square)
        square = np.maximum(square - value / slope, 1e-12)
    return np.where(possible, np.sqrt(square), np.nan)[()]


def draft_with_sag(
    chord: Quantity, draft: Quantity, *, sag: Quantity, luff_hollow: Quantity = 0.0
) -> Quantity:
    """Return the draft of a jib section under a sagging headstay.

    Parameters
    ----------
    chord, draft : float or array
        Chord [m] and draft [1] with the stay straight (or with as much sag as the luff hollow allows for).
    sag, luff_hollow : float or array
        At this height. [m]
    """
    return draft_after_shortening(
        chord, draft, shortening=chord_shortening(sag, draft, luff_hollow=luff_hollow)
    )


def luff_load(pressure: Quantity, chord: Quantity, *, draft: Quantity) -> Quantity:
    """Return the load of the sail on the headstay per metre of luff, along the cloth [N/m].

    Parameters
    ----------
    pressure : float or array
        Mean pressure difference across the sail. [Pa]
    chord : float or array
        Chord at this height. [m]
    draft : float or array
        Draft of the section. [1]

    Notes
    -----
    Uniform pressure on a parabola: tension along the chord H = p c / (8 f), along the cloth N = H sqrt(1 +
    16 f^2). It is far more than half the pressure force, p c / 2, and a flatter sail loads the stay more. An
    upper bound: tension from halyard and leech in the cloth carries part of the pressure.
    """
    _draft_in_range(draft)
    return pressure * chord / (8.0 * draft) * np.sqrt(1.0 + 16.0 * np.square(draft))


def thin_aerofoil_lift(incidence: Quantity, draft: Quantity, *, aspect_ratio: Quantity = np.inf) -> Quantity:
    """Return the lift coefficient of a thin parabolic section [1].

    Parameters
    ----------
    incidence : float or array
        Angle from the flow to the chord. [rad]
    draft : float or array
        Draft, up to about 0.15 in attached flow. [1]
    aspect_ratio : float or array
        Of the sail with its mirror image; infinite for a section. [1]

    Notes
    -----
    CL = 2 pi (incidence + 2 f) / (1 + 2 / AR). Glauert, The Elements of Aerofoil and Airscrew Theory; from
    memory.
    """
    _draft_in_range(draft)
    return (
        2.0
        * np.pi
        * (incidence + 2.0 * np.asarray(draft))
        / (1.0 + 2.0 / np.asarray(aspect_ratio, dtype=float))
    )


def zero_lift_angle(draft: Quantity) -> Quantity:
    """Return the incidence without lift of a thin parabolic section, -2 f [rad]. Glauert; from memory."""
    _draft_in_range(draft)
    return -2.0 * draft


def twisted_jib(incidence: Quantity, draft: Quantity, *, twist: Quantity) -> TwistedJib:
    """Return what twist costs and lowers on a triangular jib.

    Parameters
    ----------
    incidence : float or array
        At the foot. [rad]
    draft : float or array
        The same at all heights. [1]
    twist : float or array
        Foot to head, beyond the twist of the wind itself. [rad]

    Returns
    -------
    TwistedJib
        NaN where the head would carry no lift or set back to front, twist above incidence + 2 f.

    Notes
    -----
    Strip theory: local lift ~ chord (incidence + 2 f - twist z / h). L / L0 = 1 - twist / (3 (incidence + 2
    f)); z / h = ((incidence + 2 f) / 6 - twist / 12) / ((incidence + 2 f) / 2 - twist / 6). Leaves out the
    influence of the strips on one another and of the main.
    """
    _draft_in_range(draft)
    foot = np.asarray(incidence + 2.0 * np.asarray(draft), dtype=float)
    setting = (foot > 0.0) & (foot >= twist)
    foot = np.where(setting, foot, np.nan)
    ratio = 1.0 - twist / (3.0 * foot)
    height = (foot / 6.0 - np.asarray(twist) / 12.0) / (foot / 2.0 - np.asarray(twist) / 6.0)
    return TwistedJib(ratio[()], height[()])
