"""Specs changed as a maker changes them, and folders made with and without an earlier output to go by."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from cad.geometry import Plan, derive
from cad.outputs.again import Outcome, Wish
from cad.outputs.making import make
from cad.spec import parse_spec
from tests.conftest import demo_path

Values = dict[str, Any]  # by dotted key, as the file has them

# One or a few keys that a maker would set, each in the millimetres of the demo specs or as text.
CHANGES: Mapping[str, st.SearchStrategy[Any]] = {
    "sole.radius": st.integers(14, 20).map(lambda mm: f"{mm} mm"),
    "sole.relief": st.integers(15, 25),
    "sole.tolerance": st.sampled_from(["0.3 mm", "0.5 mm"]),
    "body.length": st.integers(240, 270).map(lambda mm: f"{mm} mm"),
    "body.height": st.integers(72, 80).map(lambda mm: f"{mm} mm"),
    "body.spare": st.integers(40, 60).map(lambda mm: f"{mm} mm"),
    "body.build": st.sampled_from(["solid", "laminated"]),
    "body.hand": st.sampled_from(["right", "left"]),
    "throat.bed": st.sampled_from([49, 50, 51]),
    "throat.front": st.sampled_from([60, 61]),
    "throat.mouth": st.sampled_from(["6 mm", "6.5 mm"]),
    "throat.mouth_at": st.integers(80, 86).map(lambda mm: f"{mm} mm"),
    "iron.thickness": st.sampled_from(["3 mm", "3.2 mm"]),
    "iron.bevel": st.sampled_from([25, 30]),
    "iron.steel": st.sampled_from(["O1", "W1"]),
    "wedge.side_clearance": st.sampled_from(["0.2 mm", "0.3 mm"]),
    "wedge.head_height": st.integers(34, 42).map(lambda mm: f"{mm} mm"),
    "wood.species": st.sampled_from(["American beech", "sugar maple", "black cherry"]),
    "wood.moisture_now": st.integers(7, 10),
    "wood.price": st.integers(0, 20),
    "paper.size": st.sampled_from(["A4", "letter"]),
    "paper.projection": st.sampled_from(["first", "third"]),
    "paper.units": st.sampled_from(["own", "both"]),
    "shop.hand_saw.kerf": st.sampled_from(["0.7 mm", "0.8 mm"]),
    "shop.hand_saw.depth_under_back": st.sampled_from(["45 mm", "55 mm"]),
    "shop.table_saw.kerf": st.sampled_from(["2.8 mm", "3.2 mm"]),
    "shop.table_saw.slot_width": st.sampled_from(["19.05 mm", "19.2 mm"]),
    "shop.printer.volume": st.sampled_from([[220, 220, 250], [150, 150, 150]]),
    "shop.printer.nozzle": st.sampled_from(["0.4 mm", "0.6 mm"]),
    "shop.printer.clearance": st.sampled_from(["0.2 mm", "0.25 mm"]),
    "shop.router.cutter": st.sampled_from(["6 mm", "5 mm"]),
    "shop.router.sheet": st.sampled_from([["600 mm", "400 mm", "12 mm"], ["900 mm", "500 mm", "10 mm"]]),
    "shop.abrasive.grits": st.sampled_from([["P120"], ["P100", "P180"]]),
    "shop.abrasive.pad": st.sampled_from(["2 mm", "1.5 mm"]),
}
TABLES = ("shop.hand_saw", "shop.table_saw", "shop.abrasive", "wedge", "iron")  # that a maker may leave out


def demo_values(name: str) -> Values:
    """Return the keys of a demo spec with their values."""
    return dict(_flat(tomllib.loads(demo_path(name).read_text(encoding="utf-8")), ""))


def _flat(table: Mapping[str, Any], prefix: str) -> list[tuple[str, Any]]:
    found: list[tuple[str, Any]] = []
    for key, value in table.items():
        inner = isinstance(value, dict)
        found += _flat(value, f"{prefix}{key}.") if inner else [(prefix + key, value)]
    return found


@st.composite
def changed(draw: st.DrawFn, values: Values) -> Values:
    """Draw a spec that differs in one key, in a few, or by a table that is left out."""
    found = dict(values)
    for key in draw(st.lists(st.sampled_from(sorted(CHANGES)), min_size=1, max_size=3, unique=True)):
        found[key] = draw(CHANGES[key])
    left_out = draw(st.sampled_from([*[""] * 4, *TABLES]))
    return {key: value for key, value in found.items() if not left_out or not key.startswith(f"{left_out}.")}


def plan_of(values: Values) -> Plan:
    """Return the plan of a spec. Raises SpecError when it cannot be built."""
    return derive(
        parse_spec("".join(f"{key} = {json.dumps(values[key])}\n" for key in values), "changed.toml")
    )


def remade(plan: Plan, to: Path, **some: frozenset[str]) -> Outcome:
    """Make a folder by way of whatever is there already."""
    return make(Wish(plan, to, **some), lambda step: None)


def tree(folder: Path) -> dict[str, bytes]:
    """Return every file under a folder by its path."""
    return {
        p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()
    }
