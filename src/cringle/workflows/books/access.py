"""Who may come in from the network: codes kept as slow hashes, the key that signs sessions, and an audit.

The codes are not part of what travels: they stand in ``access.json`` beside the records, readable by the
owner of the files only, and are in no backup and no export.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import json
import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from threading import Lock
from typing import Any, Final

from cringle.boat.write import write_atomically
from cringle.book.entries import REGARDLESS, NewEntry
from cringle.book.store import Book
from cringle.errors import BookError, InputError

ACCESS_FILE: Final = "access.json"
ROLES: Final = ("crew", "coach")
"""What somebody on the network may be: crew read and append; the coach writes."""

ALPHABET: Final = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Letters and figures that nobody takes for one another when a code is read aloud."""

CODE_LENGTH: Final = {"crew": 6, "coach": 10}
OWNER_ONLY: Final = 0o600
COST, BLOCK, LANES = 2**14, 8, 1
"""Work of one hash: 16 MB and some 50 ms (RFC 7914, section 2)."""

_ONE_AT_A_TIME = Lock()


@dataclass(frozen=True)
class CodeHash:
    """A code as it is kept: salt and hash, and how often the role was renewed or put out."""

    salt: str = ""
    hashed: str = ""
    generation: int = 0


@dataclass(frozen=True)
class Access:
    """What the server needs to know of codes and sessions.

    Parameters
    ----------
    secret : str
        Signs the sessions.
    codes : mapping
        Role to its code.
    """

    secret: str = field(repr=False)
    codes: Mapping[str, CodeHash] = field(hash=False)

    def generation(self, role: str) -> int:
        """Return the number that a session of a role must carry to be let in."""
        return self.codes[role].generation if role in self.codes else 0


def load_access(folder: Path) -> Access:
    """Return the codes of a book; a key for sessions is made the first time.

    Raises
    ------
    BookError
        The file cannot be read or written, or says something else.
    """
    path = folder / ACCESS_FILE
    if not path.is_file():
        made = Access(secrets.token_hex(32), {role: CodeHash() for role in ROLES})
        _save(path, made)
        return made
    try:
        told = json.loads(path.read_text(encoding="utf-8"))
        codes = {role: CodeHash(**told["codes"][role]) for role in ROLES}
        return Access(str(told["secret"]), codes)
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise BookError(
            f"{path}: cannot be read as codes of a book", next_step="remove the file: new codes are made"
        ) from error


def renew_codes(folder: Path, roles: Sequence[str] = ROLES, *, who: str) -> dict[str, str]:
    """Make new codes for some roles and return them; they are not kept in readable form.

    Who has joined before stays in; see `put_out`.
    """
    access = load_access(folder)
    codes = {_role(role): _new_code(role) for role in roles}
    hashes = {
        role: replace(_hashed(code), generation=access.generation(role)) for role, code in codes.items()
    }
    _save(folder / ACCESS_FILE, replace(access, codes={**access.codes, **hashes}))
    for role in roles:
        audit(folder, role, {"value": "new code"}, who=who)
    return codes


def put_out(folder: Path, role: str, *, who: str) -> Access:
    """End every session of a role and forget its code; return the codes as they stand now."""
    access = load_access(folder)
    fresh = CodeHash(generation=access.generation(_role(role)) + 1)
    changed = replace(access, codes={**access.codes, role: fresh})
    _save(folder / ACCESS_FILE, changed)
    audit(folder, role, {"value": "everybody put out"}, who=who)
    return changed


def role_of_code(access: Access, code: str) -> str | None:
    """Return the role that a code opens, or None; every code is tried, in the same time."""
    clean = "".join(code.split()).replace("-", "").upper()[:64]
    found = None
    with _ONE_AT_A_TIME:
        for role in ROLES:
            kept = access.codes[role]
            salt = base64.b64decode(kept.salt) if kept.salt else b"nobody has a code"
            same = hmac.compare_digest(_hash(clean, salt), kept.hashed)
            found = role if same and kept.salt else found
    return found


def audit(folder: Path, role: str, said: Mapping[str, Any], *, who: str, device: str | None = None) -> None:
    """Write into the history that somebody joined, was put out, or got a new code."""
    with Book.open(folder, create=True, who=who, device=device) as book:
        book.write([NewEntry("access", role, said, base_id=REGARDLESS)], why=f"access: {said['value']}")


def _role(role: str) -> str:
    if role not in ROLES:
        raise InputError(f"no role {role!r}", next_step=f"choose one of: {', '.join(ROLES)}")
    return role


def _new_code(role: str) -> str:
    return "".join(secrets.choice(ALPHABET) for _ in range(CODE_LENGTH[role]))


def _hashed(code: str) -> CodeHash:
    salt = secrets.token_bytes(16)
    return CodeHash(base64.b64encode(salt).decode("ascii"), _hash(code, salt))


def _hash(code: str, salt: bytes) -> str:
    made = hashlib.scrypt(code.encode("utf-8"), salt=salt, n=COST, r=BLOCK, p=LANES, dklen=32)
    return base64.b64encode(made).decode("ascii")


def _save(path: Path, access: Access) -> None:
    codes = {role: vars(code) for role, code in access.codes.items()}
    text = json.dumps({"secret": access.secret, "codes": codes}, indent=1)
    write_atomically(path, text.encode("utf-8"), mode=OWNER_ONLY)
