"""The examples in the docstrings of the settings room and its pages give what they say."""

from __future__ import annotations

import doctest
import importlib

import pytest

MODULES = (
    "cringle.settings.instants",
    "cringle.settings.interpolate",
    "cringle.settings.roles",
    "cringle.settings.shift",
    "cringle.cli.text_rule",
)


@pytest.mark.parametrize("name", MODULES)
def test_examples(name):
    found = doctest.testmod(importlib.import_module(name))
    assert found.attempted > 0
    assert found.failed == 0
