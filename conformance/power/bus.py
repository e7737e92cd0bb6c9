"""Ripple of a supply bus by SciPy: the circuit of pack, lead, capacitors and filter followed in time from rest until it repeats.

The circuit is written here by its branches, not by the matrices of the program: each moment the voltage of the bus follows from what flows
in the lead, the filter and the switched current, and LSODA steps from edge to edge. Impedances come from a ladder of complex numbers.
"""

import math
import pathlib
import sys

import numpy as np
from scipy.integrate import solve_ivp

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v

BOARD = (10.0, 3.0)
# Words, pack mΩ, pack nH, capacitors (µF, mΩ), coil (µH, mΩ, µF, mΩ) or none, what a converter keeps out or 0.
SUPPLIES = [
    ("four cells, 470 µF", 29.0, 84.0, [(470.0, 28.0), BOARD], None, 0.0),
    ("one cell, 220 µF", 48.6, 28.0, [(220.0, 20.0), BOARD], None, 0.0),
    ("three round cells, 470 µF", 75.0, 92.0, [(470.0, 9.0), BOARD], None, 0.0),
    ("four cells, ceramics alone", 29.0, 84.0, [BOARD], None, 0.0),
    ("six cells, 1000 µF and 10 µH before 470 µF", 22.0, 110.0, [(1000.0, 18.0), BOARD], (10.0, 20.0, 470.0, 25.0), 0.0),
    ("four cells, wires of 80 mm before 220 µF", 29.0, 84.0, [(470.0, 28.0), BOARD], (0.064, 11.0, 220.0, 20.0), 0.0),
    ("four cells, behind a converter 4.7 µH before 100 µF", 29.0, 84.0, [(470.0, 28.0), BOARD], (4.7, 15.0, 100.0, 40.0), 20.0),
]


def followed(amperes, duty, rate, pack, nano, across, coil, keeps):
    ohm, henries = pack * 1e-3, nano * 1e-9
    across = [(uf * 1e-6, mohm * 1e-3) for uf, mohm in across]
    conducts = sum(1 / r for _, r in across)
    count = len(across)

    def volts(y, drawn):
        straight = coil is not None and not keeps
        flows = y[0] - drawn - (y[1 + count] if straight else 0.0)
        bus = (flows + sum(y[1 + k] / r for k, (_, r) in enumerate(across))) / conducts
        if coil is None:
            return bus, bus / (keeps or 1.0)
        return bus, y[2 + count] + coil[3] * 1e-3 * y[1 + count]

    def rates(drawn):
        def rate(_, y):
            bus, pins = volts(y, drawn)
            out = [(-bus - ohm * y[0]) / henries] + [(bus - y[1 + k]) / (r * c) for k, (c, r) in enumerate(across)]
            if coil is not None:
                l, r, c = coil[0] * 1e-6, coil[1] * 1e-3, coil[2] * 1e-6
                out += [(bus / (keeps or 1.0) - pins - r * y[1 + count]) / l, y[1 + count] / c]
            return out
        return rate

    y = np.zeros(1 + count + (0 if coil is None else 2))
    before, period, looks = None, 1 / rate, 101
    for _ in range(4000):
        seen = []
        for drawn, lasts in ((amperes, duty * period), (0.0, (1 - duty) * period)):
            found = solve_ivp(rates(drawn), (0, lasts), y, method="LSODA", rtol=1e-9, atol=1e-10, t_eval=np.linspace(0, lasts, looks))
            seen += [volts(state, drawn) for state in found.y.T]
            y = found.y[:, -1]
        swings = np.ptp(np.array(seen), axis=0)
        # A slow swing of the filter dies away within some hundred periods.
        if before is not None and np.all(np.abs(swings - before) < 1e-6 * swings):
            settled += 1
            # Once it repeats, one period is looked at closely.
            looks = 2001 if settled >= 20 else looks
            if settled == 21:
                return float(swings[0]), float(swings[1])
        else:
            settled = 0
        before = swings
    raise ArithmeticError("it does not settle")


def ladder(hertz, pack, nano, across, coil, keeps):
    w = 2j * math.pi * hertz
    admits = 1 / (pack * 1e-3 + w * nano * 1e-9) + sum(1 / (mohm * 1e-3 + 1 / (w * uf * 1e-6)) for uf, mohm in across)
    share = 1 / (keeps or 1.0)
    if coil is not None:
        pins = coil[3] * 1e-3 + 1 / (w * coil[2] * 1e-6)
        whole = pins + coil[1] * 1e-3 + w * coil[0] * 1e-6
        share *= abs(pins / whole)
        if not keeps:
            admits += 1 / whole
    return 1e3 / abs(admits), 1e3 * share / abs(admits)


def random_clocks(pack, nano, across, duty):
    """Peak to peak of four motors whose clocks stand to each other as chance has it, over that of one: the mean."""
    n = 512
    nothing = np.fft.rfftfreq(n, 1 / n) * 48e3
    wave = np.where(np.arange(n) < round(duty * n), 1.0, 0.0)
    admits = [1 / (pack * 1e-3 + 2j * math.pi * f * nano * 1e-9) + sum(1 / (mohm * 1e-3 + 1 / (2j * math.pi * f * uf * 1e-6)) for uf, mohm in across) if f else np.inf for f in nothing]
    one = np.fft.irfft(np.fft.rfft(wave) / np.array(admits), n)
    chance = np.random.default_rng(20)
    sums = [np.ptp(sum(np.roll(one, k) for k in chance.integers(n, size=4))) for _ in range(4000)]
    return float(np.mean(sums) / np.ptp(one))


def given(pack, nano, across, coil, keeps):
    out = {"pack_mohm": pack, "pack_nh": nano, "across": [v.floats(one) for one in across]}
    if coil is not None:
        out |= dict(zip(("coil_uh", "coil_mohm", "capacitor_uf", "esr_mohm"), coil))
    return out | ({"keeps_out": keeps} if keeps else {})


def rows():
    why = "followed in time with rtol 1e-9 until it repeats to 1e-6; a crest between two of 128 steps of ours is that of a parabola, which misses a sharp one by a thousandth"
    for words, *supply in SUPPLIES:
        for amperes, duty, rate in ((17.0, 0.5, 48e3), (20.0, 0.75, 48e3), (8.0, 0.3, 24e3), (12.0, 0.9, 96e3)):
            bus, pins = followed(amperes, duty, rate, *supply)
            expect = {"bus_v": bus, "pins_v": pins}
            within = {key: float(f"{2e-3 * value:.1e}") for key, value in expect.items()}
            asks = f"{words}: {amperes:g} A at {rate / 1e3:g} kHz, on for {100 * duty:g} %"
            yield v.row("bus", asks, {**given(*supply), "current_a": amperes, "duty": 100 * duty, "hz": rate}, expect, within, why, "integrate.solve_ivp LSODA")
        for rate in (5e3, 10.7e3, 25e3):
            bus, pins = ladder(rate, *supply)
            expect = {"bus_mohm": bus, "pins_mohm": pins}
            within = {key: float(f"{1e-6 * value:.1e}") for key, value in expect.items()}
            yield v.row("impedance", f"{words}: an ampere of {rate / 1e3:g} kHz", {**given(*supply), "hz": rate}, expect, within, "the same ladder of impedances", "complex numbers of Python")
    for words, pack, nano, across, _, _ in SUPPLIES[:3]:
        for duty in (0.3, 0.5, 0.75):
            times = random_clocks(pack, nano, across, duty)
            yield v.row("motors", f"{words}: four motors on for {100 * duty:g} %, their clocks as chance has it", {"motors": 4}, {"times": times}, {"times": 0.4}, "the root of the number is a rule of thumb for a mean that lies between 2.0 and 2.4 times one", "fft and 4000 draws, numpy default_rng(20)")


if __name__ == "__main__":
    v.main(__file__, ["scipy"], rows)
