"""Every error Cringle raises on purpose.

::

    CringleError                 exit status 1
    ├── InputError               something a person or a file gave us cannot be used
    │   ├── BookFileError        a TOML file of the book: path, line, field
    │   ├── LogError             a log that cannot be read at all: path, line
    │   └── OutOfRangeError      a number outside what the class, the control or the model allows
    ├── RuleError                the class or the rules forbid it
    ├── BookError                the records cannot be read or written: locked, read-only, corrupt, disk full
    ├── NotConvergedError        a computation found no answer and says why
    └── ConflictError            somebody else changed the same number first: exit status 3

An error says what was found, what is accepted and what to do next, and carries those as data.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path


@dataclass(frozen=True)
class Finding:
    """One mistake: where it is, what was found, what is accepted, what to try.

    Parameters
    ----------
    message : str
        What is wrong, in one sentence.
    path : Path or None
        The file it is in.
    line : int or None
        Line in that file, counted from 1.
    field : str or None
        Dotted name of the field, as written in the file.
    found, accepted, nearest : str or None
        What stands there, what may stand there, and the nearest right name.
    """

    message: str
    path: Path | None = None
    line: int | None = None
    field: str | None = None
    found: str | None = None
    accepted: str | None = None
    nearest: str | None = None

    def __str__(self) -> str:
        place = ":".join(str(part) for part in (self.path, self.line) if part is not None)
        head = f"{place}: " if place else ""
        name = f"{self.field}: " if self.field else ""
        tail = [
            f"found {self.found}" if self.found is not None else "",
            f"accepted: {self.accepted}" if self.accepted else "",
            f"did you mean {self.nearest!r}?" if self.nearest else "",
        ]
        return head + name + "; ".join([self.message, *[part for part in tail if part]])


class CringleError(Exception):
    """Base of all errors raised on purpose.

    Parameters
    ----------
    message : str
        What is wrong.
    next_step : str, optional
        What to do about it; printed on its own line.
    """

    exit_status = 1

    def __init__(self, message: str, *, next_step: str | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.next_step = next_step

    def __str__(self) -> str:
        return self.message if self.next_step is None else f"{self.message}\n  Next: {self.next_step}"


class InputError(CringleError):
    """Something a person or a file gave us cannot be used."""


class BookFileError(InputError):
    """A TOML file of the book has one or more mistakes; all are listed at once."""

    def __init__(self, findings: list[Finding], *, next_step: str | None = None) -> None:
        self.findings = tuple(findings)
        super().__init__("\n".join(str(one) for one in findings), next_step=next_step)


class LogError(InputError):
    """A log that cannot be read at all."""

    def __init__(
        self, message: str, *, path: Path | None = None, line: int | None = None, next_step: str | None = None
    ) -> None:
        self.path = path
        self.line = line
        place = ":".join(str(part) for part in (path, line) if part is not None)
        super().__init__(f"{place}: {message}" if place else message, next_step=next_step)


class OutOfRangeError(InputError):
    """A number outside what the class, the control or the model allows."""

    def __init__(
        self,
        name: str,
        found: float,
        low: float,
        high: float,
        *,
        unit: str = "",
        next_step: str | None = None,
    ) -> None:
        self.name, self.found, self.low, self.high = name, found, low, high
        super().__init__(
            f"{name}: found {found:g} {unit}, accepted {low:g} to {high:g} {unit}".rstrip(),
            next_step=next_step,
        )


class RuleError(CringleError):
    """The class or the racing rules forbid it; the message names the rule."""


class BookError(CringleError):
    """The records cannot be read or written: locked, read-only, corrupt, disk full."""


class NotConvergedError(CringleError):
    """A computation found no answer; the message says which cause is likely."""


@dataclass(frozen=True)
class Clash:
    """What two people wrote in the same place.

    Parameters
    ----------
    key : str
        What was written, as a person would say it.
    yours, theirs, base : str
        The value you gave, the value that stands there now, and the value you had seen.
    who, at : str
        Who wrote theirs, and when (UTC).
    base_id : int or None
        Id of the entry you had seen.
    """

    key: str
    yours: str
    theirs: str
    who: str
    at: str
    base: str = ""
    base_id: int | None = None


class ConflictError(CringleError):
    """Somebody else changed the same number first. Both values are kept; a person picks."""

    exit_status = 3

    def __init__(self, clashes: list[Clash], *, next_step: str | None = None) -> None:
        self.clashes = tuple(clashes)
        lines = [
            f"{c.key}: you wrote {c.yours}, {c.who} wrote {c.theirs} at {c.at} (you had seen {c.base})"
            for c in clashes
        ]
        super().__init__(
            "\n".join(lines),
            next_step=next_step or "look at both values, then write yours again or keep theirs",
        )


@dataclass
class Collected:
    """Mistakes gathered while reading one file, so that a person sees all of them at once."""

    findings: list[Finding] = field(default_factory=list)

    def add(self, finding: Finding) -> None:
        """Keep one more mistake."""
        self.findings.append(finding)

    def raise_if_any(self, next_step: str | None = None) -> None:
        """Raise a `BookFileError` when at least one mistake was kept."""
        if self.findings:
            raise BookFileError(self.findings, next_step=next_step)
