"""Run every benchmark module of this folder and print the ratios side by side.

A module takes part by having ``rows()``: a list of dicts with name, ours, theirs, ratio, unit, target and ok
(None where a row has no such value).
"""

from __future__ import annotations

import importlib
import pkgutil
import sys
from collections.abc import Iterator
from pathlib import Path

from rich.console import Console
from rich.table import Table

COLUMNS = ("name", "ours", "theirs", "ratio", "unit", "target", "ok")


def modules(wanted: list[str]) -> Iterator[str]:
    """Yield the names of the benchmark modules, all or those asked for."""
    for found in pkgutil.iter_modules([str(Path(__file__).parent)]):
        if not found.name.startswith("_") and (not wanted or found.name in wanted):
            yield found.name


def text(value: object) -> str:
    """Return a cell as text, numbers to three figures."""
    if isinstance(value, bool):
        return "yes" if value else "NO"
    if isinstance(value, float):
        return f"{value:,.0f}" if abs(value) >= 1000 else f"{value:.3g}"
    return "" if value is None else str(value)


def main() -> int:
    """Print one table for each module; return 1 when a target was missed."""
    console, missed = Console(width=130), 0
    for name in modules(sys.argv[1:]):
        module = importlib.import_module(f"bench.{name}")
        if not hasattr(module, "rows"):
            continue
        table = Table(*COLUMNS, title=f"bench: {name}", title_justify="left")
        for row in module.rows():
            table.add_row(*(text(row.get(column)) for column in COLUMNS))
            missed += row.get("ok") is False
        console.print(table)
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
