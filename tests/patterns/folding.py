"""Folding a flat piece back into space: rotation matrices about its fold lines.

Written from the noun alone (panels, folds, turns), without any code of the patterns.
"""

import numpy as np

from detailgen.flat import FlatPiece


def _shift(by: np.ndarray) -> np.ndarray:
    out = np.eye(4)
    out[:3, 3] = by
    return out


def _turn(axis: np.ndarray, angle: float) -> np.ndarray:
    """Return Rodrigues' rotation about an axis through the origin."""
    k = axis / np.linalg.norm(axis)
    cross = np.array([[0, -k[2], k[1]], [k[2], 0, -k[0]], [-k[1], k[0], 0]])
    out = np.eye(4)
    out[:3, :3] = np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross
    return out


def lift(points, pose: np.ndarray) -> np.ndarray:
    """Return points of the flat piece where a pose takes them in space."""
    flat = np.array([(x, y, 0.0, 1.0) for x, y in points])
    return (flat @ pose.T)[:, :3]


def poses(piece: FlatPiece, root: np.ndarray) -> dict[str, np.ndarray]:
    """Return for each panel the 4 x 4 matrix that takes it from the flat into space.

    Args:
        piece: The flat piece.
        root: The matrix of its first panel, which is set first.
    """
    found = {piece.panels[0].id: root}
    for fold in piece.folds:
        parent, child = fold.panels
        start, end = np.array([*fold.start, 0.0]), np.array([*fold.end, 0.0])
        along = end - start
        outline = np.array(next(p.outline for p in piece.panels if p.id == child))
        middle = np.append(outline.mean(axis=0), 0.0) - start
        left = np.cross(along, middle)[2] > 0
        # a valley lifts what is left of the line by a positive turn about it
        angle = np.radians(fold.turn) * (1 if left else -1)
        about = _shift(start) @ _turn(along, angle) @ _shift(-start)
        found[child] = found[parent] @ about
    assert len(found) == len(piece.panels), "some panel hangs on no other"
    return found


def folded(piece: FlatPiece, root: np.ndarray) -> dict[str, np.ndarray]:
    """Return for each panel the corners of its outline in space."""
    where = poses(piece, root)
    return {p.id: lift(p.outline, where[p.id]) for p in piece.panels}
