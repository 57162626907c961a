"""The versions that a set of files depends on."""

from __future__ import annotations

import platform
import tomllib
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from cad.outputs.source import source_sha256

PACKAGES = {
    "cadquery": "cadquery",
    "ocp": "cadquery-ocp",
    "ezdxf": "ezdxf",
    "fonttools": "fonttools",
    "lib3mf": "lib3mf",
    "manifold3d": "manifold3d",
    "matplotlib": "matplotlib",
    "numpy": "numpy",
    "reportlab": "reportlab",
    "shapely": "shapely",
    "trimesh": "trimesh",
    "vtk": "vtk",
}


def versions() -> dict[str, str]:
    """Return the version of the tool, of Python and of each package that the files come from.

    `source` is a hash of the tool's own files, which change between its versions.
    """
    found = {name: version(package) for name, package in PACKAGES.items()}
    own = {"planewright": own_version(), "source": source_sha256()}
    return {**own, "python": platform.python_version(), **found}


def own_version() -> str:
    """Return the tool's version: as installed, or as its source tree says when run from there."""
    try:
        return version("planewright")
    except PackageNotFoundError:
        tree = Path(__file__).resolve().parents[2] / "pyproject.toml"
        return str(tomllib.loads(tree.read_text(encoding="utf-8"))["project"]["version"])
