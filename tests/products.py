"""Products to write out: the demo planes with all their fixtures, built once for all tests of one process."""

from __future__ import annotations

from functools import cache

from cad.geometry import derive
from cad.outputs.product import Product
from cad.parts import build_parts
from cad.spec import read_spec
from fixtures.bench.workshop import build_fixtures
from tests.conftest import demo_path


@cache
def product(name: str) -> Product:
    """Return the product of a demo spec, lettering and all."""
    plan = derive(read_spec(demo_path(name)))
    fixtures, declined = build_fixtures(plan)
    return Product(plan, tuple(build_parts(plan)), tuple(fixtures), tuple(declined))


@cache
def bare_product(name: str) -> Product:
    """Return the product of a demo spec without fixtures."""
    plan = derive(read_spec(demo_path(name)))
    return Product(plan, tuple(build_parts(plan)), ())
