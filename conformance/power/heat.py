"""Heat of boards by ht and fluids: Nusselt numbers, and warming up by SciPy with those correlations in it.

The warming rows put together what the rows above check one by one: film properties from fluids, Nusselt numbers from ht, radiation,
and an ordinary differential equation with tolerances of 1e-9.
"""

import pathlib
import sys

from fluids import ATMOSPHERE_1976 as standard
from ht import Nu_cylinder_Churchill_Bernstein, Nu_horizontal_plate_laminar_Baehr, Nu_horizontal_plate_McAdams, Nu_vertical_plate_Churchill
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v

SAME = "the same correlation, evaluated another way"
R = 8314.32 / 28.9644


def nusselt(kind, words, given, value, call):
    return v.row(kind, words, given, {"nusselt": value}, {"nusselt": float(f"{1e-6 * value:.1e}")}, SAME, call)


def coefficient(face, air, pascals, speed, height):
    """h of an upright face in W/(m²·K): still or moving air, whichever gives more."""
    film = (face + air) / 2
    mu, k, rho = standard.viscosity(film), standard.thermal_conductivity(film), standard.density(film, pascals)
    prandtl = 3.5 * R * mu / k
    grashof = 9.80665 / film * max(face - air, 0) * height**3 * (rho / mu) ** 2
    still = k / height * Nu_vertical_plate_Churchill(prandtl, grashof)
    moving = k / height * Nu_horizontal_plate_laminar_Baehr(rho * speed * height / mu, prandtl) if speed else 0.0
    # Combined free and forced convection, Churchill (1977), with the exponent 3.
    return (still**3 + moving**3) ** (1 / 3)


def warming(words, board, sink, pad, watts, celsius, metres, speed, seconds):
    """Masses are (width mm, height mm, area over outline, J/K); both begin at the air's temperature."""
    air, pascals = celsius + 273.15, standard(float(metres)).P

    def off(body, at):
        width, height, fold, _ = body
        area = width * height * 1e-6 * fold
        radiated = 0.9 * 5.670374419e-8 * (at**4 - air**4)
        return area * (coefficient(at, air, pascals, speed, height * 1e-3) * (at - air) + radiated)

    def rates(_, y):
        across = pad * (y[0] - y[1]) if sink else 0.0
        return [(watts - off(board, y[0]) - across) / board[3], (across - off(sink, y[1])) / sink[3] if sink else 0.0]

    at = solve_ivp(rates, (0, seconds), [air, air], method="LSODA", rtol=1e-9, atol=1e-9).y[:, -1] - 273.15
    given = {"board": v.floats(board), "watts": watts, "temperature_c": celsius, "height_m": float(metres), "speed_m_s": speed, "s": float(seconds)}
    expect = {"board_c": float(at[0])}
    if sink:
        given |= {"sink": v.floats(sink), "pad_w_k": pad}
        expect["sink_c"] = float(at[1])
    else:
        expect["steady_c"] = brentq(lambda t: watts - off(board, t), air, 1400) - 273.15
    return v.row("warming", words, given, expect, dict.fromkeys(expect, 0.02), "the constants of the standard air carry five figures; a fiftieth of a kelvin", "ht and fluids within integrate.solve_ivp LSODA, rtol 1e-9")


def rows():
    for rayleigh in (1e3, 9.53e4, 1e6, 1e9, 1e11):
        yield nusselt("upright", f"upright plate at a Rayleigh number of {rayleigh:g}", {"rayleigh": rayleigh, "prandtl": 0.71}, Nu_vertical_plate_Churchill(0.71, rayleigh / 0.71), "Nu_vertical_plate_Churchill")
    for rayleigh in (2e4, 1e6, 1e8):
        for up in (True, False):
            side = "up" if up else "down"
            if up or rayleigh >= 1e5:
                yield nusselt("level", f"level plate, hot face {side}, at {rayleigh:g}", {"rayleigh": rayleigh, "up": float(up)}, Nu_horizontal_plate_McAdams(0.71, rayleigh / 0.71, buoyancy=up), "Nu_horizontal_plate_McAdams")
    for reynolds in (500.0, 16550.0, 2e5):
        yield nusselt("flat", f"flat plate along a stream at a Reynolds number of {reynolds:g}", {"reynolds": reynolds, "prandtl": 0.7}, Nu_horizontal_plate_laminar_Baehr(reynolds, 0.7), "Nu_horizontal_plate_laminar_Baehr")
    for reynolds in (50.0, 6071.0, 50000.0):
        yield nusselt("cylinder", f"cylinder across a stream at {reynolds:g}", {"reynolds": reynolds, "prandtl": 0.7}, Nu_cylinder_Churchill_Bernstein(reynolds, 0.7), "Nu_cylinder_Churchill_Bernstein")
    micro, plate = (27, 27, 2, 4.5), (40, 33, 2.5, 18)
    yield warming("a micro board of 4 W on the bench, one minute", micro, None, 0, 4.0, 25.0, 0, 0.0, 60)
    yield warming("the same in 10 m/s, five minutes", micro, None, 0, 4.0, 25.0, 0, 10.0, 300)
    yield warming("the same on a hot day at 1500 m in 10 m/s", micro, None, 0, 4.0, 35.0, 1500, 10.0, 120)
    yield warming("the same in a draught of 0.2 m/s, where rising air and stream share the work", micro, None, 0, 4.0, 25.0, 0, 0.2, 60)
    yield warming("a board with a sink of 6 W on the bench, four minutes", (40, 33, 1, 7.2), plate, 0.8, 6.0, 25.0, 0, 0.0, 240)
    yield warming("the same in 5 m/s, two minutes", (40, 33, 1, 7.2), plate, 0.8, 6.0, 25.0, 0, 5.0, 120)


if __name__ == "__main__":
    v.main(__file__, ["ht", "fluids", "scipy"], rows)
