"""Programs for the router, one for each cutter and piece of stock, and what to know before one is run."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cad.outputs.files import OutFile
from cad.outputs.formats.notes import listed, titled
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.outputs.routed import Routing
from cad.outputs.simulated import sound_programs
from cad.routing.model import Holding
from cad.routing.wording import CAUTIONS, cutter_words, length_words
from cad.spec.router import Router

FOLDER = "router"

SETTING_UP = (
    "Each sheet or block is held once, and its programs run in the order given: drills first, then the "
    "straight cutter, then the round one. Set the zero of x and y at the front left corner and z on top "
    "once, and z again after each change of cutter.",
    "A program starts the spindle and goes on at once: where yours takes seconds to come up to speed, hold "
    "the feed until it has.",
    "Under a sheet lies a flat waste board. Screws and clamps stay clear of all pieces and of every move "
    "between them.",
    "Pieces hang in the sheet by tabs: cut them with a knife or a fine saw and pare flush. What is cut out "
    "between the arms of a piece can come loose: stop the machine and take it out.",
    "Letters are not cut: write them with a pen, or engrave them from the DXF.",
    "A block is planed to width and height and sawn to length first. The rough passes leave wood for the "
    "round cutter; ridges between its passes come off with a few strokes of fine paper.",
    "The words are those of RS274/NGC version 3 (NIST). No program changes the cutter or asks for an offset "
    "of its radius: the way in the file is that of its middle.",
)


def files(product: Product, meshes: Meshes) -> Iterator[OutFile]:
    """Yield router/<sheet or block>_<cutter>.ngc and router/read_first.txt; nothing where nothing is cut.

    Raises ProgramError when a program fails its simulation.
    """
    found = sound_programs(product, meshes).routing
    for routed in found.routed:
        for program in routed.holding.programs:
            yield OutFile(f"{FOLDER}/{program.name}.ngc", program.text.encode("ascii"), routed.holding.name)
    if product.whole and (found.routed or found.refused):
        text = router_text(product.plan.spec.name, found, product.plan.spec.shop.router)
        yield OutFile(f"{FOLDER}/read_first.txt", text.encode())


def router_text(plane: str, found: Routing, router: Router) -> str:
    """Return what runs on which piece of stock, what is left to be done by hand, and what can hurt."""
    lines = titled(f"Router programs for {plane}")
    lines += listed("CAUTION", CAUTIONS) + listed("SETTING UP", SETTING_UP)
    for routed in found.routed:
        lines += listed(routed.holding.name, _holding_words(routed.holding, router))
    refused = [f"{name}: {why}." for name, why in sorted(found.refused.items())]
    return "\n".join(lines + listed("NO PROGRAM", refused))


def _holding_words(holding: Holding, router: Router) -> Sequence[str]:
    stock, bed = holding.stock, holding.into_bed
    size = " × ".join(length_words(side, router) for side in (stock.length, stock.width, stock.thickness))
    into_bed = f" The waste board is cut {length_words(bed, router)} deep." if bed else ""
    runs = [
        f"{program.name}.ngc: {cutter_words(program.cutter, router)}; "
        f"some {max(round(program.minutes), 1)} min."
        for program in holding.programs
    ]
    return (f"Wood of {size}.{into_bed}", *runs, *(f"Left: {what}." for what in holding.left))
