"""Tell the format of a log from its first bytes, or say why it cannot be read."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final, Literal

from cringle.errors import LogError

Format = Literal["nmea", "gpx", "csv"]

HEAD_BYTES: Final = 65_536
_SENTENCE: Final = re.compile(rb"^[$!][A-Z0-9]{2,}[^\n]*", re.MULTILINE)
_DELIMITED: Final = re.compile(rb"[,;\t]")
_WIDE_MARKS: Final = (b"\xff\xfe", b"\xfe\xff")
ACCEPTED: Final = "accepted are NMEA 0183 sentences, GPX 1.1 and CSV with a header line"


def sniff(path: Path) -> Format:
    """Return the format of a log.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    LogError
        It is missing, empty, binary, in a wide encoding, or none of the formats read.
    """
    head = _head(path)
    if head.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<") or _wide_xml(head):
        return "gpx"
    if head.startswith(_WIDE_MARKS):
        raise LogError(
            "the file is UTF-16 text",
            path=path,
            line=1,
            next_step="save it as UTF-8 or plain ASCII and read it again",
        )
    if _SENTENCE.search(head):
        return "nmea"
    if b"\0" in head:
        raise LogError(
            "the file is binary, not a text log",
            path=path,
            line=1,
            next_step=f"export it as text; {ACCEPTED}",
        )
    first = next(
        (line for line in re.split(rb"[\r\n]+", head) if line.strip() and not line.startswith(b"#")), b""
    )
    if not first.strip(b"\xef\xbb\xbf \t"):
        raise LogError("the file holds no line to read", path=path, line=1, next_step=ACCEPTED)
    if _DELIMITED.search(first):
        return "csv"
    raise LogError(
        "this is no log that can be read: no sentence and no header line in it",
        path=path,
        line=1,
        next_step=ACCEPTED,
    )


def _head(path: Path) -> bytes:
    try:
        with path.open("rb") as stream:
            head = stream.read(HEAD_BYTES)
    except FileNotFoundError:
        raise LogError("there is no such file", path=path, next_step="check the name") from None
    except OSError as error:
        raise LogError(
            f"cannot be opened: {error.strerror}", path=path, next_step="check that it is a readable file"
        ) from error
    if not head:
        raise LogError(
            "the file is empty", path=path, next_step="check that the copy from the instrument finished"
        )
    return head


def _wide_xml(head: bytes) -> bool:
    """Return whether a UTF-16 file begins with an XML tag."""
    return head.startswith(_WIDE_MARKS) and head[2:200].replace(b"\0", b"").lstrip().startswith(b"<")
