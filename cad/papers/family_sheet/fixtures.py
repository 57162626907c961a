"""Fixtures that serve several planes of a family, each listed once, and those that some planes go without."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cad.papers.sheet.document import Section, Table, Words


@dataclass(frozen=True)
class Shared:
    """A fixture that comes out the same for several planes, which are named in the family's order."""

    fixture: str
    planes: tuple[str, ...]


@dataclass(frozen=True)
class LeftOut:
    """A fixture that cannot be made for some planes, which are named in the family's order, and why."""

    fixture: str
    reason: str
    planes: tuple[str, ...]


def section(name: str, shared: Sequence[Shared]) -> Section:
    """Return which fixtures are made once and used on several planes."""
    title = "Fixtures to make once"
    if not shared:
        return Section(title, (Words("Every fixture of this family fits its own plane alone."),))
    rows = tuple(
        (
            _called(one.fixture),
            one.planes[0].removeprefix(f"{name}-"),
            ", ".join(plane.removeprefix(f"{name}-") for plane in one.planes[1:]),
        )
        for one in shared
    )
    saved = sum(len(one.planes) - 1 for one in shared)
    others = "1 other" if saved == 1 else f"{saved} others"
    words = (
        f"These come out the same, to a thousandth of a millimetre and before words are cut, for every plane "
        f"named: make each once, from the folder of the first plane, and leave out {others}. A name "
        "engraved on one is that of the plane it was made from. All other fixtures fit their own plane alone."
    )
    return Section(
        title, (Words(words), Table(("Fixture", "Make it from", "It serves also"), rows, (1.6, 1.2, 3)))
    )


def left_out(name: str, found: Sequence[LeftOut]) -> Iterator[Section]:
    """Yield which fixtures some planes go without, each with the reason; nothing where none does."""
    if found:
        rows = tuple(
            (
                _called(one.fixture),
                ", ".join(plane.removeprefix(f"{name}-") for plane in one.planes),
                one.reason,
            )
            for one in found
        )
        yield Section("Fixtures left out", (Table(("Fixture", "For", "Why"), rows, (1.4, 1.4, 3.2)),))


def _called(fixture: str) -> str:
    return fixture.replace("_", " ").capitalize()
