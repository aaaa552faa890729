"""What a trial would try is checked against the loads of the rig."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cringle.boat.read import read_book_files
from cringle.errors import InputError
from cringle.rig.loads import LoadRow, load_table
from cringle.settings.roles import RoleScale, role_scales
from cringle.workflows.trials.evidence import suggest_trials
from cringle.workflows.trials.rig import rig_trouble
from cringle.workflows.trials.trial import TrialWish, plan_trial


@pytest.fixture
def scales(trial_folder: Path) -> dict[str, RoleScale]:
    files = read_book_files(trial_folder)
    return role_scales(files.boat_file, rules=files.class_file)


def weaker(folder: Path, share: float) -> None:
    """Make every break load of the class file smaller."""
    lines = []
    for line in (folder / "class.toml").read_text(encoding="utf-8").splitlines():
        name, _, value = line.partition("=")
        is_break = name.strip().startswith("break_load")
        lines.append(f"{name}= {float(value.split('#')[0]) * share:.1f}" if is_break else line)
    (folder / "class.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")


def test_the_demo_rig_bears_a_step_of_its_backstay(trial_folder: Path, scales: dict[str, RoleScale]) -> None:
    assert rig_trouble(trial_folder, scales["backstay"], (2.0, 3.0), 11.0) is None


def test_what_does_not_load_the_rig_is_not_solved(trial_folder: Path, scales: dict[str, RoleScale]) -> None:
    (trial_folder / "class.toml").unlink()
    assert rig_trouble(trial_folder, scales["jib_sheet_leeward"], (2.0,), 11.0) is None


@pytest.mark.parametrize("role", ["backstay", "cap_shroud"])
def test_a_weak_rig_is_said_by_part_and_number(
    trial_folder: Path, scales: dict[str, RoleScale], role: str
) -> None:
    name = next(one for one in scales if one.startswith(role))
    weaker(trial_folder, 0.02)
    assert "would pass its margin at 1 in 18 kn" in (
        rig_trouble(trial_folder, scales[name], (1.0,), 18.0) or ""
    )


def test_a_weak_rig_is_never_suggested_nor_planned(trial_folder: Path, scales: dict[str, RoleScale]) -> None:
    weaker(trial_folder, 0.02)
    found = suggest_trials(trial_folder, 16.0)
    loaded = [one for one in scales if scales[one].unit == "turn" or one == "backstay"]
    assert not {one.role for one in found.tips} & set(loaded)
    with pytest.raises(InputError, match="would pass its margin"):
        plan_trial(trial_folder, TrialWish({"backstay": 8.5}, 16.0), who="Ines")


def test_the_number_that_is_too_much_is_the_one_named(
    trial_folder: Path, scales: dict[str, RoleScale], monkeypatch: pytest.MonkeyPatch
) -> None:
    little, much = (_leg_peak(trial_folder, scales["backstay"], one, monkeypatch) for one in (2.0, 8.0))
    assert much > 2.0 * little
    boat = (trial_folder / "boat.toml").read_text(encoding="utf-8")
    between = boat.replace("leg_break_load_n = 7060.0", f"leg_break_load_n = {(little + much) / 2.0:.1f}")
    assert between != boat
    (trial_folder / "boat.toml").write_text(between, encoding="utf-8")
    assert rig_trouble(trial_folder, scales["backstay"], (2.0,), 11.0) is None
    trouble = rig_trouble(trial_folder, scales["backstay"], (2.0, 8.0), 11.0)
    assert trouble == "backstay leg would pass its margin at 8 in 11 kn and its puffs"


def _leg_peak(folder: Path, scale: RoleScale, number: float, monkeypatch: pytest.MonkeyPatch) -> float:
    """Return the peak load of the backstay's leg at one number. [N]"""
    seen: list[float] = []

    def noted(*asked: Any, **more: Any) -> list[LoadRow]:
        rows = load_table(*asked, **more)
        seen.extend(one.peak_n for one in rows if one.part == "backstay_leg")
        return rows

    with monkeypatch.context() as patched:
        patched.setattr("cringle.workflows.trials.rig.load_table", noted)
        assert rig_trouble(folder, scale, (number,), 11.0) is None
    return max(seen)
