"""The runs of one circuit: chain, tee, hub or loop, each from place to place along the grid."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from app.takeoff.roughin.ends import End
from app.takeoff.roughin.grid import Floats, Grid, Node, draw_grid, spread_from, with_burden
from app.takeoff.roughin.obstacles import FreeArea, to_plan_mm
from app.takeoff.roughin.paths import corners_mm, passing_order, shortest_path
from app.takeoff.roughin.records import Path
from app.takeoff.roughin.trees import key_paths, shortest_tree
from app.takeoff.roughin.trench import Spans

HUB_MAY_COST = 1.05  # of the shortest, for a hub that can be reached
Topology = Literal["chain", "tee", "hub", "loop"]


@dataclass(frozen=True, slots=True)
class Leg:
    """One run before its cable is chosen.

    Attributes
    ----------
    from_id, to_id : str
        Source, device or joint at each end.
    path_mm : tuple of corner
        On plan. [mm]
    turned_mm : tuple of corner
        The same in turned axes. [mm]
    level_mm : float
        Along the path. [mm]
    drop_mm : float
        Up and down at both ends. [mm]
    """

    from_id: str
    to_id: str
    path_mm: Path
    turned_mm: Path
    level_mm: float
    drop_mm: float


@dataclass(frozen=True, slots=True)
class Routed:
    """One circuit on the roof.

    Attributes
    ----------
    legs : tuple of Leg
        From the source outward.
    cut_off : tuple of End
        Devices no run can reach; the source itself when nothing can leave it.
    """

    legs: tuple[Leg, ...]
    cut_off: tuple[End, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Apart:
    """What a run keeps away from.

    Attributes
    ----------
    spans : dict
        Stretches of other runs by line.
    apart_mm : float
        Least distance that counts as apart. [mm]
    sticks_mm : array
        Centre lines under the boards in turned axes; fewer are passed where a way as good lets it. [mm]
    """

    spans: Spans
    apart_mm: float
    sticks_mm: Floats


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


def _passed(ground: _Ground, is_loop: bool) -> list[Leg]:
    """Give one cable that passes all devices, and comes back when it is a loop."""
    columns = np.array(ground.nodes).T
    between = ground.length_mm[:, columns[0], columns[1]]
    order = [0, *passing_order(between, is_loop)] + ([0] if is_loop else [])
    return [ground.straight(a, b) for a, b in pairwise(order)]


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


def _hubbed(ground: _Ground, circuit: str) -> list[Leg]:
    """Give a home run to the hub that needs least cable, and a lead from there to each device."""
    total = np.round(ground.length_mm.sum(axis=0), 3)
    total = np.where(_is_favoured(ground, total), total, np.inf)
    node = tuple(int(n) for n in np.unravel_index(int(total.argmin()), total.shape))
    hub_node: Node = (node[0], node[1])
    hub = ground.joint(f"{circuit}/hub", hub_node)
    home = shortest_path(ground.grid, hub_node, ground.length_mm[0])[::-1]
    legs = [ground.leg(ground.ends[0], hub, home)]
    for number in range(1, len(ground.ends)):
        way = shortest_path(ground.grid, hub_node, ground.length_mm[number])
        legs.append(ground.leg(hub, ground.ends[number], way))
    return legs


def _teed(ground: _Ground, circuit: str) -> list[Leg]:
    """Give a shared trunk with branches; things over the same spot hang on the first of them."""
    first: dict[Node, End] = {}
    for node, end in zip(ground.nodes, ground.ends, strict=True):
        first.setdefault(node, end)
    named = dict(first)
    joints = 0
    legs: list[Leg] = []
    tree = shortest_tree(ground.grid, list(first))
    for stretch in key_paths(tree, ground.nodes[0], set(first)):
        if stretch[-1] not in named:
            joints += 1
            named[stretch[-1]] = ground.joint(f"{circuit}/tee-{joints}", stretch[-1])
        legs.append(ground.leg(named[stretch[0]], named[stretch[-1]], stretch))
    for node, end in zip(ground.nodes, ground.ends, strict=True):
        if end is not first[node]:
            legs.append(ground.leg(first[node], end, (node, node)))
    return legs


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
        Runs laid before that this one keeps away from where a way as short lets it.

    Returns
    -------
    routed : Routed
        Devices that cannot be reached are left out of the runs and named.

    References
    ----------
    Definition.
    """
    grid = draw_grid(free, [source.turned_mm, *(device.turned_mm for device in devices)])
    grid = with_burden(grid, apart.spans, apart.apart_mm, apart.sticks_mm) if apart else grid
    source_node = grid.node(source.turned_mm)
    if devices and not grid.neighbours(source_node):
        return Routed(legs=(), cut_off=(source,))
    ends = [source, *devices]
    nodes = [grid.node(end.turned_mm) for end in ends]
    length = spread_from(grid, nodes)
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
        legs = _teed(ground, circuit)
    elif topology == "hub" and len(kept) > 2:
        legs = _hubbed(ground, circuit)
    else:
        legs = _passed(ground, is_loop=topology == "loop")
    return Routed(legs=tuple(legs), cut_off=cut_off)
