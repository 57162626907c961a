"""Sheets read back: every text of a document, and what a PDF or an HTML page shows."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from io import BytesIO

from pypdf import PdfReader

from cad.papers.sheet.document import (
    Block,
    Caution,
    Document,
    Notice,
    Pictures,
    Points,
    Section,
    Table,
    Words,
)

VOID = {"meta", "link", "br", "hr", "img"}


def texts(document: Document) -> Iterator[str]:
    """Yield every text that a reader must find, in order."""
    yield document.title
    for block in document.lead:
        yield from _texts(block)
    for section in document.sections:
        yield section.title
        for block in section.blocks:
            yield from _texts(block)


def _texts(block: Block) -> Iterator[str]:
    match block:
        case Words(text):
            yield text
        case Points(items) | Caution(items) | Notice(items):
            yield from items
        case Table(head, rows, _, caption):
            yield from (caption, *head, *(cell for row in rows for cell in row))
        case Pictures(pictures, beside):
            yield from (picture.caption for picture in pictures)
            for one in beside:
                yield from _texts(one)


def rows(section: Section) -> dict[str, str]:
    """Return the names and values of a section's tables without a head."""
    found = {}
    for block in section.blocks:
        if isinstance(block, Table) and not block.head:
            found.update({row[0]: bare(row[1]) for row in block.rows})
    return found


def table(section: Section, first: str) -> Table:
    """Return the table of a section whose head begins with some words."""
    return next(b for b in section.blocks if isinstance(b, Table) and b.head and b.head[0] == first)


def step(document: Document, words: str) -> Section:
    """Return the section whose title ends with some words."""
    return next(section for section in document.sections if section.title.endswith(words))


def bare(text: str) -> str:
    """Return a text with plain spaces."""
    return text.replace("\u00a0", " ")


def squeezed(text: str) -> str:
    """Return a text without any space: where lines break is no matter."""
    return re.sub(r"\s", "", text)


def pdf_text(data: bytes, foot: str) -> str:
    """Return the text of all pages, squeezed, feet taken out so that what runs over a page is whole."""
    pages = [squeezed(page.extract_text()) for page in PdfReader(BytesIO(data)).pages]
    count = len(pages)
    found = []
    for number, page in enumerate(pages, start=1):
        line = squeezed(f"{foot}page {number} of {count}")
        assert line in page
        found.append(page.replace(line, ""))
    return "".join(found)


class Page(HTMLParser):
    """Reads a page: its text, and whether every element is closed in its turn."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.text = ""
        self.ids: list[str] = []
        self.links: list[str] = []
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        named = dict(attrs)
        self.ids += [value for key, value in attrs if key == "id" and value]
        self.links += [value for value in (named.get("href"), named.get("src")) if value]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open and self.open[-1] == tag, f"</{tag}> closes {self.open[-3:]}"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        if not self.open or self.open[-1] != "style":
            self.text += data


def page(html: str) -> Page:
    """Return an HTML page read to its end, every element closed."""
    found = Page()
    found.feed(html)
    found.close()
    assert found.open == []
    return found
