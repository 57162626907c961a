"""What the page can ask for, as plain calls: one desk for one spec file, one folder and one kernel."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from concurrent.futures import TimeoutError as Late
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Any

from cad.errors import CallError, OutputError, SpecError
from cad.serve.bench import Bench, BusyError
from cad.serve.form import kinds_of, looked_at
from cad.serve.made import Made
from cad.serve.modelling import model_of_text
from cad.serve.specfile import ChangedError, SpecFile
from cad.spec import parse_spec
from cad.spec.editing import with_values

LONGEST_JOB_S = 120.0  # a model takes a second; longer means that the kernel is stuck


@dataclass(frozen=True)
class Outcome:
    """How a run of `make` ended: its exit status and what it said."""

    status: int
    words: str


Maker = Callable[[Path, Path, bool], Outcome]


class Desk:
    """Reads, edits and saves the spec, has it modelled and made. Safe to call from any thread."""

    def __init__(self, file: Path, to: Path, maker: Maker) -> None:
        self.file, self.bench, self.made = SpecFile(file), Bench(), Made(to)
        self._to, self._maker, self._making = to, maker, Lock()
        self._last: dict[str, Any] | None = None

    def read(self) -> dict[str, Any]:
        """Return what the file holds now, looked at, with its digest and the files made from it before."""
        kept = self.file.read()
        return {**self.look(kept.text, {}), "digest": kept.digest, "file": self.file.shown}

    def look(self, text: str, written: Mapping[str, str]) -> dict[str, Any]:
        """Return a text with values set, and all that follows without the kernel. See `form.looked_at`."""
        refused: dict[str, str] = {}
        if written:
            try:
                tomllib.loads(text)
                text = with_values(text, written, kinds_of(_with_form(text, written)))
            except (ValueError, RecursionError):
                refused = dict.fromkeys(written, "The text is not TOML: put it right first")
            except CallError as error:
                refused = dict.fromkeys(written, str(error))
        return {**looked_at(text, self.file.shown), "refused": refused}

    def model(self, text: str, page: str, with_fixtures: bool) -> dict[str, Any]:
        """Return the review model of a text, once the kernel is free, with the text itself as "text".

        Raises SpecError, KernelError, SupersededError when the page has asked anew, BusyError.
        """
        parse_spec(text, self.file.shown)  # a fault needs no kernel and must not wait for it
        waiting = self.bench.ask(page, lambda step: model_of_text(text, self.file.shown, with_fixtures, step))
        try:
            model: dict[str, Any] = {"text": text, **waiting.result(LONGEST_JOB_S)}
        except Late as error:
            raise BusyError from error
        self._last = model
        return model

    def first_model(self, page: str) -> dict[str, Any] | None:
        """Return the model to open the page with: the file's, else the last one there was, else none."""
        try:
            return self.model(self.file.read().text, page, with_fixtures=False)
        except (SpecError, OutputError):
            return self._last

    def save(self, text: str, base: str) -> dict[str, Any]:
        """Write the text to the file. Raises SpecError when it has faults, ChangedError, OutputError."""
        parse_spec(text, self.file.shown)
        return {"digest": self.file.save(text, base).digest}

    def make(self, base: str, anyway: bool) -> dict[str, Any]:
        """Make the files of the spec as it is saved, and return how that ended.

        Raises BusyError while another run is under way, ChangedError when the file is not the one meant.
        """
        if not self._making.acquire(blocking=False):
            raise BusyError
        try:
            if self.file.read().digest != base:
                raise ChangedError(f"{self.file.shown} was changed elsewhere. Read it again, then make it")
            ended = self._maker(self.file.path, self._to, anyway)
        finally:
            self._making.release()
        return {"status": ended.status, "words": ended.words, **self.files()}

    def files(self) -> dict[str, Any]:
        """Return the plane's name and the files made of it; nothing while the spec has faults."""
        name = self.name()
        listed = self.made.listed(name) if name else []
        return {"name": name or "", "files": [{"path": path, "size": size} for path, size in listed]}

    def name(self) -> str | None:
        """Return the name of the plane in the file, None while it has faults."""
        try:
            return parse_spec(self.file.read().text, self.file.shown).name
        except (SpecError, OutputError):
            return None


def _with_form(text: str, written: Mapping[str, str]) -> str:
    """Return a text that has the form of sole about to be set, by which the sole's keys are known."""
    form = written.get("sole.form")
    return f"[sole]\nform = '{form}'\n" if form and form.isalnum() else text
