"""CadQuery loaded in part: nothing slow comes with it, and it becomes whole for whoever wants more of it."""

from __future__ import annotations

import subprocess
import sys

import pytest

PART = "from cad.kernel.loading import load_cadquery\nload_cadquery()\n"


def _run(script: str) -> None:
    """Run a script, whose assertions are the test, in a process of its own: a module is loaded but once."""
    ended = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=600)
    assert ended.returncode == 0, ended.stderr


def test_the_command_line_loads_the_kernel_without_what_it_never_uses() -> None:
    _run(
        "from cad.cli.interrupts import load_kernel\n"
        "load_kernel()\n"
        "import sys, cad.parts, fixtures.bench.workshop, cad.outputs.write\n"
        "loaded = {name.split('.')[0] for name in sys.modules}\n"
        "slow = loaded & {'vtk', 'vtkmodules', 'casadi', 'nlopt', 'ezdxf'}\n"
        "import gc\n"
        "assert gc.isenabled()\n"
        "assert 'OCP' in sys.modules and not slow, slow\n"
    )


def test_it_becomes_whole_when_asked_for_more_and_its_classes_stay_the_same() -> None:
    _run(
        PART + "from cadquery import Face, Location, Solid, Vector\n"
        "import cadquery.func as free\n"
        "cube = free.box(1, 2, 3)\n"
        "from cadquery import Workplane, importers\n"
        "import cadquery, cadquery.occ_impl.shapes as shapes, sys\n"
        "from vtkmodules.vtkCommonDataModel import vtkPolyData\n"
        "assert type(cadquery) is type(sys) and cadquery.__version__ and cadquery.occ_impl.shapes is shapes\n"
        "assert cadquery.Solid is shapes.Solid is Solid is type(cube)\n"
        "assert type(Workplane().box(1, 2, 3).val()) is Solid\n"
        "assert (cadquery.Face, cadquery.Location, cadquery.Vector) == (Face, Location, Vector)\n"
        "assert shapes.vtkPolyData is vtkPolyData and callable(importers.importStep)\n"
        "assert not [n for n, m in sys.modules.items() for v in vars(m).values()\n"
        "            if n.startswith('cadquery') and type(v).__module__ == 'cad.kernel.loading']\n"
    )


def test_everything_of_it_is_there_for_a_star_and_nothing_that_it_has_not() -> None:
    _run(
        PART + "from cadquery import *\n"
        "assert Assembly and Workplane and Sketch and exporters\n"
        "import cadquery\n"
        "assert not hasattr(cadquery, 'no_such_name')\n"
    )


def test_what_was_put_off_works_when_it_is_called() -> None:
    _run(
        PART + "import cadquery.func as free, sys\n"
        "assert 'vtkmodules' not in sys.modules\n"
        "assert free.box(1, 2, 3).toVtkPolyData(0.1).GetNumberOfPoints() > 8\n"
    )


def test_threads_that_ask_at_once_all_find_it_whole() -> None:
    _run(
        PART + "import cadquery\n"
        "from concurrent.futures import ThreadPoolExecutor\n"
        "names = ['Workplane', 'Sketch', 'Material', 'Assembly']\n"
        "with ThreadPoolExecutor(4) as pool:\n"
        "    found = list(pool.map(lambda name: getattr(cadquery, name), names))\n"
        "assert [one.__name__ for one in found] == names\n"
    )


def test_a_package_that_is_loaded_already_is_left_as_it_is() -> None:
    _run(
        f"import cadquery, sys\n{PART}"
        "assert type(cadquery) is type(sys) and sys.modules['cadquery'] is cadquery\n"
    )


@pytest.mark.parametrize(
    "changed",
    [
        "loading.SHAPES = (*loading.SHAPES, 'Tesseract')",
        "loading.DEFERRED = (*loading.DEFERRED, 'OCP.Message')",
    ],
)
def test_a_package_laid_out_otherwise_is_loaded_whole(changed: str) -> None:
    _run(
        f"import sys\nfrom cad.kernel import loading\n{changed}\nloading.load_cadquery()\n"
        "import cadquery\n"
        "assert type(cadquery) is type(sys) and cadquery.Workplane().box(1, 2, 3).val().Volume() > 5.99\n"
        "assert not [n for n, m in sys.modules.items() if type(m).__module__ == 'cad.kernel.loading']\n"
    )
