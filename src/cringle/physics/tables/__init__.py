"""Coefficient tables as data files, each row with its provenance, so that a printed source can replace them.

A table is a CSV file in this package. Lines that start with ``#`` say ``# key: value``; ``source`` (the
publication) and ``from_memory`` (yes or no) are compulsory. Then comes a header row and the rows. A
``provenance`` column says for every row where it comes from. A column whose cells are all numbers (or
empty, read as NaN) is numeric; any other column is text.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from cringle.errors import InputError

PROVENANCE = "provenance"


@dataclass(frozen=True)
class Table:
    """One coefficient table, read-only.

    Parameters
    ----------
    name : str
        File name without its ending.
    header : mapping of str to str
        What the ``# key: value`` lines say: ``source``, ``from_memory``, ``grade``, units, notes.
    columns : mapping of str to float64 array, shape (rows,)
        Numeric columns; they cannot be written to.
    labels : mapping of str to tuple of str
        Text columns other than the provenance.
    provenance : tuple of str
        Where each row comes from.
    """

    name: str
    header: Mapping[str, str]
    columns: Mapping[str, NDArray[np.float64]]
    labels: Mapping[str, tuple[str, ...]]
    provenance: tuple[str, ...]

    @property
    def source(self) -> str:
        """The publication the table comes from."""
        return self.header["source"]

    @property
    def from_memory(self) -> bool:
        """True when the values were recalled and not read from the publication."""
        return self.header["from_memory"] == "yes"

    def matrix(self, *names: str) -> NDArray[np.float64]:
        """Return the named columns side by side, shape (rows, len(names))."""
        return np.column_stack([self.columns[name] for name in names])


@cache
def load_table(name: str) -> Table:
    """Return a coefficient table of this package, read once and then kept.

    Parameters
    ----------
    name : str
        File name without ``.csv``, for example ``"residuary_1998"``.

    Raises
    ------
    InputError
        There is no such table (the message lists those there are), or its file is malformed.
    """
    here = resources.files(__name__)
    file = here / f"{name}.csv"
    if not file.is_file():
        known = ", ".join(sorted(one.name[:-4] for one in here.iterdir() if one.name.endswith(".csv")))
        raise InputError(
            f"no coefficient table named {name!r}; there are: {known}", next_step="use one of these names"
        )
    return parse_table(name, file.read_text(encoding="utf-8"))


def parse_table(name: str, text: str) -> Table:
    """Return the table written in a text of the form this package uses.

    Parameters
    ----------
    name : str
        Name for messages.
    text : str
        Content of the file.

    Raises
    ------
    InputError
        A compulsory header line or the provenance column is missing, or a row has too few or too many cells.
    """
    lines = text.splitlines()
    header = _header(name, [line for line in lines if line.startswith("#")])
    numbered = [
        (number, line) for number, line in enumerate(lines, 1) if line.strip() and not line.startswith("#")
    ]
    rows = list(csv.reader(line for _, line in numbered))
    if len(rows) < 2 or PROVENANCE not in rows[0]:
        raise InputError(
            f"table {name}: needs a header row with a {PROVENANCE!r} column and at least one row"
        )
    for (number, _), row in zip(numbered, rows, strict=True):
        if len(row) != len(rows[0]):
            raise InputError(
                f"table {name}, line {number}: {len(row)} cells, the header row has {len(rows[0])}"
            )
    return _build(name, header, rows)


def _header(name: str, comments: list[str]) -> Mapping[str, str]:
    pairs = [line.lstrip("# ").partition(":") for line in comments if ":" in line]
    header = {key.strip(): value.strip() for key, _, value in pairs}
    if not header.get("source") or header.get("from_memory") not in ("yes", "no"):
        raise InputError(f"table {name}: its head must say '# source: ...' and '# from_memory: yes' (or no)")
    return MappingProxyType(header)


def _build(name: str, header: Mapping[str, str], rows: list[list[str]]) -> Table:
    columns: dict[str, NDArray[np.float64]] = {}
    labels: dict[str, tuple[str, ...]] = {}
    provenance: tuple[str, ...] = ()
    for title, *cells in zip(*rows, strict=True):
        values = _numbers(cells)
        if title == PROVENANCE:
            provenance = tuple(cells)
        elif values is None:
            labels[title] = tuple(cells)
        else:
            columns[title] = values
    if not all(provenance):
        raise InputError(f"table {name}: row {provenance.index('') + 1} has no provenance")
    return Table(name, header, MappingProxyType(columns), MappingProxyType(labels), provenance)


def _numbers(cells: list[str]) -> NDArray[np.float64] | None:
    try:
        values = np.array([float(cell) if cell.strip() else np.nan for cell in cells])
    except ValueError:
        return None
    values.flags.writeable = False
    return values
