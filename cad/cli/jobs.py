"""Jobs run side by side and told as they go: progress and failures on standard error."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from cad.cli.crew import Done, Job, Step, cores, side_by_side
from cad.cli.progress import Progress
from cad.cli.status import Status, say


@dataclass(frozen=True)
class Made:
    """What the jobs that ended well returned, by their place in the order given, and the worst status."""

    values: Mapping[int, Any]
    status: Status


def run_jobs(jobs: Sequence[Job], workers: int) -> Made:
    """Run jobs on so many processes, 0 for one a core, and return what they return.

    One that fails is told by its name, and the others finish. What is wrong with the call or the folder is
    wrong for all: the rest is left then.
    """
    progress = Progress(len(jobs))
    values: dict[int, Any] = {}
    doing: dict[int, str] = {}
    status = Status.DONE
    for event in side_by_side(jobs, workers or cores()):
        name = jobs[event.at].name
        if isinstance(event, Step):
            doing[event.at] = f"{name}: {event.what}"
        else:
            doing.pop(event.at, None)
            progress.done += 1
            progress.end()
            if isinstance(event, Done):
                values[event.at] = event.value
                say(f"{progress.done} of {len(jobs)}: {name}")
            else:
                status = max(status, event.status)
                say(event.why if event.status is Status.WRONG else f"{name}: {event.why}")
                if event.status is Status.WRONG:
                    break
        progress.show("  ".join(doing.values()))
    progress.end()
    return Made(values, status)
