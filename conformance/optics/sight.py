"""Sharpness by the wave and by the ray, and the dodge as a motion integrated step by step.

- Airy disc: the first nought of the Bessel function J1, which the handbook rounds to 2.44.
- Blur and depth of field: the two image distances of 1/f = 1/a + 1/b, and the cone of light between them; limits by root finding.
- A turn of the lens: the object distance that suits its new place, by root finding.
- Moving aside, and the fastest speed that still dodges: x, y and sideways speed as an ordinary differential equation with the
  bank growing at its rate, the pull limited by what thrust leaves over weight and drag, ended when it has moved aside.
"""

import math
import pathlib
import sys

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.special import jn_zeros

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v

GRAVITY = 9.80665
ROUNDING = "both solve the same thin lens in double precision; the search ends within 1e-9 of the distance"
STEPS = "the integrator is asked for 1e-11 and ours is good to 1e-8 of the way"


def disc_row(f_number, wavelength):
    disc = 2 * jn_zeros(1, 1)[0] / math.pi * wavelength * f_number
    because = "2.44 is the rounded nought of J1: 2.4393, 0.03 % less"
    return v.row("diffraction", f"Airy disc at f/{f_number:g}, {wavelength:g} µm", {"f_number": f_number, "wavelength_um": wavelength},
                 {"disc_um": disc}, {"disc_um": float(f"{4e-4 * disc:.1e}")}, because, "special.jn_zeros(1, 1)")


def image(f, a):
    return f * a / (a - f)


def disc_um(f, n, set_to, at):
    """How wide the cone of light is on the sensor."""
    there, sensor = image(f, at) if math.isfinite(at) else f, image(f, set_to)
    return 1000 * f / n * abs(there - sensor) / there


def blur_row(f, n, set_to, at):
    given = {"focal_length_mm": f, "f_number": n, "set_to_mm": set_to}
    if math.isfinite(at):
        given["at_mm"] = at
    words = f"at {at:g} mm" if math.isfinite(at) else "far away"
    return v.row("blur", f"{f:g} mm at f/{n:g} set to {set_to:g} mm, a point {words}", given, {"blur_um": disc_um(f, n, set_to, at)},
                 {"blur_um": 1e-9}, ROUNDING, "two image distances, one cone")


def focus_row(f, n, set_to, circle):
    near = brentq(lambda d: disc_um(f, n, set_to, d) - circle, 1.0001 * f, set_to, xtol=1e-10)
    expect = {"near_mm": near}
    if disc_um(f, n, set_to, math.inf) > circle:
        expect["far_mm"] = brentq(lambda d: disc_um(f, n, set_to, d) - circle, set_to, 1e9, xtol=1e-9)
    given = {"focal_length_mm": f, "f_number": n, "set_to_mm": set_to, "circle_um": circle}
    return v.row("focus", f"{f:g} mm at f/{n:g} set to {set_to:g} mm, circle of {circle:g} µm", given, expect,
                 {key: float(f"{1e-7 * value:.0e}") for key, value in expect.items()}, ROUNDING, "optimize.brentq on the width of the cone")


def thread_row(f, n, set_to, pitch, turn):
    place = image(f, set_to) + pitch * turn / 360
    after = brentq(lambda a: image(f, a) - place, 1.0001 * f, 1e9, xtol=1e-9)
    given = {"focal_length_mm": f, "f_number": n, "set_to_mm": set_to, "thread_mm": pitch, "turn_deg": turn}
    return v.row("thread", f"{f:g} mm set to {set_to:g} mm, turned by {turn:g} degrees", given, {"after_mm": after},
                 {"after_mm": float(f"{1e-6 * after:.0e}")}, ROUNDING, "optimize.brentq on 1/f = 1/a + 1/b")


def motion(aside, rate, pull):
    """The time until a craft has moved aside."""
    rate, full = math.radians(rate), math.atan(pull / GRAVITY)
    def moves(t, state):
        return [state[1], GRAVITY * math.tan(min(rate * t, full))]
    def there(t, state):
        return state[0] - aside
    there.terminal = True
    # In two legs, so that no step straddles the end of the bank.
    first = solve_ivp(moves, [0, full / rate], [0, 0], events=there, rtol=1e-11, atol=1e-13, method="DOP853")
    if first.t_events[0].size:
        return first.t_events[0][0]
    second = solve_ivp(lambda t, s: [s[1], pull], [0, 1000], first.y[:, -1], events=there, rtol=1e-11, atol=1e-13, method="DOP853", max_step=0.05)
    return full / rate + second.t_events[0][0]


def aside_row(aside, rate, pull):
    time = motion(aside, rate, pull)
    return v.row("aside", f"{aside:g} m aside at {rate:g} degrees a second, pull {pull:g} m/s²", {"aside_m": aside, "bank_rate_deg_s": rate, "pull": pull},
                 {"time_s": time}, {"time_s": float(f"{1e-7 * time:.0e}")}, STEPS, "integrate.solve_ivp, DOP853")


def dodge_row(words, seen_from, delay, aside, rate, mass, thrust, drag_area):
    density = 1.225
    def over(speed):
        drag = 0.5 * density * drag_area * speed**2
        spare = thrust**2 - (mass / 1000 * GRAVITY) ** 2 - drag**2
        if spare <= 1e-9:
            return 1e3
        return speed * (delay + motion(aside, rate, math.sqrt(spare) / (mass / 1000))) - seen_from
    fastest = brentq(over, 0.01, 300, xtol=1e-10)
    given = {"seen_from_m": seen_from, "delay_s": delay, "aside_m": aside, "bank_rate_deg_s": rate, "mass_g": mass, "thrust_n": thrust, "drag_area_m2": drag_area, "density": density}
    return v.row("dodge", words, given, {"fastest_m_s": fastest}, {"fastest_m_s": float(f"{1e-6 * fastest:.0e}")},
                 STEPS + "; the speed is found to 1e-10", "integrate.solve_ivp within optimize.brentq")


def rows():
    yield from (disc_row(n, wave) for n, wave in [(1.2, 0.55), (2.0, 0.45), (2.8, 0.65)])
    yield from (blur_row(*case) for case in [(2.1, 2.0, 3000.0, math.inf), (2.1, 2.0, 3000.0, 400.0), (1.6, 2.1, 500.0, 20000.0), (2.8, 1.7, 20000.0, 300.0)])
    yield from (focus_row(*case) for case in [(2.1, 2.0, 300.0, 2.9), (1.6, 2.1, 3000.0, 2.0), (2.8, 1.7, 800.0, 5.8), (2.5, 2.8, 250.0, 4.0)])
    yield from (thread_row(*case) for case in [(2.1, 2.0, 3000.0, 0.5, 10.0), (1.6, 2.1, 800.0, 0.5, -1.0), (2.1, 2.0, 500.0, 0.35, 20.0)])
    yield from (aside_row(*case) for case in [(0.05, 400.0, 20.0), (0.5, 400.0, 20.0), (1.5, 600.0, 60.0), (1.0, 200.0, 8.0), (3.0, 800.0, 90.0)])
    yield dodge_row("a light craft and a branch seen late", 6.0, 0.3, 0.3, 400.0, 46.0, 1.19, 0.0035)
    yield dodge_row("a racer and a post", 20.0, 0.29, 0.8, 600.0, 650.0, 43.6, 0.010)
    yield dodge_row("a slow filming craft and a branch", 8.0, 0.33, 0.4, 300.0, 320.0, 8.6, 0.012)
    yield dodge_row("so far away that drag is what limits", 400.0, 0.3, 0.5, 400.0, 165.0, 12.0, 0.005)


if __name__ == "__main__":
    v.main(__file__, ["scipy", "numpy"], rows)
