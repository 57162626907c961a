"""Where the `planewright` command begins and ends."""

from __future__ import annotations

import gc
import os
import sys

from cad.cli.app import app


def entry() -> None:
    """Run the command that was typed and end the process with its status."""
    # A command makes far more than it drops: looking for rubbish less often saves a tenth of its time.
    gc.set_threshold(200_000, 20, 20)
    try:
        app()
    except SystemExit as ended:
        status = ended.code if isinstance(ended.code, int) else 1
    else:
        status = 0
    sys.stdout.flush()
    sys.stderr.flush()
    if "OCP" in sys.modules:
        # All is written and flushed; unloading the kernel would only cost another half second.
        os._exit(status)
    sys.exit(status)
