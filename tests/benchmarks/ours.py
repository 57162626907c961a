"""This program's own column: the parts and three fixtures without words on them, written as STEP and STL.

Called with a spec file and a folder; prints how long it took as JSON.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from time import perf_counter

START = perf_counter()

from cad.kernel.loading import load_cadquery  # noqa: E402  (loading is timed)

load_cadquery()
from cad.geometry import derive  # noqa: E402
from cad.outputs.product import Product  # noqa: E402
from cad.outputs.write import write_product  # noqa: E402
from cad.parts import build_parts  # noqa: E402
from cad.spec import read_spec  # noqa: E402
from fixtures.bench.workshop import build_fixtures  # noqa: E402

LOADED = perf_counter()
FIXTURES = ("saw_guide", "sled", "sanding_blocks")


def main() -> None:
    plan = derive(read_spec(sys.argv[1]))
    made, declined = build_fixtures(plan, FIXTURES, lettered=False)
    product = Product(plan, build_parts(plan), made, declined)
    modelled = perf_counter()
    write_product(product, Path(sys.argv[2]), {"step", "stl"})
    written = perf_counter()
    times = {"import_s": LOADED - START, "model_s": modelled - LOADED, "write_s": written - modelled}
    print(json.dumps(times))


if __name__ == "__main__":
    main()
