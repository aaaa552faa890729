"""The race inside a log as plain values for JSON: snake_case, a unit on every key, unknown is null."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any, Final

from cringle.track.debrief.race import Race, RaceLeg, Side
from cringle.track.heel.discipline import HeelDiscipline, HeelShare
from cringle.track.ledger.interval import Ledger, LedgerPart
from cringle.track.turns.loss import TRACE_S
from cringle.track.turns.manoeuvre import Judged, KindSummary

ABSENT: Final[Mapping[str, Any]] = {
    "twd_deg": None,
    "wind_source": None,
    "legs": None,
    "ledger": None,
    "ledger_detail": None,
    "advice": [],
    "heel_discipline": None,
    "heel_spotted": None,
    "felt": [],
    "manoeuvre_summary": None,
    "structure": None,
}
"""What stands in the JSON where no race could be made out."""


def race_json(race: Race | None) -> dict[str, Any]:
    """Return the race as plain values; the same keys whether there is one or not."""
    if race is None:
        return dict(ABSENT)
    return {
        "twd_deg": {"mean": race.wind_from_deg, "spread": race.wind_spread_deg},
        "wind_source": {"direction": race.wind.direction_source, "strength": race.wind.strength_source},
        "legs": [_leg(one) for one in race.legs],
        "ledger": None if race.ledger is None else race.ledger.to_json(),
        "ledger_detail": None if race.ledger is None else ledger_json(race.ledger),
        "advice": [
            {
                "kind": one.kind,
                "cause": one.cause,
                "what": one.what,
                "where": one.where,
                "how": one.how,
                "cost_s": one.seconds,
            }
            for one in race.advice
        ],
        "heel_discipline": None if race.heel is None else _heel(race.heel),
        "heel_spotted": None if race.spotted is None else asdict(race.spotted),
        "felt": [asdict(one) for one in race.felt],
        "manoeuvre_summary": {one.kind: _kind(one) for one in race.kinds},
        "structure": race.structure.to_json(),
    }


def ledger_json(ledger: Ledger) -> dict[str, Any]:
    """Return a ledger with its intervals."""
    return {
        "baseline": ledger.baseline,
        "sailed_s": ledger.sailed_s,
        "heel_known": ledger.heel_known,
        "not_told_apart_s": ledger.withheld_s,
        "not_told_apart": list(ledger.withheld),
        "total": _part(ledger.total),
        "parts": {one.name: _part(one) for one in ledger.parts},
    }


def _part(part: LedgerPart) -> dict[str, Any]:
    return {
        "lost_s": part.seconds,
        "lost_s_low": part.low,
        "lost_s_high": part.high,
        "told_apart": part.told_apart,
    }


def _leg(one: RaceLeg) -> dict[str, Any]:
    leg = one.leg
    return {
        "name": one.name,
        "kind": leg.kind,
        "race": leg.race,
        "start": leg.start_at.isoformat(),
        "end": leg.end_at.isoformat(),
        "duration_s": leg.seconds,
        "mark": leg.mark,
        "made_good_m": leg.made_good_m,
        "confidence": leg.confidence,
        "ledger": None if one.ledger is None else one.ledger.to_json(),
        "wind_from_starboard": _side(one.starboard),
        "wind_from_port": _side(one.port),
    }


def _side(side: Side | None) -> dict[str, Any] | None:
    return None if side is None else {"sailed_s": side.sailed_s, "lost_s": side.lost_s}


def _share(share: HeelShare | None) -> dict[str, Any] | None:
    return None if share is None else asdict(share)


def _heel(heel: HeelDiscipline) -> dict[str, Any]:
    return {
        "whole": _share(heel.whole),
        "upwind": _share(heel.upwind),
        "run": _share(heel.run),
        "by_wind_kn": {name: _share(one) for name, one in heel.by_wind.items()},
        "by_leg": [{"leg": number + 1, **asdict(one)} for number, one in heel.by_leg],
        "response": None if heel.response is None else asdict(heel.response),
        "wrong_side_share": heel.wrong_side_share,
        "pattern": None if heel.pattern is None else asdict(heel.pattern),
    }


def _kind(one: KindSummary) -> dict[str, Any]:
    return {
        "count": one.count,
        "best_m": None if one.best is None else one.best.metres_lost,
        "median_m": one.median_m,
        "mean_m": one.mean_m,
        "worst_m": None if one.worst is None else one.worst.metres_lost,
        "play": None if one.play is None else one.play.play,
        "planned_s": None if one.play is None else one.play.planned_s,
    }


def loss_json(one: Judged) -> dict[str, Any]:
    """Return what one manoeuvre cost."""
    loss = one.loss
    return {
        "metres_lost": loss.metres_lost,
        "entry_kn": loss.entry_kn,
        "lowest_kn": loss.lowest_kn,
        "exit_kn": loss.exit_kn,
        "turn_rate_deg_per_s": loss.turn_rate_deg_per_s,
        "recovery_s": loss.recovery_s,
        "overshoot_deg": loss.overshoot_deg,
        "heel_before_deg": loss.heel_before_deg,
        "heel_after_deg": loss.heel_after_deg,
        "heel_trace_deg": dict(zip((f"{step:+d}" for step in TRACE_S), loss.heel_trace_deg, strict=True)),
        "rank": one.rank,
        "shows": list(one.shows),
        "fault": None if one.fault is None else asdict(one.fault),
        "later_than_planned_s": one.late_s,
    }
