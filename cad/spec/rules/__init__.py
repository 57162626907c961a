"""Rules of thumb: what each key is when the file leaves it out, in the order they are worked out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from cad.fields import ImpossibleError, Known, NotKnownError, Origin, Problem, Rule, Span
from cad.soles import forms
from cad.soles.table import SPRING
from cad.spec.keys import keys
from cad.spec.rules import board, paper, plane, router, shop

GIVEN = Origin(given=True, reason="given in the file")


def rules_for(form: str | None) -> tuple[Rule, ...]:
    """Return the rules for a plane whose sole has this form, each after those it builds on."""
    sole = forms()[form].RULES if form is not None else ()
    after = (*plane.RULES, *board.RULES, *shop.RULES, *router.RULES, *paper.RULES)
    return (*plane.FIRST, SPRING, *sole, *after)


@dataclass(frozen=True)
class Worked:
    """Values with all that could be worked out added; those that came to lie out of range are kept apart.

    `problems` are what a rule found impossible while it worked.
    """

    known: Known
    origins: Mapping[str, Origin]
    out_of_range: Mapping[str, float]
    problems: tuple[Problem, ...] = ()


def work_out(known: Known, form: str | None, faulty: frozenset[str]) -> Worked:
    """Return the values completed by the rules, and where each of them comes from.

    Keys in `faulty`, values out of range and what depends on them stay out.
    """
    spans = {key.dotted: key.kind for key in keys(form) if isinstance(key.kind, Span)}
    origins = dict.fromkeys(known.given, GIVEN)
    out_of_range: dict[str, float] = {}
    problems: list[Problem] = []
    for rule in rules_for(form):
        if rule.key in known.given or rule.key in faulty:
            continue
        try:
            value, reason = rule.compute(known), rule.why(known)
        except NotKnownError:
            continue  # the value it builds on has a fault of its own
        except ImpossibleError as error:
            problems.append(error.problem)
            continue
        if isinstance(value, float) and not spans[rule.key].allows(value):
            out_of_range[rule.key] = value
            continue
        known = known.plus(rule.key, value)
        origins[rule.key] = Origin(given=False, reason=reason)
    return Worked(known, origins, out_of_range, tuple(dict.fromkeys(problems)))
