"""Where each field of a TOML text stands, so that a mistake can name its line.

The standard parser gives values without places. This reads only headers and keys, which is enough: a value
inside an inline table or a multi-line array is reported at the line of its key.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

Path = tuple[str | int, ...]

_HEADER = re.compile(r"^\s*(\[\[?)\s*([^\]]+?)\s*\]\]?\s*(#.*)?$")
_KEY = re.compile(
    r"""^\s*((?:[A-Za-z0-9_\-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_\-]+|"[^"]*"|'[^']*'))*)\s*=\s*(.*)$"""
)
_PART = re.compile(r"""[A-Za-z0-9_\-]+|"[^"]*"|'[^']*'""")


def _parts(dotted: str) -> list[str]:
    return [part.strip("\"'") for part in _PART.findall(dotted)]


def _closing(value: str) -> str | None:
    """Return the delimiter that ends a multi-line string opened in `value`, or None."""
    for quote in ('"""', "'''"):
        if value.count(quote) % 2 == 1:
            return quote
    return None


class _Cursor:
    """The table in which the next key stands, and how many items each array of tables has."""

    def __init__(self) -> None:
        self.table: Path = ()
        self._counts: dict[Path, int] = {}

    def open(self, names: Sequence[str], *, is_array: bool) -> Path:
        path: Path = ()
        for depth, name in enumerate(names):
            path = (*path, name)
            last = depth == len(names) - 1
            if last and is_array:
                self._counts[path] = self._counts.get(path, -1) + 1
                path = (*path, self._counts[path])
            elif path in self._counts:
                path = (*path, self._counts[path])
        self.table = path
        return path


def _skip_length(value: str) -> int:
    """Return how many brackets stay open after `value`, comments and simple strings left out."""
    bare = re.sub(r"""("[^"]*"|'[^']*'|#.*$)""", "", value)
    return bare.count("[") + bare.count("{") - bare.count("]") - bare.count("}")


def locate(text: str) -> dict[Path, int]:
    """Return the line, counted from 1, of every header and key of a TOML text.

    Parameters
    ----------
    text : str
        A TOML document that the standard parser accepts.

    Returns
    -------
    dict
        Path such as ``("controls", 2, "step")`` to line number.
    """
    lines: dict[Path, int] = {(): 1}
    cursor, until, depth = _Cursor(), None, 0
    for number, raw in enumerate(text.splitlines(), start=1):
        if until is not None:
            until = None if until in raw else until
            continue
        if depth > 0:
            depth += _skip_length(raw)
            continue
        if header := _HEADER.match(raw):
            lines[cursor.open(_parts(header[2]), is_array=header[1] == "[[")] = number
        elif key := _KEY.match(raw):
            lines[(*cursor.table, *_parts(key[1]))] = number
            until = _closing(key[2])
            depth = 0 if until else max(0, _skip_length(key[2]))
    return lines


def nearest_line(lines: Mapping[Path, int], path: Sequence[str | int]) -> int | None:
    """Return the line of a path, or of the nearest table or key that holds it."""
    for length in range(len(path), -1, -1):
        line = lines.get(tuple(path[:length]))
        if line is not None:
            return line
    return None
