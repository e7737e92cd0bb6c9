"""Heat shed by bare level wires, by ht and fluids: still air by Churchill and Chu, moving air by Churchill and Bernstein, the greater of
both, air at the film temperature, radiation; and the current that makes that heat in copper."""

import math
import pathlib
import sys

from fluids import ATMOSPHERE_1976 as standard
from ht import Nu_cylinder_Churchill_Bernstein, Nu_horizontal_cylinder_Churchill_Chu

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v

SAME = "the same correlation, evaluated another way"
R = 8314.32 / 28.9644


def shed(mm, hot, cold, speed=0.0):
    d, hot, cold = mm * 1e-3, hot + 273.15, cold + 273.15
    film = (hot + cold) / 2
    mu, k, rho = standard.viscosity(film), standard.thermal_conductivity(film), standard.density(film, 101325.0)
    prandtl, grashof = 3.5 * R * mu / k, 9.80665 / film * (hot - cold) * d**3 * (rho / mu) ** 2
    still = Nu_horizontal_cylinder_Churchill_Chu(prandtl, grashof)
    moving = Nu_cylinder_Churchill_Bernstein(speed * d * rho / mu, prandtl) if speed else 0.0
    convected = max(still, moving) * k / d * (hot - cold)
    return math.pi * d * (convected + 0.9 * 5.670374419e-8 * (hot**4 - cold**4))


def current(mm, hot, cold):
    area = math.pi / 4 * mm**2
    # IEC 60028 copper, two in a hundred more for strands.
    ohm = 1.02 / 58 / area * (1 + 3.93e-3 * (hot - 20))
    return math.sqrt(shed(mm, hot, cold) / ohm)


def rows():
    for rayleigh in (1e-4, 1e-2, 1.0, 1e3, 1e6):
        value = Nu_horizontal_cylinder_Churchill_Chu(0.707, rayleigh / 0.707)
        yield v.row("level_cylinder", f"level cylinder in still air at a Rayleigh number of {rayleigh:g}", {"rayleigh": rayleigh, "prandtl": 0.707}, {"nusselt": value}, {"nusselt": float(f"{1e-6 * value:.1e}")}, SAME, "Nu_horizontal_cylinder_Churchill_Chu")
    for gauge, mm in ((30, 0.2546), (26, 0.4049), (20, 0.8118), (14, 1.6277)):
        for speed in (0.0, 3.0):
            value = shed(mm, 105.0, 40.0, speed)
            air = "still air" if not speed else f"air of {speed:g} m/s"
            yield v.row("shed", f"a metre of bare wire of gauge {gauge} at 105 °C in {air} of 40 °C", {"mm": mm, "wire_c": 105.0, "air_c": 40.0, "speed_m_s": speed}, {"w_m": value}, {"w_m": float(f"{1e-4 * value:.1e}")}, SAME, "ht and fluids")
    for gauge in (12, 16, 20, 26, 30):
        mm = 0.127 * 92 ** ((36 - gauge) / 39)
        value = current(mm, 105.0, 40.0)
        yield v.row("wire_current", f"current that warms stranded wire of gauge {gauge} to 105 °C in still air of 40 °C", {"gauge": gauge, "wire_c": 105.0, "air_c": 40.0}, {"a": value}, {"a": float(f"{1e-4 * value:.1e}")}, SAME, "ht and fluids; IEC 60028, ASTM B258")


if __name__ == "__main__":
    v.main(__file__, ["ht", "fluids"], rows)
