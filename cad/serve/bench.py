"""The one place at which the kernel works: jobs in turn, a page's newest in place of its older ones."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import Future
from threading import Condition
from typing import Any

MOST_PAGES = 16  # that wait at a time; whoever comes then is told to wait

Job = Callable[[Callable[[], None]], Any]


class SupersededError(Exception):
    """A newer job of the same page has taken the place of this one."""


class BusyError(Exception):
    """Too many pages wait for the kernel."""


class Bench:
    """Takes jobs from any thread and does them in the one that calls `work`."""

    def __init__(self) -> None:
        self._changed = Condition()
        self._waiting: OrderedDict[str, tuple[Job, Future[Any]]] = OrderedDict()
        self._running: tuple[str, Future[Any]] | None = None
        self._stale = False
        self._closed = False

    def ask(self, page: str, job: Job) -> Future[Any]:
        """Hand in a job for a page and return its outcome to come.

        The page's job that waits or runs ends with SupersededError. Raises BusyError when too many wait.
        A job is called with a function that it should call between steps: it ends the job once it is stale.
        """
        outcome: Future[Any] = Future()
        with self._changed:
            if self._closed or (page not in self._waiting and len(self._waiting) >= MOST_PAGES):
                raise BusyError
            if page in self._waiting:
                self._waiting[page][1].set_exception(SupersededError())
            self._waiting[page] = (job, outcome)  # an older one's turn is kept
            if self._running and self._running[0] == page:
                self._stale = True
            self._changed.notify()
        return outcome

    def work(self) -> None:
        """Do jobs until `close` is called. Runs in the thread that the kernel is to stay in."""
        while (taken := self._next()) is not None:
            job, outcome = taken
            try:
                result = job(self._stop_when_stale)
            except Exception as error:
                self._done()
                outcome.set_exception(error)
            except BaseException:
                self._done()
                outcome.set_exception(SupersededError())
                raise
            else:
                self._done()
                outcome.set_result(result)

    def close(self) -> None:
        """Take no more jobs, and end `work` and everything that waits."""
        with self._changed:
            self._closed = True
            for _, outcome in self._waiting.values():
                outcome.set_exception(SupersededError())
            self._waiting.clear()
            self._changed.notify_all()

    def _next(self) -> tuple[Job, Future[Any]] | None:
        with self._changed:
            while not self._waiting and not self._closed:
                self._changed.wait(0.5)  # not for ever, so that an interrupt from the keyboard is seen
            if self._closed:
                return None
            page, (job, outcome) = self._waiting.popitem(last=False)
            self._running, self._stale = (page, outcome), False
            return job, outcome

    def _done(self) -> None:
        with self._changed:
            self._running = None

    def _stop_when_stale(self) -> None:
        with self._changed:
            if self._stale or self._closed:
                raise SupersededError
