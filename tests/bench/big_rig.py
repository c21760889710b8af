"""A plan of any size, for measuring: chains of boxes, each with inputs on cables of their own."""

from collections.abc import Iterator

HEAD = """format = 1
[rig]
name = "Big rig"
owner = "BR"
[link_kind.wire]
max_length_m = 500.0
max_boxes = 20
max_channels = 200
volts = 48.0
max_amps = 3.0
source_ohm = 0.1
[cable_kind.hop]
core_mm2 = 0.5
[cable_kind.lead]
[box_kind.unit]
inputs = 8
outputs = 4
accepts = ["mic", "line"]
phantom = true
draw_w = 5.0
min_volts = 30.0
link_powered = true
"""


def plan_text(chains: int, boxes: int, lines: int) -> str:
    """A plan with so many chains, boxes in all and lines in all (at most 8 to a box)."""
    return HEAD + "\n".join(_entries(chains, boxes, lines))


def _entries(chains: int, boxes: int, lines: int) -> Iterator[str]:
    for chain in range(chains):
        yield f'[[chain]]\ncode = "C{chain}"\nlink = "wire"'
    for box in range(boxes):
        fed = f"C{box}" if box < chains else f"B{box - chains}"
        yield f'[[cable]]\ncode = "H{box}"\nkind = "hop"\nlength_m = {10 + box % 7}.5'
        yield f'[[box]]\ncode = "B{box}"\nkind = "unit"\nfed_from = "{fed}"\ncable = "H{box}"\nplace = "Place {box}"'
    for line in range(lines):
        yield f'[[cable]]\ncode = "X{line}"\nkind = "lead"\nlength_m = 6.0'
        port = f"B{line % boxes} in {line // boxes + 1}"
        yield f'[[input]]\nnumber = {line + 1}\nname = "Line {line + 1}"\nlevel = "mic"'
        yield f'cable = "X{line}"\nport = "{port}"'
