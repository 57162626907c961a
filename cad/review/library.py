"""three.js, which draws the page's picture, out of a package that is installed in any case.

trimesh ships a page of its own, `templates/viewer.zip`, that carries three.js r140 whole. It is read as a
file: to import trimesh takes half a second. Only the library is taken, with its licence; the loaders, the
controls and the code that follow it there are left.
"""

from __future__ import annotations

import re
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from zipfile import BadZipFile, ZipFile

from cad.errors import OutputError

PACKAGE, ARCHIVE, PAGE = "trimesh", "resources/templates/viewer.zip", "viewer.html.template"
STARTS, ENDS = "/**\n * @license", 'Object.defineProperty(t,"__esModule",{value:!0})}));'
REVISION = "140"
NEEDED = (
    "WebGLRenderer", "OrthographicCamera", "BufferGeometry", "LineSegments", "Raycaster", "CanvasTexture",
    "MeshLambertMaterial", "IncrementWrapStencilOp", "NotEqualStencilFunc", "sRGBEncoding",
)  # fmt: skip


@cache
def three_js() -> str:
    """Return the source of three.js, its licence first. Raises OutputError when the package has changed."""
    page = _page()
    start = page.find(STARTS)
    end = page.find(ENDS, start)
    if start < 0 or end < 0:
        raise OutputError(f"{PACKAGE}'s {PAGE} no longer holds three.js as one piece")
    source = page[start : end + len(ENDS)]
    missing = [name for name in NEEDED if f".{name}=" not in source]
    if missing:
        raise OutputError(f"the three.js in {PACKAGE} lacks {', '.join(missing)}")
    if revision(source) != REVISION:
        raise OutputError(f"the three.js in {PACKAGE} is r{revision(source)}, not the r{REVISION} tried here")
    return source


def revision(source: str) -> str:
    """Return the revision that a three.js names as its own, or nothing."""
    name = re.search(r"\.REVISION=(\w+)[,;]", source)
    if name is None:
        return ""
    value = re.search(rf'\b{re.escape(name[1])}="(\w+)"', source)
    return value[1] if value else ""


def _page() -> str:
    found = find_spec(PACKAGE)
    if found is None or not found.submodule_search_locations:
        raise OutputError(f"the package {PACKAGE}, which carries three.js, is not installed")
    archive = Path(found.submodule_search_locations[0]) / ARCHIVE
    try:
        with ZipFile(archive) as opened:
            return opened.read(PAGE).decode("utf-8")
    except (OSError, KeyError, BadZipFile) as error:
        raise OutputError(f"{PACKAGE} no longer carries three.js in {ARCHIVE}: {error}") from error
