"""Working loads of wires and lines against break loads, the righting-moment approach beside."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from cringle.boat.class_file import ClassFile
from cringle.errors import InputError
from cringle.physics.bridle import bridle_kind, hand_load
from cringle.physics.rig_loads import righting_moment_shroud
from cringle.rig.base import BaseTune
from cringle.rig.model import HOUNDS, RigModel, bridle_of
from cringle.rig.turns import Solved
from cringle.rig.wind_load import righting_moment_nm
from cringle.units import millimetres_to_metres


@dataclass(frozen=True)
class DesignFactor:
    """A factor on a working load, an input and never a limit of this program.

    Parameters
    ----------
    value : float
        Peak over working load.
    source : str
        Where it comes from; shown beside every number made with it.
    """

    value: float
    source: str

    def __post_init__(self) -> None:
        if self.value < 1.0 or not self.source.strip():
            raise InputError(
                f"design factor {self.value:g} from {self.source!r}",
                next_step="give a factor of 1 or more and its source",
            )


DYNAMIC_FACTOR = DesignFactor(
    1.5,
    "dynamic peak over the load at 30 degrees of heel, after Skene in riggers' handbooks; low confidence",
)
"""What is used when nothing else is given."""


@dataclass(frozen=True)
class LoadRow:
    """One wire or line.

    Parameters
    ----------
    part : str
        Wire or line.
    dock_n, working_n, peak_n : float or None
        On the dock, the largest over the winds asked for, and that times the design factor.
    wind_kn : float or None
        Wind of the largest.
    righting_moment_n : float or None
        By the righting-moment approach, where it speaks of this part.
    break_load_n : float or None
        From the files; None where unknown.
    margin : float or None
        Break load over peak load.
    """

    part: str
    dock_n: float | None
    working_n: float
    peak_n: float
    wind_kn: float | None
    righting_moment_n: float | None
    break_load_n: float | None
    margin: float | None


def load_table(
    base: BaseTune,
    class_file: ClassFile,
    states: Sequence[Solved],
    *,
    crew_kg: float,
    factor: DesignFactor = DYNAMIC_FACTOR,
    line_breaks_n: Mapping[str, float] | None = None,
) -> list[LoadRow]:
    """Return working loads of all wires, the backstay's parts and the sheets.

    Parameters
    ----------
    base : BaseTune
        Dock loads.
    class_file : ClassFile
        Break loads, sails, hull.
    states : sequence of Solved
        The rig in the winds asked for.
    crew_kg : float
        All people, for the righting moment.
    factor : DesignFactor
        Peak over working load, with its source.
    line_breaks_n : mapping, optional
        Break loads of lines, as their maker states them. [N]

    Raises
    ------
    InputError
        No states.
    """
    if not states:
        raise InputError("loads need at least one wind", next_step="give --winds 10,14,20")
    by_standard = righting_moment_loads(base.model, class_file, crew_kg)
    rows = []
    for name in _kinds(base.model):
        sides = [one for one in base.model.wire_names if one in {name, f"{name}_port", f"{name}_starboard"}]
        loads = [max(_largest(state, side) for side in sides) for state in states]
        place = int(np.argmax(loads))
        dock = max(base.state.tensions_n[side] for side in sides)
        wire = base.model.strands[base.model.strand(sides[0])].wire
        rows.append(
            _row(
                name,
                loads[place],
                factor,
                _Known(dock, states[place].setting.load.wind_kn, by_standard.get(wire.kind), wire.break_load),
            )
        )
    return [_with_break(one, line_breaks_n or {}) for one in [*rows, *_lines(base, states, factor)]]


def _kinds(model: RigModel) -> list[str]:
    return list(dict.fromkeys(one.wire.id for one in model.strands))


def _largest(state: Solved, wire: str) -> float:
    return max(state.state.tensions_n[wire], state.state.upper_tensions_n.get(wire, 0.0))


def _with_break(row: LoadRow, breaks_n: Mapping[str, float]) -> LoadRow:
    """Return a row with the break load that its maker states."""
    if row.part not in breaks_n:
        return row
    margin = breaks_n[row.part] / row.peak_n if row.peak_n > 0.0 else None
    return replace(row, break_load_n=breaks_n[row.part], margin=margin)


@dataclass(frozen=True)
class _Known:
    """What is known of a part besides its working load."""

    dock: float | None = None
    wind: float | None = None
    standard: float | None = None
    breaks: float | None = None


def _row(part: str, working: float, factor: DesignFactor, known: _Known) -> LoadRow:
    peak = factor.value * working
    margin = known.breaks / peak if known.breaks and peak > 0.0 else None
    return LoadRow(part, known.dock, working, peak, known.wind, known.standard, known.breaks, margin)


def righting_moment_loads(model: RigModel, class_file: ClassFile, crew_kg: float) -> dict[str, float]:
    """Return shroud tension from the righting moment: all of the sails' side force at the hounds.

    Notes
    -----
    The structure of the published approach (headsail alone, load case 1); the shroud angle is the upper
    part's, where it meets the mast. The standard's own factors are not built in: see `DesignFactor`.
    """
    points = class_file.rig.points
    number = next(
        (n for n, one in enumerate(model.strands) if one.wire.kind == "cap_shroud" and not one.is_lower), None
    )
    if number is None:
        number = next(n for n, one in enumerate(model.strands) if one.wire.kind == "cap_shroud")
    frame = model.frame
    chord = frame.nodes[frame.wires.end[number]] - frame.nodes[frame.wires.start[number]]
    angle = float(np.arctan2(abs(chord[1]), chord[2]))
    load = righting_moment_shroud(righting_moment_nm(class_file, crew_kg), points[HOUNDS][2], angle)
    return {"cap_shroud": load.shroud}


def _lines(base: BaseTune, states: Sequence[Solved], factor: DesignFactor) -> list[LoadRow]:
    """Return sheets, and the backstay's leg, puller and hand at its own largest load."""
    found = []
    for part in ("main_sheet", "jib_sheet"):
        loads = [getattr(state.setting.load, f"{part}_n") for state in states]
        place = int(np.argmax(loads))
        found.append(_row(part, loads[place], factor, _Known(wind=states[place].setting.load.wind_kn)))
    backstay = base.model.backstay
    if backstay is None:
        return found
    loads = [state.state.tensions_n.get(backstay.upper_wire, 0.0) for state in states]
    place = int(np.argmax(loads))
    kind, bridle = bridle_kind(backstay.kind), bridle_of(backstay)
    pull = millimetres_to_metres(states[place].setting.backstay_pull_mm)
    wind = states[place].setting.load.wind_kn
    leg = loads[place] * float(kind.leg_share(bridle, pull))
    puller = loads[place] / float(kind.advantage(bridle, pull))
    hand = float(hand_load(puller, backstay.purchase, backstay.efficiency))
    return [
        *found,
        _row("backstay_leg", leg, factor, _Known(wind=wind, breaks=backstay.leg_break_load_n)),
        _row("backstay_puller", puller, factor, _Known(wind=wind)),
        _row("backstay_hand", hand, factor, _Known(wind=wind)),
    ]
