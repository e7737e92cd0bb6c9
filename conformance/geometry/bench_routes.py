"""How long does a general-purpose graph library take for the way of one lead, and how long is the way it finds?

Reads the scenes that the program's own bench wrote (layout: xtask/src/bench.rs): both ends, every solid with how far the lead's
middle line keeps, and the length of our route where it may bend as sharply as it likes and leave its plugs any way.

    bench_routes.py SCENES.json ANSWERS.json
    bench_routes.py --check

The graph is a grid of 1.5 mm in which every place that has room is joined to 98 neighbours (`_paths.py`). Finding
which places have room and joining them is done before the clock starts; what is timed is Dijkstra over the finished graph, best of
several rounds; ours is timed with its least bend and its plugs, which the library knows nothing of. Near its ends a lead may be nearer
to what its plug stands beside, by the same law as ours. On a grid a way is up to 2.6 % longer; where a place has a little less room
than it needs it still counts, which shortens it. The two lengths are printed and compared in per cent of ours.
"""

import math
import sys
from pathlib import Path

import numpy as np

import _paths as paths

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
import _bench as bench  # noqa: E402

ROUNDS = 3
STEP = 1.5
MARGIN = 12.0
# How much less room than it needs a place may have, in mm.
GIVE = 0.5


def grid_of(scene):
    ends = np.array(scene["ends"], dtype=float)
    ramp = 2.0
    beside = [np.array(paths.distances(solid, ends)) for solid in scene["solids"]]
    low, high = ends.min(axis=0) - MARGIN, ends.max(axis=0) + MARGIN
    solids = list(zip(scene["solids"], beside))

    def room(points):
        from_ends = [np.linalg.norm(points - end, axis=1) for end in ends]
        least = np.full(len(points), math.inf)
        for solid, at_ends in solids:
            need = np.full(len(points), solid["keep"])
            for far, there in zip(from_ends, at_ends):
                need = np.minimum(need, there + far**2 / (4 * ramp))
            # A little less than is needed, for the grid does not know the best places.
            need = np.minimum(need, max(solid["keep"] - GIVE, solid["keep"] / 4))
            near = paths.may_be_within(solid, points, solid["keep"])
            least[near] = np.minimum(least[near], paths.distances(solid, points[near]) - need[near])
        return least

    return paths.Grid(room, low, high, STEP, ends)


def measured(scene):
    grid = grid_of(scene)
    seconds, (length, _) = bench.best_of(ROUNDS, grid.way)
    timings = [{"scene": scene["name"], "what": "one route", "seconds": seconds}]
    if length is None:
        print(f"{scene['name']}: the grid is closed")
        return timings, []
    print(f"{scene['name']}: {length:.1f} mm on the grid, {scene['length_mm']:.1f} mm ours, {grid.count} places")
    return timings, [{"scene": scene["name"], "greatest_percent": abs(length / scene["length_mm"] - 1) * 100}]


def answers(scenes):
    return bench.told(bench.library("scipy"), measured, scenes)


def check():
    """A way known by hand: round a post of radius 8 with 1 mm kept."""
    scene = {
        "name": "by hand", "ends": [[-30, 0, 0], [30, 0, 0]], "length_mm": 2 * math.sqrt(819) + 9 * (math.pi - 2 * math.acos(0.3)),
        "solids": [{"shape": "cylinder", "radius": 8, "length": 200, "at": [0, 0, 0], "turn": [[1, 0, 0], [0, 1, 0], [0, 0, 1]], "keep": 1.0}],
    }
    told = answers([scene])
    by = told["differences"][0]["greatest_percent"]
    if by > 4:
        raise SystemExit(f"the way by hand is missed by {by} %")
    print(f"way by hand: {by:.1f} % on the grid")


if __name__ == "__main__":
    bench.run(__doc__, answers, check)
