"""Closed forms for beams and beam-columns, used to judge panels of a mast and to check the frame.

SI units throughout: E I [N m2], lengths [m], forces [N].

References
----------
.. [1] S. P. Timoshenko and J. M. Gere, "Theory of Elastic Stability", 2nd ed., McGraw-Hill, 1961,
   chapters 1 and 2.
"""

from __future__ import annotations

from math import cos, pi, sqrt, tan

from cringle.errors import InputError


def euler_load(rigidity: float, length: float, effective: float = 1.0) -> float:
    """Return the load at which a straight column buckles: pi^2 E I / (K L)^2.

    Parameters
    ----------
    rigidity : float
        E I. [N m2]
    length : float
        [m]
    effective : float
        K: 1 for pinned ends, 2 for a cantilever, 0.5 for built-in ends.

    Returns
    -------
    float
        [N]
    """
    return pi**2 * rigidity / (effective * length) ** 2


def _argument(thrust: float, rigidity: float, length: float, limit: float) -> float:
    """Return k L = L sqrt(P / E I), refusing thrust at or above buckling."""
    if thrust < 0.0:
        raise InputError(
            f"thrust: found {thrust:g} N, accepted 0 or more", next_step="give compression as positive"
        )
    value = length * sqrt(thrust / rigidity)
    if value >= limit:
        raise InputError(
            f"a thrust of {thrust:.0f} N is at or above buckling",
            next_step="shorten the panel or lower the load",
        )
    return value


def pinned_beam_column(load: float, length: float, *, rigidity: float, thrust: float) -> tuple[float, float]:
    """Return mid-span moment and deflection of a pinned beam-column under an even side load.

    Parameters
    ----------
    load, length : float
        [N/m], [m]
    rigidity, thrust : float
        E I [N m2] and compression [N].

    Returns
    -------
    moment, deflection : float
        [N m], [m]

    Notes
    -----
    [1]_, section 1.3: with u = (L/2) sqrt(P/EI), M = (w L^2/8) 2(sec u - 1)/u^2 and
    d = (5 w L^4 / 384 EI) 12 (2 sec u - u^2 - 2)/(5 u^4).
    """
    u = 0.5 * _argument(thrust, rigidity, length, pi)
    first = load * length**2 / 8.0
    plain = 5.0 * load * length**4 / (384.0 * rigidity)
    if u < 1e-3:
        return first, plain
    secant = 1.0 / cos(u)
    return first * 2.0 * (secant - 1.0) / u**2, plain * 12.0 * (2.0 * secant - u**2 - 2.0) / (5.0 * u**4)


def cantilever_beam_column(
    side: float, length: float, *, rigidity: float, thrust: float
) -> tuple[float, float]:
    """Return base moment and tip deflection of a cantilever under a tip side load and a thrust.

    Parameters
    ----------
    side, length : float
        [N], [m]
    rigidity, thrust : float
        E I [N m2] and compression [N].

    Returns
    -------
    moment, deflection : float
        [N m], [m]

    Notes
    -----
    [1]_, section 1.4: M = H tan(kL)/k, d = H (tan(kL)/k - L)/P, k = sqrt(P/EI).
    """
    argument = _argument(thrust, rigidity, length, 0.5 * pi)
    if argument < 1e-3:
        return side * length, side * length**3 / (3.0 * rigidity)
    lever = tan(argument) * length / argument
    return side * lever, side * (lever - length) / thrust
