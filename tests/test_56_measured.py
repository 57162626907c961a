"""The build sheet's place to write measurements down: every key that the spec takes, planned beside found."""

from __future__ import annotations

import pytest

from cad.geometry import Plan
from cad.papers.build_sheet import measured
from cad.papers.build_sheet.step import Bench
from cad.papers.sheet.document import Table
from cad.spec.measured import Measured
from tests.sample_planes import plan_of


def tables(plan: Plan) -> list[Table]:
    blocks = measured.section(Bench(plan, {}, {})).blocks
    return [block for block in blocks if isinstance(block, Table)]


def row(plan: Plan, key: str) -> tuple[str, ...]:
    sizes, _ = tables(plan)
    (found,) = (one for one in sizes.rows if one[1] == key)
    return found[2:]


def test_every_key_has_its_row() -> None:
    sizes, readings = tables(plan_of({}))
    keys = {one[1] for one in sizes.rows} | {one[0] for one in readings.rows}
    assert keys == set(Measured.model_fields)
    assert {one[3] for one in sizes.rows} == {""}
    assert {cell for one in readings.rows for cell in one[1:]} == {""}


def test_planned_beside_found() -> None:
    """The sagitta of 12 mm in a radius of 16: 16 − √(256 − 36) = 1.17 mm."""
    plan = plan_of({"measured.bed": 50.4, "measured.iron_thickness": 3.31, "measured.wedge_sink": -1.5})
    assert row(plan, "bed") == ("50°", "50.4°")
    assert [cell.replace("\u00a0", " ") for cell in row(plan, "iron_thickness")] == ["3.2 mm", "3.31 mm"]
    assert [cell.replace("\u00a0", " ") for cell in row(plan, "wedge_sink")] == ["0 mm", "-1.5 mm"]
    assert [cell.replace("\u00a0", " ") for cell in row(plan, "sole_sagitta")] == ["1.17 mm", ""]


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_readings_stand_in_their_places(unit: str) -> None:
    across, readings = ["1 mm", "8 mm", "15 mm"], ["8.6 mm", "7 mm", "8.6 mm"]
    plan = plan_of(
        {
            "unit": unit,
            "sole.radius": "16 mm",
            "measured.sole_across": across,
            "measured.sole_readings": readings,
        }
    )
    _, table = tables(plan)
    for wanted, shown in zip((across, readings), table.rows, strict=True):
        assert all(size in cell.replace("\u00a0", " ") for size, cell in zip(wanted, shown[1:], strict=False))
        assert shown[4:] == ("",) * 4
