"""Fitting the speed model to the boat's own steady stretches, and keeping what was found in the book."""

from __future__ import annotations

import csv
import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from cringle.book.fits import Fit, NewFit
from cringle.book.names import LOGS_NAME
from cringle.book.store import Book
from cringle.errors import InputError
from cringle.speed.ensemble import FACTOR_NAMES
from cringle.speed.factors import Factors
from cringle.speed.fit import FULL_WEIGHT_S, FitReport, Stretch, fit
from cringle.speed.fit_stretches import Readings, steady_stretches
from cringle.speed.model import SpeedModel, Surroundings
from cringle.workflows.speed.cache import MODEL_VERSION
from cringle.workflows.speed.open import SpeedAsked, open_speed

NEEDED = ("tws_kn", "twa_deg", "speed_kn")
OPTIONAL = ("heel_deg", "seconds", "case")
UPWIND_BELOW_DEG = 75.0
"""A row without a case counts as main and jib up to here; beyond it the case must be named."""


@dataclass(frozen=True)
class FitAnswer:
    """What a fit found, from what, and where it is kept.

    Parameters
    ----------
    source : str
        Name of the file or log.
    sha256 : str
        Digest of it.
    stretches : tuple of Stretch
        What was used.
    report : FitReport
        Factors, residuals.
    kept : Fit or None
        As it stands in the book; None when it was only tried.
    """

    source: str
    sha256: str
    stretches: tuple[Stretch, ...]
    report: FitReport
    kept: Fit | None


def speed_fit(
    folder: Path,
    source: str,
    *,
    asked: SpeedAsked | None = None,
    run_case: str = "soak furled",
    keep: bool = False,
) -> FitAnswer:
    """Fit the model to steady stretches and, when asked to, keep the factors in the book.

    Parameters
    ----------
    folder : Path
        The book.
    source : str
        A CSV file of stretches, or the name of a log in the book.
    asked : SpeedAsked, optional
        Sea and people of that day.
    run_case : str
        What a log's runs were sailed as.
    keep : bool
        Write the factors into the book's history of fits; the next answers use them.

    Raises
    ------
    InputError
        The file cannot be used, or holds no steady stretch.
    BookError
        The book cannot be read or written.
    """
    book = open_speed(folder, asked)
    path = Path(source)
    if path.is_file():
        stretches, sha256 = read_stretches_csv(path), hashlib.sha256(path.read_bytes()).hexdigest()
    else:
        stretches, sha256 = log_stretches(folder, source, run_case)
    around = Surroundings(sea=book.asked.sea)
    report = fit(SpeedModel.from_files(book.files.class_file, book.crew, around), stretches)
    kept = _keep(folder, report, sha256) if keep else None
    return FitAnswer(path.name, sha256, stretches, report, kept)


def _keep(folder: Path, report: FitReport, sha256: str) -> Fit:
    factors = {name: getattr(report.fitted.factors, name) for name in FACTOR_NAMES}
    found = NewFit(factors, [list(row) for row in report.fitted.covariance], sha256, MODEL_VERSION)
    with Book.open(folder, create=True) as book:
        return book.save_fit(found)


def forget_fit(folder: Path) -> Fit:
    """Keep a fit with all factors 1, so that the next answers are the model's own; nothing is deleted."""
    zero = [[0.0] * len(FACTOR_NAMES) for _ in FACTOR_NAMES]
    plain = {name: getattr(Factors(), name) for name in FACTOR_NAMES}
    with Book.open(folder, create=True) as book:
        return book.save_fit(NewFit(plain, zero, "0" * 64, "none"))


def read_stretches_csv(path: Path) -> tuple[Stretch, ...]:
    """Return the stretches of a CSV file.

    Parameters
    ----------
    path : Path
        UTF-8 with a head row: `NEEDED`, and any of `OPTIONAL`; other columns are ignored.

    Raises
    ------
    InputError
        A column is missing or a cell is no number; the message has the line.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(f"{path}: not UTF-8 text", next_step="save it as CSV UTF-8") from error
    reader = csv.DictReader(text.splitlines())
    missing = [name for name in NEEDED if name not in (reader.fieldnames or ())]
    if missing:
        raise InputError(
            f"{path}: no column {', '.join(missing)}",
            next_step=f"give a head row with {', '.join(NEEDED)} and, where known, {', '.join(OPTIONAL)}",
        )
    found = tuple(_stretch(path, number, row) for number, row in enumerate(reader, 2) if any(row.values()))
    if not found:
        raise InputError(f"{path}: no rows", next_step="give a row for each steady stretch of a minute or so")
    return found


def _stretch(path: Path, line: int, row: dict[str, Any]) -> Stretch:
    wind, angle, speed = (_cell(path, line, row, name) for name in NEEDED)
    heel, seconds = (_cell(path, line, row, name) if row.get(name) else None for name in OPTIONAL[:2])
    case = str(row.get("case") or "").strip()
    if not case and abs(angle) > UPWIND_BELOW_DEG:
        raise InputError(
            f"{path}:{line}, case: empty at {angle:g} deg",
            next_step="name the sails, such as soak furled, wing furled or plane out",
        )
    return Stretch(wind, angle, speed, case or "up", heel, FULL_WEIGHT_S if seconds is None else seconds)


def _cell(path: Path, line: int, row: dict[str, Any], name: str) -> float:
    try:
        return float(str(row[name]).strip())
    except ValueError as error:
        raise InputError(
            f"{path}:{line}, {name}: found {row[name]!r}, accepted a number", next_step="correct that cell"
        ) from error


def log_stretches(folder: Path, name: str, run_case: str) -> tuple[tuple[Stretch, ...], str]:
    """Return the steady stretches of a log kept in the book, and its digest.

    Raises
    ------
    InputError
        There is no such log, it has no wind, or nothing in it is steady.
    """
    from cringle.track.reading.complete import complete
    from cringle.track.reading.store import list_stored, read_stored
    from cringle.track.sailing.sailing import sailing_of
    from cringle.track.series import series_of

    same = [one for one in list_stored(folder / LOGS_NAME) if name in (one.name, Path(one.name).stem)]
    if len(same) != 1:
        known = ", ".join(sorted(one.name for one in list_stored(folder / LOGS_NAME))) or "none yet"
        raise InputError(
            f"{name}: no such file, and no single log of that name in the book; it has: {known}",
            next_step="give a CSV file, or read the log in first: cringle log read FILE",
        )
    log = read_stored(folder / LOGS_NAME, same[0].sha256)
    sailed = sailing_of(complete(series_of(log.track, log.side)))
    if not np.isfinite(sailed.wind_kn).any():
        raise InputError(
            f"{name}: the log has no true wind", next_step="fit from a CSV with tws_kn and twa_deg"
        )
    readings = Readings(sailed.wind_kn, sailed.angle_deg, sailed.speed_kn, sailed.heel_deg)
    found = steady_stretches(readings, run_case=run_case)
    if not found:
        raise InputError(f"{name}: nothing in it is steady for a minute", next_step="use another log")
    return found, same[0].sha256


def _stretch_rows(found: FitAnswer) -> list[dict[str, Any]]:
    """Return each steady stretch with its residual before and after, and the weight it kept."""
    report = found.report
    rows = zip(
        found.stretches,
        report.residual_before_percent.tolist(),
        report.residual_after_percent.tolist(),
        report.weight.tolist(),
        strict=True,
    )
    return [
        {
            "tws_kn": one.wind_kn,
            "twa_deg": one.angle_deg,
            "speed_kn": one.speed_kn,
            "heel_deg": one.heel_deg,
            "case": one.case,
            "before_percent": None if before != before else round(before, 2),  # noqa: PLR0124 - NaN
            "after_percent": None if after != after else round(after, 2),  # noqa: PLR0124 - NaN
            "weight": round(weight, 3),
        }
        for one, before, after, weight in rows
    ]


def fit_json(found: FitAnswer) -> dict[str, Any]:
    """Return a fit as JSON."""
    report = found.report
    return {
        "schema": 1,
        "source": found.source,
        "data_sha256": found.sha256,
        "used": report.used,
        "left_out": report.left_out,
        "rms_before_percent": round(report.before_percent, 3),
        "rms_after_percent": round(report.after_percent, 3),
        "wind_factor": round(report.wind_factor, 4),
        "factors": {
            name: {
                "value": round(getattr(report.fitted.factors, name), 4),
                "prior_spread_percent": round(100.0 * report.prior_spread[place], 2),
                "spread_percent": round(100.0 * report.spread[place], 2),
                "earned_percent": round(100.0 * report.earned[place], 1),
            }
            for place, name in enumerate(FACTOR_NAMES)
        },
        "stretches": _stretch_rows(found),
        "kept": None if found.kept is None else {"id": found.kept.id, "at": found.kept.at.isoformat()},
    }
