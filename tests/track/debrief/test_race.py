from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from cringle.errors import InputError
from cringle.track.debrief.race import Race, RaceOptions, race_of
from cringle.track.debrief.race_as_json import ABSENT, race_json
from cringle.track.frozen_polar import sketch_polar
from cringle.track.heel.felt import Felt
from cringle.track.ledger.ledger import Baseline
from cringle.track.reading.complete import complete
from cringle.track.series import series_of
from cringle.track.simulator.options import SimCrew, SimOptions, SimSensors
from cringle.track.simulator.simulate import SimBoat, simulate
from cringle.track.turns.tacks import find_manoeuvres
from cringle.track.wind.estimate import estimate_wind
from cringle.track.wind.series import with_wind
from cringle.track.wind.strength import entered_strength

POLAR = sketch_polar()


def boat(seed: int = 1, *, instruments: bool = True, heel: bool = True, bias: float | None = None) -> SimBoat:
    sensors = SimSensors(instruments=instruments, heel=heel, rate_hz=1.0)
    crew = replace(SimCrew(), heel_bias_deg=bias)
    return simulate(SimOptions(leg_m=700.0, sensors=sensors, crew=crew), POLAR, seed).boats[0]


def race(one: SimBoat, options: RaceOptions | None = None, wind_kn: float | None = None) -> Race:
    full = complete(series_of(one.track()))
    strength = None if wind_kn is None else entered_strength(wind_kn)
    wind = estimate_wind(full, polar=POLAR, strength=strength)
    assert wind is not None
    log = with_wind(full, wind)
    found = find_manoeuvres(log)
    assert found is not None
    return race_of(log, wind, found.manoeuvres, options or RaceOptions(POLAR))


@pytest.fixture(scope="module")
def simulated() -> SimBoat:
    return boat()


@pytest.fixture(scope="module")
def found(simulated: SimBoat) -> Race:
    return race(simulated)


def test_legs_and_manoeuvres(found: Race, simulated: SimBoat):
    assert [one.leg.kind for one in found.legs if one.ledger] == ["up", "run", "up", "run"]
    assert [one.name for one in found.legs if one.ledger] == ["beat 1", "run 1", "beat 2", "run 2"]
    assert len(found.manoeuvres) == len(simulated.truth.manoeuvres)


def test_legs_add_up_to_the_race(found: Race):
    assert found.ledger is not None
    parts = sum(one.ledger.total.seconds for one in found.legs if one.ledger)
    assert parts == pytest.approx(found.ledger.total.seconds, abs=1e-6)
    sides = sum(side.lost_s for one in found.legs for side in (one.starboard, one.port) if side)
    assert sides == pytest.approx(found.ledger.total.seconds, abs=0.5)


def test_without_heel_it_is_left_out_and_said():
    blind = race(boat(heel=False))
    assert blind.heel is None
    assert blind.ledger is not None
    assert blind.ledger.part("heel").seconds == 0.0
    assert any("Heel was not measured" in one for one in blind.notes)


def test_a_borrowed_polar_is_said(simulated: SimBoat):
    assert any("not yours" in one for one in race(simulated, RaceOptions(POLAR, boat_known=False)).notes)


def test_an_inferred_wind_is_said():
    assert any("inferred from your own speed" in one for one in race(boat(instruments=False)).notes)


def test_an_entered_wind_widens_less_than_an_inferred_one():
    one = boat(instruments=False)
    entered, inferred = race(one, wind_kn=10.0), race(one)
    assert entered.ledger is not None and inferred.ledger is not None
    widths = [each.ledger.total.high - each.ledger.total.low for each in (entered, inferred) if each.ledger]
    assert widths[0] < widths[1]


def test_the_own_best_tenth_is_nearer(simulated: SimBoat, found: Race):
    own = race(simulated, RaceOptions(POLAR, baseline="own"))
    assert own.ledger is not None and found.ledger is not None
    assert own.ledger.baseline == "own best tenth"
    assert own.ledger.part("trim").seconds < found.ledger.part("trim").seconds


def test_another_boat_as_baseline(simulated: SimBoat):
    held = race(simulated, RaceOptions(POLAR, baseline="boat", other=Baseline(POLAR, 0.9, 0.9, "Sorrel")))
    assert held.ledger is not None
    assert held.ledger.baseline == "Sorrel"


@pytest.mark.parametrize(("name", "words"), [("boat", "no boat"), ("fitted", "no fitted targets")])
def test_a_baseline_that_cannot_be_had(simulated: SimBoat, name: str, words: str):
    with pytest.raises(InputError, match=words):
        race(simulated, RaceOptions(POLAR, baseline=name))


def test_an_unknown_baseline():
    with pytest.raises(InputError, match="model, fitted, own, boat"):
        RaceOptions(POLAR, baseline="best")


def test_given_heel_targets_go_first(simulated: SimBoat, found: Race):
    moved = race(simulated, RaceOptions(POLAR, targets_deg={"upwind": 25.0}))
    assert moved.heel is not None and moved.heel.upwind is not None
    assert found.heel is not None and found.heel.upwind is not None
    assert moved.heel.upwind.error_mean_deg < found.heel.upwind.error_mean_deg - 3.0
    assert moved.heel.run == found.heel.run


def test_felt_against_measured(simulated: SimBoat, found: Race):
    rows = np.flatnonzero(np.isfinite(found.sailing.heel_deg))[100::200]
    felt = tuple(Felt(found.sailing.at(int(row)), "helm", found.sailing.heel_deg[row] - 4.0) for row in rows)
    said = race(simulated, RaceOptions(POLAR, felt=felt)).felt
    assert said[0].bias_deg == pytest.approx(-4.0, abs=1.5)


def test_advice_is_at_most_three_with_one_of_each(found: Race):
    kinds = [one.kind for one in found.advice]
    assert len(kinds) <= 3
    assert len(set(kinds)) == len(kinds)
    assert "change" in kinds


def test_pictures_one_for_each_leg(found: Race):
    assert len(found.pictures) == len(found.legs)
    assert all(one.across_m.size == one.up_m.size for one in found.pictures)
    marks = sum(len(one.losses) for one in found.pictures)
    assert marks == len(found.manoeuvres)


def test_json_is_plain_and_has_what_is_promised(found: Race):
    values = race_json(found)
    text = json.loads(json.dumps(values, allow_nan=False))
    assert set(text) == set(ABSENT)
    assert set(text["twd_deg"]) == {"mean", "spread"}
    assert text["ledger"]["total"] == pytest.approx(
        sum(value for name, value in text["ledger"].items() if name != "total"), abs=0.5
    )
    assert {"name", "kind", "duration_s", "ledger"} <= set(text["legs"][0])


def test_without_a_race_the_keys_stay():
    assert set(race_json(None)) == set(ABSENT)
