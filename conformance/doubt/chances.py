"""Reference rows for chances, distributions and what to measure, by numpy and scipy.

    chances.py            writes chances.toml beside this file
    chances.py --check    computes the rows afresh and ends with status 1 if those in the file differ

Distributions of sums are integrated numerically from scipy's own distributions, never by the closed form that the
program uses: the characteristic function of the sum is inverted (Gil-Pelaez). Least margins are
simulated with numpy's generator; their tolerance is four standard errors of both sides' trials. Measuring is
judged by the definition: one cell of the fact after the other, everything else simulated.
"""

import importlib.metadata
import math
import pathlib
import sys
import tomllib

import numpy as np
from scipy import integrate, optimize, stats

FILE = pathlib.Path(__file__).with_suffix(".toml")
OUR_TRIALS = 400_000  # conformance/src/doubt.rs
OUR_USUAL_TRIALS = 4_000  # USUAL_TRIALS of crates/quantity/src/monte_carlo.rs
OUR_MEASURING_TRIALS = 2_048  # TRIALS of crates/quantity/src/measure_next.rs
DRAWS = 4_000_000
CALIPERS = 0.1  # half-width that measuring leaves of an outer size


def chance_of_sum(value, half_widths, normals):
    """P(value + Σ facts >= 0) by inverting the characteristic function."""
    # Flat parts alone die out only as a power of t: far enough for the product to fall below 1e-10.
    reach = 10.0 / math.sqrt(sum(u * u for u in normals)) if normals else 0.0
    if not normals:
        n = len(half_widths)
        reach = (1e10 / np.prod(half_widths)) ** (1.0 / n) if n > 3 else 2e5
    pieces = np.linspace(0.0, reach, max(2, int(reach * (abs(value) + sum(half_widths)) / 8.0)))
    nodes, weights = np.polynomial.legendre.leggauss(24)
    total = 0.0
    for low, high in zip(pieces, pieces[1:]):
        t = 0.5 * (high - low) * nodes + 0.5 * (high + low)
        phi = np.ones_like(t)
        for a in half_widths:
            phi *= np.sinc(a * t / math.pi)
        phi *= np.exp(-0.5 * t * t * sum(u * u for u in normals))
        total += 0.5 * (high - low) * np.dot(weights, np.sin(t * value) / t * phi)
    return 0.5 + total / math.pi


def chance_row(asks, value, half_widths=(), normals=(), allowed=1e-6, because=None):
    expected = chance_of_sum(value, list(half_widths), list(normals))
    # A second way, coarser: one fact after another by quadrature, where there are two.
    if len(half_widths) == 1 and len(normals) == 1:
        a, u = half_widths[0], normals[0]
        again, _ = integrate.quad(lambda x: stats.norm.sf(-(value + x) / u) / (2 * a), -a, a)
        assert abs(again - expected) < 1e-8, (again, expected)
    given = {"value": value}
    if half_widths:
        given["half_widths"] = list(half_widths)
    if normals:
        given["normals"] = list(normals)
    because = because or "both are good to 1e-7: the closed form here, inversion of the characteristic function there"
    place = "characteristic functions sinc and exp, inverted by Gauss-Legendre quadrature"
    return ("chance", asks, given, {"chance": expected}, {"chance": allowed}, because, place)


def factor_row(level, degrees):
    expected = float(stats.t.ppf((1 + level) / 2, degrees))
    asks = f"t for {100 * level:g} % and {degrees:g} degree{'s' if degrees > 1 else ''} of freedom"
    because = "both are good to nine digits"
    given = {"level": level, "degrees": degrees}
    return ("coverage_factor", asks, given, {"factor": expected}, {"factor": 1e-8 * expected}, because, "stats.t.ppf")


def normal_row(z):
    expected = float(stats.norm.cdf(z))
    because = "both are good to twelve digits"
    given = {"z": z}
    return ("normal_below", f"share of the normal distribution below {z}", given, {"share": expected},
            {"share": 1e-12 * expected}, because, "stats.norm.cdf")


def pooled_row(asks, uncertainties, degrees):
    """Effective degrees of freedom: those of the one chi-square with the same first two moments."""
    u, nu = np.array(uncertainties), np.array(degrees, dtype=float)
    combined = float(np.sqrt(np.sum(u**2)))
    # Matching the first two moments of Σ u²·χ²(ν)/ν, taken from scipy's own chi-square.
    mean = sum(a * a * stats.chi2.mean(n) / n for a, n in zip(u, nu))
    variance = sum(a**4 * stats.chi2.var(n) / n**2 for a, n in zip(u, nu))
    effective = float(2 * mean**2 / variance)
    level = 0.95
    expanded = float(stats.t.ppf((1 + level) / 2, math.floor(effective)) * combined)
    given = {"sensitivities": [1.0] * len(u), "uncertainties": list(uncertainties), "degrees": list(degrees), "level": level}
    return ("budget", asks, given, {"combined": combined, "degrees": effective, "expanded": expanded},
            {"combined": 1e-9, "degrees": 1e-8 * effective, "expanded": 1e-8}, "the same arithmetic by moments of chi-square, good to nine digits",
            "moments of stats.chi2, stats.t.ppf")


def loss_row(x1, uncertainty=0.005, level=0.95):
    """x1² + x2² is u²·χ²(2, (x1/u)²): its moments and shortest interval."""
    law = stats.ncx2(2, (x1 / uncertainty) ** 2) if x1 else stats.chi2(2)
    scale = uncertainty**2

    def width(start):
        return float(law.ppf(min(start + level, 1.0)) - law.ppf(start))

    best = optimize.minimize_scalar(width, bounds=(0.0, 1.0 - level), method="bounded", options={"xatol": 1e-10})
    start = 0.0 if width(0.0) <= best.fun else float(best.x)
    low, high = scale * float(law.ppf(start)), scale * float(law.ppf(start + level))
    u = scale * float(law.std())
    # A minimum at the edge is sharp; one inside is flat and its place wanders with the cube root of the trials.
    end = 4 * u / OUR_TRIALS ** (1 / 3) if start > 0 else 8e-3 * u
    given = {"x1": x1, "x2": 0.0, "uncertainty": uncertainty, "correlation": 0.0, "level": level}
    return ("comparison_loss", f"loss x1² + x2² about x1 = {x1}, shortest interval", given,
            {"mean": scale * float(law.mean()), "uncertainty": u, "low": low, "high": high},
            {"mean": 4 * u / math.sqrt(OUR_TRIALS), "uncertainty": 12 * u / math.sqrt(OUR_TRIALS), "low": end, "high": end},
            "four standard errors of 400,000 trials; of the interval's ends, four times its wander", "stats.ncx2, stats.chi2, optimize.minimize_scalar")


def drawn(half_widths, normals, generator, draws):
    flat = [generator.uniform(-a, a, draws) for a in half_widths]
    return np.array(flat + [generator.normal(0.0, u, draws) for u in normals])


def least_row(asks, values, slopes, half_widths=(), normals=(), seed=1):
    generator = np.random.default_rng(seed)
    margins = np.array(values)[:, None] + np.array(slopes) @ drawn(half_widths, normals, generator, DRAWS)
    least = margins.min(axis=0)
    by = np.bincount(margins.argmin(axis=0), minlength=len(values)) / DRAWS
    chance, mean, deviation = float((least >= 0).mean()), float(least.mean()), float(least.std(ddof=1))
    median = float(np.median(least))
    both = math.sqrt(1 / OUR_TRIALS + 1 / DRAWS)
    near = float((abs(least - median) < 0.02 * deviation).mean()) / (0.04 * deviation)  # density at the median
    most = int(by.argmax())
    given = {"values": values, "slopes": [c for row in slopes for c in row]}
    if half_widths:
        given["half_widths"] = list(half_widths)
    if normals:
        given["normals"] = list(normals)
    share = float(by[most])
    return ("all_margins_hold", asks, given,
            {"chance": chance, "mean": mean, "uncertainty": deviation, "median": median, "most_often": most, "share": share},
            {"chance": 4 * math.sqrt(chance * (1 - chance)) * both, "mean": 4 * deviation * both, "uncertainty": 4 * deviation * both,
             "median": 4 * 0.5 / near * both, "most_often": 0, "share": 4 * math.sqrt(share * (1 - share)) * both},
            f"four standard errors of {OUR_TRIALS:,} trials here and {DRAWS:,} there", "random.default_rng, uniform, normal")


def measure_row(asks, values, slopes, half_widths, seed=2):
    """The definition, by simulation: cut a fact's range into cells no wider than calipers tell apart."""
    values, slopes = np.array(values), np.array(slopes)
    generator = np.random.default_rng(seed)
    draws = 400_000
    facts = drawn(half_widths, (), generator, draws)
    holds = ((values[:, None] + slopes @ facts).min(axis=0) >= 0).mean()
    now = max(holds, 1 - holds)
    after = []
    for i, a in enumerate(half_widths):
        cells = max(1, math.ceil(a / CALIPERS - 1e-9))
        certain = []
        for k in range(cells):
            known = facts.copy()
            known[i] = -a + 2 * a * (k + generator.uniform(0, 1, draws)) / cells
            p = ((values[:, None] + slopes @ known).min(axis=0) >= 0).mean()
            certain.append(max(p, 1 - p))
        after.append(float(np.mean(certain)))
    best = int(np.argmax(after))
    runner_up = sorted(after)[-2]
    assert after[best] - runner_up > 0.02, "two facts are too nearly as good for a check"
    given = {"values": [float(v) for v in values], "slopes": [float(c) for c in slopes.ravel()], "half_widths": list(half_widths)}
    now_error = 4 * math.sqrt(now * (1 - now) / OUR_USUAL_TRIALS)
    return ("measure_next", asks, given, {"fact": best, "now": float(now), "after": after[best]},
            {"fact": 0, "now": now_error, "after": now_error + 4 * 0.5 / math.sqrt(OUR_MEASURING_TRIALS)},
            "four standard errors of the trials of a usual verdict, and of one cell's trials for the gain",
            "random.default_rng, the definition cell by cell")


def rows():
    yield chance_row("two unlike rectangular doubts", 0.3, half_widths=[1.0, 0.5])
    yield chance_row("three rectangular doubts, far in the tail", -1.9, half_widths=[1.0, 0.7, 0.4])
    yield chance_row("five rectangular doubts", 0.42, half_widths=[0.3, 0.5, 0.2, 1.0, 0.15])
    yield chance_row("six equal rectangular doubts", -0.25, half_widths=[0.1] * 6)
    yield chance_row("one rectangular and one normal doubt", 0.6, half_widths=[1.0], normals=[0.3])
    yield chance_row("three rectangular and two normal doubts", -0.4, half_widths=[0.5, 0.5, 0.1], normals=[0.1, 0.25])
    beyond = "parts beyond the sixth join the normal part; the program states 0.002 for that"
    yield chance_row("a dozen equal rectangular doubts", 0.5, half_widths=[0.2] * 12, allowed=0.002, because=beyond)
    narrow = "parts under a fiftieth of the widest join the normal part; the program states 0.002 for that"
    yield chance_row("one wide and four narrow rectangular doubts", -0.98, half_widths=[1.0, 0.015, 0.015, 0.01, 0.01],
                     allowed=0.002, because=narrow)
    for level, degrees in [(0.95, 1.0), (0.95, 4.0), (0.99, 16.0), (0.6827, 50.0), (0.95, 1000.0)]:
        yield factor_row(level, degrees)
    for z in [-8.0, -3.5, -1.0, 0.25, 2.0]:
        yield normal_row(z)
    yield pooled_row("three contributions of unlike degrees of freedom", [2.0, 1.0, 0.5], [4, 9, 30])
    for x1 in [0.0, 0.010, 0.050]:
        yield loss_row(x1)
    yield least_row("three margins sharing two facts", [0.3, 0.4, 0.25], [[1, -1, 0], [1, 0, 1], [0, -1, 0.5]], half_widths=[0.3, 0.2, 0.5])
    yield least_row("opposite margins: what helps one hurts the other", [0.2, 0.25], [[1, 1], [-1, 1]], half_widths=[0.3], normals=[0.1])
    yield least_row("five margins, one of them never least", [0.1, 0.15, 0.2, 0.1, 3.0],
                    [[1, 0, 0, 0.2], [0, 1, 0, 0.2], [0, 0, 1, 0.2], [0.5, 0.5, 0.5, 0], [1, 1, 1, 1]], normals=[0.1, 0.12, 0.2, 0.3])
    yield measure_row("one margin, one dominant fact", [0.1], [[1, -1, 1]], [0.2, 1.0, 0.3])
    yield measure_row("two margins, the shared fact", [0.2, 0.2], [[1, 0, 1], [0, 1, 1]], [0.6, 0.6, 0.6])
    yield measure_row("opposite margins leaning on one fact", [0.3, 0.35], [[1, 0.2, 0], [-1, 0, 0.2]], [0.8, 0.5, 0.5])


def toml_value(value):
    if isinstance(value, list):
        return "[" + ", ".join(toml_value(v) for v in value) + "]"
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise TypeError(value)
    return repr(value)


def inline(table, **more):
    items = [f"{key} = {toml_value(value)}" for key, value in table.items()]
    items += [f'{key} = "{value}"' for key, value in more.items()]
    return "{ " + ", ".join(items) + " }"


def rounded(table, within):
    """Expected values to two digits beyond what is allowed."""
    return {k: v if isinstance(v, int) else float(f"{v:.{digits(v, within[k])}g}") for k, v in table.items()}


def digits(value, allowed):
    if value == 0 or allowed == 0:
        return 17
    return min(17, max(3, math.ceil(math.log10(abs(value) / allowed)) + 3))


def text():
    versions = ", ".join(f"{name} {importlib.metadata.version(name)}" for name in ["numpy", "scipy"])
    lines = ["# Made by chances.py; edit that.", "", "[source]", f'title = "{versions}"', 'place = "see each row"', 'grade = "reference program"', "",
             "[made_by]", f'script = "{pathlib.Path(__file__).name}"', f'versions = "{versions}"']
    for kind, asks, given, expect, within, because, place in rows():
        allowed = {key: value if isinstance(value, int) else float(f"{value:.2g}") for key, value in within.items()}
        lines += ["", "[[check]]", f'kind = "{kind}"', f'asks = "{asks}"', f"given = {inline(given)}", f"expect = {inline(rounded(expect, within))}",
                  f"within = {inline(allowed, because=because)}", f'source = {{ place = "{place}" }}']
    return "\n".join(lines) + "\n"


def differences(old, new):
    if len(old["check"]) != len(new["check"]):
        yield f"{len(old['check'])} rows in the file, {len(new['check'])} afresh"
    for was, now in zip(old["check"], new["check"]):
        if (was["kind"], was["asks"], was["given"]) != (now["kind"], now["asks"], now["given"]):
            yield f"{was['asks']}: asked otherwise"
            continue
        for key, value in now["expect"].items():
            if abs(was["expect"][key] - value) > was["within"][key]:
                yield f"{was['asks']}: {key} is {was['expect'][key]} in the file, {value} afresh"


if __name__ == "__main__":
    if sys.argv[1:] == ["--check"]:
        found = list(differences(tomllib.loads(FILE.read_text(encoding="utf-8")), tomllib.loads(text())))
        print("\n".join(found) if found else f"{FILE.name}: as computed afresh")
        sys.exit(1 if found else 0)
    FILE.write_text(text(), encoding="utf-8")
