"""A template as its kind makes it, and as a block to be laid on a page: its caption above its art."""

from __future__ import annotations

from dataclasses import dataclass

from cad.papers.templates.ink import LEAST_TEXT_MM, ROW_MM, TITLE_MM, Art, Words, rows, wrapped

LEAST_CAPTION_MM = 62.0
UNDER_CAPTION_MM = 3.0


@dataclass(frozen=True)
class Template:
    """One true-size template, placed anywhere; `notes` are printed over it."""

    name: str
    title: str
    notes: tuple[str, ...]
    art: Art


@dataclass(frozen=True)
class Block:
    """Art to be laid on a page, its lower left corner at (0, 0); `title` is listed in the page's head."""

    title: str
    art: Art

    @property
    def size(self) -> tuple[float, float]:
        return self.art.box[2], self.art.box[3]


def block(title: str, heading: str, notes: tuple[str, ...], art: Art) -> Block:
    """Return art under its caption, moved to (0, 0). The caption is as wide as the art, or a little wider."""
    low_x, _, high_x, high_y = art.box
    wide = max(high_x - low_x, LEAST_CAPTION_MM)
    heads = wrapped(heading, wide, TITLE_MM)
    lines = [text for note in notes for text in wrapped(note, wide)]
    tall = len(heads) * ROW_MM * TITLE_MM / LEAST_TEXT_MM + len(lines) * ROW_MM
    top = high_y + UNDER_CAPTION_MM + tall - TITLE_MM / 2
    words: list[Words] = list(rows(heads, (low_x, top), TITLE_MM))
    under = top - len(heads) * ROW_MM * TITLE_MM / LEAST_TEXT_MM + 0.5
    words += rows(lines, (low_x, under))
    whole = art + Art((), tuple(words))
    x, y, _, _ = whole.box
    return Block(title, whole.moved(-x, -y))
