"""Layered walls as cascades of transmission lines, by scikit-rf.

Across the plane of incidence a layer is a line of wave impedance 1/n, in it of n/η, with n = √(η − sin²θ), in units of that of
air; its propagation constant is j·k·n. Cascades of such lines between the impedances of air give what goes through and back.
"""

import pathlib
import sys
import warnings

import numpy as np

warnings.simplefilter("ignore")
import skrf
from skrf.media import DefinedGammaZ0

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v

LIGHT = 299_792_458.0
ELECTRIC = 8.8541878128e-12
# a, b, c, d of Recommendation ITU-R P.2040-3, table 3.
TABLE = {"concrete": (5.24, 0, 0.0462, 0.7822), "brick": (3.91, 0, 0.0238, 0.16), "glass": (6.31, 0, 0.0036, 1.3394), "wood": (1.99, 0, 0.0047, 1.0718),
         "chipboard": (2.58, 0, 0.0217, 0.78), "plasterboard": (2.73, 0, 0.0085, 0.9395)}


def permittivity(material, ghz):
    if material == "air":
        return 1 + 0j
    a, b, c, d = TABLE[material]
    return a * ghz**b - 1j * c * ghz**d / (2 * np.pi * ghz * 1e9 * ELECTRIC)


def waves(layers, angle_deg, mhz, within):
    frequency = skrf.Frequency(mhz, mhz, 1, unit="MHz")
    k, sine = 2 * np.pi * mhz * 1e6 / LIGHT, np.sin(np.radians(angle_deg))
    air = np.sqrt(1 - sine**2) if within else 1 / np.sqrt(1 - sine**2)
    whole = None
    for material, millimetres in layers:
        eta = permittivity(material, mhz * 1e-3)
        n = np.sqrt(eta - sine**2)
        media = DefinedGammaZ0(frequency, z0=n / eta if within else 1 / n, z0_port=air, gamma=1j * k * n)
        line = media.line(millimetres * 1e-3, "m")
        whole = line if whole is None else whole**line
    return whole.s[0, 1, 0], whole.s[0, 0, 0]


def wall_row(asks, layers, angle_deg, mhz=5800.0):
    expect = {}
    for words, within in (("across", False), ("within", True)):
        through, back = waves(layers, angle_deg, mhz, within)
        expect[f"through_{words}_db"], expect[f"back_{words}_db"] = -20 * np.log10(abs(through)), -20 * np.log10(abs(back))
    given = {"layers": [[m, float(t)] for m, t in layers], "angle_deg": float(angle_deg), "mhz": mhz}
    return v.row("slab", asks, given, expect, {key: 1e-6 for key in expect}, "the same wave equation by another algebra; the tables are the same", "media.DefinedGammaZ0.line, cascaded")


def rows():
    yield wall_row("brick of 110 mm, square on", [("brick", 110)], 0)
    yield wall_row("brick of 110 mm at 45 degrees", [("brick", 110)], 45)
    yield wall_row("concrete of 150 mm at 60 degrees", [("concrete", 150)], 60)
    yield wall_row("double pane 4-16-4 mm, square on", [("glass", 4), ("air", 16), ("glass", 4)], 0)
    yield wall_row("double pane 4-16-4 mm at 50 degrees", [("glass", 4), ("air", 16), ("glass", 4)], 50)
    yield wall_row("triple pane 4-12-4-12-4 mm at 2437 MHz", [("glass", 4), ("air", 12), ("glass", 4), ("air", 12), ("glass", 4)], 20, 2437.0)
    yield wall_row("timber wall: boards, gap, chipboard, at 30 degrees", [("wood", 22), ("air", 95), ("chipboard", 18)], 30)
    yield wall_row("light wall: two plasterboards at 70 degrees", [("plasterboard", 12.5), ("air", 75), ("plasterboard", 12.5)], 70)


if __name__ == "__main__":
    v.main(__file__, ["scikit-rf", "numpy"], rows)
