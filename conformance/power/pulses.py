"""A pouch cell under pulses, by the porous-electrode model of pybamm with the open parameter set Ai2020.

One set of trains is what a cell is fitted on; the deepest sags of other trains are what it must foretell. The cell is held at 25 °C,
and may go below its cut-off, so that the deepest sag is the model's own. Cold is not compared: this set of parameters resists only a
tenth more at 5 °C, where real cells are seen to resist half again to twice as much.
"""

import os
import pathlib
import sys

# The library would report its use over the network; nothing here may.
os.environ["PYBAMM_DISABLE_TELEMETRY"] = "true"

import pybamm  # noqa: E402

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v  # noqa: E402

pybamm.set_logging_level("ERROR")
CAPACITY = 2466.0
RATE = 2.28
FITTED_ON = [(0, 5, 1), (2, 10, 0.5), (5, 3, 0.1), (2, 10, 0.5), (0, 30, 1)]
SHORT = [(3, 6, 0.5), (5, 2, 0.1), (1, 15, 0.5), (5, 5, 0.1), (1, 10, 0.5)]
LONG = [(1, 120, 2), (5, 4, 0.1), (2, 60, 1), (5, 4, 0.1), (3, 30, 1)]
# As deep for this cell as 45 C are for a racing pack of a sixth of its resistance for its charge.
HARD = [(1, 60, 1), (8, 1.5, 0.05), (1, 10, 0.5), (8, 1.5, 0.05)]
GOAL = "25 mV at the deepest sag of a punch of 5 C decide no verdict: the doubt of a user's cell is greater"


def discharge(steps, charge):
    values = pybamm.ParameterValues("Ai2020")
    values["Ambient temperature [K]"] = values["Initial temperature [K]"] = 298.15
    values["Lower voltage cut-off [V]"] = 1.5
    told = [f"{f'Discharge at {rate * RATE} A' if rate else 'Rest'} for {time} seconds ({period} second period)" for rate, time, period in steps]
    simulation = pybamm.Simulation(pybamm.lithium_ion.DFN(), parameter_values=values, experiment=pybamm.Experiment(told))
    found = simulation.solve(initial_soc=charge)
    return [found[key].entries for key in ("Time [s]", "Current [A]", "Terminal voltage [V]")]


def amperes(steps):
    return [[rate * RATE, float(time)] for rate, time, _ in steps]


def sag_row(words, steps, charge, within=(0.025, 0.035), because=GOAL, rate="5 C = 11.4 A"):
    """The typical cell with this one's capacity and ohmic resistance."""
    _, _, volts = discharge(steps, charge)
    given = {"capacity_mah": CAPACITY, "ohmic_mohm": 10.4, "charge": 100 * charge, "steps": amperes(steps)}
    place = f"Ai2020, DFN, 25 °C, punches of {rate}"
    return v.row("sag", f"{words} from {100 * charge:g} %: deepest sag, and the end", given, {"deepest_v": volts.min(), "end_v": volts[-1]}, dict(zip(("deepest_v", "end_v"), within)), because, place)


def fitted_row(words, steps, charges):
    """A cell fitted on one set of trains foretells another."""
    readings, ends = [], [0.2]
    for train, charge in enumerate((0.95, 0.8, 0.65, 0.5, 0.35, 0.28)):
        time, current, volts = discharge(FITTED_ON, charge)
        # A step's first instant comes twice; the current of the step that ends there comes first.
        kept, last = [], -1.0
        for t, u in zip(time, volts):
            if t - last > 0.4 and t > 0:
                kept.append([train, float(round(t, 3)), float(round(u, 5))])
                last = t
        readings += kept[::2] + [r for r in kept[1::2] if 15 < r[1] < 18.05]
    given = {"capacity_mah": CAPACITY, "trained_charges": [95.0, 80.0, 65.0, 50.0, 35.0, 28.0], "trained_steps": amperes(FITTED_ON), "readings": readings,
             "charges": [100 * c for c in charges], "steps": amperes(steps)}
    expect = {f"deepest_{100 * c:g}_v": float(discharge(steps, c)[2].min()) for c in charges}
    return v.row("fitted_sag", words, given, expect, dict.fromkeys(expect, 0.025), GOAL, "Ai2020, DFN, 25 °C; fitted on six trains of 0, 2, 5, 2, 0 C")


def rows():
    yield fitted_row("a cell fitted on one set of trains foretells the deepest sag of short punches", SHORT, (0.9, 0.7, 0.42, 0.25))
    yield from (sag_row("3 C, then two punches", SHORT, charge) for charge in (0.9, 0.7, 0.42, 0.25))
    yield from (sag_row("two minutes of 1 C, then two punches", LONG, charge) for charge in (0.8, 0.4))
    because = "a quarter of what is slow, the doubt it is given, is three times as much"
    yield from (sag_row("1 C, then two hard punches", HARD, charge, (0.03, 0.035), because, "8 C = 18.2 A") for charge in (0.8, 0.5, 0.3))


if __name__ == "__main__":
    v.main(__file__, ["pybamm"], rows)
