"""A hash of the program's own files: what was made by another state of the program is not kept.

The version alone would not do: whoever works on the program would be shown what it made before his change.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from functools import cache
from hashlib import sha256
from importlib.util import find_spec
from pathlib import Path

PACKAGES = ("cad", "fixtures")
NOT_CODE = ("__pycache__", "demos")  # the demo specs are input, and meant to be changed


@cache
def source_sha256() -> str:
    """Return the SHA-256 over names and contents of all files of the program's packages, in hex."""
    found = sha256()
    for package in PACKAGES:
        spec = find_spec(package)
        assert spec is not None and spec.origin is not None  # this code is running from one of them
        root = Path(spec.origin).parent
        for path in _files(root):
            name = f"{package}/{path.relative_to(root).as_posix()}"
            found.update(f"{name}\0{path.stat().st_size}\0".encode())
            found.update(path.read_bytes())
    return found.hexdigest()


def _files(root: Path) -> Iterator[Path]:
    for folder, inner, names in os.walk(root):
        inner[:] = sorted(name for name in inner if name not in NOT_CODE and not name.startswith("."))
        yield from (Path(folder, name) for name in sorted(names) if not name.startswith("."))
