"""The heel target of a wind, from what the book keeps row by row."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from cringle.boat.class_file import ClassFile
from cringle.findings import Number
from cringle.settings.interpolate import monotone
from cringle.settings.reading import weaker
from cringle.settings.table import RowNote
from cringle.settings.tonight import ModelAnswers


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
        if note.heel is not None and known is not None:
            points[known.point].append(note)
    up, down = (heel_at(points[point], wind_kn) for point in ("up", "down"))
    return (
        up or (model.heel_up if model else None),
        down or (model.heel_down if model else None),
    )


def heel_at(notes: Sequence[RowNote], wind_kn: float) -> Number | None:
    """Return the heel of the gear whose rows come nearest to a wind [deg].

    Monotone between its rows and held beyond them, to a whole degree: nobody holds a boat closer. The less
    sure of the two rows gives the provenance.
    """
    if not notes:
        return None
    near = min(notes, key=lambda one: (abs(one.wind_kn - wind_kn), one.gear != "settled"))
    rows: Mapping[float, Number] = {
        one.wind_kn: one.heel
        for one in notes
        if one.heel is not None and (one.sail_set, one.gear, one.sea) == (near.sail_set, near.gear, near.sea)
    }
    winds = sorted(rows)
    value = float(monotone(winds, [rows[wind].value for wind in winds], wind_kn))
    below = rows[max((one for one in winds if one <= wind_kn), default=winds[0])]
    sure = weaker(below, rows[min((one for one in winds if one >= wind_kn), default=winds[-1])])
    return Number(round(value), "deg", sure.source, by=sure.by, at=sure.at)
