"""Shares of time lost by fading, by SciPy's non-central chi-square and by its own trials.

A Rician power is a non-central chi-square of two degrees with 2K as its parameter; M like antennas summed, none alike, are one
of 2M degrees with 2MK. Alike antennas without a steady ray, summed: the eigenvalues of their covariance give a sum of
exponentials. With a steady ray and correlation: seeded trials of complex normals, whose standard error sets the tolerance.
"""

import pathlib
import sys

import numpy as np
from scipy.stats import ncx2

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v

TRIALS = 4_000_000
CLOSE = "both sum a series to rounding; a share is held to a millionth of itself"


def figures(x):
    """A tolerance in two figures."""
    return float(f"{x:.1e}")


def rician(factor_db, margin_db, count=1):
    k = 10 ** (factor_db / 10)
    return ncx2.cdf(2 * (1 + k) * 10 ** (-margin_db / 10), 2 * count, 2 * count * k)


def fading_row(factor_db, margin_db):
    lost = rician(factor_db, margin_db)
    asks = f"Rician with {factor_db:g} dB, {margin_db:g} dB of margin"
    return v.row("fading", asks, {"factor_db": float(factor_db), "margin_db": float(margin_db)}, {"lost": lost}, {"lost": figures(1e-6 * lost)}, CLOSE, "stats.ncx2.cdf, two degrees")


def allowance_row(factor_db, lost):
    k = 10 ** (factor_db / 10)
    margin = -10 * np.log10(ncx2.ppf(lost, 2, 2 * k) / (2 * (1 + k)))
    return v.row("fading", f"margin for {lost:g} lost, Rician with {factor_db:g} dB", {"factor_db": float(factor_db), "lost": lost}, {"margin_db": margin}, {"margin_db": 1e-4}, "the inverse is found to 1e-6 of itself there", "stats.ncx2.ppf")


def summed_row(factor_db, margin_db, count):
    sum_lost, one = rician(factor_db, margin_db, count), rician(factor_db, margin_db)
    given = {"factor_db": float(factor_db), "margins_db": [float(margin_db)] * count, "correlation": 0.0}
    allowed = {"sum": 1e-7, "selection": figures(1e-6 * one**count)}
    return v.row("diversity", f"{count} like antennas, Rician with {factor_db:g} dB, {margin_db:g} dB of margin each", given,
                 {"sum": sum_lost, "selection": one**count}, allowed, "the contour of the sum is stated to 1e-8, a product to a millionth of itself", "stats.ncx2.cdf, 2M degrees; M-th power")


def trial_row(factor_db, margins_db, alike):
    draw = np.random.default_rng(20_240_607)
    k, m = 10 ** (factor_db / 10), len(margins_db)
    normal = lambda n: (draw.standard_normal((n, TRIALS)) + 1j * draw.standard_normal((n, TRIALS))) / np.sqrt(2)
    scatter = np.sqrt(alike) * normal(1) + np.sqrt(1 - alike) * normal(m)
    power = np.abs(np.sqrt(k / (1 + k)) + scatter / np.sqrt(1 + k)) ** 2 * 10 ** (np.array(margins_db)[:, None] / 10)
    lost = {"selection": float((power.max(axis=0) < 1).mean()), "sum": float((power.sum(axis=0) < 1).mean())}
    allowed = {key: figures(4 * np.sqrt(share * (1 - share) / TRIALS) + 1e-7) for key, share in lost.items()}
    given = {"factor_db": float(factor_db), "margins_db": [float(x) for x in margins_db], "correlation": alike}
    words = ", ".join(f"{x:g}" for x in margins_db)
    return v.row("diversity", f"margins of {words} dB, alike by {alike:g}, Rician with {factor_db:g} dB", given, lost, allowed,
                 "four standard errors of four million trials", "random.default_rng(20240607), complex normals")


def rows():
    yield from (fading_row(k, m) for k, m in [(6, 10), (6, 20), (10, 10), (12, 6), (3, 30), (-3, 5), (15, 3), (20, 2), (9, -2)])
    yield from (allowance_row(k, p) for k, p in [(3, 0.01), (6, 0.01), (10, 0.01), (12, 0.01), (6, 0.001), (10, 0.001)])
    yield from (summed_row(k, m, n) for k, m, n in [(6, 5, 2), (10, 3, 2), (3, 6, 4), (12, 1, 3)])
    yield from (trial_row(k, ms, a) for k, ms, a in [(6, (6, 6), 0.3), (6, (6, 6), 0.9), (0, (10, 7, 4), 0.5), (9, (4, 2), 0.7)])


if __name__ == "__main__":
    v.main(__file__, ["scipy", "numpy"], rows)
