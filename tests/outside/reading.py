"""What `make` wrote for the demo specs, by path, as the suite reads it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import DEMOS


@dataclass(frozen=True)
class Output:
    """One folder that `make` filled: its path and its manifest's entries by path."""

    folder: Path
    entries: dict[str, Any]

    def files(self, *patterns: str) -> list[Path]:
        """Return the files that match any of the patterns, in order. Fails when there is none."""
        found = sorted(path for pattern in patterns for path in self.folder.glob(pattern))
        assert found, patterns
        return found

    def entry(self, path: Path) -> dict[str, Any]:
        """Return what the manifest says of a file."""
        return self.entries[path.relative_to(self.folder).as_posix()]


@pytest.fixture(params=DEMOS)
def output(request: pytest.FixtureRequest, made: Path) -> Output:
    """Return what was made of each demo spec in turn."""
    folder = made / request.param
    files = json.loads((folder / "manifest.json").read_text())["files"]
    return Output(folder, {entry["path"]: entry for entry in files})
