"""Trials as plain JSON data: units in the names, unknown is null."""

from __future__ import annotations

import math
from typing import Any

from cringle.book.rows import time_text
from cringle.trials.noise import Estimate
from cringle.trials.optimum import Influence
from cringle.trials.pair import PairResult
from cringle.workflows.trials.accept import Decision, Proposal, proposals, stage_proposals
from cringle.workflows.trials.evidence import Evidence, RoleEvidence, Tips
from cringle.workflows.trials.records import Outcome, Trial
from cringle.workflows.trials.result import Judged
from cringle.workflows.trials.trial import Planned

Json = dict[str, Any]


def rounded(value: float | None, digits: int = 3) -> float | None:
    """Return a number rounded for JSON, None when it is not finite."""
    return None if value is None or not math.isfinite(value) else round(float(value), digits)


def trial_json(trial: Trial) -> Json:
    """Return one trial."""
    return {
        "id": trial.id,
        "text": trial.text,
        "state": trial.state,
        "role": trial.role,
        "from": trial.start,
        "to": trial.to,
        "table": trial.table if trial.table is not None else trial.start,
        "unit": trial.unit,
        "wind_kn": trial.wind_kn,
        "sail_set": trial.sail_set,
        "sea": trial.sea,
        "gear": trial.gear,
        "kind": trial.kind,
        "other": trial.other or None,
        "minutes": trial.minutes,
        "swaps": trial.swaps,
        "matters_m_per_min": rounded(trial.matters_m_per_min),
        "outing": trial.outing,
        "carried": [{"at_utc": time_text(one.at), "who": one.who} for one in trial.carried],
        "stopped_utc": None if trial.stopped is None else time_text(trial.stopped),
    }


def planned_json(found: Planned) -> Json:
    """Return a plan with its power."""
    return {
        "schema": 1,
        **trial_json(found.trial),
        "block_minutes": rounded(found.plan.block_min),
        "effective_samples": rounded(found.plan.effective_samples, 1),
        "power": rounded(found.plan.power),
        "noise_sd_m_per_min": rounded(found.noise.sd_m_per_min),
        "noise_forgetting_s": rounded(found.noise.forgetting_s, 1),
        "past_pairs": found.noise.pairs,
        "cautions": list(found.cautions),
    }


def result_json(found: Judged) -> Json:
    """Return what a trial showed; without logs every number is null."""
    pair = found.pair
    plain: Json = {
        "schema": 1,
        "trial": trial_json(found.trial),
        "used": found.outcome.used,
        "why_not_used": found.outcome.why_not,
        "note": found.outcome.note or None,
        "observation": outcome_json(found.outcome),
    }
    return {**plain, **(_no_pair() if pair is None else pair_json(pair))}


def pair_json(pair: PairResult) -> Json:
    """Return the comparison behind a result."""
    return {
        **_estimate("gain_m_per_min", pair.gain),
        **_estimate("height_m_per_min", pair.height),
        **_estimate("speed_m_per_min", pair.speed),
        **_estimate("boat_m_per_min", pair.boat),
        **_estimate("gradient_m_per_min_per_100_m", pair.gradient),
        "always_valid_m_per_min_low": rounded(pair.always_low),
        "always_valid_m_per_min_high": rounded(pair.always_high),
        "usable_minutes": rounded(pair.usable_min, 2),
        "effective_minutes": rounded(pair.effective_min, 2),
        "effective_samples": rounded(pair.gain.effective_samples, 2),
        "noise_sd_m_per_min": rounded(pair.noise.one_minute_sd),
        "noise_forgetting_s": rounded(pair.noise.forgetting_s, 1),
        "verdict": pair.verdict.words,
        "answer": pair.verdict.answer.value,
        "minutes_still_needed": rounded(pair.verdict.minutes_still_needed, 1),
        "second_opinion_m_per_min_low": None
        if pair.second_opinion is None
        else rounded(pair.second_opinion.low),
        "second_opinion_m_per_min_high": None
        if pair.second_opinion is None
        else rounded(pair.second_opinion.high),
        "left_out_minutes": {name: rounded(minutes, 2) for name, minutes in pair.left_out_min.items()},
        "stretches": [_stretch(one) for one in pair.stretches],
        "notes": list(pair.notes),
    }


def _stretch(one: Any) -> Json:
    return {
        "start_utc": time_text(one.start),
        "end_utc": time_text(one.end),
        "tack": one.tack,
        "leg": one.leg,
        "carried": {1: "us", -1: "them", 0: "nobody"}[one.carried],
        "gain_m_per_min": rounded(one.gain_m_per_min),
        "height_m_per_min": rounded(one.height_m_per_min),
        "speed_m_per_min": rounded(one.speed_m_per_min),
        "heel_deg": rounded(one.heel_deg[0], 1),
        "other_heel_deg": rounded(one.heel_deg[1], 1),
    }


def _estimate(name: str, one: Estimate | None) -> Json:
    ends = (None, None, None) if one is None else (one.value, one.low, one.high)
    return dict(zip((name, f"{name}_low", f"{name}_high"), map(rounded, ends), strict=True))


def _no_pair() -> Json:
    parts = [_estimate(name, None) for name in ("gain_m_per_min", "height_m_per_min", "speed_m_per_min")]
    rest: Json = {
        "effective_minutes": None,
        "verdict": "kept in words",
        "minutes_still_needed": None,
        "stretches": [],
    }
    return {**parts[0], **parts[1], **parts[2], **rest}


def outcome_json(one: Outcome) -> Json:
    """Return one observation with everything that stood around it."""
    return {
        "trial": one.trial,
        "outing": one.outing,
        "kind": one.kind,
        "role": one.role,
        "tried": one.tried,
        "reference": one.reference,
        "unit": one.unit,
        "wind_kn": rounded(one.wind_kn, 2),
        "sea": one.sea,
        "sail_set": one.sail_set,
        "gear": one.gear,
        "people": list(one.people),
        "sail_used_h": dict(one.sail_hours),
        "heel_deg": rounded(one.heel_deg, 1),
        "settings": dict(one.settings),
        "deviation_steps": {role: rounded(steps, 2) for role, steps in one.deviations.items()},
        "gain_m_per_min": rounded(one.gain),
        "gain_m_per_min_low": rounded(one.low),
        "gain_m_per_min_high": rounded(one.high),
        "swapped": one.swapped,
        "used": one.used,
        "why_not_used": one.why_not,
    }


def evidence_json(found: Evidence) -> Json:
    """Return the evidence over the table with what it proposes."""
    return {
        "schema": 1,
        "sail_set": found.row.sail_set,
        "sea": found.row.sea,
        "gear": found.row.gear,
        "roles": [_role(one) for one in found.roles],
        "proposals": [proposal_json(one) for one in proposals(found)],
        "next_stage": stage_proposals(found),
        "not_used": [outcome_json(one) for one in found.unused],
    }


def _role(role: RoleEvidence) -> Json:
    rows = []
    for one in role.findings:
        wind_kn = one.cell.wind_kn
        rows.append(
            {
                "wind_kn": wind_kn,
                "table": role.table[wind_kn],
                "best": rounded(role.number(wind_kn, one.best)),
                "best_low": rounded(role.number(wind_kn, one.best_low)),
                "best_high": rounded(role.number(wind_kn, one.best_high)),
                "chance_within_half_step": rounded(one.chance_within_half),
                "chance_flat": rounded(one.chance_flat),
                "gain_m_per_min": rounded(one.gain),
                "gain_m_per_min_low": rounded(one.gain_low),
                "gain_m_per_min_high": rounded(one.gain_high),
                "state": one.state,
                "observations": one.observations,
                "carried_by": [
                    {
                        "observation": each.name,
                        "trust": rounded(each.trust),
                        "shift_steps": rounded(each.shift),
                    }
                    for each in role.influences.get(wind_kn, ())
                ],
            }
        )
    return {"role": role.scale.role, "unit": role.scale.unit, "step": role.scale.step, "winds": rows}


def _influence(one: Influence) -> Json:
    return {"observation": one.name, "trust": rounded(one.trust), "shift_steps": rounded(one.shift)}


def proposal_json(one: Proposal) -> Json:
    """Return one proposed change."""
    return {
        "role": one.role,
        "wind_kn": one.wind_kn,
        "from": one.before,
        "to": one.after,
        "unit": one.unit,
        "gain_m_per_min": rounded(one.gain),
        "sd_m_per_min": rounded(one.sd),
        "chance": rounded(one.chance),
        "observations": one.observations,
        "because": list(one.because),
    }


def decision_json(found: Decision) -> Json:
    """Return what was decided."""
    return {"schema": 1, "decided": found.decided, **proposal_json(found.proposal)}


def tips_json(found: Tips) -> list[Json]:
    """Return what to try, most worth first."""
    return [
        {
            "role": one.role,
            "from": one.start,
            "to": one.to,
            "against": one.against,
            "unit": one.unit,
            "reason": one.reason,
            "expected_gain_m_per_min": rounded(one.worth_m_per_min),
            "trial_gain_m_per_min": rounded(one.gain_m_per_min),
            "sd_m_per_min": rounded(one.sd_m_per_min),
        }
        for one in found.tips
    ]
