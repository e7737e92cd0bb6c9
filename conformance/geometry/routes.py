"""Shortest ways of a lead round random posts and walls, by a graph library.

In a plane (solids far higher than the way is long, both ends half-way up) the reference is the visibility graph; its arcs are chords
of five degrees, too short by less than 4e-4 of an arc. In space it is a fine grid, straightened, which is never shorter
than the shortest way and at most about one per cent longer. See `_paths.py`.
"""

import math
import random

import numpy as np

import _paths as paths
import vectors as v

HALF = 1.0
CHORD = math.radians(5)


def told(solid):
    """The solid with its turn as rows, as `_paths` reads it."""
    return {**solid, "turn": v.rotation(solid["turn"]).tolist()}


def corners(solid):
    """Places round a post or rounded wall in the plane, on the line that a lead's middle keeps."""
    (x, y, _), yaw = solid["at"], math.radians(solid["turn"][0])
    if solid["shape"] == "cylinder":
        radius, middles = solid["radius"] + HALF, [(0.0, 0.0, 0.0, 2 * math.pi)]
    else:
        half = [size / 2 for size in solid["size"][:2]]
        radius = HALF
        middles = [(sx * half[0], sy * half[1], start, math.pi / 2)
                   for sx, sy, start in [(1, 1, 0), (-1, 1, math.pi / 2), (-1, -1, math.pi), (1, -1, 1.5 * math.pi)]]
    found = []
    for mx, my, start, turn in middles:
        count = math.ceil(turn / CHORD)
        for k in range(count + 1):
            angle = start + turn * k / count
            lx, ly = mx + radius * math.cos(angle), my + radius * math.sin(angle)
            found.append((x + lx * math.cos(yaw) - ly * math.sin(yaw), y + lx * math.sin(yaw) + ly * math.cos(yaw)))
    return found


def segment_gap(solid, a, b):
    """How near straight lines from a to b (rows of two) come to a solid in the plane, for convex ones to 1e-5."""
    low, high = np.zeros(len(a)), np.ones(len(a))

    def far(t):
        flat = a + t[:, None] * (b - a)
        return paths.distances(solid, np.column_stack([flat, np.zeros(len(flat))]))

    # Distance to a convex body along a line is convex: by thirds.
    for _ in range(24):
        third = (high - low) / 3
        left = far(low + third) <= far(high - third)
        high = np.where(left, high - third, high)
        low = np.where(left, low, low + third)
    return far((low + high) / 2)


def in_plane(solids, start, goal):
    places = [start, goal] + [corner for solid in solids for corner in corners(solid)]
    flat = np.array(places)
    spread = np.column_stack([flat, np.zeros(len(flat))])
    # A chord of 5 degrees lies inside its arc by R·(1 - cos 2.5°), 1e-3 of R.
    give = max([HALF] + [solid["radius"] + HALF for solid in solids if solid["shape"] == "cylinder"]) * 1e-3 + 1e-5
    seen = [told(solid) for solid in solids]
    free = np.ones(len(flat), dtype=bool)
    for solid in seen:
        free &= paths.distances(solid, spread) >= HALF - give
    numbers = np.flatnonzero(free)
    a, b = (index.ravel() for index in np.meshgrid(numbers, numbers, indexing="ij"))
    a, b = a[a < b], b[a < b]
    for solid in seen:
        clear = segment_gap(solid, flat[a], flat[b]) >= HALF - give
        a, b = a[clear], b[clear]
    lengths = np.linalg.norm(flat[a] - flat[b], axis=1)
    return paths.shortest(a, b, lengths, len(flat), 0, 1)[0]


def in_space(solids, start, goal):
    seen = [told(solid) for solid in solids]

    def room(points):
        return np.min([paths.distances(solid, points) for solid in seen], axis=0) - HALF

    ends = np.array([start, goal], dtype=float)
    low, high = ends.min(axis=0) - 12, ends.max(axis=0) + 12
    grid = paths.Grid(room, low, high, 1.0, ends)
    return grid.straightened(grid.way()[1])


def row(asks, solids, start, goal, length, within, because, place):
    given = {"obstacles": solids, "from": v.floats(start), "to": v.floats(goal), "half_mm": HALF, "bend_mm": 0.0}
    return v.row("route", asks, given, {"length_mm": length}, {"length_mm": within}, because, place)


def rows():
    for seed in (3, 5, 8, 13, 21):
        dice = random.Random(seed)
        solids = []
        while len(solids) < 5:
            at = (round(dice.uniform(-25, 25), 1), round(dice.uniform(-18, 18), 1), 0)
            if dice.random() < 0.5:
                solids.append(v.cylinder(round(dice.uniform(2, 7), 1), 400, at))
            else:
                size = (round(dice.uniform(3, 20), 1), round(dice.uniform(3, 12), 1), 400)
                solids.append(v.cuboid(size, at, (round(dice.uniform(-80, 80)), 0, 0)))
        start, goal = (-40.0, round(dice.uniform(-8, 8), 1), 0.0), (40.0, round(dice.uniform(-8, 8), 1), 0.0)
        length = in_plane(solids, start[:2], goal[:2])
        yield row(f"five random posts and walls across the way, draw {seed}", solids, start, goal, length, 0.05,
                  "chords there fall short by 4e-4 of an arc, the lead here is a chain of pieces of a third to one millimetre",
                  "scipy.sparse.csgraph.dijkstra over the visibility graph")
    block = [v.cuboid((20, 30, 14), (0, 0, 0), (20, 10, 0)), v.cylinder(5, 40, (14, 8, 6), (0, 60, 20))]
    boxes = [v.cuboid((6, 40, 24), (-10, 4, 0), (0, 0, 25)), v.cuboid((6, 36, 26), (8, -6, 4), (15, 0, -20)), v.cuboid((16, 12, 10), (0, 2, 14))]
    for asks, solids, start, goal in [
        ("over a tilted block and a slanting post", block, (-25.0, 2.0, -3.0), (28.0, 1.0, 4.0)),
        ("between three boxes", boxes, (-26.0, 0.0, 0.0), (24.0, 2.0, 2.0)),
    ]:
        length = in_space(solids, start, goal)
        yield row(asks, solids, start, goal, length, 0.012 * length,
                  "the grid's way, straightened, is up to about one per cent longer than the shortest",
                  "scipy.sparse.csgraph.dijkstra over a grid of 1 mm with 98 neighbours, straightened")


if __name__ == "__main__":
    v.main(__file__, ["scipy", "numpy"], rows)
