"""Rules for the papers: a printer is taken at its word until its rulers are measured."""

from __future__ import annotations

from cad.fields import Rule

_TRUE = "no correction: print a page of templates, measure its rulers and see"

RULES = (
    Rule("paper.scale_x", lambda known: 1.0, _TRUE),
    Rule("paper.scale_y", lambda known: 1.0, _TRUE),
)
