"""Counting the folded sheets over points of a corner's surface."""

import numpy as np

from tests.patterns.folding import folded
from tests.patterns.solid_corner import Case, Solid

NEAR = 1e-4
"""A point this near to a panel, mm, is under it."""


def surface_points(case: Case, rng: np.random.Generator, each: int = 500):
    """Return points of walls, cants and roof, dense about vertex, toe corner and edges.

    Yields:
        Face, points and the distance of each point from the start of the straight run's
        station there: up the wall, or out from the toe (0 on the cants).
    """
    s = case.solid
    far = max(case.length(sheet) for sheet in case.sheets)
    top = max(sheet.reach_up for sheet in case.sheets)
    out = max(sheet.reach_out for sheet in case.sheets)

    def spread(high: float, count: int) -> np.ndarray:
        """Return numbers from 0 to high: a third each even, near 0 and exactly at ends."""
        even = rng.uniform(0.0, high, count)
        near = high * rng.uniform(0.0, 1.0, count) ** 4
        ends = rng.choice([0.0, high], count)
        return rng.choice([even, near, ends], axis=0) if count else even

    for i in (1, 2):
        along = spread(far, each)[:, None] * s.u[i]
        up = spread(top, each)
        yield f"wall-{i}", s.v + along + up[:, None] * np.array([0.0, 0.0, 1.0]), up
    toe_way = np.linalg.norm(s.t - s.v)
    for i in (1, 2):
        part = spread(1.0, each)
        edge = s.v + part[:, None] * (s.t - s.v)
        yield (
            f"cant-{i}",
            edge + (spread(far + toe_way, each)[:, None] * s.u[i]),
            np.zeros(each),
        )
    corner = s.t + 0.0
    reach = out / abs(np.sin(np.radians(case.angle / 2.0)))
    turn = rng.uniform(0.0, 2.0 * np.pi, 4 * each)
    size = spread(reach + far, 4 * each)
    flat = corner + size[:, None] * np.stack(
        [np.cos(turn), np.sin(turn), np.zeros(4 * each)], axis=1
    )
    lines = [
        corner + spread(far + reach, each)[:, None] * way
        for way in (s.u[1], s.u[2], -s.u[1], -s.u[2], np.array([*corner[:2], 0.0]) / s.c)
    ]
    flat = np.concatenate([flat, *lines])
    d1, d2 = (flat @ s.n[i] - s.c for i in (1, 2))
    station = np.minimum(d1, d2) if s.inside else np.maximum(d1, d2)
    kept = station >= 0.0
    yield "roof", flat[kept], station[kept]


def asked(case: Case, sheet, face: str, points, station) -> np.ndarray:
    """Return where the straight run has this sheet, as far as its corner pieces go."""
    s, run = case.solid, case.length(sheet)
    if face.startswith("wall"):
        return (station <= sheet.reach_up) & (points @ s.u[int(face[-1])] <= run)
    if face.startswith("cant"):
        return points @ s.u[int(face[-1])] <= run
    first, second = (points @ s.n[i] - s.c for i in (1, 2))
    ends = {i: points @ s.u[i] <= run for i in (1, 2)}
    # inside a point belongs to the wall it is nearer to, outside to the one it is before
    nearer = first <= second if s.inside else first >= second
    return (station <= sheet.reach_out) & np.where(nearer, ends[1], ends[2])


def layers(corners: np.ndarray, points: np.ndarray) -> np.ndarray:
    """Return which points lie on a folded panel, which is flat and convex."""
    a = corners
    b = np.roll(corners, -1, axis=0)
    normal = np.cross(a - a[0], b - a[0]).sum(axis=0)
    normal /= np.linalg.norm(normal)
    inward = np.cross(normal, (b - a) / np.linalg.norm(b - a, axis=1)[:, None])
    on = np.abs((points - a[0]) @ normal) < NEAR
    return on & ((points @ inward.T - (a * inward).sum(axis=1)) > -NEAR).all(axis=1)


def counted(panels, points: np.ndarray) -> np.ndarray:
    """Return how many folded panels lie over each point."""
    total = np.zeros(len(points), dtype=int)
    for corners in panels:
        total += layers(corners, points)
    return total


def set_up(solid: Solid, pieces) -> list[np.ndarray]:
    """Return the corners of all panels of pieces, folded up."""
    return [c for p in pieces for c in folded(p, solid.root(p)).values()]
