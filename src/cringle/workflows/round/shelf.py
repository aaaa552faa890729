"""A coach's shelf: several books in one folder, one class file and one play library shared.

The shelf is a folder. Each folder in it with a ``boat.toml`` is a book; ``class.toml`` and ``plays/`` of the
shelf itself are the shared ones. Nothing is taken over before the change was shown.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from cringle.boat.read import read_book_files
from cringle.boat.write import write_atomically
from cringle.book.entries import NewEntry
from cringle.book.store import Book
from cringle.errors import BookError, BookFileError, CringleError, InputError
from cringle.settings.names import known_name
from cringle.settings.records import TonightRequest
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.outings.moments import require_unlocked
from cringle.workflows.plays.open import open_playbook

CLASS: Final = "class.toml"
PLAYS: Final = "plays"
SAME, OTHER, NONE = "same", "differs", "none"


@dataclass(frozen=True)
class OnShelf:
    """One book of a shelf: folder, boat, how its class file and plays stand to the shared ones."""

    name: str
    boat: str
    class_file: str
    plays: str
    trouble: str | None = None


@dataclass(frozen=True)
class Compared:
    """One role over several boats: each one's number, and mm of line from the datum; None unknown."""

    role: str
    marks: dict[str, float | None]
    distance_mm: dict[str, float | None]

    @property
    def spread_mm(self) -> float | None:
        """How far the boats lie apart [mm]; None with fewer than two known."""
        known = [one for one in self.distance_mm.values() if one is not None]
        return max(known) - min(known) if len(known) > 1 else None


@dataclass(frozen=True)
class Share:
    """A change of a shared file for one book: the lines that change, and whether it was taken over."""

    book: str
    file: str
    lines: tuple[str, ...]
    taken: bool


def books_on(shelf: Path) -> dict[str, Path]:
    """Return the books of a shelf by the name of their folder.

    Raises
    ------
    InputError
        There are none.
    """
    found = {path.parent.name: path.parent for path in sorted(shelf.glob("*/boat.toml"))}
    if not found:
        raise InputError(
            f"{shelf}: no book in this folder",
            next_step="put books side by side in one folder, or give --shelf",
        )
    return found


def shelf_list(shelf: Path) -> list[OnShelf]:
    """Return every book of a shelf; one that cannot be read is named with its trouble."""
    return [_on_shelf(shelf, name, folder) for name, folder in books_on(shelf).items()]


def _on_shelf(shelf: Path, name: str, folder: Path) -> OnShelf:
    class_file, plays = _against(shelf / CLASS, folder / CLASS), _plays_against(shelf, folder)
    try:
        boat = read_book_files(folder).boat_file.boat.name
    except CringleError as error:
        return OnShelf(name, "", class_file, plays, error.message.splitlines()[0])
    return OnShelf(name, boat, class_file, plays)


def _against(shared: Path, own: Path) -> str:
    if not shared.is_file() or not own.is_file():
        return NONE
    return SAME if shared.read_bytes() == own.read_bytes() else OTHER


def _plays_against(shelf: Path, folder: Path) -> str:
    shared = sorted((shelf / PLAYS).glob("*.toml"))
    if not shared:
        return NONE
    return SAME if all(_against(one, folder / PLAYS / one.name) == SAME for one in shared) else OTHER


def shelf_compare(
    shelf: Path, request: TonightRequest, *, gear: str = "settled", books: Sequence[str] = ()
) -> list[Compared]:
    """Return the start numbers of several boats side by side, in mm of line.

    Parameters
    ----------
    shelf : Path
        The folder with the books.
    request : TonightRequest
        Wind, sea and sails, the same for all; each boat with her own crew.
    gear : str
        Gear or technique.
    books : sequence of str
        Which books; empty takes all.

    Raises
    ------
    InputError
        There is no such book, or fewer than two.
    RuleError
        One of the boats is racing.
    """
    known = books_on(shelf)
    chosen = [known_name(one, known, what="book") for one in books] or list(known)
    if len(chosen) < 2:
        raise InputError(f"only {len(chosen)} book to compare", next_step="name two or more, or none for all")
    for name in chosen:
        require_unlocked(known[name])
    found = {name: _numbers(known[name], request, gear) for name in chosen}
    roles = dict.fromkeys(role for numbers in found.values() for role in numbers)
    nothing = (None, None)
    return [
        Compared(
            role,
            {name: found[name].get(role, nothing)[0] for name in chosen},
            {name: found[name].get(role, nothing)[1] for name in chosen},
        )
        for role in roles
    ]


def _numbers(
    folder: Path, request: TonightRequest, gear: str
) -> dict[str, tuple[float | None, float | None]]:
    """Return the number of each role and, where it has a scale in mm, its distance from the datum."""
    boat = read_book_files(folder).boat_file
    numbers = tonight(folder, request).numbers.numbers
    scales = {role: control for control in reversed(boat.controls) for role in control.roles}
    return {
        one.role: (one.value, scales[one.role].to_mm(one.value) if one.role in scales else None)
        for one in numbers
        if one.gear == gear
    }


def shared_files(shelf: Path) -> dict[str, str]:
    """Return what a shelf shares: ``class`` or the id of a play, to its file within a book."""
    plays = [one.stem for one in sorted((shelf / PLAYS).glob("*.toml"))]
    files = {"class": CLASS, **{one: f"{PLAYS}/{one}.toml" for one in plays}}
    return {name: file for name, file in files.items() if (shelf / file).is_file()}


def shelf_share(
    shelf: Path, what: str, *, who: str, take: bool = False, books: Sequence[str] = ()
) -> list[Share]:
    """Show what a shared file would change in each book; take it over only when asked to.

    Parameters
    ----------
    shelf : Path
        The folder with the books and the shared files.
    what : str
        ``class``, or the id of a play.
    who : str
        Who takes it over; kept in each book's history.
    take : bool
        Write it. A book in which it would not fit is left as it was.
    books : sequence of str
        Which books; empty takes all.

    Raises
    ------
    InputError
        There is no such shared file or book.
    CringleError
        The file does not fit a book, or the book has a mistake of its own: that book is left as it was, and
        the others have taken the file over.
    """
    shared = shared_files(shelf)
    file = shared.get(what)
    if file is None:
        raise InputError(f"{shelf}: no shared file {what!r}", next_step=f"shared are: {', '.join(shared)}")
    known = books_on(shelf)
    chosen = [known_name(one, known, what="book") for one in books] or list(known)
    shares, refused = [], {}
    for name in chosen:
        try:
            shares.append(_share(known[name], name, (file, shelf / file), who=who, take=take))
        except CringleError as error:
            refused[name] = error
    if refused:
        raise _told(next(iter(refused.values())), shelf / file, list(refused), shares)
    return shares


def _told(error: CringleError, shared: Path, refused: list[str], shares: list[Share]) -> CringleError:
    """Return an error that also says which books were left as they were, and which took the file over."""
    took = [one.book for one in shares if one.taken]
    done = f"; taken over by {', '.join(took)}" if took else ""
    error.next_step = (
        f"{', '.join(refused)}: left as it was{done}; mend {shared} or the book's own files, then try again"
    )
    return error


def _share(folder: Path, name: str, shared: tuple[str, Path], *, who: str, take: bool) -> Share:
    file, source = shared
    own, data = folder / file, source.read_bytes()
    lines = tuple(_difference(_lines(own), _lines(source), f"{name}/{file}"))
    if lines and take:
        _take_over(folder, file, data, who=who)
    return Share(name, file, lines, bool(lines) and take)


def _lines(path: Path) -> list[str]:
    """Return the lines of a file of a book; none where there is no such file."""
    try:
        return path.read_text(encoding="utf-8").splitlines() if path.is_file() else []
    except UnicodeDecodeError:
        raise InputError(f"{path}: not UTF-8", next_step="save it as UTF-8, then try again") from None


def _difference(before: list[str], after: list[str], label: str) -> Iterator[str]:
    yield from difflib.unified_diff(before, after, f"{label} now", f"{label} shared", lineterm="", n=1)


def _take_over(folder: Path, file: str, data: bytes, *, who: str) -> None:
    """Write a shared file into a book and record it, if the whole book stands with it; else leave all."""
    path = folder / file
    before = path.read_bytes() if path.is_file() else None
    path.parent.mkdir(exist_ok=True)
    try:
        write_atomically(path, data)
        _check(folder, file)
        with Book.open(folder, create=True, who=who) as book:
            book.write([NewEntry("toml_edit", file, {"taken_over": "shelf"})], why=f"{file} of the shelf")
    except (InputError, BookFileError, BookError, CringleError):
        if before is None:
            path.unlink(missing_ok=True)
        else:
            write_atomically(path, before)
        raise


def _check(folder: Path, file: str) -> None:
    read_book_files(folder)
    if file.startswith(PLAYS):
        open_playbook(folder).load(Path(file).stem)


def compared_json(rows: Sequence[Compared]) -> dict[str, Any]:
    """Return a comparison as plain values."""
    return {
        "schema": 1,
        "roles": [
            {
                "role": one.role,
                "mark": one.marks,
                "distance_mm": one.distance_mm,
                "spread_mm": one.spread_mm,
            }
            for one in rows
        ],
    }
