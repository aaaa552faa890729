"""The process beside the server that does one errand: limited in memory and time, told and telling in lines.

It is started as ``python -m cringle.web.worker``, reads one errand as a line of JSON, and writes lines of
JSON: how far it is, then what came of it or what is wrong.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from cringle.web.workers import trouble_line

if TYPE_CHECKING:
    from cringle.errors import CringleError

MOST_MEMORY_BYTES: Final = 1_500_000_000
"""Address space; with less, a small job of the table library already fails."""

MOST_CPU_S: Final = 900
TOLD_EVERY: Final = 0.01
"""Progress is told again after so much of the whole."""

Tell = Callable[[dict[str, Any]], None]


def limit(most_bytes: int = MOST_MEMORY_BYTES, most_cpu_s: int = MOST_CPU_S) -> None:
    """Limit this process; where the system has no such limits it goes without."""
    with suppress(ImportError):
        import resource

        for what, most in ((resource.RLIMIT_AS, most_bytes), (resource.RLIMIT_CPU, most_cpu_s)):
            with suppress(ValueError, OSError):
                resource.setrlimit(what, (most, most))
    with suppress(OSError):
        os.nice(10)


def main() -> int:
    """Do the errand that standard input names; return the exit status."""
    told = json.loads(sys.stdin.readline())
    limit()
    out = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)

    def tell(line: dict[str, Any]) -> None:
        out.write(json.dumps(line, allow_nan=False) + "\n")
        out.flush()

    return do(told, tell)


def do(told: dict[str, Any], tell: Tell) -> int:
    """Do an errand and tell what came of it; every error becomes a line that says what to do.

    Parameters
    ----------
    told : dict
        The errand as plain values.
    tell : callable
        Takes one line.
    """
    from cringle.errors import CringleError
    from cringle.workflows.serving.errands import Errand, run_errand

    errand = Errand.from_json(told)
    try:
        found = run_errand(errand, told_seldom(tell))
    except CringleError as error:
        tell(problem_line(error, errand.path))
        return 0
    except MemoryError:
        tell(trouble_line("this needs more memory than one file may take", "send a shorter file"))
        return 0
    tell({"done": found})
    return 0


def told_seldom(tell: Tell) -> Callable[[int, int], None]:
    """Return a progress that tells about a hundred times in all, however often it is called."""
    last = -1.0

    def progress(done: int, total: int) -> None:
        nonlocal last
        share = done / total if total else 0.0
        if share - last >= TOLD_EVERY or done == total:
            last = share
            tell({"progress": [done, total]})

    return progress


def problem_line(error: CringleError, path: Path | None) -> dict[str, Any]:
    """Return an error of the project as a line, without the folder where the file lay."""
    from cringle.web.problems import problem_of, status_of

    found = problem_of(error)
    if path is not None:
        found.message = found.message.replace(f"{path.parent}{os.sep}", "")
    return {"problem": found.model_dump(), "status": status_of(error)}


if __name__ == "__main__":
    sys.exit(main())
