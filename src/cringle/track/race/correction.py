"""What a person may correct in a debrief: a tack, a rounding, a start ..., as one thing that can be kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from cringle.errors import InputError
from cringle.track.race.structure import LEEWARD, OFFSET, REACH, RUN, UP, WINDWARD

TURNS: Final = ("tack", "gybe")
ACTIONS: Final[Mapping[str, tuple[str, ...]]] = {
    "tack": ("add", "remove", "move"),
    "gybe": ("add", "remove", "move"),
    "start": ("move",),
    "finish": ("add", "remove", "move"),
    "rounding": ("add", "remove", "move", "rename"),
    "leg": ("add", "remove"),
    "recall": ("add", "remove"),
}
"""What can be corrected, and how."""

KINDS: Final[Mapping[str, tuple[str, ...]]] = {
    "rounding": (WINDWARD, OFFSET, LEEWARD),
    "leg": (UP, RUN, REACH),
}
"""The mark of a rounding, the kind of a leg."""

NEEDS_TO: Final = (("leg", "add"),)
NEEDS_KIND: Final = (("rounding", "add"), ("rounding", "rename"), ("leg", "add"))


@dataclass(frozen=True)
class Correction:
    """One correction.

    Parameters
    ----------
    what : str
        ``tack``, ``gybe``, ``start``, ``finish``, ``rounding``, ``leg`` or ``recall``.
    action : str
        ``add``, ``remove``, ``move`` or ``rename``; not every one goes with everything (`ACTIONS`).
    at : datetime
        Time of the detection meant, or of what is added, UTC; for a leg to be removed any time in it, for one
        to be added its beginning; for a recall the start that was recalled.
    to : datetime or None
        Where it is moved to, UTC; the end of an added leg; the start that counted after a recall.
    kind : str or None
        Mark of an added or renamed rounding, kind of an added leg.

    Raises
    ------
    InputError
        There is no such correction.
    """

    what: str
    action: str
    at: datetime
    to: datetime | None = None
    kind: str | None = None

    def __post_init__(self) -> None:
        if self.what not in ACTIONS:
            raise InputError(f"correction of {self.what!r}", next_step=f"use one of: {', '.join(ACTIONS)}")
        if self.action not in ACTIONS[self.what]:
            accepted = ", ".join(ACTIONS[self.what])
            raise InputError(f"{self.action!r} of a {self.what}", next_step=f"use one of: {accepted}")
        if self.at.tzinfo is None or (self.to is not None and self.to.tzinfo is None):
            raise InputError("a correction's time without a zone", next_step="give it in UTC")
        self._check_to()
        self._check_kind()

    def _check_to(self) -> None:
        which = (self.what, self.action)
        needed = self.action == "move" or which in NEEDS_TO
        if needed != (self.to is not None) and which != ("recall", "add"):
            raise InputError(
                f"{self.action} of a {self.what}: {'no second time' if needed else 'a second time'}",
                next_step="a move and an added leg need a second time, others none",
            )

    def _check_kind(self) -> None:
        accepted = KINDS.get(self.what, ()) if (self.what, self.action) in NEEDS_KIND else (None,)
        if self.kind not in accepted:
            named = ", ".join(one for one in accepted if one) or "none"
            raise InputError(
                f"{self.action} of a {self.what} as {self.kind!r}; accepted: {named}",
                next_step="use one of these",
            )

    @property
    def is_turn(self) -> bool:
        """Whether it is about a tack or a gybe rather than about the race."""
        return self.what in TURNS

    def to_json(self) -> dict[str, Any]:
        """Return it as plain values, for keeping."""
        to = None if self.to is None else self.to.isoformat()
        at = self.at.isoformat()
        return {"what": self.what, "action": self.action, "at": at, "to": to, "kind": self.kind}

    @classmethod
    def from_json(cls, kept: Mapping[str, Any]) -> Correction:
        """Return a correction as it was kept."""
        to = kept.get("to")
        return cls(
            str(kept["what"]),
            str(kept["action"]),
            datetime.fromisoformat(kept["at"]),
            None if to is None else datetime.fromisoformat(to),
            kept.get("kind"),
        )
