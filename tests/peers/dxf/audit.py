"""Reads with ezdxf what `spile cut` wrote and compares it with `spile figures --json` of the same layout: no error and no
repair in ezdxf's audit, the unit, the layers, and each field's area from its closed polylines alone.

    python audit.py SPILE FOLDER LAYOUT...    # spile's binary; where drawings go
"""

import json
import math
import subprocess
import sys
from pathlib import Path

import ezdxf
from ezdxf import units

# A field's area from its polylines against the figures, relative.
NEAR = 1e-6
LAYERS = {
    "0", "DEFPOINTS", "PAINT-LINE", "FIELD", "STENCIL", "TAPE-FIRST", "TAPE-REVERSED", "DECK-EDGE", "OPENING", "FITTING",
    "CENTRELINE", "REGISTRATION", "WEED-BOX", "TEXT",
}


def opened(path):
    doc = ezdxf.readfile(path)
    auditor = doc.audit()
    assert not auditor.errors, (path, [one.message for one in auditor.errors])
    assert not auditor.fixes, (path, [one.message for one in auditor.fixes])
    assert {layer.dxf.name.upper() for layer in doc.layers} <= LAYERS, path
    return doc


def signed_area(entity):
    """Of a closed polyline with bulges, exactly: the polygon and its segments; positive counter-clockwise."""
    points = entity.get_points("xyb")
    # About its own first vertex, so that nothing is lost far from the origin.
    points = [(x - points[0][0], y - points[0][1], bulge) for x, y, bulge in points]
    total = 0.0
    for (x, y, bulge), (u, v, _) in zip(points, points[1:] + points[:1]):
        total += (x * v - u * y) / 2
        if bulge:
            angle = 4 * math.atan(bulge)
            radius = math.hypot(u - x, v - y) * (1 + bulge * bulge) / (4 * bulge)
            total += radius * radius * (angle - math.sin(angle)) / 2
    return total


def areas(doc, layer, mm):
    """Outer rings less holes, mm², by `deck field`; and which of them have an open line."""
    found, is_open = {}, set()
    for entity in doc.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]'):
        name = entity.get_xdata("SPILE")[-1].value
        if not entity.closed:
            is_open.add(name)
            continue
        found[name] = found.get(name, 0.0) + signed_area(entity) * mm * mm
    return found, is_open


def main():
    spile, folder, layouts = sys.argv[1], Path(sys.argv[2]), sys.argv[3:]
    folder.mkdir(parents=True, exist_ok=True)
    worst, counted, open_lines, laid_flat = 0.0, 0, 0, 0
    for layout in layouts:
        file = folder / (Path(layout).stem + ".dxf")
        usual = ["paint", "field", "tape", "edge", "opening", "fitting", "centreline", "registration"]
        run = lambda *more: subprocess.run([spile, *more], check=True, capture_output=True, text=True).stdout
        run("cut", layout, "--out", str(file), "--layers", ",".join(usual), "--weed-box", "20 mm")
        figures = json.loads(run("figures", layout, "--json"))
        doc = opened(file)
        is_inch = doc.header["$INSUNITS"] == units.IN
        mm = 25.4 if is_inch else 1.0
        assert is_inch or doc.header["$INSUNITS"] == units.MM, file
        bulges = [p[4] for e in doc.modelspace().query("LWPOLYLINE") for p in e if p[4]]
        # Arcs that are arcs: a pattern of many short straight lines has none.
        assert bulges and all(abs(bulge) <= 1 + 1e-9 for bulge in bulges), file
        edges, none_open = areas(doc, "FIELD", mm)
        assert not none_open, (file, none_open)
        paint, is_open = areas(doc, "PAINT-LINE", mm)
        names = 0
        for deck in figures["decks"]:
            surface = deck.get("surface")
            for index, field in enumerate(deck["fields"]):
                names += 1
                name, expected = f'{deck["id"]} {field["id"]}', field["area_m2"] * 1e6
                if surface is not None:
                    # Laid flat it is as large as on the surface, but for the distortion that is printed.
                    expected = surface["fields"][index]["area_m2"] * 1e6
                    stretch = surface["developed"]["greatest_stretch"]
                    assert abs(edges[name] - expected) <= stretch * expected, (file, name, edges[name], expected)
                    laid_flat += 1
                    continue
                for found in [edges] + [paint] * (name not in is_open):
                    off = abs(found[name] - expected) / expected
                    assert off < NEAR, (file, name, found[name], expected)
                    worst = max(worst, off)
                counted += 1
                open_lines += name in is_open
        assert names == len(edges), (file, names, len(edges))
        stencil = folder / (Path(layout).stem + "-stencil.dxf")
        run("cut", layout, "--out", str(stencil), "--stencil", "--text", "paths")
        # A window that goes round anything would let it fall out.
        for entity in opened(stencil).modelspace().query('LWPOLYLINE[layer=="STENCIL"]'):
            assert entity.closed, stencil
            assert signed_area(entity) > 0, (stencil, entity.dxf.handle)
    assert counted > 20, counted
    print(
        f"{len(layouts)} layouts: no error, no repair; areas of {counted} fields within {worst:.1e} of the figures "
        f"({open_lines} of them with part of their edge on the deck's, so by FIELD alone; {laid_flat} more laid flat)"
    )


if __name__ == "__main__":
    main()
