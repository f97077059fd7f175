"""The greatest flow of small networks, against networkx."""

from __future__ import annotations

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from beadwright.ledger.network import BEGIN, END, Network

_NODES = 8
_edges = st.lists(
    st.tuples(st.integers(0, _NODES - 1), st.integers(0, _NODES - 1), st.integers(0, 9))
)


def test_nothing_flows_where_nothing_is_joined() -> None:
    """Two ends without an edge carry nothing."""
    assert Network().most([]) == 0


@given(edges=_edges)
def test_the_greatest_flow_is_that_of_another_program(edges: list[tuple[int, int, int]]) -> None:
    """Any edges, parallel ones and rounds too: as `networkx.maximum_flow_value` says."""
    net = Network()
    for _ in range(_NODES - 2):
        net.node()
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from(range(_NODES))
    joined = [(tail, head, mg) for tail, head, mg in edges if tail != head]
    for tail, head, mg in joined:
        net.edge(tail, head)
        there = graph.get_edge_data(tail, head, {"capacity": 0})["capacity"]
        graph.add_edge(tail, head, capacity=there + mg)

    assert net.most([mg for _, _, mg in joined]) == nx.maximum_flow_value(graph, BEGIN, END)
