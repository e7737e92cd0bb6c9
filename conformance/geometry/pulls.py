"""How far a plug can be pulled, by marching with the distances of python-fcl.

The plug is moved on by the distance still free, again and again, until less than 1e-7 mm is free: it can never pass an
obstacle that way, and comes as near to it as the distance is good.
"""

import fcl
import numpy as np

import vectors as v
from pairs import body


def free_travel(plug, way, obstacles, travel):
    way = np.array(way) / np.linalg.norm(way)
    things = [body(o) for o in obstacles]
    request = fcl.DistanceRequest(enable_nearest_points=True)
    done = 0.0
    for _ in range(100_000):
        moved = body({**plug, "at": list(np.array(plug["at"]) + way * done)})
        near = min(fcl.distance(moved, thing, request, fcl.DistanceResult()) for thing in things)
        if near < 1e-7:
            return done
        done += near
        if done >= travel:
            return travel
    raise SystemExit("the march did not end")


def pull_row(asks, plug, way, obstacles, travel):
    given = {"plug": plug, "way": v.floats(way), "travel_mm": float(travel), "obstacles": obstacles}
    return v.row("pull", asks, given, {"free_mm": free_travel(plug, way, obstacles, travel)}, {"free_mm": 1e-3},
                 "the march there ends within its distances' error over the angle of approach", "distance, conservative march")


def rows():
    plug = v.cuboid((4, 8, 3), (0, 0, 10))
    yield pull_row("plug pulled forward, a standoff in the way", plug, (1, 0, 0), [v.cylinder(2.5, 25, (13, 5.5, 12))], 15)
    yield pull_row("plug pulled upward past a tilted board", plug, (0, 0, 1), [v.cuboid((30, 20, 1.6), (4, 3, 22), (10, 20, 15))], 20)
    yield pull_row("plug pulled aslant between two posts", v.cuboid((4, 8, 3), (0, 0, 10), (30, 0, 0)), (1, 0.6, 0.2), [v.cylinder(2.5, 30, (12, 14, 12)), v.cylinder(3, 30, (14, -1, 12), (0, 10, 0))], 25)
    yield pull_row("round plug that passes everything", v.cylinder(2, 8, (0, 0, 0), (0, 90, 0)), (1, 0, 0), [v.cuboid((30, 4, 30), (10, 5, 0)), v.cylinder(2.5, 20, (10, -5, 0))], 20)


if __name__ == "__main__":
    v.main(__file__, ["python-fcl", "numpy"], rows)
