"""A document as one HTML page that stands by itself: style and pictures inside, nothing fetched."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator
from html import escape

from cad.papers.sheet.document import (
    Block,
    Caution,
    Document,
    Lettering,
    Notice,
    Picture,
    Pictures,
    Points,
    Rendering,
    Section,
    Stroke,
    Table,
    Words,
)

STYLE = """
:root { --ink: #1c1a17; --paper: #fffdf8; --quiet: #6a645b; --rule: #cfc8ba; --band: #f1ece1;
  --danger: #a3290f; --danger-band: #fbe9e3; --note: #35566b; --note-band: #e8f0f4; }
@media (prefers-color-scheme: dark) { :root { --ink: #ece6da; --paper: #1d1b18; --quiet: #a49c8e;
  --rule: #4a453d; --band: #2a2723; --danger: #f0876b; --danger-band: #3a221b; --note: #9cc3da;
  --note-band: #1f2c34; } }
body { margin: 0; background: var(--paper); color: var(--ink);
  font: 16px/1.5 "DejaVu Sans", Verdana, Helvetica, Arial, sans-serif; }
main { max-width: 50rem; margin: 0 auto; padding: 1.5rem 1rem 4rem; }
h1 { font-size: 1.7rem; line-height: 1.2; margin: 0 0 .6rem; }
h2 { font-size: 1.3rem; margin: 2.4rem 0 .6rem; padding-bottom: .2rem; border-bottom: 2px solid var(--ink); }
h3 { font-size: 1.08rem; margin: 1.9rem 0 .5rem; }
p, ul, ol { margin: .5rem 0; }
li { margin: .2rem 0; }
.small { font-size: .82rem; color: var(--quiet); }
.caution, .notice { border-left: 5px solid var(--danger); background: var(--danger-band);
  padding: .5rem .8rem; margin: .8rem 0; }
.notice { border-color: var(--note); background: var(--note-band); }
.caution strong { color: var(--danger); } .notice strong { color: var(--note); }
.caution ul, .notice ul { margin: .2rem 0 0; padding-left: 1.2rem; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; margin: .7rem 0; font-size: .9rem; width: 100%; }
caption { text-align: left; color: var(--quiet); font-size: .82rem; padding-bottom: .25rem; }
th, td { text-align: left; vertical-align: top; padding: .28rem .6rem; border-bottom: 1px solid var(--rule); }
thead th { background: var(--band); }
tbody th { font-weight: normal; color: var(--quiet); }
.pictures { display: flex; flex-wrap: wrap; gap: 1rem; margin: .8rem 0; }
.pair { display: flex; flex-wrap: wrap-reverse; gap: 0 1.2rem; }
.pair > div:first-child { flex: 1 1 20rem; }
figure { margin: 0; max-width: 100%; }
figure img { display: block; max-width: 100%; height: auto; }
figure svg { display: block; max-width: 100%; height: auto; background: #fffdf8;
  border: 1px solid var(--rule); }
figcaption { font-size: .82rem; color: var(--quiet); max-width: 17rem; }
nav ol { columns: 2; font-size: .9rem; }
@media print { main { max-width: none; padding: 0; } h2, h3 { break-after: avoid; }
  .caution, .notice, figure, tr { break-inside: avoid; } }
@media (max-width: 36rem) { nav ol { columns: 1; } }
"""
PICTURE_MM = (62.0, 46.0)
LINE_MM = {"wide": 0.35, "narrow": 0.18}
TONES = {"black": "#1c1a17", "grey": "#9a948a"}
MARGIN_MM = 2.0
CAPITALS = 0.729  # height of the font's capitals, of its size


def html(document: Document) -> str:
    """Return the page as text, UTF-8 declared."""
    title = escape(f"{document.title}: {document.name}")
    chapters = [section for section in document.sections if section.level == 1]
    links = "".join(f'<li><a href="#{_anchor(one)}">{escape(one.title)}</a></li>' for one in chapters)
    parts = [
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>",
        f"<h1>{title}</h1>",
        *map(_block, document.lead),
        f"<nav><ol>{links}</ol></nav>" if len(chapters) > 1 else "",
        *(part for section in document.sections for part in _section(section)),
        "</main>\n</body>\n</html>\n",
    ]
    return "\n".join(part for part in parts if part)


def _anchor(section: Section) -> str:
    return "".join(letter if letter.isalnum() else "-" for letter in section.title.lower())


def _section(section: Section) -> Iterator[str]:
    level = section.level + 1
    yield f'<h{level} id="{_anchor(section)}">{escape(section.title)}</h{level}>'
    yield from map(_block, section.blocks)


def _block(block: Block) -> str:
    match block:
        case Words(text, small):
            return f'<p class="small">{escape(text)}</p>' if small else f"<p>{escape(text)}</p>"
        case Points(items, numbered):
            return _list(items, "ol" if numbered else "ul")
        case Caution(items):
            title = f"<strong>{escape(block.title)}</strong>"
            return f'<aside class="caution">{title}{_list(items, "ul")}</aside>'
        case Notice(items):
            return f'<aside class="notice"><strong>This plane</strong>{_list(items, "ul")}</aside>'
        case Table():
            return _table(block)
        case Rendering(png, _, caption):
            source = f"data:image/png;base64,{b64encode(png).decode()}"
            image = f'<img src="{source}" alt="{escape(caption)}">'
            return f"<figure>{image}<figcaption>{escape(caption)}</figcaption></figure>"
        case Pictures(pictures, beside):
            figures = f'<div class="pictures">{"".join(map(_figure, pictures))}</div>' if pictures else ""
            words = "".join(map(_block, beside))
            pair = len(pictures) == 1 and beside
            return f'<div class="pair"><div>{words}</div>{figures}</div>' if pair else figures + words


def _list(items: tuple[str, ...], tag: str) -> str:
    return f"<{tag}>{''.join(f'<li>{escape(item)}</li>' for item in items)}</{tag}>"


def _table(table: Table) -> str:
    caption = f"<caption>{escape(table.caption)}</caption>" if table.caption else ""
    head = "".join(f'<th scope="col">{escape(cell)}</th>' for cell in table.head)
    rows = "".join(_row(row, named=not table.head) for row in table.rows)
    top = f"<thead><tr>{head}</tr></thead>" if table.head else ""
    return f'<div class="wide"><table>{caption}{top}<tbody>{rows}</tbody></table></div>'


def _row(row: tuple[str, ...], named: bool) -> str:
    first, *rest = (escape(cell) for cell in row)
    name = f'<th scope="row">{first}</th>' if named else f"<td>{first}</td>"
    return f"<tr>{name}{''.join(f'<td>{cell}</td>' for cell in rest)}</tr>"


def _figure(picture: Picture) -> str:
    return f"<figure>{svg(picture)}<figcaption>{escape(picture.caption)}</figcaption></figure>"


def svg(picture: Picture) -> str:
    """Return a picture as inline SVG, sized in mm and fitted into its room."""
    low_x, low_y, high_x, high_y = picture.bounds()
    wide, high = high_x - low_x, high_y - low_y
    room = [side - 2 * MARGIN_MM for side in picture.room_mm or PICTURE_MM]
    scale = min(room[0] / max(wide, 1e-6), room[1] / max(high, 1e-6))
    page = (wide * scale + 2 * MARGIN_MM, high * scale + 2 * MARGIN_MM)

    def place(p: tuple[float, float]) -> tuple[str, str]:
        return (
            f"{(p[0] - low_x) * scale + MARGIN_MM:.2f}".rstrip("0").rstrip("."),
            f"{page[1] - MARGIN_MM - (p[1] - low_y) * scale:.2f}".rstrip("0").rstrip("."),
        )

    def line(stroke: Stroke) -> str:
        return "M" + "L".join(",".join(place(p)) for p in stroke.points)

    styles = sorted({(stroke.tone, stroke.weight) for stroke in picture.strokes}, reverse=True)
    paths = "".join(
        f'<path d="{"".join(line(s) for s in picture.strokes if (s.tone, s.weight) == style)}" '
        f'stroke="{TONES[style[0]]}" stroke-width="{LINE_MM[style[1]]}"/>'
        for style in styles
    )

    def lettering(one: Lettering) -> str:
        (x, y), size = place(one.at), one.height / CAPITALS
        style = f'font-size="{size:.2f}" text-anchor="middle" fill="{TONES["black"]}" stroke="none"'
        return f'<text x="{x}" y="{y}" dy=".36em" {style}>{escape(one.text)}</text>'

    words = "".join(map(lettering, picture.letterings))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{escape(picture.name)}" '
        f'width="{page[0]:.1f}mm" height="{page[1]:.1f}mm" viewBox="0 0 {page[0]:.2f} {page[1]:.2f}" '
        f'fill="none" stroke-linejoin="round" stroke-linecap="round">{paths}{words}</svg>'
    )
