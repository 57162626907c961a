"""The spec as others see it: its face, the demonstration specs, its immutability and its completeness."""

from __future__ import annotations

import hashlib
import pickle
import subprocess
import sys
from pathlib import Path

import pydantic
import pytest

import cad
import cad.spec
from cad.fields import Known, Rule
from cad.soles import forms
from cad.spec import keys, parse_spec, read_spec
from cad.spec.keys import required
from cad.spec.rules import rules_for

DEMOS = Path(cad.__file__).parent / "demos"
LEAST = 'name = "x"\n[sole]\nform = "round"\nradius = 16\n'


def test_public_face() -> None:
    assert cad.spec.__all__ == ["Key", "Origin", "Spec", "keys", "parse_spec", "read_spec", "starter"]


def test_demo_cornice_round() -> None:
    """Every value against the rules of thumb: common practice, no source, but for the chord.

    The chord of 60° is the radius: Machinery's Handbook, 31st ed., segments of circles.
    """
    spec = read_spec(DEMOS / "cornice-round.toml")
    assert (spec.name, spec.unit) == ("cornice-round", "mm")
    assert (spec.sole.form, spec.sole.radius, spec.sole.arc, spec.sole.relief) == ("round", 16, 60, 20)
    assert spec.sole.width == 16
    assert spec.body.model_dump() == {
        "length": 250,
        "height": 75,
        "thickness": 32,
        "shoulder": 56,
        "spare": 50,
        "build": "solid",
        "hand": "right",
    }
    assert spec.cheek.thickness == 6
    assert spec.throat.model_dump() == {"bed": 50, "front": 60, "mouth_at": 82, "mouth": 6}
    assert spec.iron.model_dump() == {"thickness": 3.2, "bevel": 30, "length": 165, "steel": "O1"}
    assert spec.wedge.model_dump() == {"side_clearance": 0.2, "tip_height": 16, "head_height": 38}
    assert spec.wood.model_dump() == {
        "species": "American beech",
        "grain": "quartered",
        "moisture_now": 8,
        "moisture_range": (6, 12),
        "board": (1000, 150, 40),
        "price": 0,
    }
    assert spec.shop.hand_saw.model_dump() == {"plate": 0.5, "kerf": 0.7, "depth_under_back": 50}
    assert spec.shop.table_saw.model_dump() == {
        "kerf": 3,
        "blade_diameter": 254,
        "slot_width": 19.05,
        "slot_depth": 9.5,
        "slot_to_blade": 115,
    }
    assert spec.shop.printer.model_dump() == {
        "volume": (220, 220, 250),
        "nozzle": 0.4,
        "clearance": 0.2,
        "filament": "PLA",
    }
    router = spec.shop.router
    assert (router.cutter, router.sheet, router.spacing) == (6, (600, 400, 12), 15)
    assert (router.material, router.block, router.direction) == ("plywood", "hard maple", "conventional")
    assert spec.shop.abrasive.grits == ("P100", "P120", "P220")
    assert (spec.shop.abrasive.backing, spec.shop.abrasive.pad) == (0.25, 2)


def test_demo_cornice_hollow() -> None:
    spec = read_spec(DEMOS / "cornice-hollow.toml")
    assert (spec.sole.form, spec.sole.radius, spec.sole.arc, spec.sole.width) == ("hollow", 16, 60, 16)
    assert (spec.body.length, spec.body.height, spec.body.thickness) == (250, 75, 32)
    assert (spec.throat.mouth_at, spec.throat.mouth) == (83, 6)


def test_demo_skirting_round_in_inches() -> None:
    """Inches of exactly 25.4 mm (1959); a chord of twice the radius is a half round."""
    spec = read_spec(DEMOS / "skirting-round.toml")
    assert spec.unit == "in"
    assert (spec.sole.radius, spec.sole.width, spec.sole.arc) == (7.9375, 15.875, 180)
    assert (spec.body.length, spec.body.height, spec.body.thickness) == (241.3, 73.025, 28.575)
    assert (spec.body.build, spec.body.hand) == ("laminated", "left")
    assert (spec.throat.bed, spec.throat.front) == (52, 62)
    assert (spec.throat.mouth_at, spec.throat.mouth) == (79.375, 6.35)
    assert (spec.iron.thickness, spec.cheek.thickness, spec.body.spare) == (3.175, 6.35, 50.8)
    assert spec.body.shoulder / 25.4 * 16 == pytest.approx(35, abs=1e-9)
    assert spec.iron.length == 165.1


def test_origins_tell_given_from_worked_out() -> None:
    spec = read_spec(DEMOS / "cornice-round.toml")
    assert set(spec.origins) == {key.dotted for key in keys("round") if not key.optional}
    assert spec.origins["sole.radius"].given and spec.origins["throat.mouth_at"].given
    assert not spec.origins["sole.width"].given
    assert spec.origins["sole.width"].reason == "the chord of the arc, 2·r·sin(arc / 2)"
    assert spec.origins["iron.bevel"].reason.endswith("(common practice, no source)")
    assert all(origin.reason for origin in spec.origins.values())


def test_digest_is_the_hash_of_the_bytes() -> None:
    path = DEMOS / "cornice-round.toml"
    assert read_spec(path).digest == hashlib.sha256(path.read_bytes()).hexdigest()
    assert parse_spec(LEAST, "x").digest == hashlib.sha256(LEAST.encode()).hexdigest()


def test_a_spec_is_frozen_hashable_and_can_be_sent() -> None:
    spec = parse_spec(LEAST, "x.toml")
    with pytest.raises(pydantic.ValidationError, match="frozen"):
        spec.sole.radius = 3.0  # type: ignore[misc]
    assert hash(spec) == hash(parse_spec(LEAST, "y.toml"))
    sent = pickle.loads(pickle.dumps(spec))
    assert sent.body == spec.body and dict(sent.origins) == dict(spec.origins)


def test_the_model_itself_refuses_what_the_reader_refuses() -> None:
    spec = parse_spec(LEAST, "x.toml")
    for slip in (
        {"radius": -1.0},
        {"radius": True},
        {"radius": float("nan")},
        {"form": "oval"},
        {"more": 1.0},
    ):
        with pytest.raises(pydantic.ValidationError):
            type(spec.sole)(**{**spec.sole.model_dump(), **slip})
    with pytest.raises(pydantic.ValidationError):
        type(spec.wood)(**{**spec.wood.model_dump(), "species": "oak"})


@pytest.mark.parametrize("form", list(forms()))
def test_every_key_is_required_or_has_one_rule(form: str) -> None:
    ruled = [rule.key for rule in rules_for(form)]
    assert len(ruled) == len(set(ruled))
    wanted = set(required(form))
    assert set(ruled) | wanted == {key.dotted for key in keys(form) if not key.optional}
    size = forms()[form].SIZE
    assert set(ruled) & wanted == ({size.key} if size.or_else else set()), "worked out from its other key"


def test_every_key_has_a_description() -> None:
    assert all(len(key.description) > 8 for key in keys("round"))


def test_rules_only_look_back() -> None:
    """A rule that asked for a value worked out later would silently leave its key out."""
    known = Known("mm", {"name": "x", "sole.form": "round", "sole.radius": 16.0})
    for rule in rules_for("round"):
        assert isinstance(rule, Rule)
        known = known.plus(rule.key, rule.compute(known))
        assert rule.why(known)


def test_given_numbers_stay_exactly_as_given() -> None:
    spec = parse_spec(LEAST.replace("16", "16.123456789") + 'relief = 17.7\n[body]\nheight = "2.9 in"\n', "x")
    assert (spec.sole.radius, spec.sole.relief, spec.body.height) == (16.123456789, 17.7, 73.66)


def test_bed_follows_a_lone_front() -> None:
    spec = parse_spec(LEAST + "[throat]\nfront = 55\n", "x")
    assert (spec.throat.bed, spec.throat.front) == (45, 55)
    assert "given front" in spec.origins["throat.bed"].reason


def test_reading_a_spec_loads_no_kernel_and_no_arrays() -> None:
    code = (
        "import sys; from cad.spec import read_spec; read_spec(sys.argv[1]);"
        "heavy = {'cadquery', 'OCP', 'numpy', 'trimesh', 'shapely', 'matplotlib', 'ezdxf'};"
        "print(*sorted(heavy & set(sys.modules)))"
    )
    root = Path(cad.__file__).parents[1]
    done = subprocess.run(
        [sys.executable, "-c", code, str(DEMOS / "cornice-round.toml")],
        cwd=root,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout.strip(), done.stderr) == (0, "", "")
