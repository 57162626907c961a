"""Jobs side by side in processes of their own, where the crash of one costs a single job.

Workers for several planes are forked before the CAD kernel is loaded, and each loads it once. Those for
one plane are forked right after: it is loaded then, but has done nothing that could be copied half done.
A pool of the standard library gives up all its jobs when one of its processes dies, so the few lines of
handing out are ours.
"""

from __future__ import annotations

import os
import signal
import sys
import traceback
from collections import deque
from collections.abc import Callable, Generator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from types import FrameType
from typing import Any

from cad.cli.interrupts import load_kernel
from cad.cli.status import Status
from cad.errors import CallError, PlanewrightError

GRACE_S = 10.0  # for a worker to leave what it is at: the kernel lets no interrupt through in mid work
GONE = (BrokenPipeError, ConnectionResetError)  # what is raised when nobody is at the other end of a line

Tell = Callable[[str], None]  # told the name of each step as it begins


@dataclass(frozen=True)
class Job:
    """A piece of work by the name it is reported with. What `run` returns must be fit to be pickled."""

    name: str
    run: Callable[[Tell], Any]


@dataclass(frozen=True)
class Step:
    """A job has begun its next step."""

    at: int  # of the job, in the order given
    what: str


@dataclass(frozen=True)
class Done:
    """A job has ended well, with what it returned."""

    at: int
    value: Any


@dataclass(frozen=True)
class Failed:
    """A job has ended badly: why, in words, and the status that goes with it."""

    at: int
    why: str
    status: Status


Event = Step | Done | Failed


def cores() -> int:
    """Return how many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def forks() -> bool:
    """Return whether a process with libraries in use can be copied on this system: macOS forbids it."""
    return hasattr(os, "fork") and sys.platform != "darwin"


def side_by_side(jobs: Sequence[Job], workers: int) -> Generator[Event]:
    """Run the jobs on so many processes, in their order, and yield what happens as it happens.

    Each job ends with one Done or Failed, whatever becomes of the others. When the caller leaves, or is
    interrupted, the workers are ended first.
    """
    waiting = deque(range(len(jobs)))
    crew: dict[Connection, _Worker] = {}
    try:
        while waiting or crew:
            while waiting and len(crew) < workers:
                try:
                    worker = _hired(jobs, list(crew))
                except OSError as error:
                    if not crew:
                        raise CallError(f"no process could be started ({error}): try --workers 1") from error
                    workers = len(crew)  # the system gives no more
                    break
                crew[worker.line] = worker
                worker.give(waiting.popleft())
            ready = wait(list(crew))
            for line in [line for line in crew if line in ready]:
                event = _heard(crew[line])
                yield event
                if isinstance(event, Step):
                    continue
                if waiting and crew[line].process.is_alive():
                    crew[line].give(waiting.popleft())
                else:
                    crew.pop(line).dismiss()
    finally:
        _end(list(crew.values()))


@dataclass
class _Worker:
    """A process, the line to it, and the job it has in hand."""

    process: BaseProcess
    line: Connection
    job: int = -1

    def give(self, job: int) -> None:
        self.job = job
        with suppress(*GONE):  # it died meanwhile, which is heard next
            self.line.send(job)

    def dismiss(self) -> None:
        """Let go of a worker that has no job in hand."""
        with suppress(*GONE):
            self.line.send(None)
        self.line.close()
        self.process.join(GRACE_S)


def _hired(jobs: Sequence[Job], lines: list[Connection]) -> _Worker:
    context = get_context("fork")
    ours, theirs = context.Pipe()
    process = context.Process(target=_work, args=(jobs, theirs, [*lines, ours]), daemon=True)
    # Held back over the fork, so that an interrupt finds the new process ready to be interrupted.
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        process.start()
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
        theirs.close()
    return _Worker(process, ours)


def _heard(worker: _Worker) -> Event:
    """Return what a worker says next; its silence means that it has died over its job."""
    try:
        event: Event = worker.line.recv()
    except (EOFError, ConnectionResetError):
        worker.process.join(GRACE_S)
        return Failed(worker.job, _death(worker.process.exitcode), Status.FAILED)
    return event


def _death(code: int | None) -> str:
    """Return how a process ended, in words."""
    how = f"ended with status {code}"
    if code is not None and code < 0:
        how = f"was ended by {signal.Signals(-code).name}"
        if -code == signal.SIGKILL:
            how += " (often for want of memory: try fewer --workers)"
    return f"the process that made it {how}; nothing of it was written, what was there before is untouched"


def _end(crew: Sequence[_Worker]) -> None:
    """End workers in mid work: asked first, so that they clear up behind them."""
    for worker in crew:
        worker.line.close()
        if worker.process.pid is not None and worker.process.is_alive():
            os.kill(worker.process.pid, signal.SIGINT)
    for worker in crew:
        worker.process.join(GRACE_S)
        worker.process.kill()
        worker.process.join()


def _work(jobs: Sequence[Job], line: Connection, inherited: Sequence[Connection]) -> None:
    """Do jobs as they are handed over, in the worker's own process."""
    for other in inherited:
        other.close()  # or the end of the main process would go unheard
    try:
        signal.signal(signal.SIGINT, _once)
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})
        load_kernel()
        while (at := line.recv()) is not None:
            line.send(_done(jobs[at], at, line))
    except (EOFError, *GONE):
        return  # nobody is left to work for
    except KeyboardInterrupt:
        os._exit(Status.INTERRUPTED)


def _once(number: int, frame: FrameType | None) -> None:
    """Interrupt, and let no second interrupt (from the keyboard and from the main process) spoil the end."""
    signal.signal(number, signal.SIG_IGN)
    raise KeyboardInterrupt


def _done(job: Job, at: int, line: Connection) -> Done | Failed:
    try:
        return Done(at, job.run(lambda what: line.send(Step(at, what))))
    except PlanewrightError as error:
        return Failed(at, str(error), Status.WRONG if error.blames_the_call else Status.FAILED)
    except Exception:  # a fault of ours: it must cost this job alone, and is told in full
        return Failed(at, f"a fault of this program:\n{traceback.format_exc()}", Status.FAILED)
