"""Many logs at once: in processes, on a cluster, and what happens when the cluster goes away."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from types import SimpleNamespace

import pytest

from cringle.errors import CringleError, InputError
from cringle.track.season.season import SeasonFile, SeasonTask
from cringle.workflows.afloat import season_run

EVENING = Path(__file__).parents[3] / "examples" / "evening.nmea"


class Gone:
    """A cluster that answers one task and then goes away."""

    status = "running"

    def future(self, state: str, result: object = None) -> SimpleNamespace:
        return SimpleNamespace(
            done=lambda: state != "pending",
            status=state,
            result=lambda timeout: result,
            exception=lambda timeout: MemoryError("too large"),
        )


def hashable(one: SimpleNamespace) -> object:
    return type("Future", (), vars(one))()


def test_a_cluster_that_goes_away_says_so_and_keeps_what_is_done():
    client = Gone()
    tasks = [SeasonTask(name) for name in ("a", "b")]
    done = hashable(client.future("finished", "rows of a"))
    lost = hashable(client.future("lost"))
    for one in (done, lost):
        for name, value in vars(type(one)).items():
            if callable(value) and not name.startswith("__"):
                setattr(one, name, value)
    results = season_run._gathered(client, dict(zip((done, lost), tasks, strict=True)))
    assert next(results) == "rows of a"
    with pytest.raises(CringleError, match="went away with 1 logs left"):
        next(results)


def test_a_task_that_fails_on_the_cluster_names_its_file():
    client = Gone()
    bad = hashable(client.future("error"))
    for name, value in vars(type(bad)).items():
        if callable(value) and not name.startswith("__"):
            setattr(bad, name, value)
    found = list(season_run._gathered(client, {bad: SeasonTask("a")}))
    assert found[0].error == "failed on the cluster: too large"


def test_no_cluster_at_the_address(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(season_run, "CONNECT_S", 1)
    with pytest.raises(InputError, match="no cluster answers"):
        list(season_run.run_on_cluster([SeasonTask("a")], "tcp://127.0.0.1:9"))


def test_a_real_cluster_gives_the_same_rows(tmp_path: Path):
    """Run in a process of its own: dask keeps threads and sockets that outlive a test."""
    (tmp_path / "bad.nmea").write_text("nothing", encoding="utf-8")
    script = (
        "from distributed import LocalCluster\n"
        "from cringle.track.season.season import SeasonTask\n"
        "from cringle.workflows.afloat.season_run import run_here, run_on_cluster\n"
        f"tasks = [SeasonTask({str(tmp_path / 'bad.nmea')!r}), SeasonTask({str(EVENING)!r})]\n"
        "with LocalCluster(n_workers=1, processes=False, dashboard_address=None) as cluster:\n"
        "    far = {one.path: one for one in run_on_cluster(tasks, cluster.scheduler_address)}\n"
        "near = {one.path: one for one in run_here(tasks)}\n"
        "print(far == near, len(far))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, timeout=120, check=False
    )
    assert done.stdout.strip().endswith("True 2"), done.stderr


def test_without_the_extra_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch):
    import builtins

    real = builtins.__import__

    def missing(name: str, *rest: object, **more: object) -> object:
        if name == "distributed":
            raise ImportError(name)
        return real(name, *rest, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(builtins, "__import__", missing)
    with pytest.raises(InputError, match="needs the extra"):
        season_run._client("tcp://127.0.0.1:9")


def test_a_file_that_takes_its_process_down_is_named(monkeypatch: pytest.MonkeyPatch):
    def broken(tasks: Sequence[SeasonTask], workers: int):
        for task in tasks:
            if task.path == "deadly":
                raise season_run.BrokenProcessPool("died")
            yield SeasonFile(task.path, "hash", ())

    monkeypatch.setattr(season_run, "_pooled", broken)
    tasks = [SeasonTask(name) for name in ("a", "deadly", "b")]
    found = {one.path: one.error for one in season_run.run_in_processes(tasks, 2)}
    assert set(found) == {"a", "deadly", "b"}
    assert found["a"] is None and found["b"] is None
    assert "died" in (found["deadly"] or "")


def test_one_task_needs_no_process():
    found = list(season_run.run_in_processes([SeasonTask(os.devnull + "-none")], 4))
    assert found[0].error


HOLDER = (
    "import sys, time\n"
    "from distributed import LocalCluster\n"
    "if __name__ == '__main__':\n"
    "    cluster = LocalCluster(\n"
    "        n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None,\n"
    "        protocol='tcp://', host='127.0.0.1'\n"
    "    )\n"
    "    print(cluster.scheduler_address, flush=True)\n"
    "    time.sleep(100)\n"
)
"""A cluster of one worker in a process of its own, to be ended in the middle of a run."""

LOSER = """
import os, signal, subprocess, sys
from pathlib import Path
from cringle.errors import CringleError
from cringle.workflows.afloat import season_run
from cringle.workflows.afloat.season import SeasonAsked, season

season_run.LOST_AFTER_S = 3.0
holder = subprocess.Popen([sys.executable, sys.argv[2]], stdout=subprocess.PIPE, text=True)
address = holder.stdout.readline().strip()
folder = Path(sys.argv[1])

def told(done, total, path):
    if done == 1:
        holder.kill()

try:
    season(SeasonAsked(folder, cluster=address), told)
    print("it did not go away")
except CringleError as error:
    print(str(error).splitlines()[0])
holder.wait()
resumed = season(SeasonAsked(folder, workers=1))
whole = season(SeasonAsked(folder, workers=1, again=True))
kept = 1 <= resumed.unchanged < whole.files
print(kept, resumed.rows == whole.rows, len(whole.rows) > 0)
"""


def test_a_season_goes_on_after_its_cluster_was_killed(tmp_path: Path):
    logs = tmp_path / "logs"
    logs.mkdir()
    (logs / "a.nmea").write_text("nothing", encoding="utf-8")
    for name in ("b", "c", "d", "e"):
        (logs / f"{name}.nmea").write_bytes(EVENING.read_bytes())
    holder = tmp_path / "holder.py"
    holder.write_text(HOLDER, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-c", LOSER, str(logs), str(holder)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        env={**os.environ, "XDG_CACHE_HOME": str(tmp_path / "cache")},
    )
    said = done.stdout.strip().splitlines()
    assert "went away with" in said[0], done.stderr
    assert "what is done is kept" in said[0]
    assert said[-1] == "True True True"
