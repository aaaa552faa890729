"""Answers about the rig as JSON: one name per quantity, unit in the name, unknown is null."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from cringle.rig.cautions import LOAD_CAUTIONS, RACING_CAUTION, RIG_CAUTIONS, SCREW_CAUTIONS
from cringle.rig.fit import RigFit
from cringle.rig.sheet import SheetRow
from cringle.rig.state import RigState
from cringle.workflows.rig.backstay import BackstayAnswer, LoadsAnswer
from cringle.workflows.rig.choose import ChooseAnswer
from cringle.workflows.rig.measure import CheckAnswer, MeasureAnswer
from cringle.workflows.rig.rig import BaseAnswer, SheetAnswer, SolveAnswer, TurnsAnswer
from cringle.workflows.rig.shape import ShapeAnswer

Json = dict[str, Any]


def plain(value: float | None, digits: int = 1) -> float | None:
    """Return a number rounded for reading; null where there is none or it is not finite; never minus zero."""
    if value is None or not math.isfinite(value):
        return None
    return round(value, digits) + 0.0


def rounded(values: Mapping[str, float], digits: int = 1) -> dict[str, float | None]:
    """Return a mapping of numbers rounded for reading."""
    return {name: plain(value, digits) for name, value in values.items()}


def state_json(state: RigState) -> Json:
    """Return a rig's state."""
    return {
        "tensions_n": rounded(state.tensions_n, 0),
        "upper_tensions_n": rounded(state.upper_tensions_n, 0),
        "prebend_mm": plain(state.prebend_mm),
        "sag_mm": plain(state.sag_mm),
        "rake_mm": plain(state.rake_mm),
        "tip_offset_mm": plain(state.tip_to_leeward_mm),
        "spreader_tips_mm": rounded(state.spreader_tip_mm),
        "compression_n": plain(state.compression_n, 0),
        "slack": list(state.slack),
    }


def turns_json(found: TurnsAnswer) -> Json:
    """Return the answer for some turns: the dock's state, the sag of the wind, sensitivities."""
    dock, sailing = state_json(found.dock.state), state_json(found.sailing.state)
    table, underway = found.sensitivity, found.sailing_sensitivity
    per_turn = {
        screw: {
            name: plain((underway if name == "sag_mm" else table).of(name, screw), 2) for name in table.names
        }
        for screw in table.screws
    }
    return {
        "schema": 1,
        "turns": rounded(found.turns, 2),
        **dock,
        "sag_mm": sailing["sag_mm"],
        "wind_kn": found.wind_kn,
        "sailing": sailing,
        "per_turn": per_turn,
        "rule_state": found.rule_states,
        "warnings": list(found.warnings),
        "cautions": [*RIG_CAUTIONS, RACING_CAUTION],
    }


def base_json(found: BaseAnswer) -> Json:
    """Return the base tune."""
    lengths = {
        one.name if one.is_lower else f"{one.name}_upper": plain(1000.0 * float(length), 1)
        for one, length in zip(found.base.model.strands, found.base.unstressed, strict=True)
    }
    return {
        "schema": 1,
        "source": "measured" if found.is_measured else "entered",
        **state_json(found.base.state),
        "sag_mm": None,
        "mast_curve_mm": plain(1000.0 * found.base.model.bow_m),
        "unstressed_mm": lengths,
        "factors": asdict(found.factors),
        "recorded_turns": rounded(found.turns, 2),
        "warnings": list(found.warnings),
        "cautions": list(RIG_CAUTIONS),
    }


def solve_json(found: SolveAnswer) -> Json:
    """Return the turns for what was wanted."""
    answer = found.proposal
    targets = [
        {
            "quantity": one.name,
            "kind": one.kind,
            "wanted": one.value,
            "reached": plain(value),
            "sailing": one.sailing,
        }
        for one, value in zip(found.targets, answer.reached, strict=True)
    ]
    return {
        "schema": 1,
        "turns": rounded(answer.turns, 2),
        "turns_exact": rounded(answer.exact, 2),
        "turns_low": {
            name: plain(value - answer.half_width[name], 2) for name, value in answer.exact.items()
        },
        "turns_high": {
            name: plain(value + answer.half_width[name], 2) for name, value in answer.exact.items()
        },
        "targets": targets,
        "wind_kn": found.wind_kn,
        "dock": state_json(answer.dock.state),
        "sailing": state_json(answer.solved.state),
        "rule_state": found.rule_states,
        "warnings": list(found.warnings),
        "cautions": [*SCREW_CAUTIONS, RACING_CAUTION],
    }


def row_json(row: SheetRow) -> Json:
    """Return one row of a tune sheet."""
    return {
        "wind_kn": row.wind_kn,
        "turns": rounded(row.turns, 2),
        "turns_half_width": rounded(row.turns_half_width, 2) or None,
        "source": str(row.source),
        "backstay_pull_mm": plain(row.backstay_pull_mm),
        "tensions_n": rounded(row.dock.tensions_n, 0),
        "prebend_mm": plain(row.dock.prebend_mm),
        "sag_mm": plain(row.sailing.sag_mm),
        "sag_mm_low": plain(max(row.sailing.sag_mm - row.sag_half_width_mm, 0.0)),
        "sag_mm_high": plain(row.sailing.sag_mm + row.sag_half_width_mm),
        "sailing": state_json(row.sailing),
        "notes": list(row.notes),
    }


def sheet_json(found: SheetAnswer) -> Json:
    """Return a tune sheet."""
    return {
        "schema": 1,
        "boat": found.boat,
        "base": "measured" if found.is_measured else "entered",
        "rows": [row_json(row) for row in found.rows],
        "rule_state": found.rule_states,
        "rules": found.rules,
        "warnings": list(found.warnings),
        "cautions": [*RIG_CAUTIONS, RACING_CAUTION],
    }


def choose_json(found: ChooseAnswer) -> Json:
    """Return the candidates for a forecast."""
    costs = None if found.costs is None else asdict(found.costs)
    candidates = [
        {
            "row_kn": one.row_kn,
            "turns": rounded(one.turns, 2),
            "loss_s_per_mile": plain(one.expected_s_per_mile, 2),
            "loss_s_per_mile_low": plain(one.low_s_per_mile, 2),
            "loss_s_per_mile_high": plain(one.high_s_per_mile, 2),
            "worst_s_per_mile": plain(one.worst_s_per_mile, 2),
            "behind_s_per_mile": plain(one.behind_s_per_mile, 2),
        }
        for one in found.candidates
    ]
    return {
        "schema": 1,
        "candidates": candidates,
        "forecast": {"wind_kn": list(found.forecast.winds_kn), "weight": list(found.forecast.weights)},
        "costs": costs,
        "costs_source": "entered table"
        if costs is None
        else "assumed, no source; replace them with your own",
        "rule_state": found.rule_states,
        "warnings": list(found.warnings),
        "cautions": [*SCREW_CAUTIONS, RACING_CAUTION],
    }


def _half_travel(found: BackstayAnswer) -> Json:
    """Return where the top load sits in the travel, and the coarse lengths that would move it."""
    advice = found.advice
    return {
        "top_load_n": plain(advice.top_load_n, 0),
        "top_load_source": found.top_load_source,
        "at_pct": plain(advice.at_pct),
        "shorten_coarse_mm": plain(advice.shorten_mm),
        "then_at_pct": plain(advice.then_at_pct),
        "then_least_pct": plain(advice.then_least_pct),
        "slack_travel_pct": plain(advice.slack_travel_pct),
        "words": advice.words,
        "coarse": [
            {
                "shorten_mm": plain(one.shorten_mm),
                "top_at_pct": plain(one.top_at_pct),
                "least_at_pct": plain(one.least_at_pct),
                "off_both_ends": one.is_off_both_ends,
            }
            for one in advice.coarse
        ],
    }


def backstay_json(found: BackstayAnswer) -> Json:
    """Return everything about the backstay."""
    rows = [{name: plain(value, 2) for name, value in asdict(row).items()} for row in found.rows]
    return {
        "schema": 1,
        "kind": found.backstay.kind,
        "wind_kn": found.wind_kn,
        "rows": rows,
        "half_travel_advice": _half_travel(found),
        "winds": [
            {
                **{name: plain(value) for name, value in asdict(one).items() if name != "is_slack"},
                "slack": one.is_slack,
            }
            for one in found.winds
        ],
        "upper_leg": [
            {
                name: value if isinstance(value, str) else plain(value, 2)
                for name, value in asdict(one).items()
            }
            for one in found.legs
        ],
        "warnings": list(found.warnings),
        "cautions": list(RIG_CAUTIONS),
    }


def loads_json(found: LoadsAnswer) -> Json:
    """Return working loads and margins."""
    rows = [
        {
            name: value if isinstance(value, str) else plain(value, 2 if name == "margin" else 0)
            for name, value in asdict(row).items()
        }
        for row in found.rows
    ]
    return {
        "schema": 1,
        "winds_kn": list(found.winds_kn),
        "design_factor": found.factor.value,
        "design_factor_source": found.factor.source,
        "rows": rows,
        "warnings": list(found.warnings),
        "cautions": list(LOAD_CAUTIONS),
    }


def measure_json(found: MeasureAnswer) -> Json:
    """Return a measurement beside the model."""
    reading = found.reading
    return {
        "schema": 1,
        "wire": reading.wire,
        "method": reading.method,
        "tension_n": plain(reading.tension_n),
        "tension_n_low": plain(reading.low_n),
        "tension_n_high": plain(reading.high_n),
        "frequency_hz": plain(reading.frequency_hz, 3),
        "inharmonicity": reading.inharmonicity,
        "expected_n": plain(found.expected_n),
        "difference_pct": plain(found.difference_pct),
        "turns": rounded(found.turns, 2),
        "kept": found.kept,
        "notes": list(reading.notes),
        "warnings": list(found.warnings),
        "cautions": list(SCREW_CAUTIONS),
    }


def shape_json(found: ShapeAnswer) -> Json:
    """Return a measured shape beside the model."""
    rows = [
        {
            "quantity": one.quantity.removesuffix("_mm"),
            "measured_mm": plain(one.measured_mm),
            "expected_mm": plain(one.expected_mm),
            "expected_mm_low": plain(one.expected_mm - one.half_width_mm),
            "expected_mm_high": plain(one.expected_mm + one.half_width_mm),
            "within": one.is_within,
        }
        for one in found.rows
    ]
    return {
        "schema": 1,
        "wind_kn": found.wind_kn,
        "backstay_pull_mm": found.backstay_pull_mm,
        "rows": rows,
        "kept": found.kept,
        "warnings": list(found.warnings),
    }


def check_json(found: CheckAnswer) -> Json:
    """Return the symmetry and mast-in-the-middle checks."""
    pairs = [
        {
            "wire": one.wire,
            "port_n": plain(one.port_n),
            "starboard_n": plain(one.starboard_n),
            "differ": one.differ,
            "words": one.words,
        }
        for one in found.pairs
    ]
    middle = None
    if found.middle is not None:
        middle = {
            "offset_mm": plain(found.middle.offset_mm),
            "off": found.middle.is_off,
            "words": found.middle.words,
        }
    return {"schema": 1, "pairs": pairs, "middle": middle, "tensions_n": rounded(found.measured)}


def fit_json(found: RigFit, *, kept: bool) -> Json:
    """Return fitted factors."""
    values = asdict(found.factors)
    return {
        "schema": 1,
        "factors": rounded(values, 3),
        "factors_low": {name: plain(value - found.half_width[name], 3) for name, value in values.items()},
        "factors_high": {name: plain(value + found.half_width[name], 3) for name, value in values.items()},
        "misses_before": [plain(one, 2) for one in found.before],
        "misses_after": [plain(one, 2) for one in found.after],
        "n": found.count,
        "kept": kept,
    }
