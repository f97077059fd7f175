"""A network with capacities, and the most that can flow through it."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["BEGIN", "END", "Network"]

BEGIN, END = 0, 1
"""The nodes at which all flow begins, and ends."""


class Network:
    """Nodes joined by edges of one direction, from :data:`BEGIN` to :data:`END`.

    Capacities are given when a flow is asked for, since one network serves many questions.
    """

    def __init__(self) -> None:
        """Begin with nothing but the two ends."""
        self._heads: list[int] = []
        self._out: list[list[int]] = [[], []]

    def node(self) -> int:
        """Add a node."""
        self._out.append([])
        return len(self._out) - 1

    def edge(self, tail: int, head: int) -> int:
        """Join two nodes; give the number of the edge."""
        number = len(self._heads)
        self._out[tail].append(number)
        self._out[head].append(number + 1)  # the way back, on which a flow is taken back
        self._heads += (head, tail)
        return number // 2

    def most(self, capacities: Sequence[int]) -> int:
        """Give the most that can flow from beginning to end, by the capacity of each edge.

        Dinitz's algorithm: shortest ways first, all of one length at a time. E. A. Dinic,
        Soviet Mathematics Doklady 11 (1970), 1277-1280.
        """
        left = [0] * len(self._heads)
        left[::2] = capacities
        flow = 0
        while (depth := self._depths(left)) is not None:
            ahead = [0] * len(self._out)
            while pushed := self._push(left, depth, ahead):
                flow += pushed
        return flow

    def _depths(self, left: Sequence[int]) -> list[int] | None:
        """Give how far each node is from the beginning; None where the end cannot be reached."""
        heads, out = self._heads, self._out
        depth = [-1] * len(out)
        depth[BEGIN] = 0
        ring = [BEGIN]
        for tail in ring:
            for edge in out[tail]:
                head = heads[edge]
                if left[edge] and depth[head] < 0:
                    depth[head] = depth[tail] + 1
                    if head == END:
                        return depth
                    ring.append(head)
        return None

    def _push(self, left: list[int], depth: Sequence[int], ahead: list[int]) -> int:
        """Push along one way that goes a step deeper with each edge; give how much, 0 for none."""
        heads, out = self._heads, self._out
        way: list[int] = []
        node = BEGIN
        while node != END:
            edges = out[node]
            while ahead[node] < len(edges):
                edge = edges[ahead[node]]
                if left[edge] and depth[heads[edge]] == depth[node] + 1:
                    way.append(edge)
                    node = heads[edge]
                    break
                ahead[node] += 1
            else:
                if not way:
                    return 0
                node = heads[way.pop() ^ 1]
                ahead[node] += 1
        pushed = min(left[edge] for edge in way)
        for edge in way:
            left[edge] -= pushed
            left[edge ^ 1] += pushed
        return pushed
