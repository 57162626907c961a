"""DEVELOPERS.md lists every file of this suite, with its source, and none that is not here."""

from __future__ import annotations

import re
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parent.parent


def test_the_table_lists_this_suite() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text()
    section = text[text.index("## What judges it from outside") :]
    section = section[: section.index("\n## ", 1)]
    listed = re.findall(r"^\| `(test_\w+)` \| (.+?) \| (.+?) \| (.+?) \|$", section, re.MULTILINE)
    here = {path.stem for path in HERE.glob("test_*.py")} - {Path(__file__).stem}
    assert {row[0] for row in listed} == here
    assert len(listed) == len(here)
