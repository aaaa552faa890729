"""Outside checks of what the helm costs, of the sea a wind raises, and of a bulb's waves."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad

from cringle.physics.bulb_waves import wave_making_share
from cringle.physics.foils import Appendages, Bulb, Foil, induced_drag
from cringle.physics.hull_form import HullForm
from cringle.physics.water import Water
from cringle.physics.waves import fetch_limited_height
from cringle.physics.yaw import rudder_load_factor

SEA = Water(1025.0, 1.19e-6)


def _sportsboat():
    text = (Path(__file__).parents[1] / "data" / "hulls.json").read_text(encoding="utf-8")
    hull = json.loads(text)["sportsboat"]
    return HullForm(**{key: value for key, value in hull.items() if key != "note"})


def trefftz_drag(loads, *, speed, density):
    """Return the induced drag of elliptic loadings side by side far behind them, by quadrature.

    Each load is a force [N] and a draft [m], mirrored at the surface: a plane wing of twice the draft. Bound
    vorticity is expanded in sines on the longest span; the drag of a load is what it does to the sum's wash.
    """
    longest = max(draft for _, draft in loads)

    def circulation(y):
        total = 0.0
        for force, draft in loads:
            if abs(y) < draft:
                total += 4.0 * force / (density * speed * np.pi * draft) * np.sqrt(1.0 - (y / draft) ** 2)
        return total

    count = 400
    angles = (np.arange(count) + 0.5) * np.pi / count
    values = np.array([circulation(longest * np.cos(one)) for one in angles])
    order = np.arange(1, count)
    series = 2.0 / count * (np.sin(np.outer(order, angles)) @ values)
    # half of the mirrored pair: D = rho pi / 8 * sum n G_n^2, over two
    return density * np.pi / 8.0 * np.sum(order * series**2) / 2.0


def test_load_on_the_rudder(outside):
    total, speed, drafts = 1000.0, 2.6, (1.24, 0.87)
    pressure, mirrored = 0.5 * SEA.density * speed**2, [np.sqrt(2.0) * one for one in drafts]
    ours, theirs = [], []
    for share in (-0.1, 0.0, 0.1, 0.2):
        force = share * total
        alone = float(induced_drag(total, speed, mirrored[0], water=SEA))
        ours.append(alone + rudder_load_factor(*mirrored) * force**2 / pressure)
        loads = ((total - force, drafts[0]), (force, drafts[1]))
        theirs.append(trefftz_drag(loads, speed=speed, density=SEA.density))
    outside.close(
        id="H28", what="induced drag of keel and rudder together, rudder share -10 to 20 % [N]", got=ours,
        expected=theirs, rtol=2e-3, source="Fourier sum in the Trefftz plane; Munk, NACA Report 121, 1921",
        kind="evidence",
    )  # fmt: skip


@pytest.mark.parametrize(("wind", "fetch"), [(6.0, 6000.0), (10.0, 10000.0)])
def test_sea_of_a_wind(outside, wind, fetch):
    stress = 0.71 * wind**1.23
    other = 5.112e-4 * stress * np.sqrt(fetch)
    outside.within(
        id=f"H29-{wind:g}", what=f"waves of {wind:g} m/s over {fetch / 1000:g} km against another law [1]",
        got=float(fetch_limited_height(wind, fetch)) / other, low=0.75, high=1.25,
        source="US Army, Shore Protection Manual, 1984, fetch-limited deep water", kind="evidence",
        memory=True,
    )  # fmt: skip


def test_wave_number(outside):
    """The integral over depth of the pressure of a deep-water wave gives the same fall as the formula."""
    hull = _sportsboat()
    fin = Foil(1.2, 0.45, 0.45, 0.12, root_depth=0.2, volume=0.03, centroid_depth=0.9)
    parts = Appendages(fin, Foil(1.0, 0.3, 0.3, 0.11), Bulb(1.2, 0.25, 0.02, 1.4))
    speed = 2.7
    froude = speed / np.sqrt(9.80665 * hull.length_waterline)
    bulb_alone = 1.5 * (float(wave_making_share(hull, parts, froude, bulb_decay=1.0)) - 1.0 / 3.0)
    drop = (1.4 - 1.1) * 0.03 / 0.01
    length = 2.0 * np.pi * speed**2 / 9.80665
    energy = quad(lambda z: np.exp(-4.0 * np.pi * z / length), drop, np.inf)[0] * 4.0 * np.pi / length
    outside.close(
        id="H30", what="amplitude of a wave that runs with the boat, a bulb's depth down [1]", got=bulb_alone,
        expected=np.sqrt(energy), rtol=1e-6, source="energy below a depth in a deep-water wave (Airy)",
        kind="arithmetic",
    )  # fmt: skip
