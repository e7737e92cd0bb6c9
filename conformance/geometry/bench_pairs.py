"""How long does a general-purpose collision library take for the distances of a scene's pairs?

Reads the scenes that the program's own bench wrote (layout: xtask/src/bench.rs), asks python-fcl for the
nearest distance of every listed pair, and writes its timings and how far its distances lie from ours.

    bench_pairs.py SCENES.json ANSWERS.json
    bench_pairs.py --check

Each figure is the best of several rounds, since a disturbed round can only be slower. Objects and requests
are made before the clock starts. The time of one pair includes the call from Python, as does that of the whole
craft: that is what a Python user pays. Overlapping pairs are timed but not compared, since this library's
distance says only "overlap" for them; neither are pairs for which the scene holds no distance (null).
Scenes hold boxes and cylinders only: against a mesh or a convex body this version of the library gives
distances that are wrong by several per cent where a corner faces a flat side. Even between two boxes it errs for a pair in some
hundreds, by millimetres. So where the two differ by more than a thousandth of a millimetre a third way decides: projections onto
the two bodies in turn, which between closed convex sets approach the nearest points (Cheney and Goldstein, Proceedings of the
American Mathematical Society 10, 1959; memory). A pair that they decide against the library is counted and printed, and left out of
the difference; one that they decide against ours stays in.
"""

import math
import sys
from pathlib import Path

import fcl
import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
import _bench as bench  # noqa: E402

# Beyond this, in mm, the two are held to differ.
APART = 1e-3
SECONDS_A_ROUND = 0.1
ROUNDS = 7


def collision_object(solid):
    """One solid of the scene as the library's object."""
    shape = solid["shape"]
    if shape == "box":
        body = fcl.Box(*map(float, solid["size"]))
    elif shape == "cylinder":
        body = fcl.Cylinder(float(solid["radius"]), float(solid["length"]))
    else:
        raise SystemExit(f'solid of shape "{shape}": known are box and cylinder')
    turn = np.array(solid["turn"], dtype=float)
    return fcl.CollisionObject(body, fcl.Transform(turn, np.array(solid["at"], dtype=float)))


def best_seconds(work):
    """The least time that one call of `work` takes on average over a round."""
    once, _ = bench.best_of(1, work)
    calls = max(1, math.ceil(SECONDS_A_ROUND / max(once, 1e-9)))
    return bench.best_of(ROUNDS, lambda: [work() for _ in range(calls)])[0] / calls


def nearest_in(solid, point):
    """The point of a solid that is nearest to a point."""
    turn, at = np.array(solid["turn"], dtype=float), np.array(solid["at"], dtype=float)
    local = turn.T @ (point - at)
    if solid["shape"] == "box":
        half = np.array(solid["size"], dtype=float) / 2
        return turn @ np.clip(local, -half, half) + at
    local[:2] *= min(1.0, solid["radius"] / max(math.hypot(local[0], local[1]), 1e-12))
    local[2] = np.clip(local[2], -solid["length"] / 2, solid["length"] / 2)
    return turn @ local + at


def projected(a, b, most=20_000):
    """The distance of two solids by projections onto the one and the other in turn."""
    here = np.array(a["at"], dtype=float)
    for _ in range(most):
        after = nearest_in(a, nearest_in(b, here))
        if np.linalg.norm(after - here) < 1e-12:
            break
        here = after
    return float(np.linalg.norm(here - nearest_in(b, here)))


def measured(scene):
    """Timings of one scene, and the greatest difference from the distances it holds."""
    objects = [collision_object(solid) for solid in scene["solids"]]
    pairs = [(objects[a], objects[b]) for a, b in scene["pairs"]]
    if not pairs:
        raise SystemExit(f'scene "{scene["name"]}" lists no pair')
    request = fcl.DistanceRequest(enable_nearest_points=True)

    def every_pair():
        return [fcl.distance(a, b, request, fcl.DistanceResult()) for a, b in pairs]

    apart = every_pair()
    whole = best_seconds(every_pair)
    timings = [
        {"scene": scene["name"], "what": "every pair of the craft", "seconds": whole},
        {"scene": scene["name"], "what": "distance of one pair", "seconds": whole / len(pairs)},
    ]
    ours = scene.get("distances_mm") or [None] * len(pairs)
    compared, erred = [], 0
    for (a, b), theirs, own in zip(scene["pairs"], apart, ours, strict=True):
        if own is None or theirs <= 0 or own <= 0:
            continue
        if abs(theirs - own) > APART and abs(projected(scene["solids"][a], scene["solids"][b]) - own) < APART:
            erred += 1
        else:
            compared.append(abs(theirs - own))
    if erred:
        print(f"{erred} of {len(pairs)} pairs: the library errs by more than {APART} mm, as projections in turn decide; these are left out")
    differences = [{"scene": scene["name"], "greatest_mm": max(compared)}] if compared else []
    return timings, differences


def answers(scenes):
    """What is written for all scenes together."""
    return bench.told(bench.library("python-fcl"), measured, scenes)


def check():
    """A scene whose distances are known by hand: a box, another 3 mm off, two cylinders end on, one box inside."""
    upright = [[1, 0, 0], [0, 1, 0], [0, 0, 1]]
    onto_y = [[1, 0, 0], [0, 0, -1], [0, 1, 0]]
    scene = {
        "name": "by hand",
        "solids": [
            {"shape": "box", "size": [2, 2, 2], "at": [0, 0, 0], "turn": upright},
            {"shape": "box", "size": [4, 2, 2], "at": [6, 0, 0], "turn": upright},
            {"shape": "cylinder", "radius": 1, "length": 4, "at": [0, 0, 5], "turn": upright},
            {"shape": "cylinder", "radius": 1, "length": 4, "at": [0, -7, 0], "turn": onto_y},
            {"shape": "box", "size": [2, 2, 2], "at": [1, 0, 0], "turn": upright},
        ],
        "pairs": [[0, 1], [0, 2], [0, 3], [0, 4]],
        "distances_mm": [3.0, 2.0, 4.0, None],
    }
    told = answers([scene])
    greatest = told["differences"][0]["greatest_mm"]
    if greatest > 1e-5 or len(told["timings"]) != 2 or any(row["seconds"] <= 0 for row in told["timings"]):
        raise SystemExit(f"the scene by hand came out wrong: {told}")
    asked = [(a, b, known) for (a, b), known in zip(scene["pairs"], scene["distances_mm"], strict=True) if known is not None]
    worst = max(abs(projected(scene["solids"][a], scene["solids"][b]) - known) for a, b, known in asked)
    if worst > 1e-6:
        raise SystemExit(f"projections in turn miss the scene by hand by {worst} mm")
    print(f"scene by hand: 3 distances within {greatest:.1e} mm, by projections in turn within {worst:.1e} mm")


if __name__ == "__main__":
    bench.run(__doc__, answers, check)
