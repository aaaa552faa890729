import numpy as np
import pytest

from cringle.errors import InputError
from cringle.rig.base import base_tune
from cringle.rig.fit import Observation, fit_factors
from cringle.rig.model import RigFactors
from cringle.rig.state import quantities, quantity_names
from cringle.rig.turns import Setting, role_turns, solve_setting
from cringle.rig.wind_load import upwind_load

TRUE = RigFactors(wire=0.92, mast=1.05, sag=1.25)


@pytest.fixture(scope="module")
def observed(files):
    """Readings of a boat whose stiffness we know, with a fixed spread."""
    rng = np.random.default_rng(7)
    real = base_tune(files.class_file, files.boat_file, factors=TRUE)
    names = quantity_names(real.model)
    found = []
    for turns, wind in (
        ({"cap_shrouds": 3.0}, 0.0),
        ({"lower_shrouds": 3.0}, 0.0),
        ({"cap_shrouds": 1.0}, 12.0),
    ):
        load = upwind_load(files.class_file, wind, crew_kg=320.0)
        setting = Setting(role_turns(real.model, turns), 0.0, load)
        state = solve_setting(real, setting)
        values = quantities(state.model, state.equilibrium.position, state.equilibrium.tension)
        wanted = {"cap_port_n": 30.0, "lower_starboard_n": 30.0, "prebend_mm": 1.0}
        if wind:
            wanted["sag_mm"] = 4.0
        for name, spread in wanted.items():
            value = float(values[names.index(name)]) + 0.5 * spread * rng.standard_normal()
            found.append(Observation(name, value, spread, setting))
    return found


def test_fit_moves_toward_the_truth(files, observed):
    found = fit_factors(files.class_file, files.boat_file, observed)
    for name in ("wire", "mast", "sag"):
        assert abs(getattr(found.factors, name) - getattr(TRUE, name)) < found.half_width[name] + 0.02
    assert found.factors.wire < 0.97
    assert found.factors.sag > 1.1
    assert sum(one**2 for one in found.after) < 0.3 * sum(one**2 for one in found.before)
    assert found.count == len(observed)


def test_one_wild_reading_moves_little(files, observed):
    setting = observed[0].setting
    found = fit_factors(
        files.class_file, files.boat_file, [Observation("cap_port_n", 9000.0, 2000.0, setting)]
    )
    assert abs(found.factors.wire - 1.0) < 0.06


def test_nothing_to_fit(files):
    with pytest.raises(InputError, match="no measurements away from the base"):
        fit_factors(files.class_file, files.boat_file, [])


def test_unknown_quantity(files, observed):
    odd = Observation("kicker_n", 100.0, 10.0, observed[0].setting)
    with pytest.raises(InputError, match="no quantity 'kicker_n'"):
        fit_factors(files.class_file, files.boat_file, [odd])
