"""Standard air by height, as fluids computes it from the U.S. Standard Atmosphere 1976."""

import pathlib
import sys

from fluids import ATMOSPHERE_1976

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v

WHY = "both compute the standard's formulas; R and the exponent carry five to six figures"


def air(height, warmer=0.0):
    found = ATMOSPHERE_1976(float(height), dT=warmer)
    expect = {"temperature_k": found.T, "pressure_pa": found.P, "density": found.rho, "viscosity": found.mu, "conductivity": found.k}
    within = {"temperature_k": 0.001, "pressure_pa": 3.0, "density": 5e-5, "viscosity": 2e-9, "conductivity": 3e-6}
    given = {"height_m": float(height)}
    if warmer:
        given["temperature_c"] = found.T - 273.15
    day = f", {warmer:g} K warmer than standard" if warmer else ""
    return v.row("air", f"air at {height} m{day}", given, expect, within, WHY, "ATMOSPHERE_1976(Z, dT)")


def rows():
    yield from (air(height) for height in (0, 500, 1000, 1500, 2000, 3000, 5000))
    yield from (air(height, warmer) for height, warmer in ((0, 20.0), (1500, 15.0), (0, -25.0)))


if __name__ == "__main__":
    v.main(__file__, ["fluids"], rows)
