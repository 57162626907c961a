"""Rules for the papers: a printer is taken at its word until its rulers are measured."""

from __future__ import annotations

from cad.fields import Known, Rule

_TRUE = "no correction: print a page of templates, measure its rulers and see"


def _size(known: Known) -> str:
    return "letter" if known.unit == "in" else "A4"


RULES = (
    Rule("paper.scale_x", lambda known: 1.0, _TRUE),
    Rule("paper.scale_y", lambda known: 1.0, _TRUE),
    Rule("paper.size", _size, "what printers hold where this unit is used", practice=True),
    Rule("paper.projection", lambda known: "first", "the first method of ISO 5456-2"),
    Rule("paper.units", lambda known: "own", "one figure a dimension reads quicker than two"),
)
