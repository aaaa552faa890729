"""The heel target of a wind, from what the book keeps row by row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from cringle.boat.class_file import ClassFile
from cringle.findings import Number
from cringle.settings.moves import PREFERRED_GEAR
from cringle.settings.reading import read_role
from cringle.settings.table import DEFAULT_SEA, Cell, RowNote, Table
from cringle.settings.tonight import ModelAnswers

ROLE = "heel"
"""What the heel is called while it is read like any other number of the table."""


def heel_targets(
    notes: Sequence[RowNote], class_file: ClassFile, wind_kn: float, model: ModelAnswers | None = None
) -> tuple[Number | None, Number | None]:
    """Return the heel targets up and down the wind [deg]: the book's own, else the model's, else None.

    Parameters
    ----------
    notes : sequence of RowNote
        Rows of the table, any sail set.
    class_file : ClassFile
        Says which sail sets go up and which go down.
    wind_kn : float
        Wind at the table's height [kn].
    model : ModelAnswers, optional
        What stands in where the book has nothing.
    """
    points: dict[str, list[RowNote]] = {"up": [], "down": []}
    for note in notes:
        known = class_file.sail_set(note.sail_set)
        if known is not None:
            points[known.point].append(note)
    up, down = (heel_at(points[point], wind_kn) for point in ("up", "down"))
    return (
        up or (model.heel_up if model else None),
        down or (model.heel_down if model else None),
    )


def heel_at(notes: Sequence[RowNote], wind_kn: float) -> Number | None:
    """Return the heel of the gear whose kept heel comes nearest to a wind [deg], or None.

    Read as the table's numbers are: monotone between rows, never across a change of posture. Beyond the rows
    that keep a heel it is held only as far as the nearest row of the table is one of them. To a whole degree:
    nobody holds a boat closer.
    """
    kept = [one for one in notes if one.heel is not None]
    if not kept:
        return None
    near = min(kept, key=lambda one: (abs(one.wind_kn - wind_kn), one.gear != PREFERRED_GEAR))
    rows = [one for one in notes if (one.sail_set, one.gear, one.sea) == (near.sail_set, near.gear, near.sea)]
    sea = near.sea or DEFAULT_SEA
    cells = [
        Cell(one.sail_set, sea, one.wind_kn, one.gear, ROLE, one.heel) for one in rows if one.heel is not None
    ]
    table = Table.of(cells, rows)
    reading = read_role(table, (near.sail_set, near.gear, ROLE), sea=sea, wind_kn=wind_kn)
    nearest_row = min(rows, key=lambda one: (abs(one.wind_kn - wind_kn), one.wind_kn))
    if reading is None or (reading.held and nearest_row.heel is None):
        return None
    return replace(reading.number, value=float(round(reading.number.value)))
