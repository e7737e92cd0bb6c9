"""Shares of directions that solids hide, by trimesh: the cut of each body's surface with the plane, arc by arc.

The eye is the origin; the plane holds `ahead`, tilted up by so many degrees, and y. Plates have no holes, for those count as
filled. Each segment of the cut hides the angle between its ends; the union of these is laid out on a fine ring of
directions first and then exactly, from their sorted ends.
"""

import math

import numpy as np
import trimesh

import vectors as v

BECAUSE = "both are exact; ours draws a cylinder with 90 sides round it, theirs with 20000"


def body(solid):
    if solid["shape"] == "cuboid":
        mesh = trimesh.creation.box(extents=solid["size"])
    elif solid["shape"] == "cylinder":
        mesh = trimesh.creation.cylinder(radius=solid["radius"], height=solid["length"], sections=20000)
    else:
        raise ValueError(solid["shape"])
    matrix = np.eye(4)
    matrix[:3, :3], matrix[:3, 3] = v.rotation(solid["turn"]), solid["at"]
    mesh.apply_transform(matrix)
    return mesh


def arcs(solid, ahead, left):
    up = np.cross(ahead, left)
    for one, other in trimesh.intersections.mesh_plane(body(solid), up, np.zeros(3)):
        a, b = (math.atan2(p @ left, p @ ahead) for p in (one, other))
        by = (b - a + math.pi) % (2 * math.pi) - math.pi
        yield (a, a + by) if by >= 0 else (b, b - by)


def share(solids, tilt):
    ahead, left = np.array([math.cos(math.radians(tilt)), 0, math.sin(math.radians(tilt))]), np.array([0.0, 1.0, 0.0])
    turn, spans = 2 * math.pi, []
    for solid in solids:
        for a, b in arcs(solid, ahead, left):
            start = a % turn
            end = start + (b - a)
            spans += [(start, end)] if end <= turn else [(start, turn), (0.0, end - turn)]
    hidden, reach = 0.0, 0.0
    for start, end in sorted(spans):
        hidden += max(0.0, end - max(start, reach))
        reach = max(reach, end)
    return hidden / turn


def check(asks, solids, tilt, within=1e-6):
    return v.row("hidden_round", asks, {"solids": solids, "tilt_deg": float(tilt)}, {"share": share(solids, tilt)}, {"share": within}, BECAUSE, "mesh_plane")


def rows():
    pack = v.cuboid((74, 35, 37), (68, 0, -12), (0, 0, 0))
    yield check("pack before an antenna, nose level", [pack], 0)
    yield check("the same with the nose 35 degrees down", [pack], 35)
    yield check("the same with a tilted arm beside it", [pack, v.cuboid((90, 12, 5), (-30, 60, -20), (130, 5, 0))], 20)
    yield check("a motor's can aside", [v.cylinder(14, 18, (10, 80, -4), (0, 0, 10))], 10, 2e-4)
    generator = np.random.default_rng(5800)
    for number in range(1, 7):
        solids = [v.cuboid(generator.uniform(5, 80, 3).round(1), generator.uniform(-90, 90, 3).round(1), generator.uniform(-180, 180, 3).round(1))
                  for _ in range(3)]
        tilt = round(float(generator.uniform(0, 60)), 1)
        yield check(f"three boxes drawn at random, number {number}", solids, tilt)


if __name__ == "__main__":
    v.main(__file__, ["trimesh", "numpy"], rows)
