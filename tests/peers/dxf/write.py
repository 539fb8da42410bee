"""Writes drawings with ezdxf and, beside each, what ezdxf itself makes of them: points along every entity and the
area of those that are closed, as JSON. tests/dxf compares them with what spile reads.

    python write.py FOLDER [--few]    # --few: those that are kept beside the tests
"""

import json
import math
import sys
from pathlib import Path

import ezdxf
from ezdxf import units
from ezdxf.math import BSpline, ConstructionEllipse

ezdxf.options.write_fixed_meta_data_for_testing = True

MM = {
    units.IN: 25.4, units.FT: 304.8, units.MI: 1609344.0, units.MM: 1.0, units.CM: 10.0, units.M: 1e3, units.KM: 1e6,
    8: 25.4e-6, 9: 25.4e-3, units.YD: 914.4, 11: 1e-7, 12: 1e-6, 13: 1e-3, 14: 100.0, 15: 1e4, 16: 1e5,
}


def along(entity):
    """Points along an entity, in the drawing's own coordinates, after ezdxf."""
    kind = entity.dxftype()
    count = 24
    if kind == "LINE":
        start, end = entity.dxf.start, entity.dxf.end
        return [start.lerp(end, i / count) for i in range(count + 1)]
    if kind in ("ARC", "CIRCLE"):
        begin = entity.dxf.start_angle if kind == "ARC" else 0
        sweep = (entity.dxf.end_angle - begin) % 360 if kind == "ARC" else 360
        return list(entity.vertices([begin + (sweep or 360) * i / count for i in range(count + 1)]))
    if kind == "ELLIPSE":
        return list(entity.vertices(list(entity.params(count + 1))))
    if kind == "SPLINE":
        tool = entity.construction_tool()
        knots, order = tool.knots(), tool.order
        low, high = knots[order - 1], knots[len(tool.control_points)]
        return list(tool.points([low + (high - low) * i / 96 for i in range(97)]))
    points = []
    for part in parts(entity):
        points.extend(along(part))
    return points


def parts(entity):
    if entity.dxftype() == "INSERT" and entity.mcount > 1:
        for one in entity.multi_insert():
            yield from one.virtual_entities()
    else:
        yield from entity.virtual_entities()


def polyline_area(entity):
    """Of a closed polyline with bulges, exactly: the polygon and its segments."""
    points = entity.get_points("xyb") if entity.dxftype() == "LWPOLYLINE" else [
        (v.dxf.location.x, v.dxf.location.y, v.dxf.bulge) for v in entity.vertices
    ]
    total = 0.0
    for (x, y, bulge), (u, v, _) in zip(points, points[1:] + points[:1]):
        total += (x * v - u * y) / 2
        if bulge:
            angle = 4 * math.atan(bulge)
            radius = math.hypot(u - x, v - y) * (1 + bulge * bulge) / (4 * bulge)
            total += radius * radius * (angle - math.sin(angle)) / 2
    return abs(total)


def area(entity):
    kind = entity.dxftype()
    if kind == "CIRCLE":
        return math.pi * entity.dxf.radius**2
    if kind == "ELLIPSE" and abs(entity.dxf.end_param - entity.dxf.start_param - math.tau) < 1e-9:
        return math.pi * entity.dxf.major_axis.magnitude**2 * entity.dxf.ratio
    if kind == "LWPOLYLINE" and entity.closed or kind == "POLYLINE" and entity.is_closed:
        return polyline_area(entity)
    return None


def fill(doc):
    msp = doc.modelspace()
    new = doc.dxfversion > "AC1009"
    for layer in ["EDGE", "CURVES", "BLOCKS", "Größe"]:
        doc.layers.add(layer)
    on = lambda layer, **more: {"layer": layer, **more}
    msp.add_line((0, 0), (1200, 35.5), dxfattribs=on("EDGE"))
    msp.add_line((0, 0, 50), (-300, 700, 12), dxfattribs=on("Größe"))
    msp.add_circle((400, -120), 87.25, dxfattribs=on("CURVES"))
    msp.add_circle((400, -120), 60, dxfattribs=on("CURVES", extrusion=(0, 0, -1)))
    msp.add_arc((10, 20), 333, 200, 40, dxfattribs=on("CURVES"))
    msp.add_arc((10, 20), 333, -30, 10, dxfattribs=on("CURVES", extrusion=(0, 0, -1)))
    outline = [(0, 0, 0.3), (900, 0, 0), (1000, 100, -0.41421356), (1000, 600, 1), (300, 640, 0), (0, 400, 0.05)]
    msp.add_polyline2d([(x, y, 0, 0, b) for x, y, b in outline], format="xyseb", close=True, dxfattribs=on("EDGE"))
    msp.add_polyline2d([(0, 0), (10, 50), (80, 90)], dxfattribs=on("EDGE"))
    msp.add_polyline3d([(0, 0, 1), (10, 50, 2), (80, 90, 3)], dxfattribs=on("EDGE"))
    block = doc.blocks.new("PAD", base_point=(5, 7))
    block.add_line((0, 0), (60, 10))
    block.add_arc((30, 20), 25, 15, 260)
    block.add_circle((12, 8), 9)
    inner = doc.blocks.new("NEST", base_point=(1, 2))
    inner.add_blockref("PAD", (40, 30), dxfattribs={"xscale": -1, "yscale": 1, "rotation": 20})
    msp.add_blockref("PAD", (700, 80), dxfattribs=on("BLOCKS", rotation=33))
    msp.add_blockref("PAD", (700, 80), dxfattribs=on("BLOCKS", xscale=-2, yscale=2, zscale=2, rotation=110))
    msp.add_blockref("PAD", (70, 800), dxfattribs=on("BLOCKS", extrusion=(0, 0, -1), rotation=15))
    msp.add_blockref("NEST", (-70, 80), dxfattribs=on("BLOCKS", rotation=-70, xscale=1.5, yscale=1.5, zscale=1.5))
    grid = dict(column_count=3, row_count=2, column_spacing=150, row_spacing=90)
    msp.add_blockref("PAD", (0, 0), dxfattribs=on("BLOCKS", rotation=30, **grid))
    if not new:
        return
    msp.add_blockref("PAD", (500, -700), dxfattribs=on("BLOCKS", xscale=2, yscale=0.5, rotation=25))
    msp.add_lwpolyline(outline, format="xyb", close=True, dxfattribs=on("EDGE"))
    msp.add_lwpolyline(outline, format="xyb", dxfattribs=on("EDGE", extrusion=(0, 0, -1)))
    msp.add_ellipse((100, 200), (300, 120), 0.35, dxfattribs=on("CURVES"))
    msp.add_ellipse((100, 200), (300, 120), 0.35, 1, 5.5, dxfattribs=on("CURVES"))
    msp.add_ellipse((-100, 50), (30, -220), 0.8, 5, 2, dxfattribs=on("CURVES", extrusion=(0, 0, -1)))
    frame = [(0, 0, 0), (120, 300, 0), (350, 310, 0), (500, 20, 0), (720, -90, 0), (900, 150, 0), (1000, 0, 0)]
    for degree in [2, 3, 4, 5]:
        msp.add_spline(dxfattribs=on("CURVES")).set_open_uniform(frame, degree)
        msp.add_spline(dxfattribs=on("CURVES")).set_uniform(frame, degree)
    msp.add_spline(dxfattribs=on("CURVES")).set_open_rational(frame, [1, 2, 0.5, 1, 3, 0.7, 1], 3)
    msp.add_spline(dxfattribs=on("CURVES")).set_closed(frame, 3)
    msp.add_spline(dxfattribs=on("CURVES")).set_closed_rational(frame, [1, 2, 0.5, 1, 3, 0.7, 1], 3)
    turned = ConstructionEllipse((50, 60), (200, 100), (0, 0, 1), 0.5, 0.3, 4)

    msp.add_spline(dxfattribs=on("CURVES")).apply_construction_tool(BSpline.from_ellipse(turned))
    msp.add_spline(dxfattribs=on("CURVES")).apply_construction_tool(BSpline.from_fit_points(frame, 3))


def write(folder, name, doc):
    doc.saveas(folder / f"{name}.dxf")
    entities = {}
    for entity in doc.modelspace():
        entities[entity.dxf.handle] = {
            "kind": entity.dxftype(),
            "layer": entity.dxf.layer,
            "points": [[round(p.x, 9), round(p.y, 9)] for p in along(entity)],
            "area": area(entity),
        }
        if entity.dxftype() in ("ARC", "CIRCLE"):
            centre = entity.ocs().to_wcs(entity.dxf.center)
            entities[entity.dxf.handle]["circle"] = [centre.x, centre.y, entity.dxf.radius]
    expected = {"mm": MM.get(doc.header.get("$INSUNITS", 0)), "entities": entities}
    (folder / f"{name}.json").write_text(json.dumps(expected, indent=None, separators=(",", ":")) + "\n")


folder = Path(sys.argv[1])
folder.mkdir(parents=True, exist_ok=True)
few = "--few" in sys.argv
for version in ["R12", "R2000", "R2018"] if few else ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]:
    doc = ezdxf.new(version, units=units.MM)
    fill(doc)
    write(folder, version.lower(), doc)
for code in [1, 6] if few else sorted(MM):
    doc = ezdxf.new("R2000", units=code)
    doc.modelspace().add_line((0, 0), (3, 4))
    write(folder, f"units_{code}", doc)
