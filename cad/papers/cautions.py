"""The usual cautions, in one place: each is printed at every step where it matters.

They remind; they do not teach a trade. Local codes and the makers' own manuals come first.
"""

FIRST = (
    "These sheets give sizes and order, not training. Follow the manuals of your machines and the codes that "
    "hold where you work; leave to licensed or trained hands what you are not sure of.",
    "Eye and ear protection at every machine; hair and sleeves tied back; no gloves near what turns.",
)
TABLE_SAW = (
    "Table saw: a wide rip of a narrow blank tips and kicks back. Guard and riving knife on, tall fence, "
    "feather board, push block; stand beside the line of the blade. If the guard must come off for a cut to "
    "part depth, cut by hand or with a rebate plane instead unless you are trained for it.",
    "Unplug the saw to set blade and fence.",
)
PLANER = (
    "Jointer and planer: keep to the least length in the machine's manual. A piece shorter or thinner than "
    "that is planed by hand.",
)
CHISEL = (
    "Chisel: both hands behind the edge, work clamped, edge pointing away from you and from everyone else. "
    "Pare thin slices; a dull chisel slips.",
)
WEDGE = (
    "A struck wedge or iron can fly out or chip: eye protection on, nobody in front of the plane. Use a "
    "wooden or hide mallet on the wedge and never a hardened hammer on a hardened end. Hold the iron's edge "
    "off hands and bench; carry it sheathed.",
)
DUST = (
    "Sanding dust harms the lungs, and that of some woods sensitises: mask that fits, extractor, and the "
    "limits that hold where you work. Fine dust burns or explodes: no flame or spark near it.",
)
RAGS = (
    "Rags wet with drying oil (linseed, tung, Danish oil) take fire by themselves. Spread them flat outdoors "
    "to dry hard, or sink them in water in a closed metal can, at once. Air the room, no flame; heed the "
    "label.",
)
GLUE = ("Heed the label of the glue: gloves, air, and how cold or warm it may be used.",)
SHARP = (
    "The edge is sharp from here on: tape it until it is needed, and never reach under the sole for it.",
)
FIRE = (
    "Fire: work on a bare concrete or earth floor, nothing that burns within reach, an extinguisher for "
    "burning liquids and metal lid at hand. Never alone, and never where local codes or your insurer forbid "
    "it.",
    "Hot steel looks like cold steel. Tongs, leather gloves and apron, natural-fibre clothes, closed shoes.",
)
HOT_OIL = (
    "Hot oil: a deep metal tank with a close-fitting lid, on a floor that does not burn, away from the "
    "furnace, no more than two thirds full. Plunge the iron in one quick stroke, all the glow under the "
    "surface: half in, it lights the oil. Lid on puts the fire out; never water.",
    "Water in hot oil turns to steam and foams the burning oil over the rim: tank, tongs and iron dry. "
    "(Quench tanks: US OSHA 1910.126 and guides.)",
    "Warm the oil on an electric plate with a thermometer in it, never over a flame, and keep far below its "
    "flash point. Use oil made for quenching; used engine oil gives off poisons.",
)
WATER = (
    "Steam and spatter: quench at arm's length, face shield on. Plain carbon steel can crack in water with a "
    "snap and throw a piece.",
)
FUMES = (
    "Fumes: out of doors or under a hood that draws out. Degrease the iron; never heat plated, painted or "
    "zinc-coated steel.",
)
EYES = (
    "Eyes: shaded face shield or goggles at the fire, clear ones at grinder and quench. Those who watch wear "
    "them too.",
)
GRINDER = (
    "Grinder: ring-test and fit the wheel by its manual, guard on, rest within 3 mm (1/8 in) of the wheel "
    "(US OSHA 1910.215, from memory), stand aside while it runs up. Never on the side of a thin wheel. No "
    "wood dust in the catch of its sparks.",
)
