"""`planewright serve`: the live page, until it is stopped from the keyboard."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from pathlib import Path

from cad.cli.interrupts import load_kernel
from cad.cli.specs import refuse_family
from cad.cli.status import Status, say
from cad.errors import CallError
from cad.serve.desk import Desk, Outcome
from cad.serve.server import PageServer


def serve(file: Path, to: Path, port: int) -> Status:
    """Serve the page of a spec file.

    Raises CallError when there is no such file, when it is a family's, or when the port is taken. To stop
    it from the keyboard is its ordinary end, and so it ends with DONE.
    """
    if not file.is_file():
        raise CallError(f"{file}: there is no such file. Start one: planewright new {file}")
    refuse_family(file)
    desk = Desk(file, to, make_apart)
    with PageServer(desk, port) as server:
        listening = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.1}, daemon=True)
        listening.start()
        try:
            say(f"Open {server.address}")
            say("The page is for this machine alone. Stop it with Ctrl-C.")
            # The kernel stays in this thread, which is also the one that hears the keyboard.
            load_kernel()
            desk.bench.work()
        except KeyboardInterrupt:
            say("Stopped.")
        finally:
            desk.bench.close()
            server.shutdown()
    return Status.DONE


def make_apart(file: Path, to: Path, anyway: bool) -> Outcome:
    """Run `planewright make` in a process of its own: the same bytes as from the command line, and a crash of
    the kernel ends that run, not the page."""
    tree = str(Path(__file__).resolve().parents[2])
    paths = [tree, *filter(None, [os.environ.get("PYTHONPATH")])]
    command = [sys.executable, "-P", "-m", "cad", "make", str(file), "--to", str(to)]
    done = subprocess.run(
        [*command, "--anyway"] if anyway else command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(paths), "PYTHONIOENCODING": "utf-8"},
        check=False,
    )
    return Outcome(done.returncode, done.stdout.decode("utf-8", "replace").strip())
