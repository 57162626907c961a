"""A family as a value: its planes in their order, each with its spec and the text that gives it."""

from __future__ import annotations

from dataclasses import dataclass

from cad.spec import Spec
from cad.units import UnitName


@dataclass(frozen=True)
class Member:
    """One plane of a family. `label` is its own part of its name, such as "03-round"."""

    label: str
    spec: Spec
    text: str  # a spec file of its own that gives the same plane


@dataclass(frozen=True)
class Family:
    """The planes of a family file by size, and by form within a size."""

    name: str
    unit: UnitName
    digest: str  # SHA-256 over its planes', in hex
    members: tuple[Member, ...]
