"""Finding the name a person meant."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from typing import TypeVar

from cringle.errors import InputError

Name = TypeVar("Name", bound=str)


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known name that looks most like a word, or None when none does."""
    names = {one.casefold(): one for one in known}
    close = difflib.get_close_matches(word.casefold(), names, n=1, cutoff=0.4)
    return names[close[0]] if close else None


def known_name(
    word: str, known: Iterable[Name], *, what: str, next_step: str = "give one of the accepted names"
) -> Name:
    """Return a name if it is known.

    Raises
    ------
    InputError
        It is not; the message lists the known ones and the nearest.
    """
    names = tuple(known)
    for one in names:
        if one == word:
            return one
    close = nearest(word, names)
    hint = f"; did you mean {close!r}?" if close else ""
    accepted = ", ".join(names) or "none yet"
    raise InputError(f"no {what} {word!r}; accepted: {accepted}{hint}", next_step=next_step)
