"""Closed forms of one plane, worked out from its spec: everything that needs no CAD kernel.

`derive(spec)` returns a `Plan`; its parts each live in the module named after them.
"""

from cad.geometry.plan import Plan, derive

__all__ = ["Plan", "derive"]
