"""Digests of messages, by the SHA-256 of `cryptography`: the example messages of FIPS 180-4, and lengths round the edges of its blocks.

Versions are ordered as `packaging` orders them.
"""

import pathlib
import sys

from cryptography.hazmat.primitives import hashes
from packaging.version import Version

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v  # noqa: E402

EXACT = "a digest is the same in every bit or it is another"
EDGES = "padding fills a block of 64 bytes, of which 8 hold the length"


def digest_row(asks, text, times, place):
    summing = hashes.Hash(hashes.SHA256())
    summing.update(text.encode() * times)
    found = summing.finalize()
    words = {f"word_{n}": int.from_bytes(found[4 * n : 4 * n + 4], "big") for n in range(8)}
    return v.row("digest", asks, {"text": text, "times": times, "chunk": 61}, words, dict.fromkeys(words, 0.5), EXACT, place)


def order_row(a, b):
    found = (Version(a) > Version(b)) - (Version(a) < Version(b))
    asks = f"does version {a} come before {b}, after it, or neither?"
    return v.row("order", asks, {"a": a, "b": b}, {"order": found}, {"order": 0.5}, "before, after or the same", "comparison of versions")


def rows():
    standard = "SHA-256; the message is an example published with FIPS 180-4"
    yield digest_row("nothing at all", "a", 0, "SHA-256; no message")
    yield digest_row("the example of one block", "abc", 1, standard)
    yield digest_row("the example of two blocks", "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", 1, standard)
    yield digest_row("the example of a million letters", "a", 1_000_000, standard)
    for length in (55, 56, 57, 63, 64, 65, 1000, 262_144, 262_145):
        yield digest_row(f"{length} letters", "U", length, f"SHA-256; {EDGES}")
    for a, b in [("4.9", "4.10"), ("4", "4.0.0"), ("4.2-rc1", "4.2"), ("4.2-rc1", "4.2-rc2"), ("5.0", "4.99.99"), ("4.2", "4.2.1"), ("10.0", "9.9")]:
        yield order_row(a, b)


if __name__ == "__main__":
    v.main(__file__, ["cryptography", "packaging"], rows)
