"""Errands beside the server: done in a process of their own, with progress, within limits, and stoppable."""

from __future__ import annotations

import json
import os
import secrets
import shutil
import signal
import subprocess
import sys
from collections import OrderedDict
from collections.abc import Hashable
from contextlib import suppress
from dataclasses import dataclass, field
from threading import BoundedSemaphore, Event, RLock, Thread, Timer
from typing import Any, Final, Literal

from cringle.workflows.serving.errands import Errand

AT_ONCE: Final = 2
MOST_WAITING: Final = 20
MOST_REMEMBERED: Final = 60
LONGEST_S: Final = {"season": 900.0}
USUAL_S: Final = 180.0
"""An errand that takes longer is stopped [s]."""

QUIET: Final = {
    "MALLOC_ARENA_MAX": "2",
    "OMP_NUM_THREADS": "1",
    "OPENBLAS_NUM_THREADS": "1",
    "POLARS_MAX_THREADS": "2",
}
"""Each thread's own heap takes address space (glibc, malloc: arenas), and the server needs the other core."""

Json = dict[str, Any]
State = Literal["waiting", "running", "done", "failed", "stopped"]


def trouble_line(message: str, next_step: str, status: int = 422) -> Json:
    """Return what went wrong outside the project's own errors, as the process beside the server tells it."""
    found = {"message": message, "next_step": next_step, "fields": [], "clashes": []}
    return {"problem": found, "status": status}


class WorkError(Exception):
    """Work came to nothing: status of the answer, and the problem as plain values."""

    def __init__(self, line: Json) -> None:
        super().__init__(str(line["problem"]))
        self.status: int = line["status"]
        self.problem: Json = line["problem"]


@dataclass
class Work:
    """One errand: where it stands, how far it is, what came of it.

    Parameters
    ----------
    errand : Errand
        What is done.
    id : str
        By which it is asked for; nobody can guess it.
    state : str
        ``waiting``, ``running``, ``done``, ``failed`` or ``stopped``.
    done, total : int
        How far it is.
    result : dict or None
        What came of it.
    problem : dict or None
        What is wrong, and what to do next.
    status : int
        Of the answer that says so.
    """

    errand: Errand
    id: str = field(default_factory=lambda: secrets.token_urlsafe(12))
    state: State = "waiting"
    done: int = 0
    total: int = 0
    result: Json | None = None
    problem: Json | None = None
    status: int = 200
    finished: Event = field(default_factory=Event, repr=False)
    process: subprocess.Popen[str] | None = field(default=None, repr=False)

    @property
    def is_over(self) -> bool:
        """Whether nothing more will happen."""
        return self.finished.is_set()

    def answer(self) -> Json:
        """Return what came of it.

        Raises
        ------
        WorkError
            It failed, or was stopped.
        """
        if self.result is None:
            raise WorkError({"problem": self.problem, "status": self.status})
        return self.result


class Workers:
    """Has errands done beside the server, two at a time."""

    def __init__(self) -> None:
        self._works: OrderedDict[Hashable, Work] = OrderedDict()
        self._lock, self._turns = RLock(), BoundedSemaphore(AT_ONCE)

    def begin(self, errand: Errand) -> Work:
        """Begin an errand; its file is taken away when it is over.

        Raises
        ------
        WorkError
            Too many wait already.
        """
        work = Work(errand)
        return self._begun(work.id, work)

    def joined(self, key: Hashable, errand: Errand) -> Work:
        """Return the work kept under a key, done or going on; begin it where there is none, or it failed."""
        with self._lock:
            found = self._works.get(key)
            if found is None or (found.is_over and found.result is None):
                found = self._begun(key, Work(errand))
        return found

    def kept(self, key: Hashable) -> Work | None:
        """Return the work under a key, None where none was begun."""
        with self._lock:
            return self._works.get(key)

    def _begun(self, key: Hashable, work: Work) -> Work:
        with self._lock:
            if sum(not one.is_over for one in self._works.values()) >= MOST_WAITING:
                forget_file(work.errand)
                raise WorkError(trouble_line("too much is being read already", "wait a minute", 429))
            self._works[key] = work
            self._works.move_to_end(key)
            over = [one for one, found in self._works.items() if found.is_over]
            for one in over[: max(0, len(self._works) - MOST_REMEMBERED)]:
                del self._works[one]
        Thread(target=self._do, args=(work,), daemon=True).start()
        return work

    def run(self, errand: Errand) -> Json:
        """Do an errand, wait for it, and return what came of it."""
        work = self.begin(errand)
        work.finished.wait()
        return work.answer()

    def find(self, name: str) -> Work:
        """Return an errand by its id.

        Raises
        ------
        WorkError
            There is none.
        """
        with self._lock:
            found = next((one for one in self._works.values() if one.id == name), None)
        if found is None:
            raise WorkError(trouble_line("this is not known here any more", "send it again", 404))
        return found

    def stop(self, work: Work) -> None:
        """Stop an errand; what it has not written is left out."""
        with self._lock:
            if work.is_over:
                return
            work.state = "stopped"
            process = work.process
        if process is not None:
            _end(process)

    def close(self) -> None:
        """Stop everything."""
        for one in list(self._works.values()):
            self.stop(one)

    def _do(self, work: Work) -> None:
        try:
            with self._turns:
                if work.state != "stopped":
                    self._attend(work)
        finally:
            if work.state == "stopped":
                _settle(work, trouble_line("stopped", "send it again when you want it"))
            elif work.result is None:
                work.state = "failed"
                _settle(work, trouble_line("it could not be done here", "try again, or a smaller file"))
            forget_file(work.errand)
            work.finished.set()

    def _attend(self, work: Work) -> None:
        """Start the process, follow what it tells, and see that it ends."""
        longest_s = LONGEST_S.get(work.errand.kind, USUAL_S)
        process = _started()
        with self._lock:
            work.process = process
            if work.state == "stopped":
                _end(process)
            else:
                work.state = "running"
        late = Timer(longest_s, _too_late, (work, process, longest_s))
        late.daemon = True
        late.start()
        _follow(work, process)
        late.cancel()
        if work.result is None and work.problem is None:
            _settle(work, trouble_line("it ended without an answer: too large?", "send a shorter file"))
        if work.result is not None and work.state != "stopped":
            work.state = "done"


def _follow(work: Work, process: subprocess.Popen[str]) -> None:
    """Tell the process its errand, take in its lines, and wait for its end."""
    with suppress(BrokenPipeError), process:
        print(json.dumps(work.errand.to_json()), file=process.stdin, flush=True)
        for line in process.stdout or ():
            _settle(work, json.loads(line))
    process.wait()


def _started() -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "cringle.web.worker"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        encoding="utf-8",
        env={**os.environ, **QUIET},
        start_new_session=True,
    )


def _settle(work: Work, line: Json) -> None:
    """Take in one line that the process told."""
    if "progress" in line:
        work.done, work.total = line["progress"]
    elif "done" in line:
        work.result = line["done"]
    elif work.problem is None:
        work.problem, work.status = line["problem"], line["status"]


def _too_late(work: Work, process: subprocess.Popen[str], longest_s: float) -> None:
    _settle(work, trouble_line(f"this took longer than {longest_s:.0f} seconds", "send a shorter file"))
    _end(process)


def _end(process: subprocess.Popen[str]) -> None:
    """End a process and those it started."""
    with suppress(ProcessLookupError, PermissionError):
        os.killpg(process.pid, signal.SIGKILL)


def forget_file(errand: Errand) -> None:
    """Take away the folder of the file that was sent, if one was."""
    if errand.path is not None:
        shutil.rmtree(errand.path.parent, ignore_errors=True)
