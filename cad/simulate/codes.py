"""The G and M words that are read, in their modal groups, and why others are not.

Groups after RS274/NGC version 3, table 4 (from memory): no two words of one group stand on one line.
"""

from __future__ import annotations

from collections.abc import Mapping

# Read and acted on, or read and harmless: they ask for what is the case anyway.
G_GROUPS: Mapping[float, str] = {
    **dict.fromkeys((0, 1, 2, 3, 80), "motion"),
    **dict.fromkeys((17, 18, 19), "plane"),
    **dict.fromkeys((90, 91), "distance mode"),
    **dict.fromkeys((93, 94), "feed rate mode"),
    **dict.fromkeys((20, 21), "units"),
    40: "cutter radius compensation",
    49: "tool length offset",
    54: "coordinate system",
    **dict.fromkeys((61, 61.1, 64), "path control"),
    **dict.fromkeys((98, 99), "return level"),
    4: "dwell",
}
M_GROUPS: Mapping[float, str] = {
    **dict.fromkeys((0, 1, 2, 30), "stopping"),
    6: "tool change",
    **dict.fromkeys((3, 4, 5), "spindle"),
    **dict.fromkeys((7, 8, 9), "coolant"),
    **dict.fromkeys((48, 49), "override"),
}
_CYCLE = ("a drilling cycle", "Write its moves out as G0 and G1")
_SHIFT = ("a change of the zero", "Set zero once, at the corner that the program names, and leave it")
_ELSEWHERE = ("a move in the machine's own coordinates, which no program can know", "Use G0 from the zero")
REFUSED_G: Mapping[float, tuple[str, str]] = {
    **dict.fromkeys((81, 82, 83, 84, 85, 86, 87, 88, 89), _CYCLE),
    **dict.fromkeys((10, 92, 92.1, 92.2, 92.3), _SHIFT),
    **dict.fromkeys((55, 56, 57, 58, 59, 59.1, 59.2, 59.3), _SHIFT),
    **dict.fromkeys((28, 30, 53), _ELSEWHERE),
    **dict.fromkeys((41, 42), ("compensation for the cutter's radius", "Offset the path when it is written")),
    43: ("an offset for the tool's length", "Set zero with the tool in the spindle"),
    38.2: ("probing", "Set zero by hand"),
    90.1: ("arcs whose centres are places", "Write I, J and K from the arc's start"),
    91.1: ("centres of arcs from their start, as they are in the standard anyway", "Leave it away"),
}
REFUSED_M: Mapping[float, tuple[str, str]] = {
    60: ("a change of pallets", "Use M0"),
    **dict.fromkeys((97, 98, 99), ("a program within the program", "Write its lines out where it is called")),
}
# Letters of words that are read; what they mean depends on the line.
LETTERS = "NGMFSTXYZIJKRP"
MOST_M_WORDS = 4  # on one line
