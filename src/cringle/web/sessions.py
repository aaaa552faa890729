"""Signed sessions: who somebody said they are, and the token that a change must carry."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from dataclasses import dataclass
from typing import Any, Final

from itsdangerous import BadSignature, URLSafeTimedSerializer

from cringle.workflows.books.access import ROLES, Access

LONGEST_S: Final = 14 * 24 * 3600
"""A session ends two weeks after joining [s]."""

RANK: Final = {"crew": 1, "coach": 2}


@dataclass(frozen=True)
class Visitor:
    """Who asks.

    Parameters
    ----------
    role : str or None
        ``crew``, ``coach``, or None for somebody who has not joined.
    name : str
        Kept with what they write.
    session_id : str
        Ties the token of a change to the session.
    fresh : bool
        Whether the session was made for this very answer and must be handed out with it.
    """

    role: str | None = None
    name: str = ""
    session_id: str = ""
    fresh: bool = False

    def may(self, role: str) -> bool:
        """Whether they are at least that."""
        return self.role is not None and RANK[self.role] >= RANK[role]


class Sessions:
    """Makes and reads session cookies.

    Parameters
    ----------
    access : Access
        Codes and the key that signs.
    port : int
        Part of the cookie's name, so that two books on one machine do not disturb each other.
    """

    def __init__(self, access: Access, port: int) -> None:
        self.cookie = f"cringle_{port}"
        self.use(access)

    def use(self, access: Access) -> None:
        """Go by other codes from now on."""
        self.access = access
        self._signer = URLSafeTimedSerializer(access.secret, salt="cringle session")

    def begin(self, role: str, name: str) -> Visitor:
        """Return a new session."""
        return Visitor(role, name, secrets.token_urlsafe(16), fresh=True)

    def written(self, visitor: Visitor) -> str:
        """Return a session as the value of its cookie."""
        generation = self.access.generation(visitor.role or "")
        return self._signer.dumps([visitor.role, visitor.name, visitor.session_id, generation])

    def read(self, cookie: str | None) -> Visitor | None:
        """Return the session of a cookie; None when it is missing, altered, too old or put out."""
        if not cookie:
            return None
        try:
            told: Any = self._signer.loads(cookie, max_age=LONGEST_S)
            role, name, session_id, generation = told
        except (BadSignature, ValueError, TypeError):
            return None
        if role not in ROLES or generation != self.access.generation(role):
            return None
        return Visitor(role, str(name), str(session_id))

    def token(self, visitor: Visitor) -> str:
        """Return what a change must carry to show that it comes from our own page."""
        key = self.access.secret.encode("ascii")
        return hmac.new(key, f"change {visitor.session_id}".encode(), hashlib.sha256).hexdigest()

    def token_is_right(self, visitor: Visitor, token: str) -> bool:
        """Whether a change carries the token of its session."""
        return bool(visitor.session_id) and hmac.compare_digest(
            self.token(visitor).encode("ascii"), token.encode("utf-8", "replace")
        )
