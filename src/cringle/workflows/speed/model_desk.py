"""Questions to the speed model answered in a process of their own, so that nobody waits for them."""

from __future__ import annotations

import sys
from collections.abc import Hashable
from multiprocessing import get_context
from pathlib import Path
from threading import Lock, Thread

from cringle.settings.records import TonightRequest
from cringle.workflows.speed.tonight import model_answers


class ModelDesk:
    """Has the speed model compute, once for each sea and each crew, and remembers what is ready.

    Parameters
    ----------
    folder : Path
        The book; the answers are kept in its cache.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.answered = 0
        self._asked: set[Hashable] = set()
        self._ready: set[Hashable] = set()
        self._lock, self._one_at_a_time = Lock(), Lock()

    def is_ready(self, files: tuple[int, ...], request: TonightRequest) -> bool:
        """Return whether the answer is kept already; ask for it where it is not.

        Parameters
        ----------
        files : tuple of int
            When the files of the book were changed: other files, other answers.
        request : TonightRequest
            Its sea and people count.
        """
        key = (files, request.sea, request.aboard)
        with self._lock:
            if key in self._asked:
                return key in self._ready
            self._asked.add(key)
        Thread(target=self.ask, args=(key, request), daemon=True).start()
        return False

    def ask(self, key: Hashable, request: TonightRequest) -> None:
        """Have one question answered, after those before it; a failure leaves the book's own answers."""
        with self._one_at_a_time:
            child = get_context("spawn").Process(target=compute, args=(self.folder, request), daemon=True)
            child.start()
            child.join()
        with self._lock:
            if child.exitcode == 0:
                self._ready.add(key)
                self.answered += 1


def compute(folder: Path, request: TonightRequest) -> None:
    """Compute and keep what the model says; end the process with 1 where it has no answer."""
    told: list[str] = []
    model_answers(folder, request, tell=told.append)
    sys.exit(1 if any("no answer" in words for words in told) else 0)
