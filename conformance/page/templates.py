"""Templates measured back from their PDF: does 1 : 1 hold on the page that a printer gets?

The program draws templates of an invented craft as PDF; poppler (pdftoppm) fills the pages in at 600 dots an inch, 0.042 mm
a dot; on the filled-in page the bars, the holes and a plate are found again as connected ink, without looking at how they
were drawn, and measured. What they must measure is typed here from the sheet of the craft. Allowed is 0.1 mm, what a scriber
and a steel rule make of it on the bench. pdfinfo and pdftotext say whether the page is A4 and its words can be copied.

`--check` measures and ends with status 0 if all agree; there are no vectors to write, so without it the same is done.
"""

import pathlib
import shutil
import subprocess
import sys
import tempfile

import numpy as np
from scipy import ndimage

ROOT = pathlib.Path(__file__).resolve().parents[2]
SHEET = ROOT / "crates/drawing/tests/pages/pipit.toml"
DOTS = 600
MM = 25.4 / DOTS
ALLOWED = 0.1
CHECK_LINE = "Print at 100 %: check that this bar measures 100 mm before you drill"
# How far a centre cross reaches beyond the rim of its hole on each side, and how wide the line of an outline is, in mm: these
# say which ink is a hole and which a plate; no measure rests on them but the plate's, which takes a line's width off.
CROSS = 1.6
OUTLINE = 0.25


def drawn(folder, of):
    """A template as PDF, by the program of this tree."""
    out = pathlib.Path(folder) / "template.pdf"
    words = ["draw", str(SHEET), "template", "--of", of, "--out", str(out)]
    subprocess.run(["cargo", "run", "--quiet", "--package", "creance", "--", *words], cwd=ROOT, check=True, stderr=subprocess.DEVNULL)
    return out


def filled_in(pdf):
    """The first page in shades of grey, as how dark each dot is, 0 to 1."""
    subprocess.run(["pdftoppm", "-r", str(DOTS), "-gray", "-f", "1", "-l", "1", "-singlefile", str(pdf), str(pdf.with_suffix(""))], check=True)
    data = pdf.with_suffix(".pgm").read_bytes()
    magic, width, height, top = data.split(maxsplit=4)[:4]
    assert magic == b"P5" and top == b"255", "pdftoppm gave no picture in grey"
    width, height = int(width), int(height)
    return 1.0 - np.frombuffer(data[-width * height :], dtype=np.uint8).reshape(height, width) / 255.0


def runs(row):
    """The middles of the dark runs of a row, in mm."""
    labels, count = ndimage.label(row > 0.1)
    return [(float(np.average(np.flatnonzero(labels == n), weights=row[labels == n])) + 0.5) * MM for n in range(1, count + 1)]


def bar(ink):
    """The length between the long ticks of a level bar: its line is the darkest row; just above the short ticks only the long ones stand."""
    line = int(np.argmax(ink.sum(axis=1)))
    ticks = runs(ink[line - int(1.9 / MM)])
    assert len(ticks) == 2, f"a bar has two long ticks, found {ticks}"
    return ticks[1] - ticks[0]


def bodies(ink):
    """Connected ink: for each its box in mm, (left, top, right, bottom)."""
    labels, _ = ndimage.label(ink > 0.2, structure=np.ones((3, 3)))
    for rows, columns in ndimage.find_objects(labels):
        yield columns.start * MM, rows.start * MM, columns.stop * MM, rows.stop * MM


def largest_face(ink):
    """The box of the body that encloses most: the outline of the plate, and no net of dimension lines, whose box may be larger."""
    labels, _ = ndimage.label(ink > 0.2, structure=np.ones((3, 3)))
    faces = [(int(ndimage.binary_fill_holes(labels[box] == n + 1).sum()), box) for n, box in enumerate(ndimage.find_objects(labels)) if labels[box].size > 1e5]
    rows, columns = max(faces, key=lambda face: face[0])[1]
    return columns.start * MM, rows.start * MM, columns.stop * MM, rows.stop * MM


def holes(ink, diameter):
    """The middles of all bodies as large as a hole with its cross."""
    size = diameter + 2 * CROSS
    for left, top, right, bottom in bodies(ink):
        if abs(right - left - size) < 0.25 and abs(bottom - top - size) < 0.25:
            yield (left + right) / 2, (top + bottom) / 2


def sides(found):
    """The four sides of a square of holes, and its two diagonals."""
    assert len(found) == 4, f"four holes are expected, found {len(found)}"
    apart = sorted(float(np.hypot(a[0] - b[0], a[1] - b[1])) for n, a in enumerate(found) for b in found[n + 1 :])
    return apart[:4], apart[4:]


def measures():
    """What is measured: words, expected, measured, in mm."""
    for of, diameter, pitch in [("frame/stack 20", 2.2, 20.0), ("vtx/mount", 2.2, 25.5), ("esc/mount", 3.2, 20.0)]:
        with tempfile.TemporaryDirectory() as folder:
            pdf = drawn(folder, of)
            ink = filled_in(pdf)
            said = subprocess.run(["pdfinfo", str(pdf)], check=True, capture_output=True, text=True).stdout
            size = next(line for line in said.splitlines() if line.startswith("Page size:")).split()
            yield f"{of}: width of the page", 210.0, float(size[2]) * 25.4 / 72
            yield f"{of}: height of the page", 297.0, float(size[4]) * 25.4 / 72
            words = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], check=True, capture_output=True, text=True).stdout
            assert CHECK_LINE in words, "the check line cannot be copied from the page"
        yield f"{of}: bar along the foot", 100.0, bar(ink[int(270 / MM) :, :])
        yield f"{of}: bar along the side", 100.0, bar(ink[:, : int(20 / MM)].T[::-1])
        short, long = sides(list(holes(ink, diameter)))
        for n, side in enumerate(short):
            yield f"{of}: side {n + 1} of the square of holes", pitch, side
        for n, diagonal in enumerate(long):
            yield f"{of}: diagonal {n + 1} of the square of holes", pitch * 2**0.5, diagonal
    with tempfile.TemporaryDirectory() as folder:
        ink = filled_in(drawn(folder, "frame/top plate"))
    # The holes of the two standoffs, which no row lists: 28 mm apart on the sheet of the craft, M3, hence 3.4 mm by ISO 273.
    standoffs = list(holes(ink, 3.4))
    assert len(standoffs) == 2, f"two standoff holes are expected, found {len(standoffs)}"
    yield "top plate: standoff holes apart", 28.0, float(np.hypot(*np.subtract(*standoffs)))
    plate = largest_face(ink[int(22 / MM) : int(270 / MM), int(20 / MM) :])
    yield "top plate: across", 36.0, plate[2] - plate[0] - OUTLINE
    yield "top plate: along", 100.0, plate[3] - plate[1] - OUTLINE


def main():
    if shutil.which("pdftoppm") is None:
        sys.exit("pdftoppm is missing: install poppler (Debian: apt-get install poppler-utils)")
    wrong = 0
    for asks, expected, measured in measures():
        off = measured - expected
        agrees = abs(off) <= ALLOWED
        wrong += not agrees
        print(f"{'agrees' if agrees else 'DIFFERS':8} {asks}: {expected:.2f} mm, measured {measured:.3f}, off by {off:+.3f}, allowed {ALLOWED}")
    print(f"templates: {'all agree' if not wrong else f'{wrong} differ'}")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
