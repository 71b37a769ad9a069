"""The runs of one circuit: chain, tee, hub or loop, each from place to place along the grid."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from app.takeoff.roughin.apart import CLEAR_OF, Apart, Lines, grid_apart
from app.takeoff.roughin.branches import Edge, joints_in, key_paths, tree_mm
from app.takeoff.roughin.ends import End
from app.takeoff.roughin.grid import (
    Floats,
    Grid,
    Node,
    spread_from,
)
from app.takeoff.roughin.legs import Leg, Routed, level_mm
from app.takeoff.roughin.obstacles import FreeArea, to_plan_mm
from app.takeoff.roughin.paths import corners_mm, passing_order, shortest_path
from app.takeoff.roughin.round_pads import off_pads_in_way
from app.takeoff.roughin.trees import careful_tree, shortest_tree
from app.takeoff.roughin.trench import beside_mm, spans_of

HUB_MAY_COST = 1.05  # of the shortest, for a hub that can be reached
APART_MAY_COST = 1.10  # of the shortest, for a way kept apart; common practice, no source
APART_MAY_ADD_MM = 700.0  # or so much more, where a tenth of a short run is next to nothing
APART_WORTH = 4.0  # a length beside runs that must be kept apart counts so many times more
REACH_MAY_COST = 0.045  # of the shortest tree, more, for boxes that can be reached
TOLL_MM = 1.0  # between trees as long, the one with fewer boxes under boards
BESIDE_MM = 20.0  # from boards to a box beside them
Topology = Literal["chain", "tee", "hub", "loop"]


@dataclass(frozen=True, slots=True, eq=False)
class _Ground:
    """What the shapes need to know: the grid, the places on it and the lengths between them."""

    free: FreeArea
    grid: Grid
    ends: tuple[End, ...]
    nodes: tuple[Node, ...]
    length_mm: Floats  # from each end to every crossing

    def leg(self, start: End, stop: End, path: Sequence[Node]) -> Leg:
        """Give the leg along a path of crossings."""
        turned = corners_mm(self.grid, path)
        level = sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(turned))
        return Leg(
            from_id=start.id,
            to_id=stop.id,
            path_mm=tuple(to_plan_mm(point, self.free.angle_deg) for point in turned),
            turned_mm=turned,
            level_mm=level,
            drop_mm=start.rise_mm + stop.rise_mm,
        )

    def straight(self, start: int, stop: int) -> Leg:
        """Give the leg between two ends by the shortest way."""
        path = shortest_path(self.grid, self.nodes[start], self.length_mm[stop])
        return self.leg(self.ends[start], self.ends[stop], path)

    def joint(self, name: str, node: Node) -> End:
        """Give a joint at deck level."""
        turned = self.grid.point_mm(node)
        return End(id=name, turned_mm=turned, rise_mm=0.0, plan_mm=to_plan_mm(turned, self.free.angle_deg))


def _passed(ground: _Ground, is_loop: bool) -> tuple[list[Leg], float]:
    """Give one cable that passes all devices, and comes back when it is a loop; and its length."""
    columns = np.array(ground.nodes).T
    between = ground.length_mm[:, columns[0], columns[1]]
    order = [0, *passing_order(between, is_loop)] + ([0] if is_loop else [])
    legs = [ground.straight(a, b) for a, b in pairwise(order)]
    return legs, float(sum(between[a, b] for a, b in pairwise(order)))


def _is_favoured(ground: _Ground, total_mm: Floats) -> NDArray[np.bool_]:
    """Say which crossings may hold the hub: those within reach, if any costs but little more."""
    near = total_mm <= float(total_mm.min()) * HUB_MAY_COST
    if ground.free.boarded is None or ground.free.boarded.is_empty:
        return near
    rows, columns = np.nonzero(near)
    under = shapely.intersects_xy(ground.free.boarded, ground.grid.xs_mm[rows], ground.grid.ys_mm[columns])
    reachable = near.copy()
    reachable[rows, columns] = ~under
    return reachable if reachable.any() else near


def _hubbed(ground: _Ground, circuit: str) -> tuple[list[Leg], float]:
    """Give a home run to a hub and a lead from there to each device; and the least that takes."""
    total = np.round(ground.length_mm.sum(axis=0), 3)
    least = float(total.min())
    total = np.where(_is_favoured(ground, total), total, np.inf)
    node = tuple(int(n) for n in np.unravel_index(int(total.argmin()), total.shape))
    hub_node: Node = (node[0], node[1])
    hub = ground.joint(f"{circuit}/hub", hub_node)
    home = shortest_path(ground.grid, hub_node, ground.length_mm[0])[::-1]
    legs = [ground.leg(ground.ends[0], hub, home)]
    for number in range(1, len(ground.ends)):
        way = shortest_path(ground.grid, hub_node, ground.length_mm[number])
        legs.append(ground.leg(hub, ground.ends[number], way))
    return legs, least


def _is_covered(ground: _Ground) -> NDArray[np.bool_]:
    """Say which crossings lie under boards out of reach; a place that has a device has its box anyway."""
    grid, boarded = ground.grid, ground.free.boarded
    covered = np.zeros(grid.shape, dtype=bool)
    if boarded is not None and not boarded.is_empty:
        shapely.prepare(boarded)
        covered = shapely.intersects_xy(boarded, grid.xs_mm[:, None], grid.ys_mm[None, :])
    for node in ground.nodes:
        covered[node] = False
    return covered


def _reaching(boarded: BaseGeometry, covered_mm: Sequence[tuple[float, float]]) -> Lines:
    """Give the nearest lines beside the boards for each box under them: by an edge, in stone, by a panel."""
    beside = boarded.buffer(2 * BESIDE_MM, join_style="mitre").simplify(BESIDE_MM)
    spots = np.round(shapely.get_coordinates(beside), 3)
    if not len(spots):
        return (), ()
    xs, ys = ({float(spots[np.abs(spots[:, k] - at[k]).argmin(), k]) for at in covered_mm} for k in (0, 1))
    return sorted(xs), sorted(ys)


def _within_reach(
    ground: _Ground, tree: frozenset[Edge], apart: Apart | None
) -> tuple[_Ground, frozenset[Edge]]:
    """Give another tree with fewer boxes under boards, if one costs but little more; else the same."""
    under = _is_covered(ground)
    covered = [ground.grid.point_mm(node) for node in joints_in(tree, ground.nodes) if under[node]]
    if not covered or ground.free.boarded is None:
        return ground, tree
    points = [end.turned_mm for end in ground.ends]
    grid = grid_apart(ground.free, points, apart, _reaching(ground.free.boarded, covered))
    other = replace(ground, grid=grid, nodes=tuple(grid.node(point) for point in points))
    nodes = list(dict.fromkeys(other.nodes))
    spread = spread_from(grid, nodes)
    if not all(np.isfinite(spread[0][node]) for node in nodes):
        return ground, tree
    extra_mm = tree_mm(ground.grid, tree) * REACH_MAY_COST
    toll = np.where(_is_covered(other), extra_mm / len(covered), 0.0)
    tried = careful_tree(grid, nodes, toll, spread)
    left = sum(bool(toll[node] > 0) for node in joints_in(tried, other.nodes))
    is_better = left < len(covered) and tree_mm(grid, tried) <= tree_mm(ground.grid, tree) + extra_mm
    return (other, tried) if is_better else (ground, tree)


def _teed(ground: _Ground, circuit: str, apart: Apart | None) -> tuple[list[Leg], float]:
    """Give a shared trunk with branches, and the least that takes; things over one spot hang on the first."""
    nodes = list(dict.fromkeys(ground.nodes))
    spread = ground.length_mm[[ground.nodes.index(node) for node in nodes]]
    tree = shortest_tree(ground.grid, nodes, np.where(_is_covered(ground), TOLL_MM, 0.0), spread)
    least = tree_mm(ground.grid, tree)
    ground, tree = _within_reach(ground, tree, apart)
    first: dict[Node, End] = {}
    for node, end in zip(ground.nodes, ground.ends, strict=True):
        first.setdefault(node, end)
    named = dict(first)
    joints = 0
    legs: list[Leg] = []
    for stretch in key_paths(tree, ground.nodes[0], set(first)):
        if stretch[-1] not in named:
            joints += 1
            named[stretch[-1]] = ground.joint(f"{circuit}/tee-{joints}", stretch[-1])
        legs.append(ground.leg(named[stretch[0]], named[stretch[-1]], stretch))
    for node, end in zip(ground.nodes, ground.ends, strict=True):
        if end is not first[node]:
            legs.append(ground.leg(first[node], end, (node, node)))
    return legs, least


def _beside_lines(legs: Sequence[Leg], apart: Apart) -> Lines:
    """Give the lines just apart from the runs that some legs lie beside."""
    found: dict[str, set[float]] = {"x": set(), "y": set()}
    ours = spans_of(leg.turned_mm for leg in legs)
    for (axis, at), stretches in apart.keep.items():
        near = {(axis, at): stretches}
        if beside_mm(ours, near, apart.apart_mm) > 0:
            found[axis] |= {at - apart.apart_mm, at + apart.apart_mm}
    return sorted(found["x"]), sorted(found["y"])


def _shared_mm(routed: Routed, apart: Apart) -> float:
    """Give how much of some runs lies beside those that must be kept apart."""
    return beside_mm(spans_of(leg.turned_mm for leg in routed.legs), apart.keep, apart.apart_mm)


def _kept_apart(bare: Routed, apart: Apart | None, led: Callable[[Apart, Lines], Routed]) -> Routed:
    """Give the way that keeps apart from what must be, if it costs little more; else the shortest, led."""
    if apart is None:
        return bare
    if not apart.keep or not bare.legs:
        return led(apart, ((), ()))

    def tried_beside(legs: Sequence[Leg]) -> Routed:
        return led(replace(apart, worth=APART_WORTH), _beside_lines(legs, apart))

    tried = tried_beside(bare.legs) if _shared_mm(bare, apart) > 0 else None
    if tried is not None and _is_worth_it(tried, bare) and _shared_mm(tried, apart) <= 0:
        return tried  # what goes round pads as well is no shorter, so that this is worth it then too
    base = led(apart, ((), ()))
    shared = _shared_mm(base, apart)
    if shared <= 0:
        return base
    tried = tried or tried_beside(base.legs)
    return tried if _is_worth_it(tried, base) and _shared_mm(tried, apart) < shared else base


def _is_worth_it(tried: Routed, base: Routed) -> bool:
    """Say whether a way kept apart leaves out no more devices, and is but little longer."""
    length = level_mm(base)
    most = max(length * APART_MAY_COST, length + APART_MAY_ADD_MM)
    return len(tried.cut_off) <= len(base.cut_off) and level_mm(tried) <= most


def _spread(
    free: FreeArea, ends: Sequence[End], apart: Apart | None, more: Lines
) -> tuple[Grid, list[Node], Floats]:
    """Give the grid between sticks and pads and its lengths; on them only where nothing else reaches."""
    points = [end.turned_mm for end in ends]
    for clear_of in CLEAR_OF:
        grid = grid_apart(free, points, apart, more, clear_of)
        nodes = [grid.node(point) for point in points]
        length = spread_from(grid, nodes)
        if apart is None or all(np.isfinite(length[0][node]) for node in nodes):
            break
    return grid, nodes, length


def route(
    free: FreeArea,
    circuit: str,
    topology: Topology,
    source: End,
    devices: Sequence[End],
    apart: Apart | None = None,
) -> Routed:
    """Give the runs of one circuit.

    Parameters
    ----------
    free : FreeArea
        Where runs may lie.
    circuit : str
        Its id, for the names of joints.
    topology : str
        ``chain``, ``tee``, ``hub`` or ``loop``.
    source : End
        Where it begins.
    devices : sequence of End
        What it feeds.
    apart : Apart or None
        Runs laid before that this one keeps away from where a way as short lets it; from those that must be
        kept apart where a way a tenth or 0.7 m longer does.

    Returns
    -------
    routed : Routed
        Devices that cannot be reached are left out of the runs and named.

    References
    ----------
    Definition.
    """

    def lay(ground: FreeArea, keep: Apart | None, lines: Lines) -> Routed:
        return _routed(ground, circuit, topology, [source, *devices], keep, lines)

    bare = lay(free, replace(apart, pads_mm=None) if apart else None, ((), ()))

    def led(keep: Apart, lines: Lines) -> Routed:
        laid = bare if keep is apart else lay(free, replace(keep, pads_mm=None), lines)
        return off_pads_in_way(free, keep, laid, lines, lay)

    return _kept_apart(bare, apart, led)


def _routed(
    free: FreeArea,
    circuit: str,
    topology: Topology,
    ends: Sequence[End],
    apart: Apart | None,
    more: Lines,
) -> Routed:
    """Give the runs of one circuit on one grid."""
    source, *devices = ends
    grid, nodes, length = _spread(free, ends, apart, more)
    if devices and not grid.neighbours(nodes[0]):
        return Routed(legs=(), cut_off=(source,))
    kept = [number for number, node in enumerate(nodes) if np.isfinite(length[0][node])]
    ground = _Ground(
        free=free,
        grid=grid,
        ends=tuple(ends[number] for number in kept),
        nodes=tuple(nodes[number] for number in kept),
        length_mm=length[kept],
    )
    cut_off = tuple(end for number, end in enumerate(ends) if number not in kept)
    if len(kept) == 1:
        return Routed(legs=(), cut_off=cut_off)
    if topology == "tee":
        legs, least = _teed(ground, circuit, apart)
    elif topology == "hub" and len(kept) > 2:
        legs, least = _hubbed(ground, circuit)
    else:
        legs, least = _passed(ground, is_loop=topology == "loop")
    return Routed(legs=tuple(legs), cut_off=cut_off, least_mm=least)
