"""Draws Redshank's foredeck with ezdxf, in metres: the edge as an arc at the stem, two splines and a line, the hatch as a
polyline with bulges, cleats as a block put in twice, and notes that are no part of the deck.

    python demo.py layouts/redshank.dxf
"""

import math
import sys

import ezdxf
from ezdxf import units

ezdxf.options.write_fixed_meta_data_for_testing = True

doc = ezdxf.new("R2000", units=units.M)
for layer in ["DECK", "HATCH", "FITTINGS", "CLEATS", "NOTES"]:
    doc.layers.add(layer)
msp = doc.modelspace()

# x is the station, from the stem aft; y is the distance to starboard.
stem, half_turn = 0.12, 60
msp.add_arc((stem, 0), stem, 180 - half_turn, 180 + half_turn, dxfattribs={"layer": "DECK"})
aft, half_breadth = 2.6, 0.95
for side in [1, -1]:
    angle = math.radians(180 - half_turn)
    start = (stem + stem * math.cos(angle), stem * math.sin(angle))
    way = (math.sin(angle), -math.cos(angle))
    frame = [
        start,
        (start[0] + 0.4 * way[0], start[1] + 0.4 * way[1]),
        (1.15, 0.79),
        (1.9, 0.93),
        (aft, half_breadth),
    ]
    frame = [(x, side * y) for x, y in frame]
    msp.add_spline(dxfattribs={"layer": "DECK", "degree": 3}).set_open_uniform(frame, degree=3)
msp.add_line((aft, half_breadth), (aft, -half_breadth), dxfattribs={"layer": "DECK"})

# A hatch of 600 by 560 with corners of 60.
left, right, half, corner = 1.2, 1.8, 0.28, 0.06
bulge = math.tan(math.radians(90) / 4)
msp.add_lwpolyline(
    [
        (left + corner, -half, 0),
        (right - corner, -half, bulge),
        (right, -half + corner, 0),
        (right, half - corner, bulge),
        (right - corner, half, 0),
        (left + corner, half, bulge),
        (left, half - corner, 0),
        (left, -half + corner, bulge),
    ],
    format="xyb",
    close=True,
    dxfattribs={"layer": "HATCH"},
)
msp.add_circle((0.62, 0), 0.045, dxfattribs={"layer": "FITTINGS"})
msp.add_ellipse((2.25, 0), (0, 0.11), 0.6, dxfattribs={"layer": "FITTINGS"})

# The foot of a cleat, 180 by 50 with round ends, on layer 0: it takes the layer that it is put on.
cleat = doc.blocks.new("CLEAT")
cleat.add_lwpolyline(
    [(-0.065, -0.025, 0), (0.065, -0.025, 1), (0.065, 0.025, 0), (-0.065, 0.025, 1)],
    format="xyb",
    close=True,
)
for side in [1, -1]:
    msp.add_blockref(
        "CLEAT", (2.2, side * 0.76), dxfattribs={"layer": "CLEATS", "rotation": side * 8}
    )

msp.add_text("FOREDECK, SEEN FROM ABOVE", height=0.05, dxfattribs={"layer": "NOTES"}).set_placement((0.2, -1.15))
msp.add_line((0, 0), (aft, 0), dxfattribs={"layer": "NOTES"})
doc.saveas(sys.argv[1])
