"""Antennas by a method of moments (PyNEC): what the closed patterns of the program promise, held against wires.

Lengths are in wavelengths: the model is run at the frequency whose wavelength is a metre. The wires are thin; the helices stand on
an infinite mirror. The lobes are those of dipoles over real ground, their field in the far zone, for each ampere at the feed,
against that in free space; conductivity is scaled so that the ground is what it is at 5800 MHz.
"""

import pathlib
import sys

import numpy as np
from PyNEC import nec_context

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v

MHZ = 299.792458


def context(wires, feeds, ground=None):
    c = nec_context()
    geometry = c.get_geometry()
    for tag, segments, start, end, radius in wires:
        geometry.wire(tag, segments, *(float(x) for x in start), *(float(x) for x in end), radius, 1.0, 1.0)
    c.geometry_complete(1 if ground else 0)
    if ground == "mirror":
        c.gn_card(1, 0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    elif ground:
        c.gn_card(0, 0, float(ground[0]), float(ground[1]), 0.0, 0.0, 0.0, 0.0)
    for tag, segment, volts in feeds:
        c.ex_card(0, tag, segment, 0, float(volts.real), float(volts.imag), 0.0, 0.0, 0.0, 0.0)
    c.fr_card(0, 1, MHZ, 0.0)
    return c


def pattern(c, thetas, phi):
    step = float(thetas[1] - thetas[0]) if len(thetas) > 1 else 1.0
    c.rp_card(0, len(thetas), 1, 0, 5, 0, 0, float(thetas[0]), float(phi), step, 1.0, 0.0, 0.0)
    found = c.get_radiation_pattern(0)
    gain = np.array(found.get_gain()).ravel()[: len(thetas)]
    return gain, np.array(found.get_e_theta()).ravel()[: len(thetas)], np.array(found.get_e_phi()).ravel()[: len(thetas)]


def dipole_row(theta):
    wire = (1, 41, (0, 0, -0.2375), (0, 0, 0.2375), 1e-5)
    gain, _, _ = pattern(context([wire], [(1, 21, 1 + 0j)]), [theta, theta + 1.0], 0.0)
    return v.row("dipole", f"a thin dipole of 0.475 wavelengths, {theta:g} degrees from its axis", {"theta_deg": float(theta)}, {"gain_dbi": gain[0]}, {"gain_dbi": 0.15},
                 "a real wire is shortened to resonance and its current is no perfect sine", "rp_card, free space")


def crossed_row(off):
    short = 0.02
    wires = [(1, 11, (-short, 0, 0), (short, 0, 0), 1e-5), (2, 11, (0, -short, 0.002), (0, short, 0.002), 1e-5)]
    c = context(wires, [(1, 6, 1 + 0j), (2, 6, -1j)])
    _, e_theta, e_phi = pattern(c, [off, off + 1.0], 0.0)
    # With e^(+jωt) and θ, φ, r right-handed the right-hand wave is (1, −j).
    right, left = abs(e_theta[0] + 1j * e_phi[0]), abs(e_theta[0] - 1j * e_phi[0])
    ratio = 20 * np.log10((right + left) / abs(right - left))
    return v.row("crossed_currents", f"axial ratio of crossed short dipoles {off:g} degrees off their axis", {"off_deg": float(off)}, {"axial_ratio_db": ratio, "right": float(right > left)},
                 {"axial_ratio_db": 0.15, "right": 0.1}, "the wires are short but not points, and stand a five-hundredth of a wavelength apart", "rp_card, two feeds a quarter turn apart")


def helix_row(turns, around, pitch):
    spacing, radius = around * np.tan(np.radians(pitch)), around / (2 * np.pi)
    segments = int(turns * 24)
    turn = np.linspace(0, 2 * np.pi * turns, segments + 1)
    points = np.column_stack([radius * np.cos(turn), radius * np.sin(turn), 0.02 + spacing * turn / (2 * np.pi)])
    wires = [(1, 2, (radius, 0, 0), points[0], 0.005)]
    wires += [(2 + n, 1, points[n], points[n + 1], 0.005) for n in range(segments)]
    widths = []
    for cut in (0.0, 90.0):
        gain, _, _ = pattern(context(wires, [(1, 1, 1 + 0j)], "mirror"), list(range(91)), cut)
        n = int(np.argmax(gain < gain[0] - 3.0103))
        widths.append(2 * (n - 1 + (gain[n - 1] - gain[0] + 3.0103) / (gain[n - 1] - gain[n])))
    width = sum(widths) / 2
    asks = f"helix of {turns:g} turns, {around:g} wavelengths around, pitch {pitch:g} degrees"
    given = {"turns": float(turns), "circumference": float(around), "pitch_deg": float(pitch), "mhz": 5800.0}
    return v.row("helix", asks, given, {"gain_dbi": gain[0], "width_deg": width}, {"gain_dbi": 0.9, "width_deg": float(round(0.13 * width, 1))},
                 "a formula fitted to helices on cups of finite size against wires on an infinite mirror: 0.9 dB, 13 % of width", "rp_card over a mirror, mean width of two cuts")


def lobe_row(material, height, grazing):
    a, b, conduct, d = {"medium dry ground": (15, -0.1, 0.035, 1.63), "concrete": (5.24, 0, 0.0462, 0.7822), "wet ground": (30, -0.4, 0.15, 1.30)}[material]
    ground = (a * 5.8**b, conduct * 5.8**d * MHZ / 5800)
    expect = {}
    for words, wire in (("level", ((0, -0.2375), (0, 0))), ("upright", ((0, 0), (-0.2375, 0.2375)))):
        (_, y), (low, high) = wire

        def field(over):
            ends = ((0, y, height + low), (0, -y, height + high))
            c = context([(1, 41, *ends, 1e-5)], [(1, 21, 1 + 0j)], over)
            _, e_theta, e_phi = pattern(c, [90.0 - grazing, 91.0 - grazing], 0.0)
            current = 1 / c.get_input_parameters(0).get_impedance()[0]
            return abs((e_phi if words == "level" else e_theta)[0] / current)

        expect[f"{words}_db"] = 20 * np.log10(field(ground) / field(None))
    given = {"material": material, "mhz": 5800.0, "wavelengths": float(height), "grazing_deg": float(grazing)}
    return v.row("lobe", f"dipoles {height:g} wavelengths over {material}, {grazing:g} degrees up", given, expect, {key: 0.02 for key in expect},
                 "far fields by the same two coefficients, the currents by the wires' own", "gn_card with real ground, rp_card, get_impedance")


def rows():
    yield from (dipole_row(t) for t in (90, 70, 50, 30, 15))
    yield from (crossed_row(o) for o in (20, 45, 60, 120))
    yield from (lobe_row(m, h, g) for m, h, g in [("medium dry ground", 3.3, 4), ("medium dry ground", 5.0, 12), ("medium dry ground", 2.1, 40), ("wet ground", 4.0, 8), ("concrete", 3.0, 25)])
    yield from (helix_row(n, c, p) for n, c, p in [(4, 1.1, 13), (5, 1.0, 13), (5, 1.1, 13), (6, 1.0, 12), (6, 1.1, 13), (10, 1.0, 13), (10, 1.1, 13)])


if __name__ == "__main__":
    v.main(__file__, ["PyNEC", "numpy"], rows)
