"""Our own style sheet, modules and pictures, read once and served from memory under names that are known."""

from __future__ import annotations

import gzip
import hashlib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

from cringle.output.palette import DARK, GLARE, LIGHT, css_variables
from cringle.output.report import parts_style

STATIC: Final = Path(__file__).parent / "static"
TYPES: Final = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
}
THEMES: Final = {"LIGHT": LIGHT, "DARK": DARK, "GLARE": GLARE}


@dataclass(frozen=True)
class Asset:
    """One file: its bytes, the same packed, its type and its tag."""

    body: bytes
    packed: bytes
    kind: str
    tag: str


@cache
def assets() -> dict[str, Asset]:
    """Return every file by its name."""
    own = {path.name: _asset(path.suffix, path.read_bytes()) for path in _files()}
    return {**own, "parts.css": _asset(".css", parts_style().encode("utf-8"))}


def _files() -> list[Path]:
    return [path for path in sorted(STATIC.iterdir()) if path.suffix in TYPES]


@cache
def version() -> str:
    """Return a short word that changes when any file does."""
    tags = "".join(one.tag for one in assets().values())
    return hashlib.sha256(tags.encode("ascii")).hexdigest()[:10]


def _asset(suffix: str, body: bytes) -> Asset:
    if suffix == ".css":
        text = body.decode("utf-8")
        for name, theme in THEMES.items():
            text = text.replace(f"/*{name}*/", css_variables(theme))
        body = text.encode("utf-8")
    tag = hashlib.sha256(body).hexdigest()[:16]
    return Asset(body, gzip.compress(body, 9), TYPES[suffix], f'"{tag}"')
