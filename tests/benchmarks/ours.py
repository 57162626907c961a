"""This program's own column: the parts and three fixtures without words on them, written as STEP and STL.

Called with a spec file and a folder; prints how long it took as JSON. With "bare" as third argument the
solids are left as they are drawn, which is what the other modellers make; else each is checked, and prints
have the relief of their first layer, as `make` has them.
"""

from __future__ import annotations

import json
import sys
from importlib import import_module
from pathlib import Path
from time import perf_counter

START = perf_counter()

from cad.kernel.loading import load_cadquery  # noqa: E402  (loading is timed)

load_cadquery()
from cad.geometry import Plan, derive  # noqa: E402
from cad.outputs.product import Product  # noqa: E402
from cad.outputs.write import write_product  # noqa: E402
from cad.parts import Part, build_parts, part_names  # noqa: E402
from cad.spec import read_spec  # noqa: E402
from fixtures.bench.workshop import build_fixtures  # noqa: E402

PARTS = {name: import_module(f"cad.parts.{name}") for name in part_names()}
FIXTURES = {name: import_module(f"fixtures.{name}") for name in ("saw_guide", "sled", "sanding_blocks")}
LOADED = perf_counter()


def as_made(plan: Plan) -> Product:
    made, declined = build_fixtures(plan, FIXTURES, lettered=False)
    return Product(plan, build_parts(plan), made, declined)


def as_drawn(plan: Plan) -> Product:
    parts = [Part(name, module.build(plan), module.COLOUR) for name, module in PARTS.items()]
    return Product(plan, parts, [module.build(plan) for module in FIXTURES.values()])


def main() -> None:
    plan = derive(read_spec(sys.argv[1]))
    begun = perf_counter()
    product = as_drawn(plan) if sys.argv[3:] == ["bare"] else as_made(plan)
    modelled = perf_counter()
    write_product(product, Path(sys.argv[2]), {"step", "stl"})
    written = perf_counter()
    times = {"import_s": LOADED - START, "model_s": modelled - begun, "write_s": written - modelled}
    print(json.dumps(times))


if __name__ == "__main__":
    main()
