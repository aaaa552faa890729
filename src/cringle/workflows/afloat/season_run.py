"""Running one pure function over many logs: in this process, in local processes, or on a cluster."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from typing import Any, Final

from cringle.errors import CringleError, InputError
from cringle.track.season.season import SeasonFile, SeasonTask, season_file

CONNECT_S: Final = 10
LOST_AFTER_S: Final = 20.0
"""A cluster that does not answer for so long has gone away [s]."""

POLL_S: Final = 0.05

Run = Callable[[Sequence[SeasonTask]], Iterator[SeasonFile]]


def run_here(tasks: Sequence[SeasonTask]) -> Iterator[SeasonFile]:
    """Yield the rows of each file, one after another in this process."""
    for task in tasks:
        yield season_file(task)


def run_in_processes(tasks: Sequence[SeasonTask], workers: int) -> Iterator[SeasonFile]:
    """Yield the rows of each file as it is done, from local processes.

    A file that takes a process down with it is tried once more alone, and named when it does so again.

    Parameters
    ----------
    tasks : sequence of SeasonTask
        What to do.
    workers : int
        Processes.
    """
    if workers <= 1 or len(tasks) <= 1:
        yield from run_here(tasks)
        return
    left = {task.path: task for task in tasks}
    try:
        for done in _pooled(list(tasks), workers):
            left.pop(done.path, None)
            yield done
    except BrokenProcessPool:
        for task in list(left.values()):
            yield _alone(task)


def _pooled(tasks: list[SeasonTask], workers: int) -> Iterator[SeasonFile]:
    os.environ.setdefault("POLARS_MAX_THREADS", "1")  # read by the workers: one thread for each process
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        running: list[Future[SeasonFile]] = [pool.submit(season_file, task) for task in tasks]
        try:
            for one in as_completed(running):
                yield one.result()
        except GeneratorExit:
            pool.shutdown(wait=False, cancel_futures=True)
            raise


def _alone(task: SeasonTask) -> SeasonFile:
    try:
        return next(iter(_pooled([task], 1)))
    except BrokenProcessPool:
        return SeasonFile(task.path, None, (), "the process that read it died; most likely out of memory")


def run_on_cluster(tasks: Sequence[SeasonTask], address: str) -> Iterator[SeasonFile]:
    """Yield the rows of each file as it is done, from a dask cluster that sees the same files.

    Parameters
    ----------
    tasks : sequence of SeasonTask
        What to do; paths must hold on the workers too.
    address : str
        Of the scheduler, such as ``tcp://10.0.0.5:8786``.

    Raises
    ------
    InputError
        The extra is not installed, or the cluster cannot be reached.
    CringleError
        The cluster went away; what is done is kept and a new run goes on from there.
    """
    client = _client(address)
    try:
        futures = [client.submit(season_file, task, pure=False, retries=2) for task in tasks]
        yield from _gathered(client, dict(zip(futures, tasks, strict=True)))
    finally:
        client.close(timeout=2)


def _client(address: str) -> Any:
    try:
        from distributed import Client
    except ImportError as error:
        raise InputError(
            "a cluster needs the extra: dask.distributed is not installed",
            next_step="install cringle[cluster], or leave out --cluster to use local processes",
        ) from error
    try:
        return Client(address, timeout=CONNECT_S, set_as_default=False)  # type: ignore[no-untyped-call]  # untyped
    except (OSError, ValueError, TimeoutError) as error:
        raise InputError(
            f"no cluster answers at {address} ({type(error).__name__})",
            next_step="start its scheduler, check the address, or leave out --cluster",
        ) from error


def _gathered(client: Any, waiting: dict[Any, SeasonTask]) -> Iterator[SeasonFile]:
    """Yield results as they come; a task that failed on the cluster names its file."""
    heard = time.monotonic()
    while waiting:
        if client.status == "running":
            heard = time.monotonic()
        done = [one for one in waiting if one.done()]
        for one in done:
            task = waiting.pop(one)
            if one.status == "finished":
                yield one.result(timeout=CONNECT_S)
            elif one.status == "error":
                yield SeasonFile(
                    task.path, None, (), f"failed on the cluster: {one.exception(timeout=CONNECT_S)}"
                )
            else:
                raise _gone(len(waiting) + 1)
        if client.status == "closed" or time.monotonic() - heard > LOST_AFTER_S:
            raise _gone(len(waiting))
        if not done:
            time.sleep(POLL_S)


def _gone(left: int) -> CringleError:
    return CringleError(
        f"the cluster went away with {left} logs left; what is done is kept",
        next_step="run the same command again: it goes on from here",
    )
