"""Residuary resistance of the canoe body, upright and heeled, from the systematic yacht hull series."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cringle.physics.arrays import Array, as_array, not_negative
from cringle.physics.friction import canoe_wetted_area
from cringle.physics.hull_form import HullForm, RangeNote
from cringle.physics.tables import load_table

SERIES_RANGE: dict[str, tuple[float, float]] = {
    "length_beam": (2.73, 5.00),
    "beam_draft": (2.46, 19.4),
    "slenderness": (4.34, 8.50),
    "lcb_percent": (-8.2, 0.0),
    "cp": (0.52, 0.60),
    "cm": (0.65, 0.79),
    "loading": (3.78, 12.67),
}
"""Range of the hulls in the series (from memory, grade B); loading is Aw / V^(2/3)."""

CM_CLAMP_LOW = 0.64
"""The midship coefficient is held here, a little below the series, as the 2008 form reacts strongly to it."""

QUIET_FROUDE = 0.10
"""Up to this Froude number the residuary resistance is taken as zero."""

HEEL_START_FROUDE = 0.20
"""The heeled increment is zero up to here and rises to its first tabulated value at 0.25 (the source starts
at 0.25 with a small step; a step would spoil the force balance)."""


@dataclass(frozen=True)
class ShapeRatios:
    """What the regressions ask of a hull, all dimensionless."""

    length_beam: float
    beam_draft: float
    slenderness: float
    lcb_percent: float
    cp: float
    cm: float
    loading: float
    lcb_over_lcf: float
    volume_wetted: float


@dataclass(frozen=True)
class Residuary:
    """Mean of the two regressions.

    Parameters
    ----------
    coefficient : array
        Resistance over displaced weight.
    half_difference : array
        Half the absolute difference of the two, part of the error.
    in_range : bool array
        False above Froude 0.60, where the value at 0.60 is held.
    """

    coefficient: Array
    half_difference: Array
    in_range: NDArray[np.bool_]


def shape_ratios(hull: HullForm) -> ShapeRatios:
    """Return a hull's ratios as they are, not clamped."""
    two_thirds = float(np.cbrt(hull.volume_canoe) ** 2)
    return ShapeRatios(
        length_beam=hull.length_waterline / hull.beam_waterline,
        beam_draft=hull.beam_waterline / hull.draft_canoe,
        slenderness=hull.slenderness,
        lcb_percent=hull.lcb_percent,
        cp=hull.cp,
        cm=hull.cm,
        loading=hull.area_waterplane / two_thirds,
        lcb_over_lcf=hull.lcb_from_bow / hull.lcf_from_bow,
        volume_wetted=two_thirds / canoe_wetted_area(hull),
    )


def clamped_ratios(hull: HullForm) -> ShapeRatios:
    """Return a hull's ratios held within the range of the series; `series_range_notes` says which were."""
    raw = vars(shape_ratios(hull))
    limits = SERIES_RANGE | {"cm": (CM_CLAMP_LOW, SERIES_RANGE["cm"][1])}
    held = {name: float(np.clip(raw[name], *limits[name])) for name in limits}
    return ShapeRatios(**(raw | held))


def series_range_notes(hull: HullForm) -> tuple[RangeNote, ...]:
    """Return one note for every ratio of a hull outside the range of the series; empty when inside."""
    raw = vars(shape_ratios(hull))
    limits = SERIES_RANGE | {"cm": (CM_CLAMP_LOW, SERIES_RANGE["cm"][1])}
    return tuple(
        RangeNote(name, raw[name], low, high)
        for name, (low, high) in limits.items()
        if not low <= raw[name] <= high
    )


def rows_1998(ratios: ShapeRatios) -> tuple[Array, Array]:
    """Return the Froude numbers of the 1998 table and ``Rr / (rho g V)`` at them, as the source gives it.

    Notes
    -----
    From memory; grade A for Froude 0.15 to 0.60 (agrees with the 2008 form), B at 0.10.
    Slightly negative at 0.10.

    References
    ----------
    .. [1] J.A. Keuning, U.B. Sonnenberg, "Approximation of the hydrodynamic forces on a sailing yacht based
       on the Delft Systematic Yacht Hull Series", HISWA Symposium, Amsterdam, 1998.
    """
    lcb = 0.5 - ratios.lcb_percent / 100.0
    inside = [
        lcb,
        ratios.cp,
        1.0 / ratios.loading,
        1.0 / ratios.length_beam,
        ratios.volume_wetted,
        ratios.lcb_over_lcf,
        lcb**2,
        ratios.cp**2,
    ]
    return _regression("residuary_1998", inside, ratios)


def rows_2008(ratios: ShapeRatios) -> tuple[Array, Array]:
    """Return the Froude numbers of the 2008 table and ``Rr / (rho g V)`` at them, as the source gives it.

    Notes
    -----
    From memory; grade A for Froude 0.15 to 0.60, B at 0.65 and 0.70, C at 0.75 (not used anywhere).

    References
    ----------
    .. [1] J.A. Keuning, M. Katgert, "A bare hull resistance prediction method derived from the results of the
       Delft Systematic Yacht Hull Series extended to higher speeds", Innov'Sail, Lorient, 2008.
    """
    inside = [
        0.5 - ratios.lcb_percent / 100.0,
        ratios.cp,
        1.0 / ratios.loading,
        1.0 / ratios.length_beam,
        ratios.lcb_over_lcf,
        ratios.beam_draft,
        ratios.cm,
    ]
    return _regression("residuary_2008", inside, ratios)


def _regression(name: str, inside: list[float], ratios: ShapeRatios) -> tuple[Array, Array]:
    table = load_table(name)
    factors = table.matrix(*[f"a{number}" for number in range(1, len(inside) + 1)])
    return table.columns["froude"], table.columns["a0"] + factors @ np.array(inside) / ratios.slenderness


def residuary_1998(hull: HullForm, froude: ArrayLike) -> Array:
    """Return ``Rr / (rho g V)`` by the 1998 regression, NaN above Froude 0.60.

    The hull's ratios are clamped to the series; between rows a shape-preserving cubic, zero up to 0.10.

    Parameters
    ----------
    hull : HullForm
        The canoe body.
    froude : float or array
        ``V / sqrt(g Lwl)``, not negative.
    """
    return _curve(*rows_1998(clamped_ratios(hull)), highest=0.60)(froude)


def residuary_2008(hull: HullForm, froude: ArrayLike) -> Array:
    """Return ``Rr / (rho g V)`` by the 2008 regression, NaN above Froude 0.70.

    Parameters
    ----------
    hull : HullForm
        The canoe body; its ratios are clamped to the series.
    froude : float or array
        ``V / sqrt(g Lwl)``, not negative.
    """
    return _curve(*rows_2008(clamped_ratios(hull)), highest=0.70)(froude)


def residuary_mean(hull: HullForm, froude: ArrayLike) -> Residuary:
    """Return the mean of the two regressions, held above Froude 0.60 and flagged there.

    Parameters
    ----------
    hull : HullForm
        The canoe body; its ratios are clamped, and `series_range_notes` says which.
    froude : float or array
        ``V / sqrt(g Lwl)``, not negative.

    Notes
    -----
    Expect 6 % (one standard deviation) for a hull of the series' type, 10 to 15 % with a wide
    transom or chine.
    """
    fn = not_negative("froude", froude)
    held = np.minimum(fn, 0.60)
    ratios = clamped_ratios(hull)
    first = _curve(*rows_1998(ratios), highest=0.60)(held)
    second = _curve(*rows_2008(ratios), highest=0.60)(held)
    return Residuary(0.5 * (first + second), 0.5 * np.abs(second - first), fn <= 0.60)


def _curve(froude: Array, values: Array, *, highest: float) -> Callable[[ArrayLike], Array]:
    from scipy.interpolate import PchipInterpolator

    used = (froude > QUIET_FROUDE + 1e-9) & (froude < highest + 1e-9)
    knots = np.r_[0.0, QUIET_FROUDE, froude[used]]
    curve = PchipInterpolator(knots, np.r_[0.0, 0.0, np.maximum(values[used], 0.0)], extrapolate=False)

    def at(fn: ArrayLike) -> Array:
        return as_array(curve(not_negative("froude", fn)))

    return at


def heeled_residuary_at_20(hull: HullForm, froude: ArrayLike) -> Array:
    """Return the change of ``Rr / (rho g V)`` at 20 degrees of heel.

    Parameters
    ----------
    hull : HullForm
        The canoe body; its ratios are clamped to the series.
    froude : float or array
        Not negative. Zero up to 0.20; held above 0.55 (judgement), reached without a kink.

    References
    ----------
    .. [1] J.A. Keuning, U.B. Sonnenberg, HISWA Symposium, Amsterdam, 1998. From memory, grade B.
    """
    from scipy.interpolate import PchipInterpolator

    table, ratios = load_table("heeled_residuary"), clamped_ratios(hull)
    lcb, beam_draft = ratios.lcb_percent, ratios.beam_draft
    terms = np.array([1.0, ratios.length_beam, beam_draft, beam_draft**2, lcb, lcb**2])
    values = 1e-3 * (table.matrix("u0", "u1", "u2", "u3", "u4", "u5") @ terms)
    rows = table.columns["froude"]
    knots = np.r_[HEEL_START_FROUDE, rows, rows[-1] + 0.05]
    curve = PchipInterpolator(knots, np.r_[0.0, values, values[-1]])
    return as_array(curve(np.clip(not_negative("froude", froude), knots[0], knots[-1])))


def heel_growth(heel: ArrayLike) -> Array:
    """Return how the heeled increment grows: ``6 |heel|^1.7``, 1.0025 at 20 degrees.

    Parameters
    ----------
    heel : float or array
        Either side. [rad]
    """
    return 6.0 * np.abs(as_array(heel)) ** 1.7


def heeled_residuary_change(hull: HullForm, froude: ArrayLike, heel: ArrayLike) -> Array:
    """Return the change of ``Rr / (rho g V)`` with heel, even in heel.

    Parameters
    ----------
    hull : HullForm
        The canoe body.
    froude : float or array
        Not negative.
    heel : float or array, broadcasts with the above
        [rad]
    """
    return heeled_residuary_at_20(hull, froude) * heel_growth(heel)
