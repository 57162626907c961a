"""The fonts of all papers: DejaVu Sans and its bold, as matplotlib ships them, read without importing it.

One registration for the whole process: the PDF library keys fonts by name, and a paper that registered its
own under the same name would change what the next one writes.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from cad.errors import KernelError
from cad.kernel.lettering import font_path

PLAIN, BOLD = "DejaVuSans", "DejaVuSans-Bold"  # the names of their files too
CAPITAL = 1493 / 2048  # height of capitals and digits, of the font's size: read off the H of the file


def font_file(name: str) -> Path:
    """Return where a font's file is. Raises KernelError when it is missing."""
    path = font_path().with_name(f"{name}.ttf")
    if not path.is_file():
        raise KernelError("papers", "font", f"{path} is missing: install matplotlib anew")
    return path


@cache
def fonts() -> Mapping[str, Any]:
    """Return the two fonts by name, registered with the PDF library once and for all."""
    from reportlab.pdfbase.pdfmetrics import registerFont, registerFontFamily
    from reportlab.pdfbase.ttfonts import TTFont

    found = {name: TTFont(name, str(font_file(name))) for name in (PLAIN, BOLD)}
    for font in found.values():
        registerFont(font)
    registerFontFamily(PLAIN, normal=PLAIN, bold=BOLD, italic=PLAIN, boldItalic=BOLD)
    return MappingProxyType(found)
