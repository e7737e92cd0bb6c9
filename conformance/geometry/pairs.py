"""Distances of boxes and cylinders by python-fcl, and whether they overlap.

The places are drawn from a seeded generator; pairs that overlap are asked for their overlap only, since the
library's distance does not tell how deep it is. Its distances of boxes and cylinders are good to about 1e-6 mm;
its meshes and convex bodies are not used.
"""

import fcl
import numpy as np

import vectors as v

NEAR = 1e-4
BECAUSE = "both searches are iterative; theirs is good to 1e-6 mm, ours to 1e-5 mm, and a tenth of a micrometre more is no defect"


def body(solid):
    if solid["shape"] == "cuboid":
        shape = fcl.Box(*solid["size"])
    else:
        shape = fcl.Cylinder(solid["radius"], solid["length"])
    return fcl.CollisionObject(shape, fcl.Transform(v.rotation(solid["turn"]), np.array(solid["at"])))


def overlap(a, b):
    return fcl.collide(body(a), body(b), fcl.CollisionRequest(), fcl.CollisionResult()) > 0


def distance(a, b):
    request = fcl.DistanceRequest(enable_nearest_points=True)
    return fcl.distance(body(a), body(b), request, fcl.DistanceResult())


def drawn(generator, kind, reach):
    at, turn = generator.uniform(-reach, reach, 3).round(2), generator.uniform(-180, 180, 3).round(1)
    if kind == "cuboid":
        return v.cuboid(generator.uniform(2, 40, 3).round(1), at, turn)
    return v.cylinder(round(generator.uniform(1, 15), 1), round(generator.uniform(1, 40), 1), at, turn)


def distance_row(asks, a, b):
    assert not overlap(a, b), asks
    return v.row("pair_distance", asks, {"a": a, "b": b}, {"distance_mm": distance(a, b)}, {"distance_mm": NEAR}, BECAUSE, "distance")


def rows():
    generator = np.random.default_rng(2718)
    for one, other in [("cuboid", "cuboid"), ("cuboid", "cylinder"), ("cylinder", "cylinder")]:
        found = 0
        while found < 5:
            a, b = drawn(generator, one, 10), drawn(generator, other, 32)
            if not overlap(a, b) and distance(a, b) > 0.05:
                found += 1
                yield distance_row(f"{one} and {other}, drawn at random, number {found}", a, b)
    standoff = v.cylinder(2.5, 25, (14, 9, 12.5))
    yield distance_row("transmitter board and a standoff beside it", v.cuboid((25.5, 25.5, 4.5), (-2, 0, 8), (3, 0, 0)), standoff)
    yield distance_row("thin blade disc over a tilted camera", v.cylinder(63.5, 8, (45, 62, 22)), v.cuboid((22, 19, 19), (0, 0, 12), (0, 30, 0)))
    yield distance_row("antenna rod past the corner of a pack", v.cylinder(0.8, 60, (-50, 12, 30), (20, 0, 60)), v.cuboid((70, 34, 30), (0, 0, 40), (0, 0, 2)))
    found = {True: 0, False: 0}
    while min(found.values()) < 2:
        a, b = drawn(generator, "cuboid", 10), drawn(generator, "cylinder", 18)
        answer = overlap(a, b)
        if found[answer] < 2 and (answer or distance(a, b) > 1e-3):
            found[answer] += 1
            words = "overlap" if answer else "miss each other narrowly"
            yield v.row("pair_overlap", f"cuboid and cylinder that {words}, number {found[answer]}", {"a": a, "b": b},
                        {"overlap": float(answer)}, {"overlap": 0.5}, "one for yes, nought for no", "collide")


if __name__ == "__main__":
    v.main(__file__, ["python-fcl", "numpy"], rows)
