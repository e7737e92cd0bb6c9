"""How long does a general-purpose collision library take for the free tilts of a camera?

Reads the scenes that the program's own bench wrote (layout: xtask/src/bench.rs), tries angles with python-fcl's collision test,
and writes its timings and how far its ends lie from ours.

    bench_tilts.py SCENES.json ANSWERS.json
    bench_tilts.py --check

Two ways are timed. "Halving" walks in steps of 1 degree and halves each change from free to stopped down to 1e-6 degrees, about
as near as ours; it can walk over what is narrower than a degree, so that the ends are compared with steps of
0.02 degrees, not timed. "Sampling" walks in steps of 0.1 degrees and
knows its ends to that. What turns and what stands are each kept in the library's own tree of boxes, so that only near pairs
are tested; or pair by pair after a test of the boxes round them, whichever is the faster. Trees and solids are made before the clock starts.
"""

import math
import sys
from pathlib import Path

import fcl
import numpy as np

from bench_pairs import collision_object
from tilts import rotation_about

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
import _bench as bench  # noqa: E402

COARSE, SAMPLES, FINE, NEAR = 1.0, 0.1, 0.02, 1e-6
ROUNDS = 3


class Scene:
    """The solids of one scene, the pairs that may stop a tilt, and a count of angles tried."""

    def __init__(self, scene):
        objects = [collision_object(solid) for solid in scene["solids"]]
        places = [(np.array(s["turn"], dtype=float), np.array(s["at"], dtype=float)) for s in scene["solids"]]
        turning, left_out = set(scene["turning"]), {tuple(pair) for pair in scene["left_out"]}
        self.about, self.axis, self.stands_at = np.array(scene["about"]), scene["axis"], scene["stands_at"]
        self.limits = scene["from"], scene["to"]
        self.turning = []
        for a in sorted(turning):
            others = [objects[b] for b in range(len(objects)) if b not in turning and (a, b) not in left_out]
            tree = fcl.DynamicAABBTreeCollisionManager()
            tree.registerObjects(others)
            tree.setup()
            self.turning.append((objects[a], *places[a], others, tree))
        self.by_tree = True
        self.request = fcl.CollisionRequest()

    def free(self, degrees):
        turn = rotation_about(self.axis, degrees - self.stands_at)
        for thing, rotation, at, others, tree in self.turning:
            thing.setTransform(fcl.Transform(turn @ rotation, self.about + turn @ (at - self.about)))
            if self.by_tree:
                found = fcl.CollisionData(self.request, fcl.CollisionResult())
                tree.collide(thing, found, fcl.defaultCollisionCallback)
                stopped = found.result.is_collision
            else:
                stopped = any(fcl.collide(thing, other, self.request, fcl.CollisionResult()) for other in others)
            if stopped:
                return False
        return True

    def ranges(self, step, near):
        """The free ranges by walking in steps, each end halved until it is known this near."""
        low, high = self.limits
        count = math.ceil((high - low) / step)
        angles = [low + (high - low) * n / count for n in range(count + 1)]
        states = [self.free(angle) for angle in angles]
        found, since = [], low if states[0] else None
        for before, after, was, now in zip(angles, angles[1:], states, states[1:]):
            if now and not was:
                since = self.end(after, before, near)
            if was and not now:
                found.append([since, self.end(before, after, near)])
        return found + ([[since, high]] if states[-1] else [])

    def end(self, free, stopped, near):
        while abs(stopped - free) > near:
            middle = (free + stopped) / 2
            free, stopped = (middle, stopped) if self.free(middle) else (free, middle)
        return free


def measured(told):
    """Timings of one scene and the greatest difference of its ends from ours, in degrees."""
    scene, timings = Scene(told), []
    for what, step, near in [("free tilt, beside halving", COARSE, NEAR), ("free tilt, beside sampling", SAMPLES, SAMPLES)]:
        best = math.inf
        for scene.by_tree in (True, False):
            best = min(best, bench.best_of(ROUNDS, lambda: scene.ranges(step, near))[0])
        timings.append({"scene": told["name"], "what": what, "seconds": best})
    if len(scene.ranges(COARSE, NEAR)) != len(told["free"]):
        print(f'{told["name"]}: steps of {COARSE:g} degree walk over a range that ours finds; compared by steps of {FINE} instead')
    halved = scene.ranges(FINE, NEAR)
    if len(halved) != len(told["free"]):
        raise SystemExit(f'{told["name"]}: {halved} free by halving, {told["free"]} by ours')
    apart = np.abs(np.array(halved) - np.array(told["free"]))
    return timings, [{"scene": told["name"], "greatest_degrees": float(apart.max(initial=0.0))}]


def answers(scenes):
    return bench.told(bench.library("python-fcl"), measured, scenes)


def check():
    """A box 20 mm long and 12 mm high turning under a ceiling 10.5 mm above its axis: the ends are known by hand."""
    reach, lean = math.hypot(10, 6), math.atan2(6, 10)
    up = math.degrees(math.asin(10.5 / reach) - lean)
    past = math.degrees(math.pi - math.asin(10.5 / reach) - lean)
    upright = [[1, 0, 0], [0, 1, 0], [0, 0, 1]]
    scene = {
        "name": "by hand", "turning": [0], "left_out": [], "about": [0, 0, 0], "axis": [0, -1, 0], "stands_at": 0.0, "from": -10.0, "to": 90.0,
        "solids": [{"shape": "box", "size": [20, 10, 12], "at": [0, 0, 0], "turn": upright},
                   {"shape": "box", "size": [100, 50, 3], "at": [0, 0, 12], "turn": upright}],
        "free": [[-10.0, up], [past, 90.0]],
    }
    apart = answers([scene])["differences"][0]["greatest_degrees"]
    if apart > 1e-4:
        print(f"ends of a box under a ceiling: {apart} degrees off")
        sys.exit(1)
    print(f"bench_tilts.py: the library finds the ends of a box under a ceiling to {apart:.0e} degrees")


if __name__ == "__main__":
    bench.run(__doc__, answers, check)
