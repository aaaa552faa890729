"""Hull, foils and stability against publications.

``kind="evidence"`` marks the checks that do not rest on the coefficient tables as recalled, or that set two
independent sources against each other. The others prove only that code and table agree.
"""

from __future__ import annotations

import json
import math
from pathlib import Path

import numpy as np
import pytest

from cringle.constants import INCH_M, POUND_KG, STANDARD_GRAVITY_M_PER_S2
from cringle.physics import (
    crew_weight,
    foils,
    friction,
    hull_drag,
    leeway,
    planing,
    preplaning,
    residuary,
    stability,
    waves,
)
from cringle.physics.hull_form import HullForm
from cringle.physics.water import SEA_SALINITY, Water, water_at, water_density

KS98 = "Keuning and Sonnenberg, HISWA 1998"
KK08 = "Keuning and Katgert, Innov'Sail 2008"
SAVITSKY = "Savitsky, Marine Technology 1(1), 1964"
MERCIER = "Mercier and Savitsky, SIT-DL-73-1667, 1973"
DEG = math.pi / 180.0
SEA = Water(1025.0, 1.19e-6)
FOOT_M = 12.0 * INCH_M
POUND_FORCE_N = POUND_KG * STANDARD_GRAVITY_M_PER_S2
SLUG_PER_CUBIC_FOOT = POUND_FORCE_N / FOOT_M / FOOT_M**3
KEEL = foils.Foil(1.285, 0.45, 0.45, 0.12, root_depth=0.215, volume=0.045, centroid_depth=0.85)
RUDDER = foils.Foil(1.05, 0.28, 0.28, 0.11)
BULB = foils.Bulb(1.3, 0.26)
PLANE = leeway.LateralPlane(foils.Appendages(KEEL, RUDDER), 1.9 / 0.215)


def _hull(name: str) -> HullForm:
    data = json.loads((Path(__file__).parents[1] / "data" / "hulls.json").read_text(encoding="utf-8"))[name]
    return HullForm(**{key: value for key, value in data.items() if key != "note"})


PARENT, SPORTSBOAT = _hull("series_parent"), _hull("sportsboat")


def _speed_at(froude):
    return np.asarray(froude) * math.sqrt(STANDARD_GRAVITY_M_PER_S2 * SPORTSBOAT.length_waterline)


def _speed_at_volume_froude(volume_froude):
    return np.asarray(volume_froude) * math.sqrt(
        STANDARD_GRAVITY_M_PER_S2 * math.cbrt(SPORTSBOAT.volume_canoe)
    )


def _row(rows, froude):
    """Return the value of a regression at one of its own rows, in thousandths."""
    return 1e3 * rows[1][int(np.argmin(np.abs(rows[0] - froude)))]


def _example_bottom() -> planing.PlaningBottom:
    return planing.PlaningBottom(
        60_000 * POUND_FORCE_N, 14 * FOOT_M, 10 * DEG, 29 * FOOT_M, 2 * FOOT_M, 4 * DEG, 0.5 * FOOT_M
    )


def test_friction_line(outside):
    got = friction.ittc_friction_coefficient([1e6, 1e7, 1e8])
    outside.close(
        id="H01",
        what="friction line at Re 1e6, 1e7, 1e8",
        got=got,
        expected=[0.0046875, 0.0030, 0.00208333],
        atol=1e-7,
        source="ITTC 1957",
        memory=True,
    )


def test_water(outside):
    fresh, sea = water_at(15.0, salinity=0.0), water_at(15.0)
    source = "ITTC 7.5-02-01-03 (2011), IAPWS; code uses Millero and Poisson 1981 and Sharqawy et al. 2010"
    outside.close(
        id="H02",
        what="density of fresh and sea water at 15 C [kg/m3]",
        got=[fresh.density, sea.density],
        expected=[999.10, 1026.0],
        atol=0.05,
        source=source,
    )
    outside.close(
        id="H02b",
        what="viscosity of fresh and sea water at 15 C [m2/s]",
        got=[fresh.viscosity, sea.viscosity],
        expected=[1.1386e-6, 1.189e-6],
        rtol=1e-3,
        source=source,
    )


def test_water_over_temperature(outside):
    celsius = np.array([5.0, 10.0, 15.0, 20.0, 25.0])
    outside.close(
        id="H02c",
        what="density of fresh water, 5 to 25 C",
        got=water_density(celsius),
        expected=[999.967, 999.703, 999.103, 998.207, 997.048],
        atol=0.005,
        source="IAPWS-95 values",
    )
    outside.close(
        id="H02d",
        what="density of sea water, 5 to 25 C",
        got=water_density(celsius, salinity=SEA_SALINITY),
        expected=[1027.676, 1026.954, 1025.976, 1024.766, 1023.344],
        atol=0.005,
        source="TEOS-10 values",
    )
    viscosity = [water_at(t, salinity=0.0).viscosity for t in celsius]
    outside.close(
        id="H02e",
        what="viscosity of fresh water, 5 to 25 C",
        got=viscosity,
        expected=np.array([1.5182, 1.3063, 1.1386, 1.0034, 0.8927]) * 1e-6,
        rtol=3e-4,
        source="IAPWS viscosity formulation",
    )


def test_wetted_area_and_form_factors(outside):
    got = [friction.canoe_wetted_area(PARENT), friction.canoe_wetted_area(SPORTSBOAT)]
    outside.close(
        id="H03",
        what="wetted area of two hulls [m2]",
        got=got,
        expected=[25.475, 8.774],
        rtol=1e-3,
        source=KS98,
        kind="arithmetic",
        memory=True,
    )
    got = [friction.fin_form_factor(0.12), friction.bulb_form_factor(0.2)]
    outside.close(
        id="H04",
        what="form factors of a 12 % fin and a 1:5 bulb",
        got=got,
        expected=[1.2524, 1.1902],
        atol=5e-4,
        source="Hoerner 1965",
        kind="arithmetic",
        memory=True,
    )


def test_residuary_tables(outside):
    shapes = residuary.shape_ratios(PARENT), residuary.shape_ratios(SPORTSBOAT)
    first = [_row(residuary.rows_1998(shapes[0]), 0.45), _row(residuary.rows_1998(shapes[1]), 0.60)]
    outside.close(
        id="H05",
        what="1998 residuary resistance, thousandths of the weight",
        got=first,
        expected=[44.82, 71.02],
        atol=0.02,
        source=KS98,
        kind="arithmetic",
        memory=True,
    )
    second = [_row(residuary.rows_2008(shapes[0]), 0.45), _row(residuary.rows_2008(shapes[1]), 0.60)]
    outside.close(
        id="H06",
        what="2008 residuary resistance, thousandths of the weight",
        got=second,
        expected=[44.34, 75.63],
        atol=0.02,
        source=KK08,
        kind="arithmetic",
        memory=True,
    )


def test_whole_residuary_rows(outside):
    """Every row for both hulls, so that no coefficient of the files is out of reach."""
    rows = {
        ("H05b", PARENT, "1998"): [-0.17, 0.05, 0.41, 1.20, 2.92, 6.74, 19.39, 44.82, 80.25, 110.20, 126.34],
        ("H05c", SPORTSBOAT, "1998"): [
            -0.12,
            0.04,
            0.47,
            1.43,
            3.08,
            6.92,
            15.76,
            31.57,
            49.20,
            60.99,
            71.02,
        ],
        ("H06b", PARENT, "2008"): [
            0.07,
            0.39,
            1.20,
            3.03,
            6.65,
            19.22,
            44.34,
            80.29,
            111.81,
            128.30,
            135.30,
            144.02,
            126.44,
        ],
        ("H06c", SPORTSBOAT, "2008"): [
            0.10,
            0.51,
            1.53,
            3.39,
            7.06,
            15.99,
            32.08,
            50.33,
            64.47,
            75.63,
            81.57,
            88.91,
            88.73,
        ],
    }
    for (name, hull, year), expected in rows.items():
        function = residuary.rows_1998 if year == "1998" else residuary.rows_2008
        got = 1e3 * function(residuary.shape_ratios(hull))[1]
        outside.close(
            id=name,
            what=f"{year} residuary rows",
            got=got,
            expected=expected,
            atol=0.02,
            source=KS98 if year == "1998" else KK08,
            kind="arithmetic",
            memory=True,
        )


def test_regressions_agree(outside):
    froude = np.arange(0.35, 0.601, 0.05)
    ratio = residuary.residuary_2008(SPORTSBOAT, froude) / residuary.residuary_1998(SPORTSBOAT, froude)
    outside.within(
        id="H07",
        what="2008 over 1998 regression, light hull, Froude 0.35 to 0.60",
        got=ratio,
        low=0.95,
        high=1.10,
        source=f"{KS98} against {KK08}",
        memory=True,
    )


def test_heeled_increments(outside):
    got = [100 * friction.heeled_area_change(hull, 20 * DEG) for hull in (SPORTSBOAT, PARENT)]
    outside.close(
        id="H11",
        what="change of wetted area at 20 deg [%]",
        got=got,
        expected=[-13.31, -1.21],
        atol=0.02,
        source=KS98,
        kind="arithmetic",
        memory=True,
    )
    got = 1e3 * residuary.heeled_residuary_change(SPORTSBOAT, 0.35, 20 * DEG)
    outside.close(
        id="H12",
        what="heeled residuary change, Froude 0.35, 20 deg, thousandths of the weight",
        got=got,
        expected=0.815,
        atol=0.003,
        source=KS98,
        kind="arithmetic",
        memory=True,
    )
    rows = [0.25, 0.30, 0.35, 0.40, 0.45, 0.50, 0.55]
    expected = [0.044, 0.181, 0.813, 2.957, 4.970, 8.378, 10.854]
    outside.close(
        id="H12b",
        what="heeled residuary rows, light hull",
        expected=expected,
        atol=0.002,
        got=1e3 * residuary.heeled_residuary_at_20(SPORTSBOAT, rows),
        source=KS98,
        kind="arithmetic",
        memory=True,
    )
    expected = [-0.021, 0.187, 0.612, 0.945, 1.045, 0.522, 1.476]
    outside.close(
        id="H12c",
        what="heeled residuary rows, series parent",
        expected=expected,
        atol=0.002,
        got=1e3 * residuary.heeled_residuary_at_20(PARENT, rows),
        source=KS98,
        kind="arithmetic",
        memory=True,
    )


def test_effective_draft_and_induced_drag(outside):
    # A hull with Tc/T 0.3709 and Bwl/Tc 4.0 needs only these two of its numbers.
    hull = HullForm(10.0, 4 * 0.79, 0.79, 9.0, 0.56, 0.65, 21.0, 5.2, 5.3, 0.35, 0.0, 3.0, 0.2, 4.0, 5.0)
    draft = 0.79 / 0.3709
    got = foils.effective_draft_table(
        hull, draft, taper_ratio=0.6, froude=0.35, heel=[0, 10 * DEG, 20 * DEG, 30 * DEG]
    )
    outside.close(
        id="H13",
        what="effective over total draft at 20 deg",
        got=got[2] / draft,
        expected=1.028,
        atol=0.003,
        source=KS98,
        kind="arithmetic",
        memory=True,
    )
    outside.close(
        id="H13b",
        what="effective over total draft, 0 to 30 deg",
        got=got / draft,
        expected=[1.083, 1.071, 1.028, 0.973],
        atol=0.003,
        source=KS98,
        kind="arithmetic",
        memory=True,
    )
    drag = foils.induced_drag(1200.0, 3.0, 1.41, water=SEA)
    outside.close(
        id="H14",
        what="induced drag, 1200 N at 3 m/s on 1.41 m [N]",
        got=drag,
        expected=49.98,
        atol=0.1,
        source="the series' form of the effective draft; H28 holds it against lifting line",
        kind="arithmetic",
    )


def test_lift_slope_and_side_force(outside):
    outside.close(
        id="H15",
        what="lift slope at aspect ratio 2, 4, 6, 8 [1/rad]",
        got=leeway.lift_slope([2, 4, 6, 8]),
        expected=[2.463, 3.635, 4.210, 4.539],
        atol=0.005,
        source="Whicker and Fehlner, DTMB 933, 1958",
        memory=True,
    )
    force = leeway.side_force(PLANE, SEA, 3.0, leeway=4 * DEG)
    outside.close(
        id="H16",
        what="side force of keel and rudder, 3 m/s, 4 deg [N]",
        got=[force.keel, force.rudder],
        expected=[943.0, 201.0],
        rtol=0.01,
        source="Gerritsma 1971 extended keel; Whicker and Fehlner 1958",
        kind="arithmetic",
        memory=True,
    )


def test_lift_slope_limits(outside):
    """Slender-wing and lifting-line limits frame the recalled formula from outside."""
    outside.close(
        id="H15b",
        what="lift slope over pi A / 2 as A goes to 0",
        got=leeway.lift_slope(1e-3) / (math.pi / 2 * 1e-3),
        expected=1.0,
        rtol=0.05,
        source="R.T. Jones, NACA Report 835, 1946",
    )
    ratio = leeway.lift_slope(8.0) / (2 * math.pi * 8.0 / (8.0 + 2.0))
    outside.within(
        id="H15c",
        what="lift slope over lifting line at A 8",
        got=ratio,
        low=0.88,
        high=1.0,
        source="L. Prandtl, lifting line",
    )
    behind = leeway.downwash(0.303, 6.67)
    outside.close(
        id="H16b",
        what="downwash by lifting line and by the Delft form [deg]",
        got=behind / DEG,
        expected=0.136 * math.sqrt(0.303 / 6.67) / DEG,
        rtol=0.02,
        source="Delft yacht practice",
        memory=True,
    )


def test_two_ways_to_count_the_hull_above_the_keel(outside):
    extended = KEEL.area_to_waterline * leeway.foil_lift_slope(KEEL)
    outside.within(
        id="H16c",
        what="keel with carry-over against extended keel, force per leeway",
        got=leeway.carry_over_area_slope(KEEL, SPORTSBOAT.draft_canoe) / extended,
        low=0.93,
        high=1.08,
        source="Keuning and Verwerft, CSYS 2009, against Gerritsma 1971",
        memory=True,
    )


def test_keel_wave_drag_and_profile_drag(outside):
    got = foils.keel_residuary(SPORTSBOAT, KEEL, SEA, [0.35, 0.45])
    outside.close(
        id="H17",
        what="wave drag of the keel at Froude 0.35 and 0.45 [N]",
        got=got,
        expected=[7.3, 42.2],
        atol=0.3,
        source=KS98,
        kind="arithmetic",
        memory=True,
    )
    got = foils.keel_residuary_rows(SPORTSBOAT, KEEL)[1] * SEA.weight(KEEL.volume)
    outside.close(
        id="H17b",
        what="all rows of the keel's wave drag [N]",
        got=got,
        atol=0.2,
        expected=[0.9, 3.9, 3.3, 7.3, 30.1, 42.2, 97.6, 115.8, 121.2],
        source=KS98,
        kind="arithmetic",
        memory=True,
    )
    outside.close(
        id="H17c",
        what="keel heel coefficient",
        got=foils.keel_heel_coefficient(SPORTSBOAT, 1.5),
        expected=1.065,
        atol=0.002,
        source=KS98,
        kind="arithmetic",
        memory=True,
    )
    got = [
        foils.foil_profile_drag(KEEL, SEA, 3.0),
        foils.bulb_profile_drag(BULB, SEA, 3.0),
        foils.foil_profile_drag(RUDDER, SEA, 3.0),
    ]
    outside.close(
        id="H04b",
        what="profile drag of fin, bulb, rudder at 3 m/s [N]",
        got=got,
        expected=[31.1, 17.2, 17.2],
        rtol=0.01,
        source="ITTC 1957 with Hoerner 1965",
        kind="arithmetic",
        memory=True,
    )


def test_planing_friction_term(outside):
    """Friction of the published example, with the chart's wetted length and the printed coefficient."""
    bottom, water = _example_bottom(), Water(1.99 * SLUG_PER_CUBIC_FOOT, 1.28e-5 * FOOT_M**2)
    line = lambda reynolds: np.full_like(np.asarray(reynolds, float), 0.00174)  # noqa: E731  the printed value
    got = planing.bottom_friction(
        bottom, water, 67.5 * FOOT_M, trim=2 * DEG, wetted_ratio=3.85, friction_line=line
    )
    outside.close(
        id="H18",
        what="friction of the published planing example [lbf]",
        got=got / POUND_FORCE_N,
        expected=7340.0,
        rtol=0.005,
        source=SAVITSKY,
    )


def test_planing_lift_coefficient(outside):
    """The printed chart reading frames the deadrise correction closely."""
    bottom, density = _example_bottom(), 1.99 * SLUG_PER_CUBIC_FOOT
    lift = bottom.weight / (0.5 * density * (67.5 * FOOT_M) ** 2 * bottom.beam**2)
    outside.within(
        id="H18b",
        what="flat-plate lift coefficient of the planing example",
        got=planing.flat_lift_for(lift, bottom.deadrise),
        low=0.082,
        high=0.084,
        source=f"{SAVITSKY}, recomputed",
    )


@pytest.mark.parametrize("density", [1.94, 1.99])
def test_planing_equilibrium(outside, density):
    water = Water(density * SLUG_PER_CUBIC_FOOT, 1.28e-5 * FOOT_M**2)
    state = planing.planing_equilibrium(
        _example_bottom(), water, 67.5 * FOOT_M, friction_line=friction.schoenherr_friction_coefficient
    )
    label = f"published planing example at {density} slug/ft3"
    outside.within(
        id="H19",
        what=f"trim of the {label} [deg]",
        got=state.trim / DEG,
        low=2.2 * 0.97,
        high=2.3 * 1.03,
        source=f"{SAVITSKY}; published trim from memory",
        memory=True,
    )
    outside.within(
        id="H19b",
        what=f"drag of the {label} [lbf]",
        got=state.resistance / POUND_FORCE_N,
        low=9000 * 0.97,
        high=9200 * 1.03,
        source=f"{SAVITSKY}, recomputed",
    )


def test_planing_drag_at_fixed_trim(outside):
    bottom, water = _example_bottom(), Water(1.94 * SLUG_PER_CUBIC_FOOT, 1.28e-5 * FOOT_M**2)
    trim = np.array([2.0, 3.0, 4.0]) * DEG
    wetted = planing.wetted_ratio_for_lift(bottom, water, 67.5 * FOOT_M, trim=trim)
    along = planing.bottom_friction(
        bottom,
        water,
        67.5 * FOOT_M,
        trim=trim,
        wetted_ratio=wetted,
        friction_line=friction.schoenherr_friction_coefficient,
    )
    drag = bottom.weight * np.tan(trim) + along / np.cos(trim)
    outside.close(
        id="H19c",
        what="drag of the planing example at 2, 3, 4 deg [lbf]",
        got=drag / POUND_FORCE_N,
        expected=[9440.0, 8260.0, 7830.0],
        rtol=0.03,
        source=f"{SAVITSKY}, recomputed",
    )


def test_preplaning(outside):
    rows, values = preplaning.preplaning_rows(SPORTSBOAT)
    got = [values[int(np.argmin(np.abs(rows - fnv)))] for fnv in (1.0, 1.5, 2.0)]
    outside.close(
        id="H20",
        what="pre-planing R/W at 100,000 lb, volume Froude 1.0, 1.5, 2.0",
        got=got,
        expected=[0.0311, 0.0767, 0.0974],
        atol=1e-4,
        source=MERCIER,
        kind="arithmetic",
        memory=True,
    )
    speed = _speed_at_volume_froude([1.0, 1.2, 1.4, 1.5, 1.6, 1.8, 2.0])
    got = preplaning.preplaning_resistance(SPORTSBOAT, SEA, speed).coefficient
    outside.close(
        id="H20b",
        what="pre-planing R/W at full size",
        got=got,
        atol=3e-4,
        expected=[0.0342, 0.0608, 0.0768, 0.0832, 0.0879, 0.0977, 0.1082],
        source=MERCIER,
        kind="arithmetic",
        memory=True,
    )


def test_preplaning_meets_planing(outside):
    drag = hull_drag.upright_drag(SPORTSBOAT, SEA, _speed_at_volume_froude(np.linspace(1.6, 2.0, 9)))
    outside.within(
        id="H21",
        what="planing over pre-planing drag, volume Froude 1.6 to 2.0",
        got=drag.planing / drag.preplaning,
        low=0.95,
        high=1.07,
        source=f"{SAVITSKY} against {MERCIER}",
        memory=True,
    )


def test_blend(outside):
    froude = [0.20, 0.25, 0.30, 0.35, 0.40, 0.45, 0.50, 0.55, 0.60, 0.65, 0.70, 0.80, 0.90, 1.00, 1.20]
    expected = [
        42.5,
        71.8,
        112.8,
        178.8,
        303.8,
        508.5,
        732.4,
        842.2,
        902.1,
        967.1,
        1039.6,
        1181.3,
        1291.6,
        1382.4,
        1543.0,
    ]
    got = hull_drag.upright_drag(SPORTSBOAT, SEA, _speed_at(froude)).total
    outside.close(
        id="H22",
        what="blended bare-hull drag of a light hull, Froude 0.20 to 1.20 [N]",
        got=got,
        expected=expected,
        rtol=0.015,
        source=f"{KS98}; {KK08}; {MERCIER}; {SAVITSKY}",
        kind="arithmetic",
        memory=True,
    )
    total = hull_drag.upright_drag(SPORTSBOAT, SEA, _speed_at(np.linspace(0.15, 1.25, 1101))).total
    outside.true(
        id="H22b",
        what="blended drag rises with speed, Froude 0.15 to 1.25",
        ok=bool(np.all(np.diff(total) > 0)),
        got=f"smallest step {np.diff(total).min():.3g} N",
        source="monotone drag of a planing hull",
        kind="practice",
    )


def test_hull_stability(outside):
    inertia = stability.waterplane_inertia(6.40, 1.90, 0.71)
    source = "D'Arcangelo's parametric form against the exact integral of a sine waterline"
    outside.close(
        id="H23",
        what="waterplane inertia [m4] and BM [m]",
        got=[inertia, inertia / 1.0927],
        expected=[1.990, 1.821],
        rtol=3e-3,
        source=source,
        memory=True,
    )
    along = np.linspace(0.0, math.pi, 20_001)
    exact = (2.0 / 3.0) * 0.95**3 * np.trapezoid(np.sin(along) ** 3, along) * 6.40 / math.pi
    sine = stability.waterplane_inertia(6.40, 1.90, 2.0 / math.pi)
    outside.close(
        id="H23b",
        what="waterplane inertia of a sine waterline [m4]",
        got=sine,
        expected=exact,
        rtol=0.03,
        source="integral of the sine waterline",
    )
    box = stability.waterplane_inertia(6.40, 1.90, 1.0)
    outside.close(
        id="H23c",
        what="waterplane inertia of a box [m4]",
        got=box,
        expected=6.40 * 1.90**3 / 12.0,
        rtol=0.04,
        source="second moment of a rectangle",
    )


def test_stability_of_an_estimated_boat(outside):
    """An invented 800 kg boat by hand: about 0.31 kN m a degree, empty and with people amidships."""
    boat = (stability.Mass(260, -1.25), stability.Mass(70, -0.70), stability.Mass(470, 0.45))
    empty = stability.Buoyancy(-0.07, 2.13)
    crewed = stability.Buoyancy(-0.085, 1.82)
    got = [
        stability.moment_per_degree(empty, boat),
        stability.moment_per_degree(crewed, (*boat, stability.Mass(320, 0.95))),
    ]
    outside.close(
        id="H24b",
        what="righting moment per degree of an invented boat [N m/deg]",
        got=got,
        expected=[310, 310],
        rtol=0.03,
        source="hydrostatics worked by hand",
        kind="arithmetic",
    )


def test_people(outside):
    outside.close(
        id="H24",
        what="moment of 320 kg at 1.11 m [N m]",
        got=stability.person_moment(320.0, off_centre=1.11),
        expected=3483.0,
        atol=1.0,
        source="statics",
        kind="arithmetic",
    )
    got = crew_weight.seated_offset(1.78, lean=45 * DEG, legs=-1)
    outside.close(
        id="H25",
        what="mass centre of a seated person, legs in, leaning 45 deg [m]",
        got=got,
        expected=0.063,
        atol=1e-3,
        source="Winter after Dempster; Drillis and Contini 1966",
        kind="arithmetic",
        memory=True,
    )
    got = crew_weight.seated_offset(1.0, lean=np.array([0, 45, 0, 20]) * DEG, legs=[-1, -1, 1, 1])
    outside.close(
        id="H25b",
        what="mass centre over stature, four postures",
        got=got,
        expected=[-0.0511, 0.0353, 0.0511, 0.0929],
        atol=2e-4,
        source="Winter after Dempster; Drillis and Contini 1966",
        kind="arithmetic",
        memory=True,
    )
    got = [crew_weight.segment_mass_sum("male"), crew_weight.segment_mass_sum("female")]
    outside.close(
        id="H26",
        what="segment masses of a body, male and female",
        got=got,
        expected=[1.0, 0.9999],
        atol=2e-4,
        source="de Leva, Journal of Biomechanics 29, 1996",
    )
    standing = 0.530 + crew_weight.hip_to_centre(1.0, lean=0.0, level=0.0)
    outside.close(
        id="H26b",
        what="standing mass centre over stature, three links against segments",
        got=standing,
        expected=crew_weight.STANDING_CENTRE["male"],
        atol=0.02,
        source="Winter after Dempster against de Leva 1996",
        memory=True,
    )


def test_waves(outside):
    got = waves.head_sea_resistance(SPORTSBOAT, SEA, [0.20, 0.30])
    outside.close(
        id="H27",
        what="added resistance at 0.30 m [N]",
        got=got[1],
        expected=82.8,
        atol=0.5,
        source="ISO 15016, STAwave-1",
        kind="arithmetic",
        memory=True,
    )
    outside.close(
        id="H27b",
        what="added resistance at 0.20 m [N]",
        got=got[0],
        expected=36.8,
        atol=0.5,
        source="ISO 15016, STAwave-1",
        kind="arithmetic",
        memory=True,
    )
