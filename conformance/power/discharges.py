"""Packs under constant power and full throttle, by SciPy: the curve between its points, and the ordinary differential equation.

The same equations as ours, solved another way: at each instant the current by a bracketed root, in time by an implicit method of high
order with tolerances of 1e-9. What differs is the stepping, which is what is checked.
"""

import math
import pathlib
import sys

from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v

CURVE = [[0.0, 3.0], [5.0, 3.5], [12.0, 3.64], [30.0, 3.74], [55.0, 3.81], [80.0, 4.0], [100.0, 4.2]]
AT = PchipInterpolator([p / 100 for p, _ in CURVE], [u for _, u in CURVE])
THERMAL = 2 * 8.314462618 / 96485.33212 * 298.15
HOVER_AND_PUNCHES = [[140.0, 0.0, 30.0], [9.0, 95.0, 2.0], [140.0, 0.0, 10.0], [9.0, 110.0, 4.0], [200.0, 0.0, 45.0], [9.0, 110.0, 1.0], [120.0, 0.0, 60.0]]


def flight(cell, legs, full_v):
    """Deepest and last voltage, charge at the end, energy."""
    ohm = (cell["series"] * cell["ohmic_mohm"] + cell["joints_mohm"]) * 1e-3
    branches = [(r * 1e-3, tau) for r, tau in cell["branches"]]

    def standing(state, watts, full):
        rest = cell["series"] * (float(AT(state[0])) - sum(state[1:3]))
        loads = lambda u: watts / u + full * (u / full_v) ** 2
        over = lambda u: rest - ohm * loads(u) - cell["series"] * THERMAL * math.asinh(loads(u) / (2 * cell["exchange_a"])) - u
        u = brentq(over, 0.7 * rest, rest + 1e-9, xtol=1e-13)
        return u, loads(u)

    state, deepest = [cell["charge"] / 100, 0.0, 0.0, 0.0], math.inf
    for watts, full, lasts in legs:
        def rate(_, y):
            u, i = standing(y, watts, full)
            return [-i / (3.6 * cell["capacity_mah"]), *((r * i - x) / tau for (r, tau), x in zip(branches, y[1:3])), u * i / 3600]
        found = solve_ivp(rate, (0, lasts), state, method="DOP853", rtol=1e-9, atol=1e-12, max_step=0.25)
        volts = [standing(y, watts, full)[0] for y in found.y.T]
        deepest, state = min(deepest, *volts), list(found.y[:, -1])
    return {"deepest_v": deepest, "end_v": volts[-1], "end_charge": 100 * state[0], "energy_wh": state[3]}


def flight_row(words, legs, **changed):
    cell = {"capacity_mah": 1300.0, "series": 6, "ohmic_mohm": 3.5, "exchange_a": 1.4, "branches": [[0.6, 2.5], [5.0, 35.0]], "joints_mohm": 6.0, "charge": 90.0} | changed
    expect = flight(cell, legs, 22.2)
    within = {"deepest_v": 1e-3, "end_v": 1e-3, "end_charge": 1e-3, "energy_wh": 5e-4}
    return v.row("flight", words, {**cell, "curve": CURVE, "full_v": 22.2, "legs": legs}, expect, within,
                 "our steps may add 0.05 mV each; a thousandth of a volt of 20, and of energy a part in 20 000, are far below any doubt of a pack", "integrate.solve_ivp DOP853, rtol 1e-9, with optimize.brentq at each instant")


def rows():
    for charge in (0.0, 2.0, 8.5, 20.0, 42.0, 67.5, 93.0, 100.0):
        place = "interpolate.PchipInterpolator"
        yield v.row("curve", f"the curve of rest at {charge:g} %", {"curve": CURVE, "charge": charge}, {"volts": float(AT(charge / 100))}, {"volts": 1e-9}, "the same cubic pieces", place)
    yield flight_row("hover and punches on 6 cells", HOVER_AND_PUNCHES)
    yield flight_row("the same late in the pack", HOVER_AND_PUNCHES, charge=45.0)
    yield flight_row("the same on a tired pack", HOVER_AND_PUNCHES, ohmic_mohm=8.0, exchange_a=0.5, branches=[[2.0, 1.0], [9.0, 60.0]])
    yield flight_row("a long hover", [[150.0, 0.0, 300.0]])


if __name__ == "__main__":
    v.main(__file__, ["scipy"], rows)
