"""Each lot carries the share of it that was moulded before.

Of a store that is there the shares are worked out here, from its touches: only what reclaim came
into has one.
"""

from collections.abc import Iterator
from itertools import groupby
from operator import itemgetter

from django.db import migrations, models

_WHOLE = 1_000_000
_TOUCHES = (
    "SELECT t.p, t.step, t.k, t.tie, t.line, t.lot, t.sign, t.moved_mg, t.mg, l.kind, l.own,"
    " s.kind FROM ledger_touch t JOIN ledger_lot l ON l.p=t.p AND l.no=t.lot"
    " JOIN ledger_step s ON s.p=t.p AND s.no=t.step ORDER BY t.p, t.k, t.tie, t.step,"
    " CASE t.sign WHEN -1 THEN 0 WHEN 0 THEN 1 ELSE 2 END, t.line"
)


def _nearest(part, whole):
    return (2 * part + whole) // (2 * whole)


def _shares(rows, share) -> Iterator[tuple[int, tuple[int, ...]]]:
    """Give the share after each touch of one step that leaves one."""
    rows = list(rows)
    mg = sum(r[7] for r in rows if r[6] < 0)
    mg -= sum(r[7] for r in rows if r[6] > 0 and r[9] == "tie")
    ours = sum(r[7] * share.get(r[5], 0) for r in rows if r[6] < 0)
    most = max((share.get(r[5], 0) for r in rows if r[6] < 0), default=0)
    out = 0 if not most else min(_WHOLE, _nearest(ours, mg)) if mg > 0 else most
    for p, _, k, tie, line, lot, sign, moved, after, kind, own, step in rows:
        had, new = share.get(lot, 0), 0 if kind == "tie" else out
        if step == "swept_empty":
            share.pop(lot, None)
        elif sign > 0:
            before = after - moved
            mixed = _nearest(before * had + moved * new, after) if before and after else new
            share[lot] = _WHOLE if "reclaim" in own.split("|") else mixed
        if share.get(lot):
            yield share[lot], (p, lot, k, tie, line)


def fill(apps, schema_editor):
    """Work the shares out, step by step in the fold's order."""
    with schema_editor.connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM ledger_lot WHERE own LIKE '%reclaim%'")
        if cursor.fetchone()[0] == 0:
            return
        cursor.execute(_TOUCHES)
        found, plant, share = [], None, {}
        for (p, _), rows in groupby(cursor, itemgetter(0, 1)):
            if p != plant:
                plant, share = p, {}
            found += _shares(rows, share)
        key = "p=%s AND lot=%s AND k=%s AND tie=%s AND line=%s"
        rows = [(ours, *where) for ours, where in found]
        cursor.executemany(f"UPDATE ledger_touch SET reclaim=%s WHERE {key}", rows)
        cursor.execute(
            "UPDATE ledger_lot SET reclaim=coalesce((SELECT t.reclaim FROM ledger_touch t"
            " WHERE t.p=ledger_lot.p AND t.lot=ledger_lot.no"
            " ORDER BY t.k DESC, t.tie DESC, t.line DESC LIMIT 1), 0)"
        )


class Migration(migrations.Migration):
    dependencies = [("ledger", "0007_came")]

    operations = [
        migrations.AddField("lot", "reclaim", models.IntegerField(db_default=0)),
        migrations.AddField("touch", "reclaim", models.IntegerField(db_default=0)),
        migrations.RunPython(fill, migrations.RunPython.noop),
    ]
