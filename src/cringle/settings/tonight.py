"""Tonight: everything a crew needs half an hour before the start, as one frozen answer.

Built by the workflow, shown by the command line, the card and the phone page, so that no two of them can
differ.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from cringle.boat.base import RuleState
from cringle.findings import Number
from cringle.settings.moves import Move
from cringle.settings.places import Place
from cringle.settings.roles import RoleScale
from cringle.settings.start_numbers import StartNumbers

SCHEMA = 1


@dataclass(frozen=True)
class TonightWind:
    """The wind as entered and as the table takes it.

    Parameters
    ----------
    wind_kn : float
        Mean wind at the table's height [kn].
    height_m : float
        The table's reference height [m].
    entered_kn, entered_height_m : float
        What was entered, and the height it was measured at [kn, m].
    low_kn, high_kn, gust_kn : float or None
        Range and gust at the table's height [kn].
    reads_at_kn : float
        Wind at which the table is read for the people aboard [kn].
    notes : tuple of str
        What was converted or shifted, and why.
    """

    wind_kn: float
    height_m: float
    entered_kn: float
    entered_height_m: float
    reads_at_kn: float
    low_kn: float | None = None
    high_kn: float | None = None
    gust_kn: float | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Call:
    """Technique and lane for the run, from the speed model or the crew.

    Parameters
    ----------
    lane, technique, jib : str or None
        Which lane, how to sail it, and the jib ``out`` or ``furled``.
    margin_m_per_min : float or None
        What it is worth against the next best [m/min].
    why : str or None
        The reason in one sentence.
    flips_at_kn : float or None
        Wind at which the answer changes [kn].
    """

    lane: str | None = None
    technique: str | None = None
    jib: str | None = None
    margin_m_per_min: float | None = None
    why: str | None = None
    flips_at_kn: float | None = None


@dataclass(frozen=True)
class ModelAnswers:
    """What a speed model can add to the book; everything is optional and gives way to the book's own entry.

    Parameters
    ----------
    by : str
        Name and version of the model.
    heel_up, heel_down : Number or None
        Heel targets [deg], leeward positive.
    places : tuple of Place or None
        Where everybody sits.
    call : Call or None
        Technique and lane for the run.
    moment_ratio : float or None
        Righting moment of the people aboard over that of the table's crew.
    """

    by: str
    heel_up: Number | None = None
    heel_down: Number | None = None
    places: tuple[Place, ...] | None = None
    call: Call | None = None
    moment_ratio: float | None = None


@dataclass(frozen=True)
class RigTonight:
    """What the screws should stand at, until when they may be changed, and what is wrong with them.

    Parameters
    ----------
    row_kn : float or None
        Row of the table the rig is set to [kn].
    turns : mapping
        Role to turns from the base tune in that row.
    rule_state : mapping
        Role to when it may be changed.
    warnings : tuple of str
        Unlocked or never recorded locks; turns that differ from the row.
    """

    row_kn: float | None = None
    turns: Mapping[str, float] = field(default_factory=dict, hash=False)
    rule_state: Mapping[str, RuleState] = field(default_factory=dict, hash=False)
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True)
class Tonight:
    """The whole answer.

    Parameters
    ----------
    boat : str
        Name of the boat.
    wind : TonightWind
        Wind, range, gust and their reference.
    sea, sail_set, sail_set_name, point : str
        What the numbers are for; `point` is ``up`` or ``down``.
    numbers : StartNumbers
        What to set.
    scales : mapping
        Role to its scale, in the order in which a person sets them.
    workers : mapping
        Role to the name of who works it.
    moves : tuple of Move
        What changes when the wind does.
    crew : tuple of Place
        Where everybody sits.
    rig : RigTonight
        Screws.
    heel_up, heel_down : Number or None
        Heel targets [deg].
    posture : str or None
        Posture of the row.
    cues : mapping
        Sense to words.
    call : Call or None
        For the run.
    goal, trial : str or None
        One goal and one trial for tonight.
    cautions : tuple of str
        What to be careful about: limits, people, rules, and every one of `notes`.
    notes : tuple of str
        Those of the cautions that are about the numbers: held, cut, nearer row, another sea, left out.
    model : str or None
        Which model added to the book's own numbers.
    """

    boat: str
    wind: TonightWind
    sea: str
    sail_set: str
    sail_set_name: str
    point: str
    numbers: StartNumbers
    scales: Mapping[str, RoleScale] = field(hash=False)
    workers: Mapping[str, str] = field(hash=False)
    moves: tuple[Move, ...]
    crew: tuple[Place, ...]
    rig: RigTonight
    heel_up: Number | None = None
    heel_down: Number | None = None
    posture: str | None = None
    cues: Mapping[str, str] = field(default_factory=dict, hash=False)
    call: Call | None = None
    goal: str | None = None
    trial: str | None = None
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    model: str | None = None

    @property
    def heel(self) -> Number | None:
        """Heel target for the sails asked for [deg]."""
        return self.heel_up if self.point == "up" else self.heel_down

    @property
    def people(self) -> tuple[str, ...]:
        """Who has something to set, in the order of the numbers."""
        return tuple(dict.fromkeys(self.workers[role] for role in self.numbers.roles))

    def roles_of(self, person: str) -> tuple[str, ...]:
        """Return the roles a person sets, in order."""
        return tuple(role for role in self.numbers.roles if self.workers[role] == person)

    @property
    def first(self) -> str:
        """The one thing to do first."""
        if self.rig.warnings:
            return self.rig.warnings[0]
        if not self.numbers.numbers:
            return "sail, and write down what you find: the table has no numbers for these sails yet"
        return "set the numbers below, then sail and look at the cues"


def tonight_json(tonight: Tonight) -> dict[str, Any]:
    """Return the answer as the published JSON object; what is not known is null, never left out."""
    numbers, rig = tonight.numbers, tonight.rig
    return {
        "schema": SCHEMA,
        "wind_kn": tonight.wind.wind_kn,
        "wind_reference": _wind_reference(tonight.wind),
        "gust_kn": tonight.wind.gust_kn,
        "sea": tonight.sea,
        "sail_set": tonight.sail_set,
        "gears": {
            gear: {one.role: one.value for one in numbers.numbers if one.gear == gear}
            for gear in numbers.gears
        },
        "units": {role: tonight.scales[role].unit for role in numbers.roles},
        "source": {role: _source(tonight, role) for role in numbers.roles},
        "heel_target_deg": _value(tonight.heel),
        "heel_targets_deg": {"up": _value(tonight.heel_up), "down": _value(tonight.heel_down)},
        "moves": [move_json(move) for move in tonight.moves],
        "crew": [
            {"person": one.person, "station": one.station, "posture": one.posture} for one in tonight.crew
        ],
        "call": None if tonight.call is None else dict(vars(tonight.call)),
        "rig": {
            "row": None if rig.row_kn is None else {"wind_kn": rig.row_kn, "turns": dict(rig.turns)},
            "rule_state": {role: state.value for role, state in rig.rule_state.items()},
            "warnings": list(rig.warnings),
        },
        "goal": tonight.goal,
        "trial": tonight.trial,
        "cautions": list(tonight.cautions),
    }


def move_json(move: Move) -> dict[str, Any]:
    """Return one move as JSON; ``to_wind_kn`` is the wind it is for."""
    return {
        "to_wind_kn": move.to_wind_kn,
        "who": move.who,
        "role": move.role,
        "from": move.start,
        "to": move.end,
        "steps": move.steps,
    }


def _wind_reference(wind: TonightWind) -> dict[str, Any]:
    return {
        "height_m": wind.height_m,
        "entered_kn": wind.entered_kn,
        "entered_height_m": wind.entered_height_m,
        "low_kn": wind.low_kn,
        "high_kn": wind.high_kn,
        "reads_at_kn": wind.reads_at_kn,
        "notes": list(wind.notes),
    }


def _source(tonight: Tonight, role: str) -> dict[str, Any]:
    sure = tonight.numbers.provenance(role)
    counts = [one.observations for one in tonight.numbers.of_role(role)]
    return {
        "kind": sure.source.value,
        "by": sure.by,
        "at": None if sure.at is None else sure.at.isoformat(),
        "n": None if None in counts else min(one for one in counts if one is not None),
    }


def _value(number: Number | None) -> float | None:
    return None if number is None else number.value
