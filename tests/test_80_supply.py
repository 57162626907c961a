"""What the project stands on: locked by hash, licensed so that it may be used, and listed."""

from __future__ import annotations

import re
import tomllib
from importlib.metadata import distribution
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
DIRECT = [Requirement(line) for line in PROJECT["dependencies"]]
WANTED = [*DIRECT, *(Requirement(line) for line in PROJECT["optional-dependencies"]["dev"])]

# Families that let a program use a library unchanged, whatever the program's own licence: permissive ones,
# and the weak copyleft of LGPL, which asks for the library's source alone.
FAMILIES = {
    "MIT": r"\bMIT\b",
    "BSD": r"\bBSD\b|\b0BSD\b",
    "Apache": r"\bApache\b",
    "PSF": r"\bPSF\b|Python Software Foundation",
    "ISC": r"\bISC\b",
    "LGPL": r"\bLGPL",
}


def locked() -> dict[str, list[tuple[str, list[str]]]]:
    """Return the versions of every distribution in the lock file, each with its hashes."""
    text = (ROOT / "requirements.lock").read_text()
    found: dict[str, list[tuple[str, list[str]]]] = {}
    for entry in re.split(r"^(?=[a-z0-9])", text, flags=re.MULTILINE)[1:]:
        name, version = re.match(r"([a-z0-9._-]+)==([^\s;\\]+)", entry).groups()  # type: ignore[union-attr]
        found.setdefault(name, []).append((version, re.findall(r"--hash=sha256:([0-9a-f]{64})\b", entry)))
    return found


def test_the_lock_holds_a_hash_for_every_distribution() -> None:
    entries = locked()
    assert len(entries) > 60
    for name, versions in entries.items():
        assert all(hashes for _, hashes in versions), name


@pytest.mark.parametrize("wanted", WANTED, ids=lambda wanted: wanted.name)
def test_the_lock_keeps_to_the_bounds(wanted: Requirement) -> None:
    versions = locked()[canonicalize_name(wanted.name)]
    assert all(wanted.specifier.contains(Version(version)) for version, _ in versions)
    assert any(spec.operator == ">=" for spec in wanted.specifier), "a lower bound"


def licence_of(name: str) -> str:
    """Return what a distribution's metadata says of its licence: expression, classifiers, and field.

    Of a field that holds a whole licence only the first line counts: texts speak of other licences too.
    """
    metadata = distribution(name).metadata
    field = (metadata.get("License") or "").strip()
    words = [metadata.get("License-Expression") or "", *field.splitlines()[:1]]
    words += [line for line in metadata.get_all("Classifier") or [] if line.startswith("License")]
    return "\n".join(words)


def families_of(name: str) -> set[str]:
    licence = licence_of(name)
    return {family for family, pattern in FAMILIES.items() if re.search(pattern, licence)}


def closure() -> set[str]:
    """Return every distribution that the installed project brings along."""
    found: set[str] = set()
    waiting = [requirement.name for requirement in DIRECT]
    while waiting:
        name = canonicalize_name(waiting.pop())
        if name in found:
            continue
        found.add(name)
        for line in distribution(name).requires or []:
            requirement = Requirement(line)
            if requirement.marker is None or requirement.marker.evaluate({"extra": ""}):
                waiting.append(requirement.name)
    return found


def test_every_library_may_be_used() -> None:
    brought = closure()
    assert {"cadquery", "numpy", "vtk"} <= brought
    for name in sorted(brought):
        assert families_of(name), f"{name}: licence not known to be compatible: {licence_of(name)[:200]}"
        assert not re.search(r"\bAGPL|(?<!L)\bGPL", licence_of(name)), name


def test_the_licences_are_listed() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text()
    section = text[text.index("## What it stands on") :]
    section = section[: section.index("\n## ", 1)]
    listed = dict(re.findall(r"^\| ([\w-]+) \| (\w+)", section, re.MULTILINE))
    listed.pop("library", None)
    assert set(listed) == {requirement.name for requirement in DIRECT}
    for name, family in listed.items():
        assert family in families_of(name), name
    rows = re.findall(r"^- (\w+): (.+?)\.$", section, re.MULTILINE | re.DOTALL)
    brought = {name: family for family, names in rows for name in re.split(r",\s+", names)}
    assert set(brought) == closure() - {canonicalize_name(name) for name in listed}
    for name, family in brought.items():
        assert family in families_of(name), name
