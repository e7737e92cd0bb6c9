"""Reference rows for fault finding, by pgmpy, scipy and plain enumeration.

    graphs.py            writes graphs.toml and figures.toml beside this file
    graphs.py --check    computes the rows afresh and ends with status 1 if those in the files differ

Random networks are written as a text of fault knowledge, which our reader reads; here the conditional tables are worked out from the
same numbers by their definitions (noisy-OR, noisy-MAX, "gone if every acting cause is mended, else by a fluke") and handed to pgmpy as a Bayesian
network with full tables, solved by its variable elimination. For the whole knowledge base full tables are too large: a noisy-OR of
many causes is handed over as a chain of small ones. Orders of repair are the best of all orders, tried one by one.
"""

import importlib.metadata
import itertools
import logging
import math
import pathlib
import random
import sys
import tomllib
import warnings

import numpy as np
from scipy import stats

warnings.filterwarnings("ignore")
logging.disable(logging.CRITICAL)
from pgmpy.factors.discrete import TabularCPD  # noqa: E402
from pgmpy.inference import VariableElimination  # noqa: E402
from pgmpy.models import DiscreteBayesianNetwork  # noqa: E402

HERE = pathlib.Path(__file__).parent
BASE = HERE.parent.parent / "crates" / "faults" / "src" / "base" / "knowledge.toml"
VERSIONS = ", ".join(f"{name} {importlib.metadata.version(name)}" for name in ("numpy", "pgmpy", "scipy"))
ROWS, A_ROW = 20, 10
HEAD = ("creance_faults = 1\nsound_divides = 3\nminutes_per_part = 6\nhand_over_minutes = 240\ncomplaint_leak = 0.1\nperhaps = 0.7\n"
        "lore_visits = 20\nlore_looks = 10\nfluke = 0.01\nsettle_minutes = 2\n")


def prior_of(weight):
    return -math.expm1(-weight / 100.0)


class Net:
    """A Bayesian network that is built up node by node; every node is yes (1) or no (0), or has three outcomes."""

    def __init__(self):
        self.model = DiscreteBayesianNetwork()
        self.cpds = []
        self.virtual = []
        self.evidence = {}

    def node(self, name, parents, rows):
        """rows[state][combination of parents, the first turning slowest]."""
        self.model.add_node(name)
        for parent in parents:
            self.model.add_edge(parent, name)
        card = [2] * len(parents)
        self.cpds.append(TabularCPD(name, len(rows), [list(row) for row in rows], evidence=parents or None,
                                    evidence_card=card or None))

    def cause(self, name, prior):
        self.node(name, [], [[1.0 - prior], [prior]])

    def table(self, name, parents, chances):
        """chances(acting parents) gives the chance of each state."""
        columns = [chances([p for p, on in zip(parents, combination) if on])
                   for combination in itertools.product((0, 1), repeat=len(parents))]
        self.node(name, parents, np.array(columns).T)

    def chain_or(self, name, links, leak):
        """A noisy-OR of many causes as a chain of tables with two parents."""
        before = None
        for at, (cause, chance) in enumerate(links):
            here = f"{name}__{at}"
            if before is None:
                self.table(here, [cause], lambda on, c=chance: [1 - (leak if not on else 1 - (1 - leak) * (1 - c)),
                                                                leak if not on else 1 - (1 - leak) * (1 - c)])
            else:
                def chances(on, b=before, k=cause, c=chance):
                    yes = 1.0 if b in on else (c if k in on else 0.0)
                    return [1 - yes, yes]
                self.table(here, [before, cause], chances)
            before = here
        return before

    def said(self, name, likelihoods):
        """Evidence by likelihoods: a child that is always seen."""
        child = f"{name}__said"
        top = max(likelihoods)
        scaled = [value / top for value in likelihoods]
        states = len(likelihoods)
        self.model.add_edge(name, child)
        self.cpds.append(TabularCPD(child, 2, [[1 - s for s in scaled], scaled], evidence=[name], evidence_card=[states]))
        self.evidence[child] = 1

    def posteriors(self, names):
        self.model.add_cpds(*self.cpds)
        engine = VariableElimination(self.model)
        found = {}
        for name in names:
            answer = engine.query([name], evidence=self.evidence, show_progress=False)
            found[name] = float(answer.values[1] / answer.values.sum())
        return found


def noisy_max(leaks, tables):
    """The chance of each outcome; tables[outcome][cause]; the first outcome is the strongest."""
    def chances(on):
        out, below = [], 0.0
        for outcome in range(len(leaks)):
            none = 1.0 - sum(leaks[: outcome + 1])
            for cause in on:
                none *= 1.0 - sum(table.get(cause, 0.0) for table in tables[: outcome + 1])
            out.append(1.0 - none - below)
            below = 1.0 - none
        return out + [1.0 - below]
    return chances


def beyond(gone, fluke):
    """The chance that a cure mends a cause, from that of the complaint being gone when that cause alone acts."""
    return (gone - fluke) / (1.0 - fluke) if gone > fluke else 0.0


def cure(other, mended, brings):
    def chances(on):
        acting = [cause for cause in on if cause in brings]
        # By a fluke, or since every acting cause was mended; what the cure is not for stays.
        all_mended = math.prod(beyond(mended.get(cause, 0.0), other) for cause in acting) if acting else 0.0
        gone = other + (1.0 - other) * all_mended
        return [gone, 1.0 - gone]
    return chances


def random_network(rng):
    """A small base as text, what was observed, and the posteriors."""
    causes = [f"c{n}" for n in range(rng.randint(3, 6))]
    signs = [f"s{n}" for n in range(rng.randint(2, 4))]
    tests = [f"t{n}" for n in range(rng.randint(1, 3))]
    number = lambda low, high: round(rng.uniform(low, high), 3)  # noqa: E731
    some = lambda low, high, share: {c: number(low, high) for c in causes if rng.random() < share}  # noqa: E731
    inline = lambda table: "{ " + ", ".join(f"{k} = {v}" for k, v in table.items()) + " }"  # noqa: E731
    text, net = HEAD, Net()
    leak = {s: number(0.001, 0.08) for s in signs}
    for s in signs:
        text += f'[sign.{s}]\nis = "s"\nleak = {leak[s]}\nminutes = 1\nbasis = "expert estimate"\n'
    brings = {c: {s: number(0.05, 0.95) for s in signs if rng.random() < 0.7} for c in causes}
    for c in causes:
        weight = number(0.5, 40.0)
        text += (f'[cause.{c}]\nis = "c"\nside = "air"\nweight = {weight}\nsigns = {inline(brings[c])}\n'
                 'basis = "expert estimate"\n')
        net.cause(c, prior_of(weight))
    about = signs[0] if rng.random() < 0.6 else None
    seen, tried = [], []
    for s in signs:
        factor = 0.1 if s == about else 1.0
        links = {c: brings[c][s] for c in causes if s in brings[c]}
        parents = list(links)
        net.table(s, parents, lambda on, s=s, links=links, f=factor: list(reversed(noisy_max([leak[s] * f], [links])(on))))
        if s == about:
            net.said(s, [0.0, 1.0])
        elif rng.random() < 0.8:
            sure = rng.choice([1.0, 1.0, 0.0, number(0.05, 0.95)])
            seen.append(f"{s} {sure}")
            net.said(s, [1.0 - sure, sure])
    for n, t in enumerate(tests):
        shape = rng.choice(["fault", "fault", "three", "cure"])
        words = ["a", "m", "b"] if shape == "three" else ["a", "b"]
        text += (f'[test.{t}]\ndo = "t"\nminutes = 1\nrisk = 0\nreads = "{"cure" if shape == "cure" else "fault"}"\n'
                 f'outcomes = [{", ".join(chr(34) + w + chr(34) for w in words)}]\nbasis = "expert estimate"\n')
        tables, leaks = [], []
        for word in words[:-1]:
            given, other = some(0.05, 0.48, 0.6), number(0.005, 0.08)
            text += f"[test.{t}.chance.{word}]\nother = {other}\ngiven = {inline(given)}\n"
            tables.append(given)
            leaks.append(other)
        if shape == "cure":
            bring = [c for c in causes if about is None or about in brings[c]]
            net.table(t, causes, cure(leaks[0], tables[0], bring))
        else:
            net.table(t, causes, noisy_max(leaks, tables))
        if rng.random() < 0.85:
            outcome = rng.randrange(len(words))
            sure = 1.0 if rng.random() < 0.7 else number(0.4, 0.95)
            tried.append(f"{t} {words[outcome]} {sure}")
            rest = (1.0 - sure) / (len(words) - 1)
            net.said(t, [sure if at == outcome else rest for at in range(len(words))])
    return text, about or "", seen, tried, net.posteriors(causes)


def network_rows():
    rng = random.Random(20260601)
    rows = []
    for row in range(ROWS):
        given = {"knowledge": [], "about": [], "seen": [], "tried": []}
        expect = {}
        for n in range(A_ROW):
            text, about, seen, tried, found = random_network(rng)
            given["knowledge"].append(text)
            given["about"].append(about)
            given["seen"].append("; ".join(seen))
            given["tried"].append("; ".join(tried))
            expect.update({f"n{n}_{cause}": value for cause, value in found.items()})
        asks = f"random networks {row * A_ROW + 1} to {row * A_ROW + A_ROW}: several faults at once, doubtful evidence, swaps"
        rows.append(("posteriors", asks, given, expect, 1e-9, "both sum the same products in another order",
                     "VariableElimination.query on full tables"))
    return rows


SCENES = [
    ("no picture, no camera light after a crash", "no_picture", {"recent_crash": True}, ["camera_light_off 1", "air_dark 0", "link_no_lock 0"], ["reseat_harness same 1"]),
    ("half the range since a crash", "range_short", {"recent_crash": True}, ["breakup_close 0", "stuck_lowest 0", "breakup_on_turn 0"], ["look_antenna clean 1", "level_at_5m down_10_dB 1"]),
    ("new build without text", "no_text", {"new_build": True, "standby_enabled": True}, ["stuck_lowest 1", "no_picture 0"], ["read_port_setting right 1", "serial_idle_volts one_floats 1"]),
    ("breaks at a punch", "breakup_on_punch", {"large_motor_current": True, "pack_tired": True}, ["drop_and_return 1", "lines_with_throttle 0.6"], ["log_min_volts dips 1"]),
    ("dead after a load", "dead_after_load", {"recent_load": True}, ["air_dark 0", "link_no_lock 1"], ["read_versions unreadable 1"]),
    ("soft picture on a cold day", "soft_picture", {"cold_day": True, "new_lens": True}, ["milky_picture 0", "soft_one_side 1"], ["turn_lens same 1", "clean_lens same 1"]),
]


def whole_net(base, about, facts, seen, tried):
    """The whole knowledge base with its evidence as a network, the causes that are on, and the links."""
    holds = {name: fact["usually"] for name, fact in base["fact"].items()} | facts
    net = Net()
    on = []
    for name, cause in base["cause"].items():
        if all(holds[need] for need in cause.get("needs", [])):
            factor = math.prod(event["raises"].get(name, 1.0) for event_name, event in base["event"].items() if holds[event_name])
            net.cause(name, prior_of(cause["weight"] * factor))
            on.append(name)
    brings = lambda cause, sign: base["cause"][cause]["signs"].get(sign, 0.0)  # noqa: E731

    def sign(name, likelihoods, factor):
        links = [(c, brings(c, name)) for c in on if brings(c, name) > 0]
        net.said(net.chain_or(name, links, base["sign"][name]["leak"] * factor), likelihoods)

    sign(about, [0.0, 1.0], base["complaint_leak"])
    for word in seen:
        name, sure = word.split()
        sign(name, [1.0 - float(sure), float(sure)], 1.0)
    for word in tried:
        name, outcome, _ = word.split()
        test = base["test"][name]
        shown = [test["chance"][one] for one in test["outcomes"][:-1]]
        at = test["outcomes"].index(outcome)
        if test["reads"] == "cure":
            # Gone needs all: a chain for "some cause acts" and one for "some acting cause was not mended".
            bring = [c for c in on if brings(c, about) > 0]
            other = shown[0]["other"]
            mended = {c: beyond(shown[0]["given"].get(c, 0.0), other) for c in bring}
            acts = net.chain_or(f"{name}_acts", [(c, 1.0) for c in bring], 0.0)
            left = net.chain_or(f"{name}_left", [(c, 1.0 - mended[c]) for c in bring], 0.0)

            def chances(onset, acts=acts, left=left, other=other):
                gone = 1.0 if acts in onset and left not in onset else other
                return [gone, 1.0 - gone]
            net.table(name, [acts, left], chances)
            net.said(name, [1.0 if n == at else 0.0 for n in range(2)])
        else:
            # Noisy-MAX as two noisy-ORs: one for the first outcome, one for the second where the first did not come.
            one = net.chain_or(f"{name}_one", [(c, p) for c, p in shown[0]["given"].items() if c in on], shown[0]["other"])
            if len(shown) == 1:
                net.said(one, [0.0, 1.0] if at == 0 else [1.0, 0.0])
            else:
                later = [(c, p / (1 - shown[0]["given"].get(c, 0.0))) for c, p in shown[1]["given"].items() if c in on]
                two = net.chain_or(f"{name}_two", later, shown[1]["other"] / (1 - shown[0]["other"]))
                net.said(one, [0.0, 1.0] if at == 0 else [1.0, 0.0])
                if at > 0:
                    net.said(two, [0.0, 1.0] if at == 1 else [1.0, 0.0])
    return net, on, brings


def knowledge_rows():
    base = tomllib.loads(BASE.read_text())
    rows = []
    for asks, about, facts, seen, tried in SCENES:
        net, on, brings = whole_net(base, about, facts, seen, tried)
        likely = sorted(on, key=lambda c: -base["cause"][c]["weight"] * (1 + 10 * brings(c, about)))[:14]
        found = net.posteriors(likely)
        given = {"about": [about], "seen": ["; ".join(seen)], "tried": ["; ".join(tried)],
                 "facts": [f"{name} {'yes' if value else 'no'}" for name, value in facts.items()]}
        rows.append(("posteriors", f"the whole knowledge base ({len(on)} causes): {asks}", given,
                     {f"n0_{c}": value for c, value in found.items()}, 1e-9,
                     "both sum the same products in another order", "VariableElimination.query, noisy-OR as chains"))
    return rows


def order_rows():
    rng = random.Random(7)
    rows = []
    for number, n in enumerate((3, 4, 5, 6, 7, 7), 1):
        raw = [rng.random() for _ in range(n)]
        chances = [round(value / sum(raw), 6) for value in raw]
        costs = [round(rng.uniform(1, 60), 2) for _ in range(n)]

        def cost(order):
            left, total = 1.0, 0.0
            for at in order:
                total += costs[at] * left
                left -= chances[at]
            return total
        best = min(itertools.permutations(range(n)), key=cost)
        by_chance = sorted(range(n), key=lambda at: -chances[at])
        expect = {"least": cost(best), "by_chance_alone": cost(by_chance)}
        expect.update({f"place_{at + 1}": float(one + 1) for at, one in enumerate(best)})
        rows.append(("repair_order", f"set {number}, {n} repairs, one fault: the best of all {math.factorial(n)} orders",
                     {"chances": chances, "costs": costs}, expect, 1e-9, "sums of a few products",
                     "itertools.permutations, every order costed"))
    return rows


def information_rows():
    rng = np.random.default_rng(11)
    rows = []
    for causes, outcomes in ((4, 2), (6, 3), (10, 2), (12, 4), (25, 3)):
        prior = np.round(rng.dirichlet(np.ones(causes)), 6)
        prior[-1] = 1.0 - prior[:-1].sum()
        likely = rng.dirichlet(np.ones(outcomes), size=causes).T
        likely = np.round(likely, 6)
        likely[-1] = 1.0 - likely[:-1].sum(axis=0)
        chance = likely @ prior
        after = sum(p * stats.entropy(prior * row / p, base=2) for p, row in zip(chance, likely))
        expect = {"doubt": float(stats.entropy(prior, base=2)), "bits": float(stats.entropy(prior, base=2) - after)}
        expect.update({f"outcome_{n + 1}": float(p) for n, p in enumerate(chance)})
        given = {"belief": prior.tolist(), "likelihoods": likely.flatten().tolist(), "outcomes": outcomes}
        rows.append(("information", f"{causes} explanations, {outcomes} outcomes", given, expect, 1e-12,
                     "both are good to fourteen digits", "stats.entropy before and after each outcome"))
    return rows


def spares_rows():
    rows = []
    for shape, worth, failures, flown, flights, sure in (
        (1.5, 4.2857, 0, 0, 30, 0.9), (1.5, 30, 0, 0, 30, 0.95), (1.5, 125, 2, 60, 40, 0.9), (1.5, 214.29, 0, 200, 100, 0.99),
        (0.5, 1.0, 3, 120, 50, 0.95), (1.5, 18.75, 7, 45, 12, 0.8), (20.0, 400.0, 31, 900, 300, 0.999),
    ):
        a, b = shape + failures, worth + flown
        law = stats.nbinom(a, b / (b + flights))
        number = int(law.ppf(sure))
        expect = {"number": float(number), "suffices": float(law.cdf(number)), "exactly_one": float(law.pmf(1)),
                  "mean_rate": float(stats.gamma(a, scale=1 / b).mean())}
        given = {"shape": shape, "flights_worth": worth, "failures": failures, "flown": flown, "flights": flights, "sure": sure}
        rows.append(("spares", f"{failures} failures in {flown} flights, {flights} flights to come, {100 * sure:g} %", given, expect,
                     1e-10, "both are good to eleven digits", "stats.nbinom, stats.gamma"))
    return rows


def count_rows():
    rng = np.random.default_rng(3)
    rows = []
    for n in (3, 8, 70):
        alphas, counts = np.round(rng.gamma(0.8, 1.0, n) + 0.01, 4), rng.integers(0, 6, n)
        means = stats.dirichlet(alphas + counts).mean()
        expect = {f"share_{at + 1}": float(means[at]) for at in range(min(n, 8))}
        given = {"alphas": alphas.tolist(), "counts": [float(c) for c in counts]}
        rows.append(("dirichlet", f"{n} kinds of fault, {int(counts.sum())} found", given, expect, 1e-12,
                     "both are good to fourteen digits", "stats.dirichlet(...).mean()"))
    for looks, chance, times, looked in ((10, 0.9, 0, 4), (10, 0.05, 3, 3), (25, 0.5, 17, 40)):
        law = stats.beta(looks * chance + times, looks * (1 - chance) + looked - times)
        rows.append(("beta", f"a chance of {chance} worth {looks} looks, then {times} of {looked}",
                     {"looks": looks, "chance": chance, "times": times, "looked": looked}, {"mean": float(law.mean())}, 1e-12,
                     "both are good to fourteen digits", "stats.beta(...).mean()"))
    return rows


def value(item):
    if isinstance(item, str):
        return '"' + item.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'
    if isinstance(item, list):
        return "[" + ", ".join(value(one) for one in item) + "]"
    return repr(item)


def text_of(rows):
    out = [f'# Made by graphs.py; edit that.\n\n[source]\ntitle = "{VERSIONS}"\nplace = "see each row"\ngrade = "reference program"\n\n'
           f'[made_by]\nscript = "graphs.py"\nversions = "{VERSIONS}"\n']
    for kind, asks, given, expect, allowed, because, place in rows:
        pairs = lambda table: ", ".join(f"{key} = {value(item)}" for key, item in table.items())  # noqa: E731
        within = ", ".join(f"{key} = {allowed!r}" for key in expect)
        out.append(f'[[check]]\nkind = "{kind}"\nasks = "{asks}"\ngiven = {{ {pairs(given)} }}\nexpect = {{ {pairs(expect)} }}\n'
                   f'within = {{ {within}, because = "{because}" }}\nsource = {{ place = "{place}" }}\n')
    return "\n".join(out)


def differs(rows, path, first=None):
    kept = tomllib.loads(path.read_text())["check"]
    if first is not None:
        kept = kept[first:first + len(rows)]
    if len(kept) != len(rows):
        return [f"{path.name}: {len(kept)} rows instead of {len(rows)}"]
    wrong = []
    for old, (_, asks, given, expect, allowed, _, _) in zip(kept, rows):
        same = old["asks"] == asks and old["given"] == given and set(old["expect"]) == set(expect)
        if not same or any(abs(old["expect"][key] - expect[key]) > allowed / 10 for key in expect):
            wrong.append(f"{path.name}: {asks}")
    return wrong


def main():
    files = {
        "graphs.toml": network_rows() + knowledge_rows(),
        "figures.toml": order_rows() + information_rows() + spares_rows() + count_rows(),
    }
    if "--check" in sys.argv:
        wrong = [line for name, rows in files.items() for line in differs(rows, HERE / name)]
        print("\n".join(wrong) or f"{sum(map(len, files.values()))} rows agree")
        sys.exit(1 if wrong else 0)
    for name, rows in files.items():
        (HERE / name).write_text(text_of(rows))


if __name__ == "__main__":
    main()
