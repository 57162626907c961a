"""What the file holds that a sole's profile is drawn in, read once for all who ask."""

from __future__ import annotations

from functools import lru_cache

from cad import profiles
from cad.fields import Known
from cad.profiles import Drawn

KEY = "sole.profile"
OWN = "own"
UNITS_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}


def drawing(known: Known) -> Drawn | None:
    """Return the profile that a sole's file draws, None when the sole names no file.

    Raises cad.fields.NotKnownError when a value it takes is missing or faulty, cad.errors.ProfileError for a
    file that draws no profile.
    """
    if KEY not in known.files:
        return None
    name, unit, fit_mm = known.text(KEY), known.text("sole.profile_unit"), known["sole.fit"]
    return _read(name, known.files[KEY], UNITS_MM.get(unit), fit_mm)


# A spec asks for its drawing a few times, and a page for the same one at each key that is pressed.
_read = lru_cache(maxsize=8)(profiles.read)
