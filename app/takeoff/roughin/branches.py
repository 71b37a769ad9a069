"""A tree of trunk and branches as its steps: length, joints, stretches."""

from collections.abc import Sequence
from itertools import pairwise

from app.takeoff.roughin.grid import Grid, Node

Edge = tuple[Node, Node]


def tree_mm(grid: Grid, edges: frozenset[Edge]) -> float:
    """Give the length of a tree.

    Parameters
    ----------
    grid : Grid
        Where runs may lie.
    edges : frozenset of Edge
        Its steps.

    Returns
    -------
    tree_mm : float
        Each step counted once. [mm]

    References
    ----------
    Definition.
    """
    return float(sum(grid.step_mm(a, b) for a, b in sorted(edges)))


def edges_of(path: Sequence[Node]) -> set[Edge]:
    """Give the steps of a way, each with its lower crossing first.

    Parameters
    ----------
    path : sequence of Node
        Every crossing passed.

    Returns
    -------
    edges : set of Edge

    References
    ----------
    Definition.
    """
    return {(min(a, b), max(a, b)) for a, b in pairwise(path)}


def adjacent(edges: set[Edge] | frozenset[Edge]) -> dict[Node, list[Node]]:
    """Give the crossings joined to each crossing.

    Parameters
    ----------
    edges : set of Edge
        Some steps.

    Returns
    -------
    joined : dict
        By crossing, in their order.

    References
    ----------
    Definition.
    """
    joined: dict[Node, list[Node]] = {}
    for a, b in sorted(edges):
        joined.setdefault(a, []).append(b)
        joined.setdefault(b, []).append(a)
    return joined


def tidied(edges: set[Edge], root: Node, terminals: set[Node]) -> frozenset[Edge]:
    """Give the steps without closed rings and without loose ends.

    Parameters
    ----------
    edges : set of Edge
        Some steps.
    root : Node
        The source.
    terminals : set of Node
        Source and devices.

    Returns
    -------
    edges : frozenset of Edge
        Steps of a tree.

    References
    ----------
    Definition.
    """
    joined = adjacent(edges)
    parent: dict[Node, Node | None] = {root: None}
    order = [root]
    for node in order:
        for other in joined.get(node, []):
            if other not in parent:
                parent[other] = node
                order.append(other)
    branches = dict.fromkeys(order, 0)
    kept: set[Edge] = set()
    for node in reversed(order):
        above = parent[node]
        if above is not None and (node in terminals or branches[node]):
            branches[above] += 1
            kept.add((min(node, above), max(node, above)))
    return frozenset(kept)


def key_paths(edges: frozenset[Edge], root: Node, terminals: set[Node]) -> list[tuple[Node, ...]]:
    """Give the stretches of a tree between terminals and joints, from the root outward.

    Parameters
    ----------
    edges : frozenset of Edge
        Steps of the tree.
    root : Node
        The source.
    terminals : set of Node
        Source and devices.

    Returns
    -------
    stretches : list of tuple of Node
        Every crossing passed, the end nearer the root first.

    References
    ----------
    Definition.
    """
    joined = adjacent(edges)
    found: list[tuple[Node, ...]] = []
    waiting: list[tuple[Node, Node]] = [(root, other) for other in joined.get(root, [])]
    while waiting:
        start, node = waiting.pop(0)
        stretch = [start, node]
        while node not in terminals and len(joined[node]) == 2:
            node = next(other for other in joined[node] if other != stretch[-2])
            stretch.append(node)
        found.append(tuple(stretch))
        waiting += [(node, other) for other in joined[node] if other != stretch[-2]]
    return found


def nodes_from(edges: set[Edge], start: Node) -> set[Node]:
    """Give every crossing joined to one.

    Parameters
    ----------
    edges : set of Edge
        Some steps.
    start : Node
        Where to begin.

    Returns
    -------
    nodes : set of Node

    References
    ----------
    Definition.
    """
    joined = adjacent(edges)
    found = {start}
    waiting = [start]
    while waiting:
        for other in joined.get(waiting.pop(), []):
            if other not in found:
                found.add(other)
                waiting.append(other)
    return found


def joints_in(edges: frozenset[Edge], terminals: Sequence[Node]) -> tuple[Node, ...]:
    """Give the crossings at which a tree branches away from its terminals.

    Parameters
    ----------
    edges : frozenset of Edge
        Steps of the tree.
    terminals : sequence of Node
        Source and devices.

    Returns
    -------
    joints : tuple of Node
        In the order of the crossings.

    References
    ----------
    Definition.
    """
    joined = adjacent(edges)
    return tuple(sorted(node for node in set(joined) - set(terminals) if len(joined[node]) > 2))
