"""Answers about plays as plain values: snake_case keys, seconds as ``_s``, unknown is null."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from cringle.plays.duties import DutySheet
from cringle.plays.play_file import PlayFile
from cringle.plays.rehearsal import SkillSeen
from cringle.workflows.plays.learn import Learned
from cringle.workflows.plays.play import CheckedPlay, DealtPlay, Listed, RiskOfPlay
from cringle.workflows.plays.rehearse import Rehearsed

DIGITS = 3


def _rounded(values: Mapping[str, float]) -> dict[str, float]:
    return {name: round(value, DIGITS) for name, value in values.items()}


def _one(value: float | None) -> float | None:
    return None if value is None else round(value, DIGITS)


def listed_json(found: Sequence[Listed]) -> dict[str, Any]:
    """Return the list of plays."""
    return {
        "schema": 1,
        "plays": [
            {
                "id": one.play.id,
                "title": one.play.title,
                "kind": one.play.kind.value,
                "point": one.play.point,
                "techniques": [technique.value for technique in one.play.techniques],
                "wind_low_kn": one.play.wind_low_kn,
                "wind_high_kn": one.play.wind_high_kn,
                "roles": len(one.play.roles),
                "actions": len(one.play.actions),
                "from": "book" if one.own else "library",
                "runs": one.runs,
            }
            for one in found
        ],
    }


def checked_json(found: CheckedPlay) -> dict[str, Any]:
    """Return a checked play."""
    plan = found.checked.plan
    return {
        "schema": 1,
        "play": found.play.id,
        "feasible": plan.feasible,
        "proven": plan.proven,
        "makespan_s": _one(plan.makespan_s),
        "critical": list(plan.critical),
        "slack_s": _rounded(plan.slack_s),
        "start_s": _rounded(plan.start_s),
        "end_s": _rounded(plan.end_s),
        "latest_start_s": _rounded(plan.latest_start_s),
        "cue_s": _rounded(plan.cue_s),
        "who": dict(plan.deal),
        "conflicts": list(plan.conflicts),
        "loop": list(plan.loop),
        "off_rail_s": {
            person: [[round(start, DIGITS), round(end, DIGITS)] for start, end in spans]
            for person, spans in found.checked.off_rail_s.items()
        },
        "warnings": list(found.checked.warnings),
        "cautions": list(found.play.cautions),
    }


def play_json(play: PlayFile) -> dict[str, Any]:
    """Return a play as it is written."""
    return {
        "schema": 1,
        **play.model_dump(mode="json", by_alias=True),
    }


def dealt_json(found: DealtPlay) -> dict[str, Any]:
    """Return a play dealt anew."""
    dealt, checked = found.dealt, found.checked
    return {
        "schema": 1,
        "play": found.play.id,
        "hands": [one.id for one in found.hands],
        "status": dealt.status,
        "makespan_s": _one(dealt.makespan_s),
        "bound_s": _one(dealt.bound_s),
        "who": dict(dealt.deal),
        "start_s": _rounded(dealt.start_s),
        "changes": list(dealt.changes),
        "reason": dealt.reason or None,
        "conflicts": [] if checked is None else list(checked.plan.conflicts),
        "seconds_s": round(dealt.seconds, DIGITS),
    }


def risk_json(found: RiskOfPlay) -> dict[str, Any]:
    """Return what many runs of a play say."""
    risk = found.risk
    gap = None if risk.gap is None else {"mean_s": _one(risk.gap.mean_s), "sd_s": _one(risk.gap.sd_s)}
    return {
        "schema": 1,
        "play": found.play.id,
        "done_by": found.play.done_by,
        "p_done": _one(risk.p_done),
        "p50_s": _one(risk.p50_s),
        "p90_s": _one(risk.p90_s),
        "mean_s": _one(risk.mean_s),
        "sd_s": _one(risk.sd_s),
        "criticality": _rounded(risk.criticality),
        "second_saved_s": _rounded(risk.second_saved_s),
        "tack_head_gap_s": gap,
        "samples": risk.samples,
        "learned": sorted(found.learned),
    }


def duties_json(sheet: DutySheet) -> dict[str, Any]:
    """Return the communication sheet."""
    return {
        "schema": 1,
        "legs": list(sheet.file.legs),
        "duties": [one.model_dump(mode="json") for one in sheet.file.duties],
        "holes": list(sheet.holes),
        "overlaps": list(sheet.overlaps),
        "loads": list(sheet.loads),
    }


def rehearsed_json(found: Rehearsed) -> dict[str, Any]:
    """Return the record of a play so far."""
    return {
        "schema": 1,
        "play": found.play.id,
        "runs": len(found.runs),
        "progress": [
            {
                "day": one.day,
                "runs": one.runs,
                "best_s": _one(one.best_s),
                "median_s": _one(one.median_s),
                "afloat": one.afloat,
            }
            for one in found.progress
        ],
        "timings": {
            name: {
                "mean_s": _one(one.mean_s),
                "sd_s": _one(one.sd_s),
                "runs": one.runs,
                "duration_s": [round(part, DIGITS) for part in one.three_point_s],
            }
            for name, one in found.timings.items()
        },
    }


def learned_json(found: Learned) -> dict[str, Any]:
    """Return what a log added to a play."""
    return {
        **rehearsed_json(found.rehearsed),
        "schema": 1,
        "kept": found.kept,
        "known": found.known,
        "untimed": found.untimed,
    }


def skills_json(rows: Sequence[SkillSeen]) -> dict[str, Any]:
    """Return who has been seen in which role."""
    return {
        "schema": 1,
        "seen": [
            {
                "person": one.person,
                "role": one.role,
                "play": one.play,
                "runs": one.runs,
                "last": one.last.isoformat(),
            }
            for one in rows
        ],
    }
