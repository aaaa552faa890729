"""Shared by all tests: the demo files and a copy of them to break."""

from __future__ import annotations

import importlib.util
import shutil
import sys
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import HealthCheck, settings

ROOT = Path(__file__).parents[1]

settings.register_profile(
    "steady", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("steady")


@pytest.fixture(scope="session")
def examples() -> Path:
    """Return the folder of the demo files; read only."""
    return ROOT / "examples"


@pytest.fixture
def book_folder(tmp_path: Path, examples: Path) -> Path:
    """Return a fresh folder with the demo's four files and no records yet."""
    folder = tmp_path / "book"
    folder.mkdir()
    for name in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
        shutil.copyfile(examples / name, folder / name)
    return folder


@pytest.fixture(scope="session")
def evenings() -> ModuleType:
    """Return the script that makes invented evenings: `Plan`, `sail`, and the truth of what was sailed."""
    name = "make_demo_evening"
    spec = importlib.util.spec_from_file_location(name, ROOT / "studies" / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module
