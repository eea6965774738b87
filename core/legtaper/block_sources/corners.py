"""Where an outline turns: the corners of a panel, found by how sharply it turns and where."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from legtaper.geometry.curves import Array
from legtaper.model.project import CornerRole, PanelName, ProjectError

_STEP = 2.0  # mm between the points at which the turn is looked at
_REACH = 14.0  # mm on either side of a point that count for its turn
_TOP = 0.45  # of the height; crotch, hip and waist lie above
_SHARP = 32.0  # degrees; less is a curve and no corner


def find_corners(
    ring: Array, closed: bool, near: Mapping[CornerRole, Array], panel: PanelName
) -> tuple[Array, dict[CornerRole, int]]:
    """Return the ring, with corners that were asked for put in, and the number of each corner.

    `ring` (n, 2) stands upright in mm. `near` are points close to corners that are known. The
    hem's corners are the lowest two. The crotch point is the lowest corner in the upper half.
    Raises `ProjectError` naming the panel where they can't be told.
    """
    for at in near.values():
        ring, _ = insert_point(ring, at)
    given = {role: nearest_point(ring, at) for role, at in near.items()}
    corners = _corners(ring, closed)
    low, high = ring[:, 1].min(), ring[:, 1].max()
    share = (ring[:, 1] - low) / (high - low)
    if not closed and min(share[0], share[-1]) < _TOP:
        gap = float(np.hypot(*(ring[0] - ring[-1])))
        raise ProjectError(panel, f"the outline is open by {gap:.0f} mm; close it in the drawing")
    bottom = [n for n in corners if share[n] < 0.3]
    if len(bottom) < 2 and not {"hem_inseam", "hem_outseam"} <= set(given):
        raise ProjectError(panel, "the corners of the hem can't be told; say where they are")
    ends = _hem_ends(ring, bottom) if len(bottom) >= 2 else (0, 0)
    upper = [n for n in corners if share[n] > _TOP]
    crotch = given.get("crotch")
    if crotch is None:
        if len(upper) < 2:
            raise ProjectError(panel, "the crotch point can't be told; say where it is")
        crotch = min(upper, key=lambda n: ring[n, 1])
    found: dict[CornerRole, int] = {"crotch": crotch}
    found |= _hem_roles(ring, crotch, ends, given)
    found |= _top(ring, closed, [n for n in upper if n != crotch], found, given)
    _check(ring, found, panel)
    return ring, found


def _hem_ends(ring: Array, bottom: list[int]) -> tuple[int, int]:
    """Return the two corners furthest down and out."""
    steep = 3.0  # height counts for more: what lies low is the hem
    left = min(bottom, key=lambda n: ring[n, 0] + steep * ring[n, 1])
    right = min(bottom, key=lambda n: -ring[n, 0] + steep * ring[n, 1])
    if left == right:
        rest = [n for n in bottom if n != left]
        right = min(rest, key=lambda n: ring[n, 1])
    return left, right


def _hem_roles(
    ring: Array, crotch: int, ends: tuple[int, int], given: Mapping[CornerRole, int]
) -> dict[CornerRole, int]:
    """Tell the inseam's end of the hem: it comes first from the crotch point, without the waist.

    Of the two ways round the ring the one to the nearer end is the inseam.
    """
    if "hem_inseam" in given and "hem_outseam" in given:
        return {"hem_inseam": given["hem_inseam"], "hem_outseam": given["hem_outseam"]}
    count = len(ring)
    lengths = np.hypot(*(np.roll(ring, -1, axis=0) - ring).T)
    run = np.concatenate([[0.0], np.cumsum(lengths)])

    def way(n: int) -> float:
        on = (run[n] - run[crotch]) % run[count]
        return float(min(on, run[count] - on))

    inner, outer = sorted(ends, key=way)
    return {
        "hem_inseam": given.get("hem_inseam", inner),
        "hem_outseam": given.get("hem_outseam", outer),
    }


def _top(
    ring: Array,
    closed: bool,
    upper: list[int],
    found: Mapping[CornerRole, int],
    given: Mapping[CornerRole, int],
) -> dict[CornerRole, int]:
    """Return the waist's corners, or the hip where the drawing ends there with a straight line."""
    count = len(ring)
    down = (found["hem_inseam"] - found["crotch"]) % count
    forward = (found["hem_outseam"] - found["crotch"]) % count > down
    sign = 1 if forward else -1

    def place(n: int) -> int:
        return sign * (n - found["crotch"]) % count

    after = sorted((n for n in upper if place(n) > place(found["hem_outseam"])), key=place)
    tops: tuple[CornerRole, ...] = ("waist_outseam", "waist_center", "hip")
    roles = {role: given[role] for role in tops if role in given}
    if "waist_outseam" in roles and "waist_center" in roles:
        return roles
    last = count - 1 if not closed else place(after[-1]) if after else 0
    straight = closed and len(after) <= 1 and _is_straight(ring, after, found["crotch"], sign)
    if not closed or straight:
        end = (found["crotch"] + sign * last) % count
        roles.setdefault("hip", end)
        return roles
    if not after:
        return roles
    # A fly or a sharp hip has corners, too; those of the waist lie near the top.
    top, low = ring[:, 1].max(), ring[found["crotch"], 1]
    sides = [n for n in after if ring[n, 1] > top - 0.4 * (top - low)] or after
    centers = [n for n in sides if ring[n, 1] > top - 0.15 * (top - low)] or sides
    roles.setdefault("waist_outseam", sides[0])
    roles.setdefault("waist_center", centers[-1])
    return roles


def _is_straight(ring: Array, after: list[int], crotch: int, sign: int) -> bool:
    """Whether the ring runs straight from the last corner to the crotch point."""
    if not after:
        return False
    count = len(ring)
    steps = sign * (crotch - after[-1]) % count
    way = ring[(after[-1] + sign * np.arange(steps + 1)) % count]
    along = way[-1] - way[0]
    off = np.abs((way - way[0]) @ np.array([-along[1], along[0]])) / np.hypot(*along)
    return bool(off.max() < 1.0)


def _check(ring: Array, found: Mapping[CornerRole, int], panel: PanelName) -> None:
    whole = "waist_outseam" in found and found["waist_outseam"] != found.get("waist_center")
    if not whole and "hip" not in found:
        raise ProjectError(panel, "the corners of the waist can't be told; say where they are")
    if not whole and ring[found["hip"], 1] < ring[found["crotch"], 1] + 20:
        raise ProjectError(panel, "the crotch point can't be told; say where it is")
    if len(set(found.values())) < len(found):
        raise ProjectError(panel, "two corners are at the same place; say where they are")
    hem = max(ring[found["hem_inseam"], 1], ring[found["hem_outseam"], 1])
    if not ring[found["crotch"], 1] > hem + 100:
        raise ProjectError(panel, "the crotch point must be above the hem; say where it is")


def _corners(ring: Array, closed: bool) -> list[int]:
    """Return the numbers of the points where the ring turns outwards sharply."""
    spots = _dense(ring)
    reach = max(1, round(_REACH / _STEP))
    before, after = spots - np.roll(spots, reach, axis=0), np.roll(spots, -reach, axis=0) - spots
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turn = np.degrees(np.arctan2(cross, (before * after).sum(axis=1)))
    if _signed_area(ring) < 0:
        turn = -turn
    found: list[int] = []
    if not closed:
        found += [0, len(ring) - 1]
    wide = 2 * reach
    for i in np.flatnonzero(turn > _SHARP):
        around = turn.take(range(i - wide, i + wide + 1), mode="wrap")
        if turn[i] >= around.max() - 1e-9:
            number = _sharpest(ring, spots[i])
            if number not in found:
                found.append(number)
    return sorted(found)


def _dense(ring: Array) -> Array:
    """Return points every few mm along a closed ring."""
    ends = np.roll(ring, -1, axis=0)
    lengths = np.hypot(*(ends - ring).T)
    run = np.concatenate([[0.0], np.cumsum(lengths)])
    count = max(24, round(run[-1] / _STEP))
    at = np.linspace(0, run[-1], count, endpoint=False)
    closed = np.vstack([ring, ring[:1]])
    return np.column_stack([np.interp(at, run, closed[:, 0]), np.interp(at, run, closed[:, 1])])


def _sharpest(ring: Array, spot: Array) -> int:
    """Return the point of the ring that turns most, of those close to a spot on it."""
    far = np.hypot(*(ring - spot).T)
    numbers = np.flatnonzero(far <= max(_REACH, far.min() + 1e-9))
    before = ring[numbers] - ring[numbers - 1]
    after = ring[(numbers + 1) % len(ring)] - ring[numbers]
    cross = np.abs(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0])
    return int(numbers[np.argmax(np.arctan2(cross, (before * after).sum(axis=1)))])


def _signed_area(ring: Array) -> float:
    x, y = ring.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def nearest_point(ring: Array, at: Array) -> int:
    """Return the number of the point of the ring that lies nearest."""
    return int(np.argmin(np.hypot(*(ring - at).T)))


def insert_point(ring: Array, at: Array) -> tuple[Array, int]:
    """Return the ring with a point on its nearest piece, and its number; none is put in twice."""
    ends = np.roll(ring, -1, axis=0) - ring
    square = np.maximum((ends * ends).sum(axis=1), 1e-12)
    share = np.clip(((at - ring) * ends).sum(axis=1) / square, 0, 1)
    spots = ring + share[:, None] * ends
    piece = int(np.argmin(np.hypot(*(spots - at).T)))
    spot = spots[piece]
    for number in (piece, (piece + 1) % len(ring)):
        if np.hypot(*(ring[number] - spot)) <= 0.5:
            return ring, number
    return np.insert(ring, piece + 1, spot, axis=0), piece + 1
