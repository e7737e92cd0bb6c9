"""How long does a flight of ten minutes take a general-purpose solver of ordinary differential equations?

Reads the flight that the program's own bench wrote (layout: crates/power/examples/time_flight.rs), solves it leg by leg with SciPy's
solve_ivp, and writes its timing and how far its voltages lie from ours.

    bench_flights.py FLIGHTS.json ANSWERS.json
    bench_flights.py --check

As a careful user of the library would, the voltage is solved for by Newton's steps from the last one, and the solver is asked for no
more than a tenth of a millivolt (LSODA, rtol 1e-6). The figure is that of one round.
"""

import math
import sys
from pathlib import Path

from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
import _bench as bench  # noqa: E402

THERMAL = 2 * 8.314462618 / 96485.33212 * 298.15


def flown(scene):
    """Bus voltage at the end of each leg."""
    cell, full_v = scene["cell"], scene["full_v"]
    curve = PchipInterpolator([p / 100 for p, _ in scene["curve"]], [u for _, u in scene["curve"]])
    n = cell["series"]
    ohm = (n * cell["ohmic_mohm"] + cell["joints_mohm"]) * 1e-3
    scale = 2 * cell["exchange_a"]
    branches = [(r * 1e-3, tau) for r, tau in cell["branches"]]
    last = [n * float(curve(cell["charge"] / 100))]

    def standing(state, watts, full):
        rest = n * (float(curve(state[0])) - state[1] - state[2])
        u = last[0]
        for _ in range(30):
            i = watts / u + full * (u / full_v) ** 2
            slope = -watts / u**2 + 2 * full * u / full_v**2
            over = rest - ohm * i - n * THERMAL * math.asinh(i / scale) - u
            grows = ohm + n * THERMAL / (scale * math.sqrt((i / scale) ** 2 + 1))
            step = over / (-grows * slope - 1)
            u -= step
            if abs(step) < 1e-10:
                break
        last[0] = u
        return u, watts / u + full * (u / full_v) ** 2

    state, ends = [cell["charge"] / 100, 0.0, 0.0], []
    for watts, full, lasts in scene["legs"]:
        def rate(_, y):
            _, i = standing(y, watts, full)
            return [-i / (3.6 * cell["capacity_mah"]), *((r * i - x) / tau for (r, tau), x in zip(branches, y[1:]))]
        state = list(solve_ivp(rate, (0, lasts), state, method="LSODA", rtol=1e-6, atol=1e-9).y[:, -1])
        ends.append(standing(state, watts, full)[0])
    return ends


def measured(scene):
    seconds, ends = bench.best_of(1, lambda: flown(scene))
    timings = [{"scene": scene["name"], "what": "flight, pack alone", "seconds": seconds}]
    apart = max(abs(a - b) for a, b in zip(ends, scene["bus_v"], strict=True))
    return timings, [{"scene": scene["name"], "greatest_mv": 1e3 * apart}]


def answers(scenes):
    return bench.told(bench.library("scipy", note="solve_ivp, LSODA"), measured, scenes)


def check():
    """A cell that hardly changes under a steady current of constant power: Ohm's law and one branch."""
    cell = {"capacity_mah": 1e6, "series": 1, "ohmic_mohm": 10.0, "exchange_a": 1e6, "branches": [[5.0, 2.0], [0.0, 1.0]], "joints_mohm": 0.0, "charge": 50.0}
    scene = {"cell": cell, "curve": [[0.0, 3.9999999], [50.0, 4.0], [100.0, 4.0000001]], "full_v": 4.0, "legs": [[39.0, 0.0, 60.0]]}
    found = flown(scene)[0]
    exact = 2 + math.sqrt(4 - 39 * 0.015)
    assert abs(found - exact) < 1e-4, (found, exact)
    print("a steady load stands where Ohm's law says")


if __name__ == "__main__":
    bench.run(__doc__, answers, check)
