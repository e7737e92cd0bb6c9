"""How long does a picture of the craft's own parts take by one ray a pixel in a general-purpose array library?

Reads the scene that the program's own bench wrote (layout: xtask/src/bench.rs), casts the ray of every pixel's middle
against every solid with NumPy, and writes its timing and how far its counts of pixels lie from ours.

    bench_pictures.py PICTURE.json ANSWERS.json
    bench_pictures.py --check

A solid is tried only for the pixels that lie within the cone round it, as a careful user of the library would do. The
figure is that of one round, for it takes long. Equidistant lenses only.
"""

import math
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
import _bench as bench  # noqa: E402

ROUNDS = 1
FAR = np.inf


def rays(view):
    """A ray for each pixel, x along the axis, y left, z up, and whether light falls there."""
    across, down, width, height, focal = (view[key] for key in ("across", "down", "width_mm", "height_mm", "focal_length_mm"))
    u = (across / 2 - (np.arange(across) + 0.5)) * width / across
    v = (down / 2 - (np.arange(down) + 0.5)) * height / down
    u, v = (part.ravel() for part in np.meshgrid(u, v))
    r = np.hypot(u, v)
    angle = r / focal
    over = np.sin(angle) / np.maximum(r, 1e-300)
    return np.stack([np.cos(angle), u * over, v * over], axis=1), r <= (view["lit_radius_mm"] or FAR)


def between(low, high, origin, along):
    """Where rays are between two planes of one axis: from, to."""
    with np.errstate(divide="ignore", invalid="ignore"):
        a, b = (low - origin) / along, (high - origin) / along
    inside = (low <= origin) & (origin <= high)
    still = along == 0
    first = np.where(still, np.where(inside, -FAR, FAR), np.minimum(a, b))
    last = np.where(still, np.where(inside, FAR, -FAR), np.maximum(a, b))
    return first, last


def in_box(half, origin, along):
    spans = [between(-h, h, o, d) for h, o, d in zip(half, origin, along.T)]
    return np.max([first for first, _ in spans], axis=0), np.min([last for _, last in spans], axis=0)


def in_half_spaces(planes, along):
    """Where rays from the eye are on the inner side of all planes, each an outward direction and how far out it lies."""
    first, last = np.full(len(along), -FAR), np.full(len(along), FAR)
    with np.errstate(divide="ignore", invalid="ignore"):
        for normal, out in planes:
            speed = along @ np.array(normal)
            t = out / speed
            last = np.where(speed > 0, np.minimum(last, t), last)
            first = np.where(speed < 0, np.maximum(first, t), first)
            first = np.where((speed == 0) & (out < 0), FAR, first)
    return first, last


def in_cylinder(radius, half, origin, along):
    a = along[:, 0] ** 2 + along[:, 1] ** 2
    b = origin[0] * along[:, 0] + origin[1] * along[:, 1]
    c = origin[0] ** 2 + origin[1] ** 2 - radius**2
    with np.errstate(divide="ignore", invalid="ignore"):
        root = np.sqrt(b * b - a * c)
        first, last = (-b - root) / a, (-b + root) / a
    none = ~(b * b >= a * c)
    straight = a < 1e-18
    first = np.where(straight, -FAR if c <= 0 else FAR, np.where(none, FAR, first))
    last = np.where(straight, FAR if c <= 0 else -FAR, np.where(none, -FAR, last))
    low, high = between(-half, half, origin[2], along[:, 2])
    return np.maximum(first, low), np.minimum(last, high)


def within(rings, x, y):
    odd = np.zeros(x.shape, bool)
    for ring in rings:
        for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1]):
            if y0 == y1:
                continue
            passes = (y0 > y) != (y1 > y)
            odd ^= passes & (x < x0 + (y - y0) * (x1 - x0) / (y1 - y0))
    return odd


def first_of_plate(rings, thickness, origin, along):
    """Where rays first meet a plate of an outline, from z = 0 up: by a face, or by the wall under an edge."""
    best = np.full(len(along), FAR)
    with np.errstate(divide="ignore", invalid="ignore"):
        for height in (0.0, thickness):
            t = (height - origin[2]) / along[:, 2]
            t = np.where(np.isfinite(t) & (t > 0), t, FAR)
            near = t < best
            x, y = origin[0] + t[near] * along[near, 0], origin[1] + t[near] * along[near, 1]
            found = near.copy()
            found[near] = within(rings, x, y)
            best[found] = t[found]
        for ring in rings:
            for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1]):
                dx, dy = x1 - x0, y1 - y0
                cross = along[:, 0] * dy - along[:, 1] * dx
                t = ((x0 - origin[0]) * dy - (y0 - origin[1]) * dx) / cross
                s = (origin[0] + t * along[:, 0] - x0) * dx + (origin[1] + t * along[:, 1] - y0) * dy
                z = origin[2] + t * along[:, 2]
                hit = (t > 0) & (t < best) & (s >= 0) & (s <= dx * dx + dy * dy) & (z >= 0) & (z <= thickness)
                best = np.where(hit, t, best)
    return best


def sphere(solid):
    """The middle and radius of a sphere round a solid, in its own frame."""
    if solid["shape"] == "box":
        return np.zeros(3), np.linalg.norm(solid["size"]) / 2
    if solid["shape"] == "cylinder":
        return np.zeros(3), math.hypot(solid["radius"], solid["length"] / 2)
    if solid["shape"] == "convex":
        points = np.array(solid["corners"])
        middle = points.mean(axis=0)
        return middle, np.linalg.norm(points - middle, axis=1).max()
    points = np.array([point for ring in solid["rings"] for point in ring])
    low, high = points.min(axis=0), points.max(axis=0)
    return np.array([*(low + high) / 2, solid["thickness"] / 2]), math.hypot(*(high - low) / 2, solid["thickness"] / 2)


def first_met(solid, all_rays):
    """How far along each ray a solid is first met."""
    convex = solid["shape"] == "convex"
    turn, at = (np.eye(3), np.zeros(3)) if convex else (np.array(solid["turn"], float), np.array(solid["at"], float))
    middle, radius = sphere(solid)
    middle = turn @ middle + at
    far = np.linalg.norm(middle)
    found = np.full(len(all_rays), FAR)
    tried = np.ones(len(all_rays), bool)
    if far > radius:
        tried = all_rays @ (middle / far) >= math.sqrt(1 - (radius / far) ** 2) - 1e-9
    if not tried.any():
        return found
    origin, along = -turn.T @ at, all_rays[tried] @ turn
    if solid["shape"] == "plate":
        found[tried] = first_of_plate(solid["rings"], solid["thickness"], origin, along)
        return found
    if convex:
        first, last = in_half_spaces(solid["planes"], along)
    elif solid["shape"] == "box":
        first, last = in_box(np.array(solid["size"]) / 2, origin, along)
    else:
        first, last = in_cylinder(solid["radius"], solid["length"] / 2, origin, along)
    met = (first <= last) & (last >= 0)
    found[tried] = np.where(met, np.maximum(first, 0.0), FAR)
    return found


def picture(scene):
    """The number of the solid that each pixel sees, or -1."""
    all_rays, lit = rays(scene["view"])
    nearest, seen = np.full(len(all_rays), FAR), np.full(len(all_rays), -1)
    for number, solid in enumerate(scene["solids"]):
        met = first_met(solid, all_rays)
        closer = met < nearest
        nearest[closer], seen[closer] = met[closer], number
    return np.where(lit, seen, -1)


def measured(scene):
    seconds, seen = bench.best_of(ROUNDS, lambda: picture(scene))
    counts = np.bincount(seen[seen >= 0], minlength=len(scene["solids"]))
    apart = np.abs(counts - np.array(scene["pixels"])).max() if len(counts) else 0
    timings = [{"scene": scene["name"], "what": scene["what"], "seconds": seconds}]
    return timings, [{"scene": scene["name"], "greatest_percent": 100.0 * float(apart) / len(seen)}]


def answers(scenes):
    return bench.told(bench.library("numpy"), measured, scenes)


def check():
    """A box, a disc and a plate with a window, whose pixels can be counted by hand."""
    view = {"across": 200, "down": 100, "width_mm": 2.0, "height_mm": 1.0, "focal_length_mm": 1.0, "lit_radius_mm": None}
    level = np.eye(3).tolist()
    upright = [[0, 0, 1], [1, 0, 0], [0, 1, 0]]
    box = {"shape": "box", "size": [2, 40, 40], "at": [11, 20, 0], "turn": level}
    disc = {"shape": "cylinder", "radius": 3.0, "length": 1.0, "at": [20.5, 0, 0], "turn": upright}
    window = [[-2, -2], [2, -2], [2, 2], [-2, 2]]
    frame = [[-90, -90], [90, -90], [90, 90], [-90, 90]]
    plate = {"shape": "plate", "rings": [frame, window], "thickness": 1.0, "at": [20, 0, 0], "turn": upright}
    ray, _ = rays(view)
    # Through the front face of the box: left of the middle, whatever the height here.
    assert ((first_met(box, ray) < FAR) == (ray[:, 1] > 0)).all()
    slope = np.hypot(ray[:, 1], ray[:, 2]) / ray[:, 0]
    assert ((first_met(disc, ray) < FAR) == (slope <= 3 / 20)).all()
    free = np.maximum(abs(ray[:, 1]), abs(ray[:, 2])) / ray[:, 0] < 2 / 21
    assert ((first_met(plate, ray) == FAR) == free).all()
    # The same box by its planes.
    planes = [([1, 0, 0], 12), ([-1, 0, 0], -10), ([0, 1, 0], 40), ([0, -1, 0], 0), ([0, 0, 1], 20), ([0, 0, -1], 20)]
    corners = [[x, y, z] for x in (10, 12) for y in (0, 40) for z in (-20, 20)]
    assert ((first_met({"shape": "convex", "corners": corners, "planes": planes}, ray) < FAR) == (ray[:, 1] > 0)).all()
    print("bench_pictures: a box, a disc and a plate with a window agree with their closed forms")


if __name__ == "__main__":
    bench.run(__doc__, answers, check)
