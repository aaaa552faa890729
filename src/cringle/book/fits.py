"""Fitted model factors: one row per fit, never changed."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, insert, select

from cringle.book.entries import payload_text
from cringle.book.rows import time_of, time_text
from cringle.book.schema import FIT


@dataclass(frozen=True)
class NewFit:
    """What a fit found.

    Parameters
    ----------
    factors : mapping
        Name of a model factor -> fitted value; 1.0 means as the model has it.
    covariance : matrix as rows
        Covariance of the factors, in the order of `factors`.
    data_sha256 : str
        Digest of the data the fit used.
    model_version : str
        Version of the model that was fitted.
    """

    factors: Mapping[str, float]
    covariance: Sequence[Sequence[float]]
    data_sha256: str
    model_version: str


@dataclass(frozen=True)
class Fit:
    """A fit as it stands in the book."""

    id: int
    at: datetime
    found: NewFit


def save_fit(connection: Connection, found: NewFit, at: datetime) -> Fit:
    """Append a fit.

    Raises
    ------
    InputError
        A factor or a covariance is not finite.
    """
    row = {
        "at": time_text(at),
        "factors_json": payload_text({"pairs": [list(pair) for pair in found.factors.items()]}),
        "covariance_json": payload_text({"rows": [list(row) for row in found.covariance]}),
        "data_sha256": found.data_sha256,
        "model_version": found.model_version,
    }
    number = connection.execute(insert(FIT).returning(FIT.c.id), row).scalar_one()
    return Fit(number, at, found)


def latest_fit(connection: Connection) -> Fit | None:
    """Return the newest fit, or None."""
    row = connection.execute(select(FIT).order_by(FIT.c.id.desc()).limit(1)).one_or_none()
    return None if row is None else _fit_of(row)


def all_fits(connection: Connection) -> list[Fit]:
    """Return every fit, oldest first."""
    return [_fit_of(row) for row in connection.execute(select(FIT).order_by(FIT.c.id))]


def _fit_of(row: Row[Any]) -> Fit:
    factors = dict(json.loads(row.factors_json)["pairs"])
    covariance = json.loads(row.covariance_json)["rows"]
    return Fit(row.id, time_of(row.at), NewFit(factors, covariance, row.data_sha256, row.model_version))
