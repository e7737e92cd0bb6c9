"""How deep solids overlap: the distance from the origin to the edge of the difference of the two bodies.

The second body, shifted by s, overlaps the first exactly if s lies inside A - B (all differences of their points), so
the least shift that frees it is the distance from nought to the surface of A - B. For convex bodies that surface is
the hull of the differences of their corners (scipy); a plate with windows is cut into triangular prisms, and the
surface is that of the union of their hulls (manifold3d), the distance being taken to its nearest triangle.
"""

import itertools

import manifold3d as m3
import numpy as np
from scipy.spatial import ConvexHull

import vectors as v

CORNERS = 160


def corners(solid):
    if solid["shape"] == "cuboid":
        local = np.array(list(itertools.product(*[(-s / 2, s / 2) for s in solid["size"]])))
    else:
        ring = v.circle(0, 0, solid["radius"], CORNERS)
        local = np.array([(x, y, z) for x, y in ring for z in (-solid["length"] / 2, solid["length"] / 2)])
    return local @ v.rotation(solid["turn"]).T + np.array(solid["at"])


def convex_depth(a, b):
    pa, pb = corners(a), corners(b)
    hull = ConvexHull((pa[:, None] - pb[None, :]).reshape(-1, 3))
    assert (hull.equations[:, 3] < 0).all(), f"the pair does not overlap: {a} {b}"
    return float(-hull.equations[:, 3].max())


def plate_pieces(plate):
    """The corners of triangular prisms that fill a plate."""
    area = m3.CrossSection([plate["outer"]])
    for window in plate["windows"]:
        area -= m3.CrossSection([window])
    rings = area.to_polygons()
    points = np.vstack(rings)
    for triangle in m3.triangulate(rings):
        flat = points[triangle]
        local = np.array([(x, y, z) for x, y in flat for z in (0.0, plate["thickness"])])
        yield local @ v.rotation(plate["turn"]).T + np.array(plate["at"])


def nearest_on(triangle):
    """The distance from the origin to a triangle."""
    a, b, c = triangle
    n = np.cross(b - a, c - a)
    length = np.linalg.norm(n)
    if length > 1e-12:
        n /= length
        foot = n * a.dot(n)
        inside = all(np.cross(q - p, foot - p).dot(n) >= -1e-12 for p, q in ((a, b), (b, c), (c, a)))
        if inside:
            return abs(a.dot(n))
    best = np.inf
    for p, q in ((a, b), (b, c), (c, a)):
        d = q - p
        t = 0.0 if d.dot(d) < 1e-18 else np.clip(-p.dot(d) / d.dot(d), 0, 1)
        best = min(best, np.linalg.norm(p + t * d))
    return best


def plate_depth(a, b):
    pb = corners(b)
    sums = [m3.Manifold.hull_points((piece[:, None] - pb[None, :]).reshape(-1, 3)) for piece in plate_pieces(a)]
    mesh = m3.Manifold.batch_boolean(sums, m3.OpType.Add).to_mesh64()
    points = mesh.vert_properties[:, :3]
    return float(min(nearest_on(points[t]) for t in mesh.tri_verts))


def convex_row(asks, a, b, within=2e-3):
    return v.row("pair_distance", asks, {"a": a, "b": b}, {"distance_mm": -convex_depth(a, b)}, {"distance_mm": within},
                 "round sides are polygons of 160 corners there, within 0.001 mm of the circle at these sizes", "spatial.ConvexHull of all differences")


def plate_row(asks, a, b):
    return v.row("pair_distance", asks, {"a": a, "b": b}, {"distance_mm": -plate_depth(a, b)}, {"distance_mm": 2e-3},
                 "a plate's way out is sought along directions and followed to 0.001 mm", "Manifold.hull_points of differences, batch_boolean, least distance to its triangles")


WINDOW = [(-10, -8), (10, -8), (10, 8), (-10, 8)]


def rows():
    yield convex_row("two boxes, corner into face", v.cuboid((30, 20, 10)), v.cuboid((8, 8, 8), (4, 3, 8.5), (30, 40, 20)))
    yield convex_row("two boxes, edge across edge", v.cuboid((30, 20, 10)), v.cuboid((40, 6, 6), (13, 2, 7), (60, 25, 45)))
    yield convex_row("small box deep inside a large one", v.cuboid((40, 30, 20)), v.cuboid((5, 6, 7), (3, 2, 4), (10, 20, 30)))
    yield convex_row("cylinder into a box, slanting", v.cuboid((30, 20, 10)), v.cylinder(3, 20, (5, 4, 12), (0, 35, 20)))
    yield convex_row("two cylinders, crossed", v.cylinder(4, 40), v.cylinder(3, 30, (5, 0, 6), (20, 0, 60)))
    yield convex_row("rim of a disc in a cylinder", v.cylinder(15, 4), v.cylinder(5, 30, (14, 6, 8), (0, 50, 10)))
    framed = v.plate(v.rectangle(40, 30), 3, windows=[WINDOW])
    yield plate_row("box in a window, over one edge of it", framed, v.cuboid((12, 10, 12), (5.5, 0, 1)))
    yield plate_row("box in a window, over a corner of it", framed, v.cuboid((12, 10, 12), (5.5, 4.2, 1)))
    yield plate_row("turned box in a window, over its edge", framed, v.cuboid((12, 10, 12), (4.5, 1, 1), (20, 0, 0)))
    yield plate_row("box sunk into the rim of a framed plate", framed, v.cuboid((6, 6, 6), (15, 0, 5.2)))
    yield plate_row("tilted box through a window", framed, v.cuboid((10, 8, 25), (5.8, 0, 1), (0, 20, 0)))
    cross = v.plate([(-20, -4), (-4, -4), (-4, -20), (4, -20), (4, -4), (20, -4), (20, 4), (4, 4), (4, 20), (-4, 20), (-4, 4), (-20, 4)], 4)
    yield plate_row("box between the arms of a cross, touching both", cross, v.cuboid((10, 10, 10), (8.2, 8.5, 2)))
    yield plate_row("box across one arm of a cross", cross, v.cuboid((5, 30, 10), (14, 0, 6.5)))


if __name__ == "__main__":
    v.main(__file__, ["scipy", "manifold3d", "numpy"], rows)
