"""Rules of thumb: what each key is when the file leaves it out, in the order they are worked out."""

from __future__ import annotations

from cad.fields import Known, NotKnownError, Origin, Rule
from cad.soles import forms
from cad.spec.rules import plane, shop

GIVEN = Origin(given=True, reason="given in the file")


def rules_for(form: str | None) -> tuple[Rule, ...]:
    """Return the rules for a plane whose sole has this form, each after those it builds on."""
    sole = forms()[form].RULES if form is not None else ()
    return plane.FIRST + sole + plane.RULES + shop.RULES


def work_out(known: Known, form: str | None, faulty: frozenset[str]) -> tuple[Known, dict[str, Origin]]:
    """Return the values with all that can be worked out added, and where each of them comes from.

    Keys in `faulty` and what depends on them stay out.
    """
    origins = dict.fromkeys(known.given, GIVEN)
    for rule in rules_for(form):
        if rule.key in known.given or rule.key in faulty:
            continue
        try:
            value, reason = rule.compute(known), rule.why(known)
        except NotKnownError:
            continue  # the value it builds on has a fault of its own
        known = known.plus(rule.key, value)
        origins[rule.key] = Origin(given=False, reason=reason)
    return known, origins
