"""Places of a course in the picture, from where the eye stands on it, and straight lines as a lens bends them, by OpenCV.

The course frame: x along, y left, z up, in metres. The library is given the eye's place and turn as its own rotation and
translation, so that it turns the places itself; its camera looks along z, with x to the right and y down. Its fisheye
model with all coefficients nought is the equidistant projection and serves for points in front of the lens only.

Lines: sixteen places along each, the library's own pixels; how far the farthest lies from our bent line must be under half
a pixel, as the course promises.
"""

import pathlib
import sys

import cv2
import numpy as np

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "geometry"))
import vectors as v

# Our right, down and forward, by rows, from forward, left and up.
TURNED = np.array([[0.0, -1.0, 0.0], [0.0, 0.0, -1.0], [1.0, 0.0, 0.0]])
ROUND = "both round in the last places of a double, over some tens of metres"
BENT = "half a pixel, as the course promises of its bent lines"
PLACES = 16
VIEWS = {
    "rectilinear": (2.1, (5.568, 3.132), (1280, 720)),
    "equidistant": (1.7, (4.8, 3.6), (960, 720)),
}


def seen(projection, eye, turn, points):
    lens, (width, height), (across, down) = VIEWS[projection]
    matrix = np.array([[lens * across / width, 0, across / 2], [0, lens * down / height, down / 2], [0, 0, 1.0]])
    rotation = TURNED @ v.rotation(turn).T
    turned, _ = cv2.Rodrigues(rotation)
    moved = -rotation @ np.asarray(eye, float)
    points = np.asarray(points, float).reshape(-1, 1, 3)
    ahead = (points.reshape(-1, 3) - eye) @ v.rotation(turn)[:, 0]
    assert (ahead > 0.05).all(), "only what lies in front"
    if projection == "rectilinear":
        return cv2.projectPoints(points, turned, moved, matrix, None)[0].reshape(-1, 2)
    return cv2.fisheye.projectPoints(points, turned, moved, matrix, np.zeros(4))[0].reshape(-1, 2)


def asked(projection, eye, turn):
    lens, (width, height), (across, down) = VIEWS[projection]
    return {"projection": projection, "focal_length_mm": lens, "width_mm": width, "height_mm": height, "across": across, "down": down,
            "eye": v.floats(eye), "turn": v.floats(turn)}


def place(projection):
    return "projectPoints" if projection == "rectilinear" else "fisheye.projectPoints"


def point_row(asks, projection, eye, turn, point):
    [[x, y]] = seen(projection, eye, turn, [point])
    given = {**asked(projection, eye, turn), "point": v.floats(point)}
    return v.row("over_course", f"{asks}, {projection}", given, {"across_px": x, "down_px": y}, {"across_px": 1e-6, "down_px": 1e-6}, ROUND, place(projection))


def line_row(asks, projection, eye, turn, start, end):
    share = np.linspace(0, 1, PLACES)[:, None]
    points = np.asarray(start, float) * (1 - share) + np.asarray(end, float) * share
    pixels = seen(projection, eye, turn, points)
    _, _, (across, down) = VIEWS[projection]
    inside = (pixels >= 0).all(axis=1) & (pixels <= [across, down]).all(axis=1)
    assert inside.sum() > 5, f"{asks}: hardly anything of it is in the picture"
    given = {**asked(projection, eye, turn), "from": v.floats(start), "to": v.floats(end), "pixels": [[round(x, 4), round(y, 4)] for x, y in pixels[inside].tolist()]}
    return v.row("bent_line", f"{asks}, {projection}", given, {"off_px": 0.0}, {"off_px": 0.5}, BENT, place(projection))


def rows():
    poses = [
        ("eight metres before the first gate, level", (-8, 0, 1.65), (0, 0, 0)),
        ("at speed, the nose down by more than the camera is tilted up", (-8, 0, 1.65), (0, -12, 0)),
        ("in hover with the camera tilted up", (-8, 0, 1.65), (0, 25, 0)),
        ("turned to the left and banked", (-5, 1.5, 3.2), (28, 5, -20)),
        ("high over the lane, looking down and to the right", (2, -1, 9), (-15, -38, 6)),
    ]
    points = [
        ("a corner of the first gate", (0, 0.75, 2.4)),
        ("the foot of its post", (0, -0.79, 0)),
        ("a corner of the third gate", (29.2, -1.8, 2.1)),
        ("the ridge of the barn", (31.0, 14.2, 6.4)),
        ("the top of a tree", (16.5, 11.5, 6.0)),
        ("a mark on the ground far ahead", (90, 5, 0)),
    ]
    for projection in VIEWS:
        for where, eye, turn in poses:
            for what, point in points:
                ahead = (np.asarray(point, float) - eye) @ v.rotation(turn)[:, 0]
                if ahead > 0.5:
                    yield point_row(f"{what}, {where}", projection, eye, turn, point)
        for where, eye, turn in poses:
            for what, start, end in [
                ("a line along the ground", (-2, -5, 0), (60, -5, 0)),
                ("a line across the ground", (15, -30, 0), (15, 30, 0)),
                ("the eaves of the barn", (30.5, 10.2, 3.6), (42.4, 11.9, 3.6)),
                ("the top bar of the first gate", (0, -0.75, 2.4), (0, 0.75, 2.4)),
            ]:
                ends = [(np.asarray(end, float) - eye) @ v.rotation(turn)[:, 0] for end in (start, end)]
                if min(ends) > 0.5:
                    try:
                        yield line_row(f"{what}, {where}", projection, eye, turn, start, end)
                    except AssertionError as told:
                        if "hardly anything" not in str(told):
                            raise


if __name__ == "__main__":
    v.main(__file__, ["opencv-python-headless", "numpy"], rows)
