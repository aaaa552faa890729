"""Every header and key is found at its line, whatever stands between."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from cringle.boat.toml_lines import locate, nearest_line

TEXT = """\
# a comment with = and [brackets]
top = 1

[a]
x = 1
"quoted key" = "v # not a comment"
long = [
  1, # [
  2,
]
text = \"\"\"
[not.a.table]
y = 5
\"\"\"
inline = { p = 1, q = [1, 2] }

[[a.items]]
id = "one"
[[a.items]]
id = "two"
[a.items.deep]
z = 3
"""


def test_finds_keys_at_their_lines() -> None:
    lines = locate(TEXT)
    assert lines[("top",)] == 2
    assert lines[("a",)] == 4
    assert lines[("a", "quoted key")] == 6
    assert lines[("a", "inline")] == 15
    assert lines[("a", "items", 0, "id")] == 18
    assert lines[("a", "items", 1, "id")] == 20
    assert lines[("a", "items", 1, "deep", "z")] == 22


def test_text_inside_a_long_string_or_array_is_not_a_key() -> None:
    lines = locate(TEXT)
    assert ("not", "table") not in lines
    assert ("a", "y") not in lines


def test_nearest_line_climbs_to_the_table() -> None:
    lines = locate(TEXT)
    assert nearest_line(lines, ("a", "items", 1, "missing")) == 19
    assert nearest_line(lines, ("a", "inline", "q", 1)) == 15
    assert nearest_line(lines, ("nowhere",)) == 1


NAMES = st.text("abcdefgh_", min_size=1, max_size=6)
VALUES = st.one_of(
    st.integers(-9, 9),
    st.booleans(),
    st.text("ab#[]={} ", max_size=8),
    st.lists(st.integers(0, 9), max_size=3),
)
TABLES = st.dictionaries(NAMES, VALUES, min_size=1, max_size=4)
DOCUMENTS = st.dictionaries(
    NAMES, st.one_of(TABLES, st.lists(TABLES, min_size=1, max_size=3)), min_size=1, max_size=4
)


def _keys(data: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    if isinstance(data, dict):
        for key, value in data.items():
            yield (*path, key)
            yield from _keys(value, (*path, key))
    elif isinstance(data, list) and data and isinstance(data[0], dict):
        for index, value in enumerate(data):
            yield from _keys(value, (*path, index))


@given(DOCUMENTS)
def test_every_key_of_any_document_has_a_line_that_names_it(document: dict[str, Any]) -> None:
    text = tomlkit.dumps(document)
    lines = locate(text)
    rows = text.splitlines()
    for path in _keys(tomllib.loads(text)):
        if isinstance(tomllib.loads(text).get(str(path[0])), list) and len(path) == 1:
            continue
        assert str(path[-1]) in rows[lines[path] - 1]
