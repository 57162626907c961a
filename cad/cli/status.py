"""Exit statuses, and the one place where errors turn into lines on standard error."""

from __future__ import annotations

from enum import IntEnum

import typer

from cad.errors import PlanewrightError, SpecError


class Status(IntEnum):
    """What the command says to the shell when it ends."""

    DONE = 0
    FAILED = 1  # a check or a proof failed, or a solid could not be built
    WRONG = 2  # the spec or the call is wrong
    INTERRUPTED = 130


def say(line: str = "") -> None:
    """Print a remark on standard error."""
    typer.echo(line, err=True)


def report(error: PlanewrightError) -> Status:
    """Print an error on standard error and return the status that goes with it."""
    if isinstance(error, SpecError):
        for fault in error.faults:
            say(str(fault))
        count = len(error.faults)
        say(f"{count} thing{'s' if count > 1 else ''} to put right; nothing was written.")
        return Status.WRONG
    say(f"{error}")
    return Status.WRONG if error.blames_the_call else Status.FAILED
