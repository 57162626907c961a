"""build123d for the benchmark alone: in an environment of its own, since its kernel would replace ours."""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

PLACE = Path(tempfile.gettempdir()) / "planewright-build123d"


def build123d_python() -> tuple[str, str]:
    """Return a Python that has build123d, and nothing; or nothing, and why there is none.

    The environment is made once, under the temporary folder, with pip; that takes minutes and the network.
    """
    python = PLACE / "bin" / "python"
    if not python.is_file():
        subprocess.run([sys.executable, "-m", "venv", str(PLACE)], check=True)
    if _has_it(python):
        return str(python), ""
    done = subprocess.run(
        [str(python), "-m", "pip", "install", "--quiet", "build123d"],
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode == 0 and _has_it(python):
        return str(python), ""
    return (
        "",
        f"pip could not install build123d: {(done.stderr.strip().splitlines() or ['no reason given'])[-1]}",
    )


def _has_it(python: Path) -> bool:
    return (
        subprocess.run([str(python), "-c", "import build123d"], capture_output=True, check=False).returncode
        == 0
    )
