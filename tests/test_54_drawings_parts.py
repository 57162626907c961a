"""The sheets of the parts: complete, true to the STEP files, and nothing said twice."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from cad.papers.drawings.dimension import Dimension, read_back, rounding
from tests.conftest import DEMOS, demo_path
from tests.planes import spec_text
from tests.sheet_measures import MEASURES, from_step
from tests.sheet_parts import BUILDERS
from tests.sheets import drawn, subject

ON_SHEETS = {part: [part.replace("_", "-")] for part in BUILDERS} | {"body": ["body", "sole"]}
WITHIN = 0.002  # of a part's volume
MODEL_MM = 1e-4  # what the kernel's own tolerance adds to a measured length, or to an angle in degrees
SPECS = {
    **{name: demo_path(name).read_text() for name in DEMOS},
    "half round in inches": spec_text("round", 6.35, 180, 55, "left", unit="in", build="laminated"),
    "wide hollow": spec_text("hollow", 40, 90, 45, "right"),
    "small round": spec_text("round", 3, 60, 60, "left"),
    "both units": demo_path("cornice-hollow").read_text()
    + '\n[paper]\nunits = "both"\nprojection = "third"\n',
}


def printed(text: str, part: str) -> list[Dimension]:
    """Return every dimension printed on the sheets of a part."""
    sheets = {leaf.name: leaf for leaf in drawn(text, with_fixtures=False)}
    return [dimension for name in ON_SHEETS[part] for dimension in sheets[name].laid.dimensions]


@pytest.mark.parametrize("part", BUILDERS)
@pytest.mark.parametrize("spec", SPECS)
def test_a_part_is_rebuilt_from_its_printed_figures_alone(spec: str, part: str) -> None:
    of = subject(SPECS[spec], with_fixtures=False)
    unit = of.plan.spec.unit
    figures = {d.key: read_back(d.text, unit) for d in printed(SPECS[spec], part)}
    rebuilt = BUILDERS[part](figures, of.plan.spec.sole.form)
    assert rebuilt.isValid()
    assert rebuilt.Volume() == pytest.approx(of.parts[part].Volume(), rel=WITHIN)


@pytest.mark.parametrize("part", MEASURES)
@pytest.mark.parametrize("spec", SPECS)
def test_every_printed_figure_is_what_the_step_file_measures(spec: str, part: str, tmp_path: Path) -> None:
    of = subject(SPECS[spec], with_fixtures=False)
    measured = MEASURES[part](from_step(part, of.parts[part], tmp_path))
    dimensions = printed(SPECS[spec], part)
    assert {d.key for d in dimensions} == set(measured)
    for dimension in dimensions:
        figure = read_back(dimension.text, of.plan.spec.unit)
        allowed = rounding(dimension, of.plan.spec.unit) + MODEL_MM
        assert abs(figure - measured[dimension.key]) <= allowed, dimension


@pytest.mark.parametrize("part", BUILDERS)
@pytest.mark.parametrize("spec", SPECS)
def test_no_dimension_is_printed_twice(spec: str, part: str) -> None:
    counts = Counter(d.key for d in printed(SPECS[spec], part))
    assert set(counts.values()) == {1}


@pytest.mark.parametrize("part", BUILDERS)
def test_a_figure_left_out_cannot_be_made_up_for(part: str) -> None:
    """Every figure counts: without any one of them the part cannot be built."""
    of = subject(SPECS["cornice-round"], with_fixtures=False)
    figures = {d.key: read_back(d.text, "mm") for d in printed(SPECS["cornice-round"], part)}
    for key in figures:
        fewer = {other: value for other, value in figures.items() if other != key}
        with pytest.raises(KeyError):
            BUILDERS[part](fewer, of.plan.spec.sole.form)


def test_a_wrong_figure_is_found_out(tmp_path: Path) -> None:
    of = subject(SPECS["cornice-round"], with_fixtures=False)
    figures = {d.key: read_back(d.text, "mm") for d in printed(SPECS["cornice-round"], "body")}
    wrong = BUILDERS["body"]({**figures, "height": figures["height"] + 1}, of.plan.spec.sole.form)
    assert wrong.Volume() != pytest.approx(of.parts["body"].Volume(), rel=WITHIN)
    assert MEASURES["body"](from_step("body", of.parts["body"], tmp_path))["height"] == pytest.approx(75)
