from __future__ import annotations

from cringle.cli.rig_text import cautions_text, fit_text, rules_text, shape_text, whole, words
from cringle.rig.fit import RigFit
from cringle.rig.model import RigFactors
from cringle.rig.state import RigState


def test_words():
    assert words("cap_port") == "cap port"
    assert whole(-0.2) == "0"
    assert rules_text({"cap_shrouds": "between races"}) == "May be changed: cap shrouds between races."


def test_warnings_come_first():
    assert cautions_text(["Mind."], ["open"]) == ["", "Warning: open.", "Caution: Mind."]


def test_shape():
    state = RigState({}, 25.4, -0.2, 0.0, 0.0, {}, {}, 0.0, ())
    assert shape_text(state) == "prebend 25 mm, masthead 0 mm aft of the foot"


def test_fit():
    fit = RigFit(
        RigFactors(0.9, 1.0, 1.2), {"wire": 0.05, "mast": 0.1, "sag": 0.2}, (3.0, 4.0), (0.5, 0.5), 2
    )
    found = "\n".join(fit_text(fit, kept=True))
    assert "wire stiffness: 0.90 ± 0.05" in found
    assert "12.5 before, 0.2 after" in found
    assert found.endswith("Kept in the book.")
