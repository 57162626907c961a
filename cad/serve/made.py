"""The files that were made, to download: the manifest in TO/<name>/, those that it lists, and no others."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from cad.outputs import manifest as manifests


class Made:
    """What lies in the folder that `make` fills for a plane."""

    def __init__(self, to: Path) -> None:
        self._to = to.resolve()

    def listed(self, name: str) -> list[tuple[str, int]]:
        """Return path and size of each file made for a plane of this name, none when nothing was made."""
        folder = self._to / name
        found = folder / manifests.NAME
        if folder.is_symlink() or not found.is_file():
            return []
        manifest = manifests.decoded(found.read_bytes())
        if manifest is None:
            return []
        paths = [*(str(entry["path"]) for entry in manifest["files"]), manifests.NAME]
        return [(path, (folder / path).stat().st_size) for path in paths if self._inside(folder, path)]

    def file(self, name: str, path: str) -> bytes | None:
        """Return one of the listed files, None for anything else."""
        if path not in dict(self.listed(name)):
            return None
        return (self._to / name / path).read_bytes()

    def zipped(self, name: str) -> bytes | None:
        """Return all of them in one archive, each under the plane's name; None when nothing was made."""
        paths = [path for path, _ in self.listed(name)]
        if not paths:
            return None
        whole = BytesIO()
        with ZipFile(whole, "w", ZIP_DEFLATED, compresslevel=1) as archive:
            for path in paths:
                # A fixed time (ZipInfo's own), so that the same files give the same archive.
                archive.writestr(
                    ZipInfo(f"{name}/{path}"), (self._to / name / path).read_bytes(), ZIP_DEFLATED
                )
        return whole.getvalue()

    def _inside(self, folder: Path, path: str) -> bool:
        """Return whether a listed path is a file that lies in the folder, links followed."""
        place = folder / path
        return place.is_file() and place.resolve().is_relative_to(folder)
