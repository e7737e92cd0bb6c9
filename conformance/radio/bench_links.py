"""How long do the links of a flight take in numpy, and do they come out the same?

Reads the site, the flight and the levels that the program's own bench wrote (crates/radio/examples/time_links.rs), computes the same
model for the same points in arrays, and writes its timing for one point and how far its levels lie from ours, in dB.

    bench_links.py SCENES.json ANSWERS.json
    bench_links.py --check

The model: Jones vectors of antennas turned with the craft; a straight ray and one off the ground (half space, rough); walls as the share of
the wavefront they stand before, by Fresnel's integral, and what a slab lets through; woods by the depth of each crown. All points of a block
go through every step at once; walls that the way does not cross are left out of the costly steps. Blocks of BLOCK points
fit the cache, and two processes share them, started before the clock. Fresnel's integral comes from scipy.
"""

import math
import multiprocessing
import sys
from pathlib import Path

import numpy as np
from scipy.special import fresnel

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
import _bench as bench  # noqa: E402

LIGHT, ELECTRIC = 299_792_458.0, 8.8541878128e-12
AXIS_LEVEL, PUREST, BELT, SIDES_MAX, DEEPEST = 0.031_622_776_601_683_79, 0.031_622_776_601_683_79, 2.0, 0.16, 300.0
CROWN, CROWN_COUNTS, APART = 6.0, 1.84, 1.0
# ITU-R P.2040-3, table 3: a, b, c, d.
MATERIALS = {"concrete": (5.24, 0.0, 0.0462, 0.7822), "brick": (3.91, 0.0, 0.0238, 0.16), "wood": (1.99, 0.0, 0.0047, 1.0718),
             "glass": (6.31, 0.0, 0.0036, 1.3394), "plywood": (2.71, 0.0, 0.33, 0.0), "metal": (1.0, 0.0, 1e7, 0.0),
             "medium dry ground": (15.0, -0.1, 0.035, 1.63)}
BLOCK, ROUNDS = 500, 5


def passed(nu):
    """The share of amplitude that passes an edge: (1+j)/2 times the integral of e^(-j pi t^2/2) from nu on."""
    s, c = fresnel(nu)
    return (0.5 + 0.5j) * ((0.5 - c) - 1j * (0.5 - s))


def dot(a, b):
    return np.einsum("...i,...i->...", a, b)


def basis(d):
    """Level to the left and upward, square to each direction."""
    level = np.stack([-d[:, 1], d[:, 0], np.zeros(len(d))], axis=1)
    size = np.linalg.norm(level, axis=1, keepdims=True)
    level = np.where(size > 1e-9, level / np.maximum(size, 1e-300), [0.0, 1.0, 0.0])
    return level, np.cross(d, level)


def turns(yaw, pitch, roll):
    """Columns forward, left, up."""
    (sy, cy), (sp, cp), (sr, cr) = [(np.sin(a), np.cos(a)) for a in np.radians([yaw, pitch, roll])]
    forward = [cy * cp, sy * cp, sp]
    left = [-sy * cr - cy * sp * sr, cy * cr - sy * sp * sr, cp * sr]
    up = [sy * sr - cy * sp * cr, -cy * sr - sy * sp * cr, cp * cr]
    return np.moveaxis(np.array([forward, left, up]), 0, 1).transpose(*range(2, np.ndim(yaw) + 2), 0, 1)


def mean_of_sine(exponent, steps=400):
    return 0.5 * math.pi / steps * sum(math.sin(math.pi * (n + 0.5) / steps) ** (exponent + 1.0) for n in range(steps))


def jones(axial_db):
    """A left-hand ellipse with its long axis upright."""
    short = math.atan(10 ** (-axial_db / 20))
    return -1j * math.sin(short), math.cos(short)


class Omni:
    def __init__(self, gain_db, axial_db):
        self.gain, self.jones = 10 ** (gain_db / 10), jones(axial_db)
        self.exponent = BELT
        lossless = lambda exponent: 1 / (AXIS_LEVEL + (1 - AXIS_LEVEL) * mean_of_sine(exponent))
        if lossless(BELT) < self.gain:
            low, high = BELT, 200.0
            for _ in range(50):
                middle = (low + high) / 2
                low, high = (middle, high) if lossless(middle) < self.gain else (low, middle)
            self.exponent = high

    def field(self, own):
        size = np.sqrt(self.gain * (AXIS_LEVEL + (1 - AXIS_LEVEL) * np.minimum(np.hypot(own[:, 0], own[:, 1]), 1.0) ** self.exponent))
        level, up = basis(own)
        return (self.jones[0] * level + self.jones[1] * up) * size[:, None]


class Patch:
    def __init__(self, gain_db, width_deg, back_db, axial_db):
        self.gain, self.jones, self.back = 10 ** (gain_db / 10), jones(axial_db), 10 ** (-back_db / 10)
        half = math.cos(math.radians(width_deg / 2))
        exponent = lambda sides: math.log((0.5 - sides) / (1 - sides)) / math.log(half)
        power = lambda sides: self.gain * 0.5 * ((1 - sides) / (exponent(sides) + 1) + sides + sides + (self.back - sides) / 3)
        low, high = 0.0, SIDES_MAX
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if power(middle) <= 1 else (low, middle)
        self.sides, self.exponent = low, exponent(low)

    def field(self, own):
        c = np.clip(own[:, 0], -1, 1)
        front = (1 - self.sides) * np.maximum(c, 0.0) ** self.exponent + self.sides
        share = np.where(c > 0, front, self.sides + (self.back - self.sides) * c * c)
        currents = np.array([0, self.jones[0], self.jones[1]])
        sent = currents - (own @ currents)[:, None] * own
        sent /= np.linalg.norm(sent, axis=1, keepdims=True)
        return sent * np.sqrt(self.gain * share)[:, None]


def wave(antenna, turn, toward):
    """Its parts level and up, sent in directions of the site; turn is one or one a point."""
    own = np.einsum("...ij,...i->...j", turn, toward)
    field = np.einsum("...ij,...j->...i", turn, antenna.field(own))
    level, up = basis(toward)
    return dot(field, level), dot(field, up)


class Wall:
    def __init__(self, told, carrier):
        x0, y0, x1, y1 = told["ends"]
        self.start, level = np.array([x0, y0, 0.0]), np.array([x1 - x0, y1 - y0, 0.0])
        self.width, self.top = np.linalg.norm(level), told["top"]
        self.along = level / self.width
        self.normal = np.array([-self.along[1], self.along[0], 0.0])
        self.thick, self.permittivity, self.carrier = told["mm"] * 1e-3, carrier.permittivity(told["material"]), carrier

    def through(self, cosine):
        """The slab's amplitudes from face to face, across and in the plane of incidence (ITU-R P.2040, one layer)."""
        cosine = np.maximum(cosine, 1e-6)
        inside = np.sqrt(self.permittivity - (1 - cosine * cosine))
        once = np.exp(-1j * self.carrier.k * self.thick * inside)
        for n1, n2 in [(cosine, inside), (self.permittivity * cosine, inside)]:
            r = (n1 - n2) / (n1 + n2)
            yield (1 - r * r) * once / (1 - r * r * once * once)

    def sides(self, start, end):
        return (start - self.start) @ self.normal, (end - self.start) @ self.normal

    def after(self, waves, start, end, mirrored, only):
        before, behind = self.sides(start, end)
        which = np.flatnonzero((before * behind < 0) & only)
        if len(which) == 0:
            return
        before, behind, start, way = before[which], behind[which], start[which], (end - start)[which]
        length = np.linalg.norm(way, axis=1)
        unit, part = way / length[:, None], before / (before - behind)
        crossing = start + way * part[:, None]
        near = self.carrier.wavelength / 10
        d1, d2 = np.maximum(length * part, near), np.maximum(length * (1 - part), near)
        scale = np.sqrt(2 / self.carrier.wavelength * (1 / d1 + 1 / d2))
        level = scale * np.sqrt(np.maximum(1 - (unit @ self.along) ** 2, 0))
        upright = scale * np.sqrt(np.maximum(1 - unit[:, 2] ** 2, 0))
        at, height = (crossing - self.start) @ self.along, crossing[:, 2]
        upward = (passed((-self.top - height) * upright) if mirrored else 1.0) - passed((self.top - height) * upright)
        blocked = (passed(-at * level) - passed((self.width - at) * level)) * upward
        cosine = np.minimum(np.abs(unit @ self.normal), 1.0)
        across_t, within_t = self.through(cosine)
        back = np.exp(1j * self.carrier.k * self.thick * cosine) * blocked
        first, second = basis(unit)
        square = np.cross(unit, self.normal)
        size = np.linalg.norm(square, axis=1, keepdims=True)
        square = np.where(size > 1e-9, square / np.maximum(size, 1e-300), first)
        c, s = dot(square, first), dot(square, second)
        a, u = waves[0][which], waves[1][which]
        across_t, within_t = 1 - blocked + across_t * back, 1 - blocked + within_t * back
        across, within = (a * c + u * s) * across_t, (u * c - a * s) * within_t
        waves[0][which], waves[1][which] = across * c - within * s, across * s + within * c
        waves[2][which] *= np.sqrt(np.abs(across_t * within_t))


def taken(waves, fitting):
    """What an antenna takes of a wave: no less than what antennas leak across of what would fit, for none is purer; that fares by the mean of both polarisations."""
    fits, least = waves[1] * fitting[1] - waves[0] * fitting[0], PUREST * waves[2]
    size = np.abs(fits)
    return np.where(size >= least, fits, np.where(size > 0, fits * (least / np.maximum(size, 1e-300)), least))


def if_it_fitted(sent, fitting):
    return np.sqrt((np.abs(sent[0]) ** 2 + np.abs(sent[1]) ** 2) * (np.abs(fitting[0]) ** 2 + np.abs(fitting[1]) ** 2))


def span(wood, start, end):
    """Where straight ways come into an upright cylinder of leaves and out of it, in metres from their beginning; endless where they nowhere do."""
    x, y, radius, top = wood
    way, off = end - start, start - np.array([x, y, 0.0])
    a, b = way[:, 0] ** 2 + way[:, 1] ** 2, off[:, 0] * way[:, 0] + off[:, 1] * way[:, 1]
    root = b * b - a * (off[:, 0] ** 2 + off[:, 1] ** 2 - radius * radius)
    found = np.full((2, len(way)), np.inf)
    hit = np.flatnonzero(root > 0)
    if len(hit):
        a, b, root, z, dz = a[hit], b[hit], np.sqrt(root[hit]), start[hit, 2], way[hit, 2]
        enter, leave = np.maximum((-b - root) / a, 0), np.minimum((-b + root) / a, 1)
        with np.errstate(divide="ignore", invalid="ignore"):
            meets = (top - z) / dz
        leave = np.where(dz > 0, np.minimum(leave, meets), leave)
        enter = np.where(dz < 0, np.maximum(enter, meets), enter)
        leave = np.where((dz == 0) & (z > top), enter, leave)
        found[:, hit] = np.where(leave > enter, np.stack([enter, leave]) * np.linalg.norm(way[hit], axis=1), np.inf)
    return found


def crowns_leave(spans, leaves):
    """What crowns leave of an amplitude: those less than a metre apart are one, each of the others takes its own."""
    left, spans = np.ones(spans.shape[2]), np.take_along_axis(spans, np.argsort(spans[:, :1], axis=0), axis=0)
    start, end = np.full(len(left), np.inf), np.full(len(left), np.inf)
    for enter, leave in spans:
        there = np.isfinite(enter)
        joined = there & np.isfinite(end) & (enter < end + APART)
        done = there & np.isfinite(end) & ~joined
        left[done] *= leaves(end[done] - start[done])
        start = np.where(there & ~joined, enter, start)
        end = np.where(joined, np.maximum(end, leave), np.where(there, leave, end))
    last = np.isfinite(end)
    left[last] *= leaves(end[last] - start[last])
    return left


class Carrier:
    def __init__(self, megahertz):
        self.mhz, self.ghz = megahertz, megahertz * 1e-3
        self.wavelength = LIGHT / (megahertz * 1e6)
        self.k = 2 * math.pi / self.wavelength

    def permittivity(self, word):
        a, b, c, d = MATERIALS[word]
        return complex(a * self.ghz**b, -c * self.ghz**d / (2 * math.pi * self.ghz * 1e9 * ELECTRIC))


class Site:
    def __init__(self, told):
        self.carrier = carrier = Carrier(told["megahertz"])
        self.walls, self.woods = [Wall(wall, carrier) for wall in told["walls"]], told["woods"]
        self.ground, self.rough = carrier.permittivity(told["ground"]), told["roughness"]
        a_metre = 0.2 * carrier.ghz ** (math.log(6.0 / 0.2) / math.log(30.0))
        limit = 1.37 * carrier.mhz**0.42
        # The first metres count as those of one crown, by common practice; past 400 m no model reaches.
        counted = lambda metres: metres + (CROWN_COUNTS - 1) * np.minimum(metres, CROWN)
        self.leaves = lambda metres: 10 ** (-limit * (1 - np.exp(-counted(np.minimum(metres, 400.0)) * a_metre / limit)) / 20)
        omni, patch = Omni(*told["omni"]), Patch(*told["patch"])
        self.station = [(omni if s["aim"] is None else patch, turns(*(s["aim"] or (0.0, 0.0)), 0.0), np.array(s["at"])) for s in told["station"]]
        self.craft = [(omni, turns(0.0, c["lean"], 0.0), np.array(c["at"])) for c in told["craft"]]

    def levels(self, points):
        """What arrives over what is sent, in dB: a row a point, a column a pair of antennas."""
        attitude, columns = turns(points[:, 3], points[:, 4], points[:, 5]), []
        for antenna, mount, at in self.craft:
            turn, place = attitude @ mount, points[:, :3] + attitude @ at
            for other, other_turn, other_at in self.station:
                columns.append(self.link(antenna, turn, place, other, other_turn, np.broadcast_to(other_at, place.shape)))
        return np.stack(columns, axis=1)

    def crowns(self, *ways):
        """What the crowns on ways, one after the other, leave of an amplitude."""
        spans, begun = [], 0.0
        for start, end in ways:
            spans += [span(wood, start, end) + begun for wood in self.woods]
            begun = begun + np.linalg.norm(end - start, axis=1)
        return crowns_leave(np.stack(spans), self.leaves) if spans else np.ones(len(ways[0][0]))

    def link(self, antenna, turn, a, other, other_turn, b):
        k, everywhere = self.carrier.k, np.ones(len(a), dtype=bool)
        way = b - a
        direct = np.linalg.norm(way, axis=1)
        straight = way / direct[:, None]
        sent = list(wave(antenna, turn, straight))
        fitting = wave(other, other_turn, -straight)
        sent.append(if_it_fitted(sent, fitting))
        for wall in self.walls:
            wall.after(sent, a, b, False, everywhere)
        arrived = taken(sent, fitting) * self.crowns((a, b))

        mirror = np.array([1.0, 1.0, -1.0])
        image, low = b * mirror, a * mirror
        long = image - a
        length = np.linalg.norm(long, axis=1)
        down = long / length[:, None]
        sine = (a[:, 2] + b[:, 2]) / length
        inside = np.sqrt(self.ground - (1 - sine * sine))
        rough = np.exp(-0.5 * (2 * k * self.rough * sine) ** 2)
        level, upright = (sine - inside) / (sine + inside) * rough, (self.ground * sine - inside) / (self.ground * sine + inside) * rough
        bounced = list(wave(antenna, turn, down))
        up = down * mirror
        taking = wave(other, other_turn, -up)
        bounced.append(if_it_fitted(bounced, taking))
        firsts = []
        for wall in self.walls:
            before, behind = wall.sides(a, image)
            with np.errstate(divide="ignore", invalid="ignore"):
                height = a[:, 2] + (image - a)[:, 2] * before / (before - behind)
            firsts.append((before * behind < 0) & (height >= 0))
            wall.after(bounced, a, image, True, firsts[-1])
        bounced = [bounced[0] * level, bounced[1] * upright, bounced[2] * np.sqrt(np.abs(level * upright))]
        for wall, first in zip(self.walls, firsts):
            wall.after(bounced, low, b, True, ~first)
        foot = a + long * (a[:, 2] / (a[:, 2] + b[:, 2]))[:, None]
        foot[:, 2] = 0.0
        late = np.exp(-1j * k * 4 * a[:, 2] * b[:, 2] / (length + direct)) * direct / length
        arrived = arrived + taken(bounced, taking) * late * self.crowns((a, foot), (foot, b))
        share = (self.carrier.wavelength / (4 * math.pi * direct)) ** 2 * np.abs(arrived) ** 2
        with np.errstate(divide="ignore"):
            return np.maximum(10 * np.log10(share), -DEEPEST)


SITE = None


def ready(told):
    global SITE
    SITE = Site(told)


def block(points):
    return SITE.levels(points)


def measured(told):
    points = np.array(told["points"], dtype=float)
    blocks = [points[n:n + BLOCK] for n in range(0, len(points), BLOCK)]
    with multiprocessing.Pool(2, ready, (told,)) as pool:
        best, levels = bench.best_of(ROUNDS, lambda: np.concatenate(pool.map(block, blocks, chunksize=1)))
    timings = [{"scene": told["name"], "what": "a full link evaluation", "seconds": best / len(points)}]
    return timings, [{"scene": told["name"], "greatest_db": float(np.abs(levels - np.array(told["totals_db"])).max())}]


def answers(scenes):
    return bench.told(bench.library("numpy"), measured, scenes)


def check():
    """Two antennas that fit, far above the ground's reach: free space by hand. And half a wave at the edge of a long metal wall."""
    told = {"name": "by hand", "megahertz": 5800.0, "ground": "medium dry ground", "roughness": 1.0, "walls": [], "woods": [], "omni": [0.0, 0.0],
            "patch": [8.0, 70.0, 15.0, 0.0], "station": [{"at": [0.0, 0.0, 50.0], "aim": None}], "craft": [{"at": [0.0, 0.0, 0.0], "lean": 0.0}]}
    points = np.array([[100.0, 0.0, 50.0, 0.0, 0.0, 0.0]])
    free = Site(told).levels(points)[0, 0]
    expected = 20 * math.log10(LIGHT / 5.8e9 / (4 * math.pi * 100.0))
    told["walls"] = [{"ends": [50.0, -5000.0, 50.0, 5000.0], "top": 50.0, "material": "metal", "mm": 2.0}]
    edge = Site(told).levels(points)[0, 0] - free
    if abs(free - expected) > 0.05 or abs(edge + 6.02) > 0.05:
        print(f"free space {free} dB instead of {expected}, at an edge {edge} dB instead of -6.02")
        sys.exit(1)
    print(f"bench_links.py: free space to {abs(free - expected):.0e} dB, an edge to {abs(edge + 6.0206):.0e} dB")


if __name__ == "__main__":
    bench.run(__doc__, answers, check)
