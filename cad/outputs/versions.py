"""The versions that a set of files depends on."""

from __future__ import annotations

import platform
import tomllib
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

PACKAGES = {
    "cadquery": "cadquery",
    "ocp": "cadquery-ocp",
    "ezdxf": "ezdxf",
    "lib3mf": "lib3mf",
    "numpy": "numpy",
    "trimesh": "trimesh",
}


def versions() -> dict[str, str]:
    """Return the version of the tool, of Python and of each package that the files come from."""
    found = {name: version(package) for name, package in PACKAGES.items()}
    return {"planewright": own_version(), "python": platform.python_version(), **found}


def own_version() -> str:
    """Return the tool's version: as installed, or as its source tree says when run from there."""
    try:
        return version("planewright")
    except PackageNotFoundError:
        tree = Path(__file__).resolve().parents[2] / "pyproject.toml"
        return str(tomllib.loads(tree.read_text(encoding="utf-8"))["project"]["version"])
