"""How long does a general-purpose library take for the chances of all causes of the whole knowledge base?

Reads the scenes that the program's own bench wrote (layout: crates/faults/examples/time_faults.rs), builds each as a Bayesian network
with noisy-ORs as chains of small tables, asks pgmpy's variable elimination for every cause, and writes its timings and how far its
chances lie from ours.

    bench_faults.py FAULTS.json ANSWERS.json
    bench_faults.py --check

The time is that of the queries alone, in one round; building the network is left out.
"""

import sys
import tomllib
from pathlib import Path

import graphs

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
import _bench as bench  # noqa: E402


BASE = tomllib.loads(graphs.BASE.read_text())


def measured(scene):
    net, on, _ = graphs.whole_net(BASE, scene["about"], {fact: True for fact in scene["facts"]}, scene["seen"], scene["tried"])
    seconds, found = bench.best_of(1, lambda: net.posteriors(on))
    worst = max(abs(found[cause] - scene["chances"][cause]) for cause in on)
    timings = [{"scene": scene["name"], "what": "chances of all causes", "seconds": seconds}]
    return timings, [{"scene": scene["name"], "greatest": worst}]


def answers(scenes):
    return bench.told(graphs.VERSIONS, measured, scenes)


def check():
    wrong = graphs.differs(graphs.knowledge_rows()[:1], graphs.HERE / "graphs.toml", first=graphs.ROWS)
    print("\n".join(wrong) or "one scene as computed afresh")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    bench.run(__doc__, answers, check)
