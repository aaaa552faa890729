"""What the parts of a book's directory are called."""

from __future__ import annotations

from typing import Final

DATABASE_NAME: Final = "book.sqlite"
"""The history."""

LOGS_NAME: Final = "logs"
"""Original logs, tracks and photos."""

PLAYS_NAME: Final = "plays"
"""Manoeuvres, one TOML file each."""

CACHE_NAME: Final = "cache"
"""Results that can be computed again; deletable, and no part of a backup."""
