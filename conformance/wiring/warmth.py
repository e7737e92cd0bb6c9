"""Heat shed by bare level wires in still air, by ht and fluids: convection by Churchill and Chu, air at the film temperature, radiation."""

import math
import pathlib
import sys

from fluids import ATMOSPHERE_1976 as standard
from ht import Nu_horizontal_cylinder_Churchill_Chu

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v

SAME = "the same correlation, evaluated another way"
R = 8314.32 / 28.9644


def shed(mm, hot, cold):
    d, hot, cold = mm * 1e-3, hot + 273.15, cold + 273.15
    film = (hot + cold) / 2
    mu, k, rho = standard.viscosity(film), standard.thermal_conductivity(film), standard.density(film, 101325.0)
    prandtl, grashof = 3.5 * R * mu / k, 9.80665 / film * (hot - cold) * d**3 * (rho / mu) ** 2
    convected = Nu_horizontal_cylinder_Churchill_Chu(prandtl, grashof) * k / d * (hot - cold)
    return math.pi * d * (convected + 0.9 * 5.670374419e-8 * (hot**4 - cold**4))


def rows():
    for rayleigh in (1e-4, 1e-2, 1.0, 1e3, 1e6):
        value = Nu_horizontal_cylinder_Churchill_Chu(0.707, rayleigh / 0.707)
        yield v.row("cylinder", f"level cylinder in still air at a Rayleigh number of {rayleigh:g}", {"rayleigh": rayleigh, "prandtl": 0.707}, {"nusselt": value}, {"nusselt": float(f"{1e-6 * value:.1e}")}, SAME, "Nu_horizontal_cylinder_Churchill_Chu")
    for gauge, mm in ((30, 0.2546), (26, 0.4049), (20, 0.8118), (14, 1.6277)):
        value = shed(mm, 105.0, 40.0)
        yield v.row("shed", f"a metre of bare wire of gauge {gauge} at 105 °C in still air of 40 °C", {"mm": mm, "wire_c": 105.0, "air_c": 40.0}, {"w_m": value}, {"w_m": float(f"{0.01 * value:.1e}")}, "air from a table of two rows, powers between: one in a hundred", "ht and fluids")


if __name__ == "__main__":
    v.main(__file__, ["ht", "fluids"], rows)
