"""The work on one plane spread over processes, told on one line as it goes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from typing import TYPE_CHECKING

from cad.cli.crew import Failed, Job, Step, forks, side_by_side
from cad.cli.progress import Progress
from cad.cli.status import Status
from cad.errors import PlanewrightError

if TYPE_CHECKING:
    from cad.outputs.making import Finished, Share, Work

HANDS = 4  # no more for one plane: whoever makes files that want the whole of it must build all of it

Begin = Callable[[str], None]


class WorkError(PlanewrightError):
    """A failure in another process, in the words it was told with there."""

    def __init__(self, failed: Failed) -> None:
        self.blames_the_call = failed.status is Status.WRONG
        super().__init__(failed.why)


def shared(progress: Progress, begin: Begin, hands: int) -> Share:
    """Return a way to do works with so many processes, or in this one where one is enough.

    `begin` is told what is being done, and `progress` counts the works that are. What a work raises is raised
    as it is, or as WorkError when it comes from another process.
    """

    def share(works: Sequence[Work]) -> Iterator[Finished]:
        progress.steps = len(works)
        many = min(hands, len(works)) > 1 and forks()
        for finished in _spread(works, begin, hands) if many else _alone(works, begin):
            progress.done += 1
            yield finished

    return share


def _alone(works: Sequence[Work], begin: Begin) -> Iterator[Finished]:
    return (work.run(begin) for work in works)


def _spread(works: Sequence[Work], begin: Begin, hands: int) -> Iterator[Finished]:
    doing: dict[int, str] = {}
    with closing(side_by_side([Job(work.name, work.run) for work in works], hands)) as events:
        for event in events:
            if isinstance(event, Failed):
                raise WorkError(event)
            if isinstance(event, Step):
                doing[event.at] = event.what
                begin("; ".join(doing.values()))
            else:
                doing.pop(event.at, None)
                yield event.value
