"""Supply filters by SciPy: what passes at a frequency, and how a step comes through."""

import math
import pathlib
import sys

import numpy as np
from scipy import signal

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v

WHY = "the same transfer function, evaluated another way"
FILTERS = [("10 µH and 470 µF, low resistance", 10.0, 20.0, 470.0, 20.0), ("10 µH and 100 µF, ringing", 10.0, 12.0, 100.0, 8.0),
           ("22 µH and 330 µF, well damped", 22.0, 40.0, 330.0, 350.0), ("10 µH and 22 µF of 5 mΩ, ringing where motors commutate", 10.0, 20.0, 22.0, 5.0), ("4.7 µH and 100 µF, critically damped", 4.7, 0.0, 100.0, 1e3 * 2 * math.sqrt(4.7e-6 / 100e-6))]


def system(uh, mohm, uf, esr):
    l, r, c, e = uh * 1e-6, mohm * 1e-3, uf * 1e-6, esr * 1e-3
    return signal.TransferFunction([c * e, 1], [l * c, c * (r + e), 1]), 1 / (2 * math.pi * math.sqrt(l * c))


def rows():
    for words, *values in FILTERS:
        found, corner = system(*values)
        given = dict(zip(("coil_uh", "coil_mohm", "capacitor_uf", "esr_mohm"), values))
        for times in (0.3, 1.0, 4.0, 20.0):
            f = round(times * corner, 1)
            _, response = signal.freqresp(found, [2 * math.pi * f])
            size = float(abs(response[0]))
            yield v.row("filter", f"{words}: {times:g} times the corner", {**given, "hz": f}, {"passes": size, "corner_hz": corner}, {"passes": float(f"{1e-6 * size:.1e}"), "corner_hz": 1e-3}, WHY, "signal.freqresp")
        for part in (0.1, 0.4, 1.5):
            t = round(part / corner, 9)
            grid = np.linspace(0, t, 4001)
            _, y = signal.step(found, T=grid)
            yield v.row("filter", f"{words}: {part:g} periods after a step", {**given, "s": t}, {"step": float(y[-1])}, {"step": 1e-6}, WHY + "; exact on its grid", "signal.step")


if __name__ == "__main__":
    v.main(__file__, ["scipy"], rows)
