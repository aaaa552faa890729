"""Putting tonight's answer together from files, records and what was asked; no book, no clock."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from cringle.boat.boat_file import BoatFile
from cringle.boat.class_file import ClassFile, SailSet
from cringle.boat.crew_file import CrewFile, Person
from cringle.settings.aboard import people_aboard
from cringle.settings.cautions import cautions
from cringle.settings.heel import heel_targets
from cringle.settings.moves import NOBODY, Move, moves_between
from cringle.settings.names import known_name
from cringle.settings.places import Place, places
from cringle.settings.records import Records, TonightRequest
from cringle.settings.rig_row import rig_tonight
from cringle.settings.roles import RoleScale, role_scales, who_works
from cringle.settings.shift import SHIFT_HEEL_DEG, Shift, righting_moment, shift_row
from cringle.settings.start_numbers import StartNumbers, start_numbers
from cringle.settings.table import SEAS, RowNote
from cringle.settings.tonight import ModelAnswers, Tonight, TonightWind
from cringle.settings.winds import WIND_DECIMALS, Winds, winds_at_table_height


@dataclass(frozen=True)
class Boat:
    """The files of a book that tonight needs."""

    class_file: ClassFile
    boat_file: BoatFile
    crew_file: CrewFile

    @cached_property
    def scales(self) -> dict[str, RoleScale]:
        """Scale of each role, in file order."""
        return role_scales(self.boat_file, rules=self.class_file)


def sail_set_asked(class_file: ClassFile, wanted: str | None) -> SailSet:
    """Return the sail set asked for; the first one for going upwind when none was.

    Raises
    ------
    InputError
        The class has no such sail set; the nearest name is given.
    """
    known = {one.id: one for one in class_file.sail_sets}
    if wanted is not None:
        return known[known_name(wanted, known, what="sail set", next_step="see class.toml, [[sail_sets]]")]
    upwind = [one for one in class_file.sail_sets if one.point == "up"]
    return next(iter([*upwind, *class_file.sail_sets]))


def answer(
    boat: Boat, records: Records, request: TonightRequest, *, model: ModelAnswers | None = None
) -> Tonight:
    """Return everything a crew needs half an hour before the start.

    Parameters
    ----------
    boat : Boat
        Class, boat and crew.
    records : Records
        The book's table and state.
    request : TonightRequest
        Wind, sea, sails and people.
    model : ModelAnswers, optional
        What a speed model adds where the book has nothing of its own.

    Raises
    ------
    InputError
        An unknown sea, sail set or person, or an impossible wind.
    """
    asked = _asked(boat, records, request)
    shift = _shift(asked, model)
    reads = _Reader(asked, ratio=shift.reads_at_kn / asked.winds.mean_kn if asked.winds.mean_kn else 1.0)
    numbers = reads.at(asked.winds.mean_kn)
    notes = (*numbers.notes, *numbers.left_out)
    heel_up, heel_down = heel_targets(records.table.notes, boat.class_file, asked.winds.mean_kn, model)
    return Tonight(
        boat=boat.boat_file.boat.name,
        wind=_tonight_wind(request, asked.winds, shift, boat.boat_file.boat.wind_height_m),
        sea=asked.sea,
        sail_set=asked.sail_set.id,
        sail_set_name=asked.sail_set.name,
        point=asked.sail_set.point,
        numbers=numbers,
        scales=boat.scales,
        workers={role: who_works(one.worked_by, asked.people) or NOBODY for role, one in boat.scales.items()},
        moves=_moves(reads, numbers),
        crew=_seats(asked, model),
        rig=rig_tonight(boat.boat_file, records, numbers, boat.scales),
        heel_up=heel_up,
        heel_down=heel_down,
        posture=asked.posture,
        cues={} if asked.row is None else dict(asked.row.cues),
        call=records.call or (model.call if model else None),
        goal=records.goal,
        trial=records.trial,
        cautions=(*cautions(boat.class_file, asked.people, asked.winds, numbers, boat.scales), *notes),
        notes=notes,
        model=model.by if model else None,
    )


@dataclass(frozen=True)
class _Asked:
    """What was asked for, with every name found and every wind at the table's height."""

    boat: Boat
    records: Records
    sail_set: SailSet
    sea: str
    people: tuple[Person, ...]
    winds: Winds
    row: RowNote | None

    @property
    def posture(self) -> str | None:
        return None if self.row is None else self.row.posture


def _asked(boat: Boat, records: Records, request: TonightRequest) -> _Asked:
    sail_set = sail_set_asked(boat.class_file, request.sail_set)
    sea = known_name(request.sea, SEAS, what="sea")
    winds = winds_at_table_height(request, boat.boat_file.boat.wind_height_m)
    return _Asked(
        boat=boat,
        records=records,
        sail_set=sail_set,
        sea=sea,
        people=people_aboard(boat.crew_file, request.aboard),
        winds=winds,
        row=_row_note(records, sail_set.id, sea, winds.mean_kn),
    )


def _seats(asked: _Asked, model: ModelAnswers | None) -> tuple[Place, ...]:
    if model is not None and model.places:
        return model.places
    return places(asked.boat.class_file, asked.people, asked.posture)


@dataclass(frozen=True)
class _Reader:
    """Reads the table for tonight's people."""

    asked: _Asked
    ratio: float

    def at(self, wind_kn: float) -> StartNumbers:
        reads_at = wind_kn if self.ratio == 1.0 else round(wind_kn * self.ratio, WIND_DECIMALS)
        asked = self.asked
        return start_numbers(
            asked.records.table,
            asked.boat.scales,
            sail_set=asked.sail_set.id,
            sea=asked.sea,
            wind_kn=reads_at,
        )


def _moves(reads: _Reader, numbers: StartNumbers) -> tuple[Move, ...]:
    asked = reads.asked
    rows = asked.records.table.winds(asked.sail_set.id)
    found = [
        moves_between(numbers, reads.at(wind), asked.boat.scales, aboard=asked.people, to_wind_kn=wind)
        for wind in asked.winds.others(rows)
    ]
    return tuple(move for moves in found for move in moves if move.while_racing)


def _row_note(records: Records, sail_set: str, sea: str, wind_kn: float) -> RowNote | None:
    """Return the notes of the nearest row, those of the settled gear where there is one."""
    table = records.table
    notes = [one for one in table.notes if one.sail_set == sail_set and one.sea in (sea, None)]
    if not notes:
        return None
    return min(notes, key=lambda one: (abs(one.wind_kn - wind_kn), one.wind_kn, one.gear != "settled"))


def _shift(asked: _Asked, model: ModelAnswers | None) -> Shift:
    crew, people, row = asked.boat.crew_file, asked.people, asked.row
    wind_kn, mass_kg = asked.winds.mean_kn, sum(one.mass_kg for one in people)
    if asked.sail_set.point != "up" or people == crew.people:
        return Shift(wind_kn, wind_kn, mass_kg, crew.mass_kg)
    ratio, by = (model.moment_ratio, model.by) if model else (None, "")
    if ratio is None:
        class_file = asked.boat.class_file
        heel = SHIFT_HEEL_DEG if row is None or row.heel is None else row.heel.value
        reference = righting_moment(class_file, crew.people, heel)
        ratio, by = righting_moment(class_file, people, heel) / reference, "simple statics"
    return shift_row(
        wind_kn, ratio, mass_kg=mass_kg, reference_mass_kg=crew.mass_kg, posture=asked.posture, by=by
    )


def _tonight_wind(request: TonightRequest, winds: Winds, shift: Shift, height_m: float) -> TonightWind:
    measured_at = height_m if request.height_m is None else request.height_m
    notes = [shift.note] if shift.note else []
    if winds.ratio != 1.0:
        notes.insert(
            0,
            f"{request.mean_kn:g} kn at {measured_at:g} m is {winds.mean_kn:g} kn at {height_m:g} m, "
            "the table's height (log law over open water)",
        )
    return TonightWind(
        wind_kn=winds.mean_kn,
        height_m=height_m,
        entered_kn=request.mean_kn,
        entered_height_m=measured_at,
        reads_at_kn=shift.reads_at_kn,
        low_kn=winds.low_kn,
        high_kn=winds.high_kn,
        gust_kn=winds.gust_kn,
        notes=tuple(notes),
    )
