"""Answers about trials as JSON: the unit on every key, unknown is null."""

from __future__ import annotations

import json
from pathlib import Path

from trial_days import keep

from cringle.workflows.trials.as_json import evidence_json, rounded, tips_json
from cringle.workflows.trials.evidence import show_evidence, suggest_trials


def test_unknown_is_null_and_numbers_are_cut_to_size() -> None:
    assert rounded(None) is None
    assert rounded(float("nan")) is None
    assert rounded(1.23456) == 1.235
    assert rounded(1.23456, 1) == 1.2


def test_evidence_and_suggestions_can_be_written_down(trial_folder: Path) -> None:
    keep(trial_folder, 4, 3.0)
    evidence = json.loads(json.dumps(evidence_json(show_evidence(trial_folder)), allow_nan=False))
    assert evidence["schema"] == 1
    tips = json.loads(json.dumps(tips_json(suggest_trials(trial_folder, 11.0)), allow_nan=False))
    assert 1 <= len(tips) <= 3
    for tip in tips:
        assert {"role", "from", "to", "reason", "expected_gain_m_per_min", "sd_m_per_min"} <= set(tip)
        assert tip["to"] != tip["from"]
