"""Between which tilts a camera is free, by bisection over python-fcl's collision test.

What turns (body, lens, plug) is turned about the axis as one body, by Rodrigues' formula; the rest stands still. The range is
walked in steps of STEP degrees, and each change from free to stopped is halved down to 1e-9 degrees. Without air the library is
asked whether any pair collides; with air, whether any pair is nearer than that. Nothing of our own search is in it: it tries angles and is told yes or no.

A free or stopped stretch narrower than STEP could be walked over; so no scene has one (the stretches are held to ten steps).
Each row gives how many free ranges there are and the two ends of each, low_1, high_1, low_2 and so on.
"""

import math

import fcl
import numpy as np

import vectors as v
from pairs import body

STEP = 0.02
BECAUSE = ("theirs answers to about 1e-6 mm and ours to 1e-5 mm; at the slowest closing in these scenes, 0.1 mm a degree, that is 1e-4 degrees. "
           "A protractor shows a thousand times as much")
WITHIN = 1e-4


def rotation_about(axis, degrees):
    """The right-handed turn about a direction (Rodrigues)."""
    x, y, z = np.array(axis, dtype=float) / np.linalg.norm(axis)
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    angle = math.radians(degrees)
    return np.eye(3) + math.sin(angle) * cross + (1 - math.cos(angle)) * cross @ cross


class Turned:
    """A scene whose first solids turn."""

    def __init__(self, given):
        self.turning = [(body(s), v.rotation(s["turn"]), np.array(s["at"])) for s in given["turning"]]
        self.standing = [body(s) for s in given["standing"]]
        self.about, self.axis = np.array(given["about"]), given["axis"]
        self.stands_at, self.air = given["stands_at_deg"], given.get("air_mm", 0.0)

    def free(self, degrees):
        turn = rotation_about(self.axis, degrees - self.stands_at)
        for thing, rotation, at in self.turning:
            thing.setTransform(fcl.Transform(turn @ rotation, self.about + turn @ (at - self.about)))
        return not any(self.stopped(thing, other) for thing, *_ in self.turning for other in self.standing)

    def stopped(self, thing, other):
        if fcl.collide(thing, other, fcl.CollisionRequest(), fcl.CollisionResult()) > 0:
            return True
        return self.air > 0 and fcl.distance(thing, other, fcl.DistanceRequest(enable_nearest_points=True), fcl.DistanceResult()) < self.air

    def end(self, free, stopped):
        while abs(stopped - free) > 1e-9:
            middle = (free + stopped) / 2
            free, stopped = (middle, stopped) if self.free(middle) else (free, middle)
        return free


def free_ranges(given):
    scene = Turned(given)
    low, high = given["from_deg"], given["to_deg"]
    angles = [low + (high - low) * n / round((high - low) / STEP) for n in range(round((high - low) / STEP) + 1)]
    states = [scene.free(angle) for angle in angles]
    ranges, since, changed = [], low if states[0] else None, []
    for before, after, was, now in zip(angles, angles[1:], states, states[1:]):
        if now and not was:
            since = scene.end(after, before)
        if was and not now:
            ranges.append((since, scene.end(before, after)))
        if was != now:
            changed.append(after)
    if states[-1]:
        ranges.append((since, high))
    edges = [low, *changed, high]
    assert all(b - a > 10 * STEP for a, b in zip(edges, edges[1:])), "a stretch too narrow for the steps"
    return ranges


def tilt_row(asks, turning, standing, about=(0, 0, 0), axis=(0, -1, 0), stands_at=0.0, limits=(-30, 90), air=None):
    given = {"turning": turning, "standing": standing, "about": v.floats(about), "axis": v.floats(axis), "stands_at_deg": float(stands_at),
             "from_deg": float(limits[0]), "to_deg": float(limits[1])}
    if air is not None:
        given["air_mm"] = float(air)
    expect = {"ranges": float(len(ranges := free_ranges(given)))}
    for n, (low, high) in enumerate(ranges, 1):
        expect |= {f"low_{n}": low, f"high_{n}": high}
    within = {key: 0.5 if key == "ranges" else WITHIN for key in expect}
    place = "collide, bisected" if air is None else "collide and distance, bisected"
    return v.row("free_tilts", asks, given, expect, within, BECAUSE, place)


def role(name, solid):
    return {**solid, "role": name}


def camera(body_size=(17, 19, 19), lens=(6.5, 12.0), plug=True):
    """Body, lens barrel ahead of it and the plug of its harness behind, round the axis of the side screws."""
    parts = [v.cuboid(body_size), v.cylinder(lens[0], lens[1], ((body_size[0] + lens[1]) / 2, 0, 0), (0, 90, 0))]
    return parts + [v.cuboid((5, 8, 3), (-body_size[0] / 2 - 2.5, 0, -5.5))] * plug


def cage(gap, height=44.0):
    """Two cheeks beside a body 19 mm wide."""
    return [v.cuboid((34, 2, height), (0, side * (9.5 + gap + 1), 0)) for side in (-1, 1)]


def rows():
    bottom, top = v.cuboid((90, 40, 2.5), (-20, 0, -16)), v.cuboid((60, 40, 2), (-28, 0, 17))
    yield tilt_row("camera between two cheeks, over a bottom plate and under a short top plate", camera(plug=False), [*cage(0.4), bottom, top])
    board = v.cuboid((30, 30, 7), (-34, 0, -6))
    yield tilt_row("the same with a harness plug that comes down on the boards behind", camera(), [*cage(0.4), bottom, top, board])
    posts = [v.cylinder(2.5, 30, (x, y, 0)) for x, y in [(-17, 13.5), (-17, -13.5), (21, 4.5), (21, -15)]]
    yield tilt_row("standoffs behind and one before it, which the lens has to pass", camera(), [*cage(0.4), *posts, v.cuboid((30, 24, 1.6), (-36, 0, 4))])
    bar = v.cuboid((3, 40, 3), (17, 0, 12), (0, 30, 0))
    yield tilt_row("a bar across the front, above the lens: one range below it and one beyond", camera(lens=(4.0, 12.0), plug=False), [bar], limits=(-60, 120))
    yield tilt_row("side screws far back and low: the axis stands beside the middle of the body", camera(), [*cage(0.4), bottom, top, board], about=(-5, 0, -4))
    yield tilt_row("a camera hung askew: its axis yawed by 4° and rolled by 3°", camera(), [*cage(2.5), bottom, top, board],
                   axis=v.rotation((4, 0, 3)) @ [0, -1, 0])
    yield tilt_row("the same scene and the same ends, asked of a camera that stands at 25° already",
                   [{**s, "at": v.floats(v.rotation((0, 25, 0)) @ s["at"]), "turn": [s["turn"][0], s["turn"][1] + 25.0, 0.0]} for s in camera()],
                   [*cage(0.4), bottom, top, board], stands_at=25.0)
    yield tilt_row("nothing in reach: free to both limits", camera(), [v.cuboid((90, 40, 2.5), (0, 0, -40)), *cage(0.4)])
    yield tilt_row("cheeks nearer than the body is wide: never free", camera(), [*cage(-0.3), bottom])
    air = [role("camera body", v.cuboid((17, 19, 19)))] + [role("lens", v.cylinder(6.5, 12, (14.5, 0, 0), (0, 90, 0)))]
    walls = [role("carbon plate", s) for s in [*cage(0.5), bottom, top]]
    yield tilt_row("a camera that keeps 0.3 mm from carbon cheeks, plate and top", air, walls, air=0.3)
    generator = np.random.default_rng(1618)
    number = 0
    while number < 4:
        things = []
        while len(things) < 5:
            at, turn = generator.uniform(-26, 26, 3).round(2), generator.uniform(-180, 180, 3).round(1)
            thing = v.cuboid(generator.uniform(3, 14, 3).round(1), at, turn) if len(things) % 2 else v.cylinder(
                round(generator.uniform(1, 4), 1), round(generator.uniform(8, 30), 1), at, turn)
            if all(fcl.collide(body(part), body(thing), fcl.CollisionRequest(), fcl.CollisionResult()) == 0 for part in camera()):
                things.append(thing)
        row = tilt_row(f"boxes and rods thrown round it, number {number + 1}", camera(), things, limits=(-90, 120))
        if row["expect"]["ranges"] > 1:
            number += 1
            yield row


if __name__ == "__main__":
    v.main(__file__, ["python-fcl", "numpy"], rows)
