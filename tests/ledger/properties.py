"""What must hold of every record, whatever happened; asked by the machine and by the plants."""

from __future__ import annotations

import math
from typing import Any

import networkx as nx
from django.db import connection

from beadwright.ledger import account, rebuild, trace
from beadwright.plant.opening import rebuild_plant
from tests.ledger.twin import replay, stored

__all__ = ["check_all", "check_balance", "check_rebuild", "check_trace", "check_twin", "dump"]

_ORDERED = {
    "lot": "no", "touch": "lot, k, tie, line", "step": "no", "setting": "seq",
    "decision": "seq", "posted": "seq", "loss": "step, name, mg", "label": "lot, issuer, text",
    "finding": "step, code, lot, cause, detail",
}  # fmt: skip


def select(sql: str, args: list[Any]) -> list[tuple[Any, ...]]:
    """Rows of a query."""
    with connection.cursor() as cursor:
        cursor.execute(sql, args)
        return [tuple(row) for row in cursor.fetchall()]


def dump(no: int) -> dict[str, list[tuple[Any, ...]]]:
    """Give every projection of a plant, without numbers that only the database gave."""
    found = {}
    with connection.cursor() as cursor:
        for table, order in _ORDERED.items():
            described = connection.introspection.get_table_description(cursor, f"ledger_{table}")
            names = [column.name for column in described]
            if table in {"loss", "label", "finding"}:
                names.remove("id")
            columns = ", ".join(f'"{name}"' for name in names)
            cursor.execute(  # names of our own tables only
                f"SELECT {columns} FROM ledger_{table} WHERE p=%s ORDER BY {order}", [no]
            )
            found[table] = [tuple(row) for row in cursor.fetchall()]
    return found


def check_balance(no: int) -> None:
    """Stock is what came in, less what went out, and what the books were off by: to the mg."""
    sql = (
        "SELECT l.code, l.mg, l.pieces, coalesce(sum(t.sign * t.moved_mg + t.differ_mg), 0),"
        " coalesce(sum(t.sign * t.moved_pieces + t.differ_pieces), 0) FROM ledger_lot l"
        " LEFT JOIN ledger_touch t ON t.p=l.p AND t.lot=l.no WHERE l.p=%s"
        " GROUP BY l.code, l.mg, l.pieces"
    )
    for code, mg, pieces, by_mg, by_pieces in select(sql, [no]):
        assert (code, mg, pieces) == (code, by_mg, by_pieces)
        assert mg >= 0
        assert pieces >= 0


def check_twin(plant: str, no: int) -> None:
    """Projections equal what the slow twin works out of the entries."""
    slow, fast = replay(plant, no), stored(no)

    assert slow.states == fast.states
    assert slow.findings == fast.findings


def check_rebuild(plant: str, no: int) -> None:
    """Projections equal their rebuild, and the chain verifies."""
    kept = dump(no)
    rebuild_plant(plant)

    assert kept == dump(no)
    assert rebuild.broken(plant) == []


def _graph(no: int) -> nx.DiGraph:
    """Lines as nodes: from a line into a lot to later lines out of it, up to its next sweep."""
    rows = select(
        "SELECT t.lot, t.k, t.tie, t.line, t.sign, t.step, t.moved_mg, s.kind FROM ledger_touch t"
        " JOIN ledger_step s ON s.p=t.p AND s.no=t.step WHERE t.p=%s ORDER BY t.lot, t.k, t.tie",
        [no],
    )
    graph = nx.DiGraph()
    open_: dict[int, list[int]] = {}
    for lot, _, _, _, sign, step, mg, kind in rows:
        if sign == 0 and kind == "swept_empty":
            open_[lot] = []
        elif sign > 0 and mg:
            open_.setdefault(lot, []).append(step)
            graph.add_edge(("step", step), ("out", step, lot))
        elif sign < 0 and mg:
            graph.add_edge(("lot", lot), ("step", step))
            for source in open_.get(lot, []):
                graph.add_edge(("out", source, lot), ("step", step))
    return graph


def _beyond(graph: nx.DiGraph, lot: int) -> set[int]:
    """Give the lots that a lot's material reaches, itself included where it comes back."""
    if ("lot", lot) not in graph:
        return set()
    return {end[2] for end in nx.descendants(graph, ("lot", lot)) if end[0] == "out"}


def check_trace(no: int) -> None:
    """Forward and back are each other's inverse, within their bounds, and reach what is there."""
    codes = dict(select("SELECT code, no FROM ledger_lot WHERE p=%s", [no]))
    graph = _graph(no)
    forward: dict[tuple[str, str], float] = {}
    back: dict[tuple[str, str], float] = {}
    for code, number in codes.items():
        there = trace.trace(no, code, "forward", cut_mg=0)
        for one in there.lots:
            forward[code, one.lot.code] = one.mg
            assert 0 <= one.least <= one.share <= one.most <= 1 + 1e-9
        reached = {one.lot.no for one in there.lots}
        assert reached <= _beyond(graph, number)
        for one in trace.trace(no, code, "back", cut_mg=0).lots:
            back[one.lot.code, code] = one.mg
            assert 0 <= one.least <= one.share <= one.most <= 1 + 1e-9
    assert set(forward) == set(back)
    # What goes round comes in each time: there the masses of the two directions differ.
    round_ = {code for code, number in codes.items() if number in _beyond(graph, number)}
    for pair, mg in forward.items():
        if round_ & set(pair):
            continue
        assert math.isclose(mg, back[pair], rel_tol=1e-6, abs_tol=1e-3), (pair, mg, back[pair])


def check_account(no: int) -> None:
    """What came into a lot is where the closing account says, and nowhere else."""
    for (code,) in select("SELECT code FROM ledger_lot WHERE p=%s", [no]):
        one = account.account(no, code)
        assert math.isclose(one.total, one.made, rel_tol=1e-6, abs_tol=1.0), (code, one)


def check_all(plant: str, no: int, *, traced: bool = True) -> None:
    """Everything above."""
    check_balance(no)
    check_twin(plant, no)
    if traced:
        check_trace(no)
        check_account(no)
    check_rebuild(plant, no)
