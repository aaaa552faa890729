"""Photos of a visit: copied into the book byte for byte, and read back for the report's annex."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from cringle.book.entries import NewEntry
from cringle.book.files import sha256_of
from cringle.errors import InputError
from cringle.output.picture_bare import bare_picture
from cringle.output.typst_pdf import picture_fault
from cringle.workflows.book_open import Records
from cringle.workflows.outings.notes import keep_photo

VISIT_PHOTO: Final = "visit_photo"
MOST_PHOTOS: Final = 6
MOST_BYTES: Final = 8_000_000
"""Of one photo that is to be embedded; a page with six still goes by mail."""

LETTERS: Final = 16
"""Of the digest, which tell one photo from another."""

ENDINGS: Final = (".jpg", ".jpeg", ".png")


@dataclass(frozen=True)
class Photo:
    """A photo of a visit: where it is kept, and what it shows."""

    path: Path
    sha256: str
    caption: str


def keep_photos(records: Records, visit: str, photos: Sequence[tuple[Path, str]]) -> list[NewEntry]:
    """Copy photos into the book and return the entries that name them; one kept before renews its words.

    Raises
    ------
    InputError
        A file that is not there, too large, of another kind or damaged, or too many of them.
    """
    stands = {one.key.role: one for one in records.book.current(VISIT_PHOTO, subject=visit)}
    for path, _ in photos:
        require_usable(path)
    roles = {sha256_of(path)[:LETTERS] for path, _ in photos}
    if (count := len(stands.keys() | roles)) > MOST_PHOTOS:
        raise InputError(f"{count} photos on one visit", next_step=f"choose at most {MOST_PHOTOS}")
    fresh: dict[str, NewEntry] = {}
    for path, caption in photos:
        file, digest = keep_photo(records, path)
        role = digest[:LETTERS]
        before = stands.get(role)
        payload = {"value": caption.strip() or path.name, "file": file, "sha256": digest}
        if before is None or dict(before.payload) != payload:
            base_id = None if before is None else before.id
            fresh[role] = NewEntry(VISIT_PHOTO, visit, payload, role=role, base_id=base_id)
    return list(fresh.values())


def require_usable(path: Path) -> None:
    """Refuse a photo that the report could not show.

    Raises
    ------
    InputError
        With the file's name, what is accepted, and what to do.
    """
    if not path.is_file():
        raise InputError(f"{path}: no such file", next_step="give the path of the photo")
    if path.suffix.lower() not in ENDINGS:
        raise InputError(f"{path}: accepted are {', '.join(ENDINGS)}", next_step="save it as .jpg or .png")
    if path.stat().st_size > MOST_BYTES:
        raise InputError(
            f"{path}: larger than {MOST_BYTES // 1_000_000} MB", next_step="make it smaller, then try again"
        )
    try:
        bare = bare_picture(path.read_bytes())
    except InputError as error:
        raise InputError(f"{path}: {error.message}", next_step=error.next_step) from error
    fault = picture_fault(f"photo{path.suffix.lower()}", bare)
    if fault is not None:
        raise InputError(f"{path}: is no picture that can be printed ({fault})", next_step="save it again")


def kept_photos(records: Records, visit: str) -> tuple[Photo, ...]:
    """Return the photos of a visit, in the order they came."""
    return tuple(
        Photo(records.book.directory / str(one.payload["file"]), str(one.payload["sha256"]), str(one.value))
        for one in records.book.current(VISIT_PHOTO, subject=visit)
    )
