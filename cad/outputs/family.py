"""The folder of a family, TO/<family>/: its table, page, picture of the row, and a spec for each plane.

The planes have folders of their own beside it; which fixtures they share is read in their manifests. Loads no
kernel.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from struct import unpack

from cad.errors import OutputError
from cad.family import Family
from cad.geometry import Plan
from cad.outputs import manifest as manifests
from cad.outputs.files import OutFile
from cad.outputs.folder import write_folder
from cad.outputs.standing import ROW
from cad.outputs.versions import versions
from cad.papers.family_sheet import LeftOut, Shared, document
from cad.papers.sheet.as_html import html
from cad.papers.sheet.as_pdf import pdf
from cad.papers.sheet.document import Rendering
from cad.report.lineup import lineup, lineup_csv

NO_MESH_MM = 0.0  # the folder holds no mesh that could stray from a surface


def write_family(family: Family, plans: Sequence[Plan], to: Path, row: bytes | None) -> Path:
    """Write the family's folder, whole or not at all, and return it. `row` is the picture of the planes, PNG.

    The planes must have been made. Raises OutputError when one is not there, and as write_folder does.
    """
    folders = {plan.spec.name: to / plan.spec.name for plan in plans}
    shared = shared_fixtures({name: fixtures_in(folder) for name, folder in folders.items()})
    left_out = left_out_fixtures({name: declined_in(folder) for name, folder in folders.items()})
    files = sorted(_files(family, plans, shared, left_out, row), key=lambda file: file.path)
    manifest = manifests.manifest_of(family.name, family.digest, versions(), NO_MESH_MM, files, {})
    return write_folder(to, family.name, files, manifest)


def fixtures_in(folder: Path) -> dict[str, str]:
    """Return the likeness of each fixture in a plane's folder, as its manifest has it. Raises OutputError."""
    files = _manifest_in(folder)["files"]
    return {entry["fixture"]: entry["likeness"] for entry in files if "likeness" in entry}


def declined_in(folder: Path) -> dict[str, str]:
    """Return why fixtures were not made in a plane's folder, by fixture. Raises OutputError."""
    return {entry["fixture"]: entry["reason"] for entry in _manifest_in(folder)["declined"]}


def _manifest_in(folder: Path) -> manifests.Manifest:
    path = folder / manifests.NAME
    found = manifests.decoded(path.read_bytes()) if path.is_file() else None
    if found is None:
        raise OutputError(f"{folder}: the plane is not there: run make on the family again")
    return found


def shared_fixtures(planes: Mapping[str, Mapping[str, str]]) -> list[Shared]:
    """Return the fixtures that come out the same for several planes; given is their likeness by plane."""
    alike: dict[tuple[str, str], list[str]] = {}
    for plane, fixtures in planes.items():
        for fixture, likeness in fixtures.items():
            alike.setdefault((fixture, likeness), []).append(plane)
    found = [Shared(fixture, tuple(users)) for (fixture, _), users in alike.items() if len(users) > 1]
    return sorted(found, key=lambda one: (one.fixture, one.planes))


def left_out_fixtures(planes: Mapping[str, Mapping[str, str]]) -> list[LeftOut]:
    """Return the fixtures that some planes go without; given are the reasons by fixture, by plane."""
    alike: dict[tuple[str, str], list[str]] = {}
    for plane, fixtures in planes.items():
        for fixture, reason in fixtures.items():
            alike.setdefault((fixture, reason), []).append(plane)
    return [LeftOut(fixture, reason, tuple(users)) for (fixture, reason), users in sorted(alike.items())]


def _files(
    family: Family,
    plans: Sequence[Plan],
    shared: Sequence[Shared],
    left_out: Sequence[LeftOut],
    row: bytes | None,
) -> Iterator[OutFile]:
    yield OutFile("planes.csv", lineup_csv(lineup(plans)).encode())
    sheet = document(family.name, plans, shared, left_out, _rendering(row) if row else None)
    yield OutFile("family.html", html(sheet).encode())
    yield OutFile("family.pdf", pdf(sheet))
    if row:
        yield OutFile(ROW, row)
    for member in family.members:
        yield OutFile(f"specs/{member.spec.name}.toml", member.text.encode())


def _rendering(png: bytes) -> Rendering:
    wide, high = unpack(">II", png[16:24])  # of the PNG's first chunk, which is always its header
    return Rendering(png, high / wide, "All planes, the smallest on the left, each form in a row of its own")
