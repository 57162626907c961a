"""The finder of lines, against what tomllib says the keys are (TOML 1.0.0)."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cad.spec.lines import key_lines

AWKWARD = '''# a comment = with an equals sign
top = "a # no comment" # a comment
"quoted key" = 'x = 1'
'lit.eral' = 2
"esc\\u0041ped" = 3
a.b."c.d" = 4
text = """
inside = 1
[inside]
\\""" still \\\\ inside = 2
two quotes at the end"""""
after = \'\'\'
no = "escape\\\'\'\'
list = [
  1, # ] no end
  [2, "]"], { deep = [
    3 ] },
]
date = 1979-05-27T07:32:00Z
time = 07:32:00

[table] # comment
key=1
  spaced  .  key  =  2

[ table . "sub table" ]
inline = { one = 1, two.three = "}", four = { five = [
  5], six = 6 } }

[[rows]]
n = 1
[[rows]]
n = 2
[last]'''


def test_awkward_text() -> None:
    found = key_lines(AWKWARD)
    wanted = {
        ("top",): 2,
        ("quoted key",): 3,
        ("lit.eral",): 4,
        ("escAped",): 5,
        ("a",): 6,
        ("a", "b"): 6,
        ("a", "b", "c.d"): 6,
        ("text",): 7,
        ("after",): 12,
        ("list",): 14,
        ("date",): 19,
        ("time",): 20,
        ("table",): 22,
        ("table", "key"): 23,
        ("table", "spaced", "key"): 24,
        ("table", "sub table"): 26,
        ("table", "sub table", "inline"): 27,
        ("table", "sub table", "inline", "one"): 27,
        ("table", "sub table", "inline", "two", "three"): 27,
        ("table", "sub table", "inline", "four", "five"): 27,
        ("table", "sub table", "inline", "four", "six"): 28,
        ("rows",): 30,
        ("rows", "n"): 31,
        ("last",): 34,
    }
    assert {path: found.get(path) for path in wanted} == wanted
    assert set(_paths(tomllib.loads(AWKWARD))) <= set(found)


def test_no_key_is_found_inside_a_text() -> None:
    assert ("inside",) not in key_lines(AWKWARD)
    assert ("no",) not in key_lines(AWKWARD)


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("", {}),
        ("\n\n", {}),
        ("# only a comment", {}),
        ("a = 1", {("a",): 1}),
        ("\n\na = 1\r\n\r\nb = 2\r\n", {("a",): 3, ("b",): 5}),
        ("a = {}\nb = []\n", {("a",): 1, ("b",): 2}),
    ],
)
def test_small_texts(text: str, lines: dict[tuple[str, ...], int]) -> None:
    assert key_lines(text) == lines


_SCALARS = st.sampled_from(
    ["1", "-2.5", "true", "'#]}'", '"a\\"= b"', '"""x\n= y"""', "'''\n\n'''", "[\n1, [2],\n]", "inf"]
)
_NAMES = st.sampled_from(["a", "b-c", "'d e'", '"f.g"', "h_1", "3"])


@st.composite
def documents(draw: st.DrawFn) -> tuple[str, dict[tuple[str, ...], int]]:
    """Return a TOML text and the line of each of its keys, by construction."""
    lines: list[str] = []
    places: dict[tuple[str, ...], int] = {}

    def put(text: str) -> int:
        at = "\n".join(lines).count("\n") + 2 if lines else 1
        lines.append(text)
        return at

    for table in [None, *draw(st.lists(_NAMES, unique=True, max_size=4))]:
        home = () if table is None else (f"t{table.strip(chr(39) + chr(34))}",)
        if table is not None:
            written = table if table[0] not in "'\"" else table[0] + "t" + table[1:]
            places[home] = put(f"[{written if written[0] in chr(39) + chr(34) else 't' + written}]  # [x]")
        for name in draw(st.lists(_NAMES, unique=True, max_size=4)):
            value, blank = draw(_SCALARS), draw(st.sampled_from(["", "\n", "# k = 1\n"]))
            at = put(f"{blank}{name} = {value}") + blank.count("\n")
            places[(*home, name.strip("'\""))] = at
    return "\n".join(lines), places


@given(documents())
def test_every_key_is_found_on_its_line(document: tuple[str, dict[tuple[str, ...], int]]) -> None:
    text, places = document
    assert set(_paths(tomllib.loads(text))) == set(places)
    assert key_lines(text) == places


def _paths(table: dict[str, Any], prefix: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    for name, value in table.items():
        yield (*prefix, name)
        if isinstance(value, dict):
            yield from _paths(value, (*prefix, name))
