"""The truth file: what the issue of a race says about itself."""

from __future__ import annotations

import json

from cringle.track.frozen_polar import FrozenPolar
from cringle.track.simulator.options import SimOptions
from cringle.track.simulator.simulate import simulate


def test_the_truth_is_plain_and_whole(sketch: FrozenPolar) -> None:
    options = SimOptions(laps=1, leg_m=400.0)
    truth = simulate(options, sketch, 9).boats[0].truth
    kept = json.loads(json.dumps(truth.to_json(options, 9), allow_nan=False))
    assert kept["seed"] == 9
    assert len(kept["time"]) == len(kept["twd_deg"]) == len(kept["tws_kn"])
    assert all(0.0 <= one < 360.0 for one in kept["twd_deg"])
    assert {one["kind"] for one in kept["manoeuvres"]} <= {"tack", "gybe"}
    assert all(one["metres_lost"] > 0.0 for one in kept["manoeuvres"])
    assert abs(sum(v for k, v in kept["ledger"].items() if k != "total") - kept["ledger"]["total"]) < 0.02
    assert kept["heel_bias_deg"] == round(truth.heel_bias_deg, 3)
    assert kept["options"]["leg_m"] == 400.0
