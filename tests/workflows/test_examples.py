from __future__ import annotations

from pathlib import Path

import pytest

from cringle.errors import InputError
from cringle.workflows import examples as module
from cringle.workflows.examples import examples_folder, recorded_log


def test_a_checkout_has_the_demos_files_and_a_recorded_log(examples: Path) -> None:
    assert examples_folder() == examples
    found = recorded_log()
    assert found is not None
    assert all(one.is_file() for one in found)


def test_the_installed_files_come_before_those_of_a_checkout(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "src" / "cringle"
    for folder in (tmp_path / "examples", package / "examples"):
        monkeypatch.setattr(module, "PACKAGE", package)
        folder.mkdir(parents=True)
        (folder / "class.toml").touch()
        assert examples_folder() == folder
    assert recorded_log() is None


def test_an_installation_without_them_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "PACKAGE", tmp_path / "src" / "cringle")
    with pytest.raises(InputError, match="not installed"):
        examples_folder()
