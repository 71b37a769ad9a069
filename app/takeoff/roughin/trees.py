"""The shortest tree of trunk and branches through a source and its devices."""

from collections.abc import Callable, Sequence
from functools import cache

import numpy as np

from app.takeoff.roughin.branches import (
    Edge,
    adjacent,
    edges_of,
    joints_in,
    key_paths,
    nodes_from,
    tidied,
    tree_mm,
)
from app.takeoff.roughin.grid import TIE_MM, Floats, Grid, Node, spread_from, spread_mm
from app.takeoff.roughin.paths import shortest_path
from app.takeoff.roughin.spanning import spanning, spanning_with_mm

Way = Callable[[int, Node], set[Edge]]  # to the terminal of a set of one, from a crossing
EXACT_TERMINALS = 11  # source included; each one more triples the cost
CAREFUL_TERMINALS = 8  # the same, with joints kept away from boards
FEW_TERMINALS = 7  # fewer are quicker without a first guess
MOST_IMPROVED = 24  # beyond, the tree is left as first found


def _subsets(of: int) -> list[int]:
    """Give the halves to split a set of terminals into, each split once."""
    lowest = of & -of
    found = []
    part = (of - 1) & of
    while part:
        if part & lowest:
            found.append(part)
        part = (part - 1) & of
    return found


def _joined_mm(cost: dict[int, Floats], of: int) -> Floats | None:
    """Give the least length of two trees that meet at each crossing and together hold some terminals."""
    parts = [part for part in _subsets(of) if part in cost and of ^ part in cost]
    if not parts:
        return None
    least = cost[parts[0]] + cost[of ^ parts[0]]
    both = np.empty_like(least)
    for part in parts[1:]:
        np.add(cost[part], cost[of ^ part], out=both)
        np.minimum(least, both, out=least)
    return least


def _least_mm(grid: Grid, terminals: Sequence[Node]) -> Floats:
    """Give a length below which no tree joins each crossing to some terminals: half round the box of them."""
    sides = []
    for axis, lines in enumerate((grid.xs_mm, grid.ys_mm)):
        places = lines[[node[axis] for node in terminals]]
        sides.append(np.maximum(lines, places.max()) - np.minimum(lines, places.min()))
    least: Floats = sides[0][:, None] + sides[1][None, :]
    return least


def _at_most_mm(grid: Grid, terminals: Sequence[Node], toll_mm: Floats) -> float:
    """Give the length of one tree, tolls and all, that the shortest cannot exceed."""
    if len(terminals) < FEW_TERMINALS:
        return float("inf")
    return _tolled_mm(grid, _tree_by_joints(grid, terminals, toll_mm), terminals, toll_mm) + TIE_MM


def _tolled_mm(grid: Grid, tree: frozenset[Edge], terminals: Sequence[Node], toll_mm: Floats) -> float:
    """Give the length of a tree, the tolls of its joints and all."""
    joined = adjacent(tree)
    tolls = sum((len(joined[node]) - 2) * float(toll_mm[node]) for node in joints_in(tree, terminals))
    return tree_mm(grid, tree) + tolls


def exact_tree(
    grid: Grid, terminals: Sequence[Node], toll_mm: Floats | None = None, spread: Floats | None = None
) -> frozenset[Edge]:
    """Give a shortest tree through the terminals, exactly.

    Parameters
    ----------
    grid : Grid
        Where runs may lie.
    terminals : sequence of Node
        Different crossings; the first is the source.
    toll_mm : array or None
        Length that a joint at each crossing counts for, so that it is made elsewhere. [mm]
    spread : array or None
        Least length from each terminal to every crossing, where it is known already.

    Returns
    -------
    edges : frozenset of Edge
        Steps of the tree.

    Notes
    -----
    Cost grows as 3 to the number of terminals; meant for few.

    References
    ----------
    S. E. Dreyfus and R. A. Wagner, The Steiner problem in graphs, Networks 1 (1971).
    """
    root, others, count = terminals[0], list(terminals[1:]), len(terminals) - 1
    toll = np.zeros(grid.shape) if toll_mm is None else toll_mm
    most_mm = _at_most_mm(grid, terminals, toll)
    if spread is None:
        spread = spread_from(grid, terminals)
    layers = spread[1:]
    cost: dict[int, Floats] = {1 << number: layer for number, layer in enumerate(layers)}
    for size in range(2, count + 1):
        sets = [s for s in range(1, 1 << count) if s.bit_count() == size]
        worth: list[tuple[int, Floats]] = []
        for chosen in sets:
            layer = _joined_mm(cost, chosen)
            rest = [root, *(node for n, node in enumerate(others) if not chosen & 1 << n)]
            # Going on from a crossing costs at least what it brings nearer: this holds for all ways on.
            if layer is not None and float((layer + toll + _least_mm(grid, rest)).min()) <= most_mm:
                worth.append((chosen, layer + toll))
        if worth:
            wider = spread_mm(grid, np.stack([layer for _, layer in worth]))
            cost |= {chosen: layer for (chosen, _), layer in zip(worth, wider, strict=True)}
    way = cache(lambda one, node: edges_of(shortest_path(grid, node, cost[one])))  # asked for both times
    first = _traced(grid, cost, terminals, toll, -1, way)
    first_mm = round(_tolled_mm(grid, first, terminals, toll), 3)
    if not count or first_mm <= round(float(cost[(1 << count) - 1][root]), 3):
        return first  # as short as any can be
    other = _traced(grid, cost, terminals, toll, 1, way)
    return other if round(_tolled_mm(grid, other, terminals, toll), 3) < first_mm else first


def _traced(
    grid: Grid, cost: dict[int, Floats], terminals: Sequence[Node], toll: Floats, far: int, way: Way
) -> frozenset[Edge]:
    """Give the tree whose length is known; among equal ways the last step is the longest or the shortest.

    Of two ways alike one may lie along a branch, and the joint is then where the two part, toll or not.
    """
    root, count = terminals[0], len(terminals) - 1
    edges: set[Edge] = set()
    waiting = [((1 << count) - 1, root)] if count else []
    while waiting:
        chosen, node = waiting.pop()
        left = cost[chosen]
        if chosen.bit_count() == 1:
            edges |= way(chosen, node)
            continue
        parts = [part for part in _subsets(chosen) if part in cost and chosen ^ part in cost]
        part = min(parts, key=lambda p: float(cost[p][node] + cost[chosen ^ p][node]))
        if cost[part][node] + cost[chosen ^ part][node] + toll[node] <= left[node] + TIE_MM:
            waiting += [(part, node), (chosen ^ part, node)]
            continue
        ways = [(other, grid.step_mm(node, other)) for other, _ in grid.neighbours(node)]
        # Never away from the goal, or lines a hair apart would send it to and fro.
        away = {other: bool(left[other] >= left[node]) for other, _ in ways}
        onward, _ = min(
            ways, key=lambda w: (away[w[0]], round(float(left[w[0]]) + w[1], 6), far * w[1], w[0])
        )
        edges.add((min(node, onward), max(node, onward)))
        waiting.append((chosen, onward))
    return tidied(edges, root, set(terminals))


def _grown_tree(grid: Grid, terminals: Sequence[Node]) -> frozenset[Edge]:
    """Give a tree grown from the source to whichever terminal is nearest to it."""
    length = np.full(grid.shape, np.inf)
    length[terminals[0]] = 0.0
    length = spread_mm(grid, length)
    edges: set[Edge] = set()
    left = sorted(set(terminals[1:]))
    while left:
        nearest = min(left, key=lambda node: (round(float(length[node]), 3), node))
        left.remove(nearest)
        path = shortest_path(grid, nearest, length)
        edges |= edges_of(path)
        for node in path:
            length[node] = 0.0
        length = spread_mm(grid, length)
    return tidied(edges, terminals[0], set(terminals))


def _improved_tree(grid: Grid, edges: frozenset[Edge], terminals: Sequence[Node]) -> frozenset[Edge]:
    """Give a tree none of whose stretches can be taken out and joined again over a shorter way."""
    named = set(terminals)
    root = terminals[0]
    total = tree_mm(grid, edges)
    is_better = True
    while is_better:
        is_better = False
        for stretch in key_paths(edges, root, named):
            kept = set(edges) - edges_of(stretch)
            near, far = nodes_from(kept, stretch[0]), nodes_from(kept, stretch[-1])
            length = np.full(grid.shape, np.inf)
            for node in near:
                length[node] = 0.0
            length = spread_mm(grid, length)
            join = min(far, key=lambda node: (round(float(length[node]), 3), node))
            tried = tidied(kept | edges_of(shortest_path(grid, join, length)), root, named)
            if tree_mm(grid, tried) < total - TIE_MM:
                edges, total, is_better = tried, tree_mm(grid, tried), True
                break
    return edges


def _tree_by_joints(grid: Grid, terminals: Sequence[Node], toll_mm: Floats) -> frozenset[Edge]:
    """Give a tree by adding the joint that shortens it most, one after the other."""
    points = list(terminals)
    layers = spread_from(grid, points)
    while len(points) < 2 * len(terminals):
        columns = np.array(points).T
        between = layers[:, columns[0], columns[1]]
        now = sum(float(between[a, b]) for a, b in spanning(between))
        tried = spanning_with_mm(between, layers.reshape(len(points), -1)) + toll_mm.ravel()
        best = int(np.round(tried, 3).argmin())
        if tried[best] >= now - 1.0:  # a millimetre is no gain
            break
        row, column = np.unravel_index(best, grid.shape)
        points.append((int(row), int(column)))
        layers = np.concatenate([layers, spread_from(grid, points[-1:])])
    columns = np.array(points).T
    edges: set[Edge] = set()
    for a, b in spanning(layers[:, columns[0], columns[1]]):
        edges |= edges_of(shortest_path(grid, points[b], layers[a]))
    return tidied(edges, terminals[0], set(terminals))


def careful_tree(
    grid: Grid, terminals: Sequence[Node], toll_mm: Floats, spread: Floats | None = None
) -> frozenset[Edge]:
    """Give a short tree that keeps its joints away from some crossings.

    Parameters
    ----------
    grid : Grid
        Where runs may lie.
    terminals : sequence of Node
        Different crossings, all within reach of the first, which is the source.
    toll_mm : array
        Length that a joint at each crossing counts for. [mm]
    spread : array or None
        Least length from each terminal to every crossing, where it is known already.

    Returns
    -------
    edges : frozenset of Edge
        Exact up to eight terminals, tolls and all; beyond, joint after joint.

    References
    ----------
    As for `shortest_tree`.
    """
    if len(terminals) <= CAREFUL_TERMINALS:
        return exact_tree(grid, terminals, toll_mm, spread)
    return _tree_by_joints(grid, terminals, toll_mm)


def shortest_tree(
    grid: Grid, terminals: Sequence[Node], toll_mm: Floats | None = None, spread: Floats | None = None
) -> frozenset[Edge]:
    """Give a short tree through the terminals: exact for few, improved step by step for many.

    Parameters
    ----------
    grid : Grid
        Where runs may lie.
    terminals : sequence of Node
        Different crossings, all within reach of the first, which is the source.
    toll_mm : array or None
        Length that a joint at each crossing counts for, which decides between trees as long; for few
        terminals only. [mm]
    spread : array or None
        Least length from each terminal to every crossing, where it is known already.

    Returns
    -------
    edges : frozenset of Edge
        Steps of the tree.

    Notes
    -----
    A tree grown nearest first is never longer than 2 − 2/t times the shortest, t terminals.

    References
    ----------
    H. Takahashi and A. Matsuyama, Math. Japonica 24 (1980), for growing; A. B. Kahng and G. Robins, IEEE
    Trans. CAD 11 (1992), for joints one after the other; exact up to eleven terminals after Dreyfus and
    Wagner (1971).
    """
    if len(terminals) <= EXACT_TERMINALS:
        return exact_tree(grid, terminals, toll_mm, spread)
    tree = _grown_tree(grid, terminals)
    if len(terminals) > MOST_IMPROVED:
        return tree
    tried = [tree, _tree_by_joints(grid, terminals, np.zeros(grid.shape))]
    improved = [_improved_tree(grid, one, terminals) for one in tried]
    return min(improved, key=lambda one: round(tree_mm(grid, one), 3))
