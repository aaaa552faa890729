"""Putting tonight's answer together from files, records and what was asked; no book, no clock."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from cringle.boat.base import RuleState
from cringle.boat.boat_file import BoatFile
from cringle.boat.class_file import ClassFile, SailSet
from cringle.boat.crew_file import CrewFile, Person
from cringle.findings import Number
from cringle.settings.aboard import people_aboard
from cringle.settings.interpolate import monotone
from cringle.settings.moves import NOBODY, Move, moves_between
from cringle.settings.names import known_name
from cringle.settings.places import places
from cringle.settings.reading import weaker
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
    sail_set = sail_set_asked(boat.class_file, request.sail_set)
    sea = known_name(request.sea, SEAS, what="sea")
    people = people_aboard(boat.crew_file, request.aboard)
    height_m = boat.boat_file.boat.wind_height_m
    winds = winds_at_table_height(request, height_m)
    row = _row_note(records, sail_set.id, sea, winds.mean_kn)
    shift = _shift(boat, people, winds.mean_kn, row, up=sail_set.point == "up", model=model)
    reads = _Reader(boat, records, sail_set.id, sea, ratio=shift.reads_at_kn / (winds.mean_kn or 1.0))
    numbers = reads.at(winds.mean_kn)
    posture = None if row is None else row.posture
    seats = model.places if model and model.places else places(boat.class_file, people, posture)
    heels = _heels(records, boat.class_file, winds.mean_kn, model)
    notes = (*numbers.notes, *numbers.left_out)
    return Tonight(
        boat=boat.boat_file.boat.name,
        wind=_tonight_wind(request, winds, shift, height_m),
        sea=sea,
        sail_set=sail_set.id,
        sail_set_name=sail_set.name,
        point=sail_set.point,
        numbers=numbers,
        scales=boat.scales,
        workers={role: who_works(one.worked_by, people) or NOBODY for role, one in boat.scales.items()},
        moves=_moves(reads, numbers, winds, people),
        crew=seats,
        rig=rig_tonight(boat.boat_file, records, numbers, boat.scales),
        heel_up=heels[0],
        heel_down=heels[1],
        posture=posture,
        cues={} if row is None else dict(row.cues),
        call=records.call or (model.call if model else None),
        goal=records.goal,
        trial=records.trial,
        cautions=(*_cautions(boat.class_file, people, winds), *_unknown_rules(boat.scales, numbers), *notes),
        notes=notes,
        model=model.by if model else None,
    )


@dataclass(frozen=True)
class _Reader:
    """Reads the table for tonight's people."""

    boat: Boat
    records: Records
    sail_set: str
    sea: str
    ratio: float

    def at(self, wind_kn: float) -> StartNumbers:
        reads_at = wind_kn if self.ratio == 1.0 else round(wind_kn * self.ratio, WIND_DECIMALS)
        return start_numbers(
            self.records.table, self.boat.scales, sail_set=self.sail_set, sea=self.sea, wind_kn=reads_at
        )


def _moves(reads: _Reader, numbers: StartNumbers, winds: Winds, people: Sequence[Person]) -> tuple[Move, ...]:
    rows = reads.records.table.winds(reads.sail_set)
    found = [
        moves_between(numbers, reads.at(wind), reads.boat.scales, aboard=people, to_wind_kn=wind)
        for wind in winds.others(rows)
    ]
    return tuple(move for moves in found for move in moves if move.while_racing)


def _row_note(records: Records, sail_set: str, sea: str, wind_kn: float) -> RowNote | None:
    """Return the notes of the nearest row, those of the settled gear where there is one."""
    table = records.table
    notes = [one for one in table.notes if one.sail_set == sail_set and one.sea in (sea, None)]
    if not notes:
        return None
    return min(notes, key=lambda one: (abs(one.wind_kn - wind_kn), one.wind_kn, one.gear != "settled"))


def _shift(
    boat: Boat,
    people: Sequence[Person],
    wind_kn: float,
    row: RowNote | None,
    *,
    up: bool,
    model: ModelAnswers | None,
) -> Shift:
    crew, mass_kg = boat.crew_file, sum(one.mass_kg for one in people)
    if not up or tuple(people) == crew.people:
        return Shift(wind_kn, wind_kn, mass_kg, crew.mass_kg)
    ratio = model.moment_ratio if model else None
    if ratio is None:
        heel = SHIFT_HEEL_DEG if row is None or row.heel is None else row.heel.value
        reference = righting_moment(boat.class_file, crew.people, heel)
        ratio = righting_moment(boat.class_file, people, heel) / reference
    posture = None if row is None else row.posture
    return shift_row(wind_kn, ratio, mass_kg=mass_kg, reference_mass_kg=crew.mass_kg, posture=posture)


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


def _heels(
    records: Records, class_file: ClassFile, wind_kn: float, model: ModelAnswers | None
) -> tuple[Number | None, Number | None]:
    """Return the heel targets up and down: the book's own, else the model's."""
    points: dict[str, list[RowNote]] = {"up": [], "down": []}
    for note in records.table.notes:
        known = class_file.sail_set(note.sail_set)
        if note.heel is not None and known is not None:
            points[known.point].append(note)
    up, down = (_heel_at(points[point], wind_kn) for point in ("up", "down"))
    return (
        up or (model.heel_up if model else None),
        down or (model.heel_down if model else None),
    )


def _heel_at(notes: Sequence[RowNote], wind_kn: float) -> Number | None:
    """Return the heel of one gear between its rows: of the gear whose rows come nearest to the wind."""
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


def _cautions(class_file: ClassFile, people: Sequence[Person], winds: Winds) -> Iterator[str]:
    limits, mass_kg = class_file.limits, sum(one.mass_kg for one in people)
    if winds.mean_kn > limits.wind_limit_kn:
        rule = f"the class limit of {limits.wind_limit_kn:g} kn, rule {limits.wind_limit_rule}"
        yield f"{winds.mean_kn:g} kn is above {rule}"
    elif winds.strongest_kn > limits.wind_limit_kn:
        limit = f"the class limit of {limits.wind_limit_kn:g} kn for the mean"
        yield f"{winds.strongest_kn:g} kn in the puffs is above {limit}: decide ashore"
    if mass_kg > limits.crew_mass_max:
        yield f"{mass_kg:g} kg aboard, the class allows {limits.crew_mass_max:g} kg, rule {limits.crew_rule}"
    if not limits.crew_min <= len(people) <= limits.crew_max:
        wanted = f"{limits.crew_min} to {limits.crew_max}, rule {limits.crew_rule}"
        yield f"{len(people)} aboard, the class asks for {wanted}"


def _unknown_rules(scales: Mapping[str, RoleScale], numbers: StartNumbers) -> Iterator[str]:
    """Say which lines the class file and the boat file leave open."""
    names = [scales[role].name for role in numbers.roles if scales[role].rule_state is RuleState.UNKNOWN]
    if names:
        yield f"when may these be changed? ask the class before you race: {'; '.join(names)}"
