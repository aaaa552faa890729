"""Which turns for a forecast that is a range, by assumed costs or by the coach's own loss table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from cringle.errors import InputError
from cringle.rig.choose import Candidate, Costs, Forecast, choose, choose_from_table
from cringle.workflows.rig.book import DEFAULT_WINDS_KN, read_rig
from cringle.workflows.rig.rig import sheet_of


@dataclass(frozen=True)
class ChooseAnswer:
    """Candidates for a forecast, best first."""

    candidates: tuple[Candidate, ...]
    forecast: Forecast
    costs: Costs | None
    rule_states: dict[str, str]
    warnings: tuple[str, ...]


def rig_choose(
    folder: Path,
    forecast: Forecast,
    *,
    winds_kn: Sequence[float] = DEFAULT_WINDS_KN,
    source: str = "book",
    costs: Costs | None = None,
    loss_table: Path | None = None,
) -> ChooseAnswer:
    """Return which row of the sheet to set for a forecast, and by how much it wins.

    Parameters
    ----------
    folder : Path
        The book.
    forecast : Forecast
        Winds with weights.
    winds_kn : sequence of float
        Rows of the sheet.
    source : str
        As for `rig_sheet`.
    costs : Costs, optional
        What a miss costs; assumed when left out.
    loss_table : Path, optional
        The coach's own CSV ``row_kn,wind_kn,loss_s_per_mile``.
    """
    known = read_rig(folder)
    found = known.ensemble()
    sheet = sheet_of(known, found, winds_kn, source)
    if loss_table is not None:
        candidates = choose_from_table(sheet.rows, read_losses(loss_table), forecast)
        used = None
    else:
        used = costs or Costs()
        candidates = choose(found.middle, known.sailing, sheet.rows, forecast, costs=used)
    return ChooseAnswer(tuple(candidates), forecast, used, sheet.rule_states, sheet.warnings)


def costs_of(sag_s_per_mile: float | None, prebend_s_per_mile: float | None) -> Costs:
    """Return costs with what was given; assumed ones for the rest."""
    plain = Costs()
    return Costs(
        plain.sag_s_per_mile if sag_s_per_mile is None else sag_s_per_mile,
        plain.prebend_s_per_mile if prebend_s_per_mile is None else prebend_s_per_mile,
    )


def read_losses(path: Path) -> dict[tuple[float, float], float]:
    """Return a coach's loss table from CSV.

    Raises
    ------
    InputError
        No such file, another header, or a line that is no three numbers; the message names the line.
    """
    if not path.is_file():
        raise InputError(f"{path}: there is no such file", next_step="check the name")
    lines = path.read_text(encoding="utf-8-sig").splitlines()
    header = "row_kn,wind_kn,loss_s_per_mile"
    if not lines or lines[0].replace(" ", "") != header:
        raise InputError(f"{path}:1: the header is not {header}", next_step="write that header")
    table: dict[tuple[float, float], float] = {}
    for number, line in enumerate(lines[1:], start=2):
        if not line.strip():
            continue
        try:
            row, wind, loss = (float(part) for part in line.split(","))
        except ValueError as error:
            raise InputError(
                f"{path}:{number}: {line!r} is no three numbers", next_step=f"write {header}"
            ) from error
        table[row, wind] = loss
    return table
