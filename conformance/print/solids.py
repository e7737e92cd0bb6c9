"""Prints read back from their files: are they closed solids, of the right volume, with the holes where they must be?

The program writes an adapter plate, a wedge, a pair of cheeks and an antenna holder for demo craft, as STL and as 3MF.
trimesh reads the STL and judges whether its surface is closed and turned outward all over; the 3MF is read here by nothing
but the standard library, after the core specification of 3MF. manifold3d takes each surface in as a solid, which it does only for
one without a gap and counts the holes that go through it, and cuts it level, so that every hole can be measured. Volumes are
held against closed forms, with the sizes typed here from the sheets and from the custom that each print follows: 0.3 mm more than
the screw or stem that goes through, 1.5 mm round a hole. Round lines are polygons true to 0.001 mm.

`--check` measures and ends with status 0 if all agree; there are no vectors to write, so without it the same is done.
"""

import pathlib
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as tree
import zipfile
from math import cos, hypot, pi, radians, sin

import manifold3d
import numpy as np
import trimesh

ROOT = pathlib.Path(__file__).resolve().parents[2]
CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"
CLEAR, ROUND = 0.3, 1.5
M2, M3 = 2.0 + CLEAR, 3.0 + CLEAR
# Of lengths, in mm, and of volumes, as a share. Single precision in an STL and polygons for circles are all there is.
LENGTH, VOLUME = 0.005, 0.001


def printed(folder, sheet, kind, *words):
    """A print by the program of this tree: its solid as STL and as 3MF."""
    read = []
    for end in ["stl", "3mf"]:
        out = pathlib.Path(folder) / f"{kind}.{end}"
        command = ["cargo", "run", "--quiet", "--package", "creance", "--", "print", str(sheet), kind, *words, "--out", str(out)]
        subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
        read.append(out)
    surface = trimesh.load(read[0], file_type="stl")
    surface.merge_vertices()
    return surface, three_mf(read[1])


def three_mf(path):
    """Points and triangles of the one object of a 3MF; its unit must be the millimetre."""
    with zipfile.ZipFile(path) as package:
        name = next(name for name in package.namelist() if name.endswith(".model"))
        model = tree.fromstring(package.read(name))
    assert model.get("unit", "millimeter") == "millimeter", "a 3MF in another unit"
    meshes = list(model.iter(f"{CORE}mesh"))
    assert len(meshes) == 1, "one object is expected"
    points = [[float(v.get(axis)) for axis in "xyz"] for v in meshes[0].iter(f"{CORE}vertex")]
    corners = [[int(t.get(corner)) for corner in ("v1", "v2", "v3")] for t in meshes[0].iter(f"{CORE}triangle")]
    return trimesh.Trimesh(np.array(points), np.array(corners), process=False)


def solid(surface):
    """The surface as a solid of manifold3d, which refuses one that is not closed."""
    mesh = manifold3d.Mesh(np.asarray(surface.vertices, dtype=np.float32), np.asarray(surface.faces, dtype=np.uint32))
    made = manifold3d.Manifold(mesh)
    assert made.status() == manifold3d.Error.NoError, f"manifold3d takes it for no solid: {made.status()}"
    return made


def area(ring):
    x, y = ring[:, 0], ring[:, 1]
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2


def holes(made, height):
    """The holes in a level cut: for each the middle of its box, its area, and its two sizes."""
    rings = [np.asarray(ring) for ring in made.slice(height).to_polygons()]
    for ring in rings:
        if area(ring) < 0:
            low, high = ring.min(axis=0), ring.max(axis=0)
            yield (low + high) / 2, -area(ring), high - low


def round_holes(made, height, diameter):
    """The middles of the round holes of a diameter, and how far their areas are off the circle's."""
    found = [(middle, ring) for middle, ring, size in holes(made, height) if max(abs(size - diameter)) < 0.02]
    return [middle for middle, _ in found], [ring for _, ring in found]


def whole(asks, both, genus, pieces=1):
    """What every print must be, however it is shaped."""
    stl, other = both
    yield f"{asks}: surface closed, by trimesh (1 = yes)", 1, float(stl.is_watertight and other.is_watertight), 0
    yield f"{asks}: triangles turned outward together (1 = yes)", 1, float(stl.is_winding_consistent and stl.volume > 0), 0
    made = solid(stl)
    yield f"{asks}: pieces", pieces, float(len(made.decompose())), 0
    yield f"{asks}: holes that go through, all pieces", genus, float(sum(piece.genus() for piece in made.decompose())), 0
    yield f"{asks}: volume of the 3MF against the STL, mm³", stl.volume, float(other.volume), VOLUME * stl.volume / 100


def adapter(folder):
    """A square plate with round corners, eight holes: V = t·(s² + 4·s·r + π·r² − 4·π/4·(d₁² + d₂²)), r round each hole of the frame."""
    side, inner, thick = 30.5, 20.0, 3.0
    words = ["--place", "vtx", "--onto", "frame/rear 30.5", "--heads", "face", "--turn", "0", "--thickness", str(thick)]
    both = printed(folder, ROOT / "demo/whinchat.toml", "adapter", *words)
    yield from whole("adapter", both, 8)
    made = solid(both[0])
    r = M3 / 2 + ROUND
    expected = thick * (side**2 + 4 * side * r + pi * r**2 - pi * (M3**2 + M2**2))
    yield "adapter: volume, mm³", expected, both[0].volume, VOLUME * expected
    for thread, diameter, pitch in [("M3", M3, side), ("M2", M2, inner)]:
        middles, areas = round_holes(made, thick / 2, diameter)
        yield f"adapter: holes for {thread}", 4, float(len(middles)), 0
        apart = sorted(hypot(*(a - b)) for n, a in enumerate(middles) for b in middles[n + 1 :])
        for n, (want, got) in enumerate(zip([pitch] * 4 + [pitch * 2**0.5] * 2, apart)):
            yield f"adapter: distance {n + 1} of the holes for {thread}, mm", want, float(got), LENGTH
        yield f"adapter: least area of a hole for {thread}, mm²", pi / 4 * diameter**2, min(areas), 2 * LENGTH * diameter


def wedge(folder):
    """V = w·c·(h + s/2) + 2·f·c·t − 2·t·π/4·d² − w·(tunnel for a tie), with run c = L·cos α and rise s = L·sin α."""
    depth, width, floor, tilt = 13.0, 14.0, 1.5, radians(18.0)
    both = printed(folder, ROOT / "demo/brambling.toml", "wedge", "--flanges", "--thickness", str(floor))
    # Two holes in the flanges and the tunnel.
    yield from whole("wedge", both, 3)
    run, base, high = (float(size) for size in both[0].extents)
    rise = depth * sin(tilt)
    yield "wedge: run, mm", depth * cos(tilt), run, LENGTH
    flanges = (base - width) * run * floor
    expected = width * run * (high - rise / 2) + flanges - 2 * floor * pi / 4 * M2**2 - width * 3.0 * 1.6
    yield "wedge: volume, mm³", expected, both[0].volume, VOLUME * expected
    # The seat: the one face that looks up and back along the slope.
    up = both[0].face_normals @ np.array([-sin(tilt), 0.0, cos(tilt)])
    seat = float(both[0].area_faces[up > 1 - 1e-5].sum())
    yield "wedge: area of the seat at 18°, mm²", depth * width, seat, VOLUME * depth * width
    middles, _ = round_holes(solid(both[0]), floor / 2, M2)
    yield "wedge: holes in its flanges", 2, float(len(middles)), 0


def cheeks(folder):
    """Two plates with rounded corners and a hole: V = 2·t·(l·h − (4 − π)·r² − π/4·d²), t half of what the mount is wider."""
    text = (ROOT / "demo/whinchat.toml").read_text(encoding="utf-8")
    narrow, count = re.subn(r'body_width = "[^"]*"', 'body_width = "14 mm, measured"', text)
    assert count >= 1, "the craft has no camera"
    sheet = pathlib.Path(folder) / "narrow.toml"
    sheet.write_text(narrow, encoding="utf-8")
    both = printed(folder, sheet, "cheeks", "--plain")
    yield from whole("cheeks", both, 2, pieces=2)
    thick, corner = (19.8 - 14.0) / 2, 1.5
    for side, piece in zip("lr", solid(both[0]).decompose()):
        low, high = np.array(piece.bounding_box()[:3]), np.array(piece.bounding_box()[3:])
        sizes = sorted(high - low)
        yield f"cheeks: thickness ({side}), mm", thick, float(sizes[0]), LENGTH
        expected = thick * (sizes[1] * sizes[2] - (4 - pi) * corner**2 - pi / 4 * M2**2)
        yield f"cheeks: volume ({side}), mm³", float(expected), float(piece.volume()), VOLUME * float(expected)


def holder(folder):
    """An upright tube on a base: in a level cut a ring, V′ = π/4·(D² − d²); in the base two slots of a tie and two holes for M3."""
    text = (ROOT / "demo/brambling.toml").read_text(encoding="utf-8")
    stemmed, count = re.subn(r'^connector = "SMA"\n', "", text, flags=re.MULTILINE)
    assert count >= 1, "the antennas of the craft have no threaded socket to leave out"
    sheet = pathlib.Path(folder) / "stemmed.toml"
    sheet.write_text(stemmed, encoding="utf-8")
    both = printed(folder, sheet, "holder", "--plain", "--angle", "0")
    # The bore, two slots, two fixing holes.
    yield from whole("holder", both, 5)
    made = solid(both[0])
    bore = 3.0 + CLEAR
    middles, areas = round_holes(made, 6.0, bore)
    yield "holder: bores in the tube", 1, float(len(middles)), 0
    yield "holder: area of the bore for a stem of 3 mm, mm²", pi / 4 * bore**2, areas[0], 2 * LENGTH * bore
    tube = [ring for ring in (np.asarray(r) for r in made.slice(6.0).to_polygons()) if area(ring) > 0]
    outer = float(np.ptp(tube[0][:, 0]))
    yield "holder: least printed wall is kept by the tube (1 = yes)", 1, float((outer - bore) / 2 >= 1.2 - LENGTH), 0
    middles, _ = round_holes(made, 1.0, M3)
    # The bore has the same width as a hole for M3 here.
    yield "holder: holes for M3 and the bore, through the base", 3, float(len(middles)), 0
    slots = [size for _, _, size in holes(made, 1.0) if abs(min(size) - 1.6) < LENGTH and abs(max(size) - 3.0) < LENGTH]
    yield "holder: slots of 3 × 1.6 mm for a small tie", 2, float(len(slots)), 0


def socket_holder(folder):
    """The same for an antenna with a threaded socket: in its upper wall a hole for the thread, under it a hexagon for the flange."""
    both = printed(folder, ROOT / "demo/brambling.toml", "holder", "--plain", "--angle", "0")
    # The hole of the thread, two slots, two fixing holes.
    yield from whole("socket holder", both, 5)
    made = solid(both[0])
    top = float(made.bounding_box()[5])
    through = 6.35 + CLEAR
    _, areas = round_holes(made, top - 1.0, through)
    yield "socket holder: area of the hole for the thread, mm²", pi / 4 * through**2, areas[0], 2 * LENGTH * through
    pocket = [ring for ring in (np.asarray(r) for r in made.slice(top - 3.0).to_polygons()) if area(ring) < 0]
    # A flange of 5/16 inch across flats and a thread of 1/4 inch, common for such sockets (from memory), with the clearance.
    flats = 5 / 16 * 25.4 + CLEAR
    found = max(-area(ring) for ring in pocket)
    yield "socket holder: area of the hexagon for the flange, mm²", 3**0.5 / 2 * flats**2, float(found), 4 * LENGTH * flats


def main():
    wrong = count = 0
    with tempfile.TemporaryDirectory() as folder:
        for measures in [adapter, wedge, cheeks, holder, socket_holder]:
            for asks, expected, measured, allowed in measures(folder):
                off = measured - expected
                agrees = abs(off) <= allowed
                wrong += not agrees
                count += 1
                print(f"{'agrees' if agrees else 'DIFFERS':8} {asks}: {expected:.3f}, measured {measured:.3f}, off by {off:+.4f}, allowed {allowed:.3g}")
    print(f"prints: {count} measured, {'all agree' if not wrong else f'{wrong} differ'}")
    sys.exit(1 if wrong or count < 40 else 0)


if __name__ == "__main__":
    main()
