"""Fresnel integrals and what gets past two edges and finite screens, by SciPy.

Two edges: Kirchhoff's double integral over both openings. The inner one is an error function of a complex argument
(special.erfc by wofz), the outer one is run along a line turned by 45 degrees from the first edge, where it decays, by
integrate.quad: another way than the single integral over an angle that the program uses. Finite screens: products of special.fresnel.
"""

import pathlib
import sys

import numpy as np
from scipy.integrate import quad
from scipy.special import erfc, fresnel

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v

EARTH = 8.5e6
LIGHT = 299_792_458.0
MHZ = 5800.0
LAMBDA = LIGHT / (MHZ * 1e6)


def above(along, height, sender, receiver, length):
    return height + along * (length - along) / (2 * EARTH) - sender - (receiver - sender) * along / length


def past_two(h1, h2, a, b, c):
    """√det/(2π) ∫∫ over y1 > h1, y2 > h2 of e^(−½ y·M·y), M = jk·[[1/a+1/b, −1/b], [−1/b, 1/b+1/c]]."""
    jk = 2j * np.pi / LAMBDA
    m11, m12, m22 = jk * (1 / a + 1 / b), -jk / b, jk * (1 / b + 1 / c)
    root22 = np.sqrt(m22)

    def inner(y1):
        # ∫h2^∞ e^(−½ m22 y² − m12 y1 y) dy, with the rest of the exponent left outside.
        shift = m12 * y1 / m22
        return np.sqrt(np.pi / 2) / root22 * erfc((h2 + shift) * root22 / np.sqrt(2))

    outer = m11 - m12**2 / m22
    root = root22 * np.sqrt(outer)
    # From h1 along e^(−jπ/4): the exponent −½·outer·y² decays there, since outer is j times a positive number.
    turn = np.exp(-0.25j * np.pi)
    width = 1 / np.sqrt(abs(outer))

    def value(t):
        y1 = h1 + t * width * turn
        return np.exp(-0.5 * outer * y1**2) * inner(y1) * turn * width

    # Beyond twelve widths the factor is under e^(−72).
    parts = [quad(lambda t: getattr(value(t), part), 0, 12, epsabs=1e-9, epsrel=1e-9, limit=4000)[0] for part in ("real", "imag")]
    return (parts[0] + 1j * parts[1]) * root / (2 * np.pi)


def two_edge_row(asks, sender, receiver, length, edges):
    (x1, z1), (x2, z2) = edges
    h1, h2 = (above(x, z, sender, receiver, length) for x, z in edges)
    left = past_two(h1, h2, x1, x2 - x1, length - x2)
    given = {"mhz": MHZ, "sender_m": float(sender), "receiver_m": float(receiver), "length_m": float(length), "edges": [[float(x), float(z)] for x, z in edges]}
    return v.row("edges", asks, given, {"re": left.real, "im": left.imag, "loss_db": -20 * np.log10(abs(left))}, {"re": 1e-8, "im": 1e-8, "loss_db": 1e-4},
                 "the double integral is asked for to 1e-9", "special.erfc inside integrate.quad, turned contour")


def fresnel_row(x):
    s, c = fresnel(x)
    return v.row("fresnel", f"Fresnel integrals to {x:g}", {"x": float(x)}, {"c": c, "s": s}, {"c": 1e-10, "s": 1e-10}, "both good to rounding; ours is stated to 1e-12", "special.fresnel")


def passed(nu):
    s, c = fresnel(nu)
    return 0.5 * ((1 - c - s) + 1j * (s - c))


def screen_row(asks, ends, at, sides, top):
    x0, y0, z0, x1, y1, z1 = ends
    part = (at - x0) / (x1 - x0)
    y, z = y0 + part * (y1 - y0), z0 + part * (z1 - z0)
    length = np.linalg.norm([x1 - x0, y1 - y0, z1 - z0])
    unit = np.array([x1 - x0, y1 - y0, z1 - z0]) / length
    scale = np.sqrt(2 / LAMBDA * (1 / (part * length) + 1 / ((1 - part) * length)))
    level, upright = scale * np.sqrt(1 - unit[1] ** 2), scale * np.sqrt(1 - unit[2] ** 2)
    across = passed((sides[0] - y) * level) - passed((sides[1] - y) * level)
    left = 1 - across * (1 - passed((top - z) * upright))
    given = {"mhz": MHZ, "ends_m": [float(e) for e in ends], "wall_m": float(at), "sides_m": [float(s) for s in sides], "top_m": float(top), "layers": [["metal", 2.0]], "angle_deg": 0.0}
    return v.row("wall", asks, given, {"loss_db": -20 * np.log10(abs(left))}, {"loss_db": 1e-5}, "both evaluate the same products to rounding; metal lets nothing through", "special.fresnel, 1 − product")


def rows():
    yield from (fresnel_row(x) for x in (0.3, 1.0, 1.9949, 3.5, 12.0, -2.2))
    yield two_edge_row("two eaves of a barn, 4 m high, 8 m apart", 2, 2, 120, ((50, 4), (58, 4)))
    yield two_edge_row("two unlike edges where the first rules", 2, 2, 150, ((40, 6), (110, 2.5)))
    yield two_edge_row("two like edges far apart", 1.5, 8, 400, ((120, 9), (280, 10)))
    yield two_edge_row("one edge below the line and one above", 2, 15, 200, ((60, 3), (150, 14)))
    yield two_edge_row("both edges below the line", 10, 10, 200, ((70, 9.2), (130, 9.0)))
    yield screen_row("a trunk half a metre wide, midway of 50 m", (0, 0, 2, 50, 0, 2), 25, (-0.25, 0.25), 12)
    yield screen_row("a shed 6 m wide and 3 m high, off the middle", (0, 1, 1.5, 60, -2, 4), 20, (-3, 3), 3)
    yield screen_row("beside a container", (0, 0, 1.7, 80, 3, 1.7), 30, (-6, 0.5), 2.6)


if __name__ == "__main__":
    v.main(__file__, ["scipy", "numpy"], rows)
