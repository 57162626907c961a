"""What a picture shows: solids with their tones, and where the eye stands."""

from __future__ import annotations

from dataclasses import dataclass

from cadquery import Solid

from cad.kernel.shapes import Triple

Tone = tuple[float, float, float]

# Plain tones of our own: wood warm, steel cool, prints slate, sheet pale.
WOOD: Tone = (0.80, 0.64, 0.45)
PLATE: Tone = (0.70, 0.52, 0.34)
PRINTED: Tone = (0.38, 0.53, 0.66)
CUT: Tone = (0.86, 0.80, 0.66)

# Where the eye stands, seen from the middle of what is shown, for a right-hand plane (y towards the body).
OPEN_SIDE: Triple = (-0.75, -1.2, 0.65)
BLIND_SIDE: Triple = (0.75, 1.2, 0.65)
FROM_BELOW: Triple = (-0.8, -1.0, -0.75)
SIDE: Triple = (0.0, -1.0, 0.0)


@dataclass(frozen=True)
class Shown:
    """A solid in a picture, in its tone, moved aside by `shift` mm."""

    solid: Solid
    tone: Tone
    shift: Triple = (0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Picture:
    """A picture to be made: its name, what it shows, and the direction from which it is seen."""

    name: str
    shown: tuple[Shown, ...]
    eye: Triple = OPEN_SIDE
    up: Triple = (0.0, 0.0, 1.0)


def for_hand(eye: Triple, is_left: bool) -> Triple:
    """Return where the eye stands for the plane's hand, so that both hands show the same faces."""
    return (eye[0], -eye[1], eye[2]) if is_left else eye
