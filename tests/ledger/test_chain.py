"""The chain: canonical bytes, hashes, and every kind of tampering named by where it is."""

from __future__ import annotations

import hashlib
import json
import uuid
from collections.abc import Callable
from typing import Any

import pytest
import rfc8785
from django.db import connection
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import BeadwrightError
from beadwright.ledger import rebuild
from beadwright.ledger.chain import START, Break, Chained, canonical, entry_hash, verify
from beadwright.ledger.draft import lot_uuid
from tests.plant.yard import Yard

SAFE = 2**53 - 1
TEXT = st.text(st.characters(exclude_categories=["Cs"]))
NAMES = st.text(st.characters(max_codepoint=127))
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-SAFE, SAFE) | TEXT,
    lambda inner: st.lists(inner, max_size=5) | st.dictionaries(NAMES, inner, max_size=5),
    max_leaves=20,
)


def chain(count: int, plant: str = "P1") -> list[Chained]:
    """A chain of entries that verifies."""
    entries: list[Chained] = []
    prev = START
    for seq in range(1, count + 1):
        entries.append(linked(Chained(plant, seq, "step", 1, canonical({"n": seq}), prev, "")))
        prev = entries[-1].hash
    return entries


def linked(entry: Chained) -> Chained:
    """The entry with the hash its content gives."""
    return entry._replace(hash=entry_hash(entry))


def relinked(entries: list[Chained]) -> list[Chained]:
    """A whole chain written anew, as somebody who knows the rules would to hide a change."""
    prev, out = START, []
    for seq, entry in enumerate(entries, 1):
        out.append(linked(entry._replace(seq=seq, prev=prev)))
        prev = out[-1].hash
    return out


def where(breaks: list[Break]) -> set[int]:
    """The numbers named."""
    return {one.seq for one in breaks}


# -- canonical bytes ---------------------------------------------------------------------------


@given(VALUES)
def test_canonical_text_is_what_the_other_library_writes(value: Any) -> None:
    """For every value we take, our bytes are those of an independent implementation of RFC 8785."""
    assert canonical(value).encode() == rfc8785.dumps(value)


@given(VALUES)
def test_canonical_text_reads_back_as_the_same_value(value: Any) -> None:
    """Nothing is lost or folded together in writing."""
    assert json.loads(canonical(value)) == value


@pytest.mark.parametrize(
    ("value", "text"),
    [
        # RFC 8785, section 3.2.2, the member "literals" of the example (read in its authors'
        # test data).
        ([None, True, False], "[null,true,false]"),
        # RFC 8785, section 3.2.2, the member "string" of the example (read in the same).
        (
            json.loads(r'"\u20ac$\u000F\u000aA' + r"'" + r'\u0042\u0022\u005c\\\"\/"'),
            r'"€$\u000f\nA' + r"'" + r'B\"\\\\\"/"',
        ),
        # RFC 8785, section 3.2.2.2: the short escapes, and \u00xx for the other controls.
        ("\b\t\n\f\r\x00\x1f\x7f", '"\\b\\t\\n\\f\\r\\u0000\\u001f\x7f"'),
        # RFC 8785, section 3.2.3: members of the example that have ASCII names (from memory;
        # the "1" read in the same test data).
        (
            {"\r": "Carriage Return", "1": "One"},
            r'{"\r":"Carriage Return","1":"One"}',
        ),
        # RFC 8785, appendix B: zero, and the largest whole number below 2^53 (from memory).
        (0, "0"),
        (9007199254740991, "9007199254740991"),
        (-9007199254740991, "-9007199254740991"),
    ],
)
def test_the_printed_examples_come_out_as_printed(value: Any, text: str) -> None:
    """Examples of RFC 8785 that fall in what we take give the text printed there."""
    assert canonical(value) == text


@pytest.mark.parametrize(
    "value",
    [
        1.0,
        float("nan"),
        SAFE + 1,
        -SAFE - 1,
        "\ud800",
        {"é": 1},
        {"\u20ac": "Euro Sign"},  # RFC 8785, section 3.2.3: sorted by UTF-16, so not taken at all
        {1: "one"},
        (1, 2),
        b"x",
        {"a": [{"b": 1.5}]},
    ],
    ids=repr,
)
def test_what_other_writers_might_write_differently_is_refused(value: Any) -> None:
    """Floats, numbers beyond 2^53 - 1, names not ASCII, and half a character never get in."""
    with pytest.raises(BeadwrightError):
        canonical(value)


@given(TEXT.map(lambda text: {"said": text}), NAMES, st.integers(1, SAFE))
def test_the_hash_covers_the_canonical_map_of_the_entry(
    body: dict[str, str], kind: str, seq: int
) -> None:
    """The hash is SHA-256 over the RFC 8785 bytes of the six fields, by an outside writer."""
    kind = "".join(c for c in kind if c.isalpha()) or "step"
    entry = Chained("P1", seq, kind, 1, canonical(body), START, "")
    fields: dict[str, Any] = {
        "plant": "P1",
        "seq": seq,
        "kind": kind,
        "schema": 1,
        "body": body,
        "prev": START,
    }

    assert entry_hash(entry) == hashlib.sha256(rfc8785.dumps(fields)).hexdigest()


# -- where it breaks ---------------------------------------------------------------------------


def test_an_untouched_chain_verifies() -> None:
    """No break, with and without a head printed earlier."""
    entries = chain(9)

    assert list(verify(entries)) == []
    assert list(verify(entries, (5, entries[4].hash))) == []
    assert list(verify([])) == []


@given(st.integers(1, 9), st.sampled_from(["plant", "kind", "schema", "body"]))
def test_a_changed_entry_is_named(seq: int, what: str) -> None:
    """Any field under the hash that changes is found at its own number, and only there."""
    changed: dict[str, Any] = {"plant": "P2", "kind": "hold", "schema": 2, "body": '{"n":0}'}
    entries = chain(9)
    entries[seq - 1] = entries[seq - 1]._replace(**{what: changed[what]})

    breaks = list(verify(entries))

    assert where(breaks) == {seq}
    assert "changed" in breaks[0].what


@given(st.integers(1, 9), st.integers(0, 63))
def test_a_changed_hash_is_named(seq: int, at: int) -> None:
    """A digit of a hash that changes is found there, and in the entry that leans on it."""
    entries = chain(9)
    old = entries[seq - 1].hash
    new = old[:at] + ("0" if old[at] != "0" else "1") + old[at + 1 :]
    entries[seq - 1] = entries[seq - 1]._replace(hash=new)

    assert where(list(verify(entries))) == ({seq, seq + 1} if seq < 9 else {seq})


@given(st.integers(1, 8), st.integers(1, 8))
def test_removed_entries_are_named(first: int, count: int) -> None:
    """A gap is named by the numbers that are missing."""
    last = min(first + count - 1, 8)
    entries = [entry for entry in chain(9) if not first <= entry.seq <= last]

    breaks = list(verify(entries))

    assert where(breaks) == {first}
    expected = f"entry {first}" if first == last else f"entries {first} to {last}"
    assert breaks[0].what == f"{expected} removed"


@given(st.permutations(range(9)).filter(lambda order: list(order) != sorted(order)))
def test_reordered_entries_are_named(order: list[int]) -> None:
    """Entries that change places under the numbers of others are each found where they now are."""
    entries = chain(9)
    moved = [entries[old]._replace(seq=new) for new, old in enumerate(order, 1)]

    breaks = where(list(verify(moved)))

    assert {new for new, old in enumerate(order, 1) if old != new - 1} <= breaks


@given(st.integers(1, 9))
def test_an_inserted_entry_is_named(seq: int) -> None:
    """An entry slipped in, well linked to the one before, shows in the one that follows."""
    entries = chain(9)
    prev = entries[seq - 2].hash if seq > 1 else START
    slipped = linked(Chained("P1", seq, "step", 1, '{"n":99}', prev, ""))
    moved = [entry._replace(seq=entry.seq + 1) for entry in entries[seq - 1 :]]

    assert seq + 1 in where(list(verify([*entries[: seq - 1], slipped, *moved])))


@given(st.integers(1, 9))
def test_an_entry_written_twice_is_named(seq: int) -> None:
    """The same number twice is said to be repeated."""
    entries = chain(9)
    breaks = list(verify([*entries[:seq], entries[seq - 1], *entries[seq:]]))

    assert any(one.what == f"entry {seq} repeated" for one in breaks)


@given(st.integers(0, 8))
def test_a_cut_off_tail_is_found_against_a_head_printed_earlier(left: int) -> None:
    """Alone the shorter chain verifies; against the head it does not, and says where it ends."""
    entries = chain(9)
    head = (9, entries[8].hash)

    assert list(verify(entries[:left])) == []
    breaks = list(verify(entries[:left], head))
    assert where(breaks) == {left + 1}
    assert f"ends at {left}" in breaks[0].what


@given(st.integers(1, 9), st.integers(0, 3))
def test_a_rewritten_chain_is_found_against_a_head_printed_earlier(seq: int, more: int) -> None:
    """A chain linked anew verifies alone; against the head it is found at the head's number."""
    entries = chain(9 + more)
    head = (9, entries[8].hash)
    entries[seq - 1] = entries[seq - 1]._replace(body='{"n":0}')
    forged = relinked(entries)

    assert list(verify(forged)) == []
    breaks = list(verify(forged, head))
    assert where(breaks) == {9}
    assert "rewritten" in breaks[0].what


@pytest.mark.parametrize(
    "body", ['{"n": 1}', '{"b":1,"a":2}', '{"a":1,"a":1}', '{"n":1.5}', "{", "[" * 100_000]
)
def test_a_body_that_is_not_canonical_is_a_break(body: str) -> None:
    """An entry with a good hash over bytes nobody could reproduce is named, never a traceback."""
    entry = linked(Chained("P1", 1, "step", 1, body, START, ""))

    assert where(list(verify([entry]))) == {1}


# -- in the store ------------------------------------------------------------------------------


def _untied() -> None:
    """Take the triggers off, as somebody at the file itself would."""
    of = " ON ledger_entry" if connection.vendor == "postgresql" else ""
    with connection.cursor() as cursor:
        for name in ("entry_next", "entry_no_update", "entry_no_delete"):
            cursor.execute(f"DROP TRIGGER {name}{of}")


def _change(sql: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(sql)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("sql", "seq"),
    [
        ("UPDATE ledger_entry SET body = replace(body, '1000 kg', '1001 kg') WHERE seq = {0}", 0),
        ("UPDATE ledger_entry SET body = replace(body, 'install', 'nobody') WHERE seq = {0}", 0),
        ("DELETE FROM ledger_entry WHERE seq = {0}", 0),
        ("UPDATE ledger_entry SET kind = 'hold' WHERE seq = {0}", 0),
    ],
)
def test_tampering_in_the_store_is_named_by_seq(sql: str, seq: int) -> None:
    """What is changed behind the door's back is found at the entry that was changed."""
    yard = Yard.open()
    bag = yard.bag("B-1").seq + seq
    yard.carton("T-1")
    assert rebuild.broken("P1") == []

    _untied()
    _change(sql.format(bag))

    assert where(rebuild.broken("P1")) == {bag}


@pytest.mark.django_db
def test_a_tail_cut_off_in_the_store_is_found_against_its_head() -> None:
    """A head printed while the tail was there is what shows that it is gone."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.carton("T-1")
    head = rebuild.head("P1")

    _untied()
    _change(f"DELETE FROM ledger_entry WHERE seq = {head[0]}")

    assert rebuild.broken("P1") == []
    assert where(rebuild.broken("P1", head)) == {head[0]}


# -- ids of lots -------------------------------------------------------------------------------


@given(st.integers(0, 2**48 - 1), st.text(max_size=8), st.text(max_size=20))
def test_a_lot_id_has_the_layout_of_version_7(at_ms: int, plant: str, code: str) -> None:
    """RFC 9562, section 5.7: 48 bits of milliseconds, version 7, variant 10; the rest is drawn."""
    number = uuid.UUID(lot_uuid(at_ms, plant, code)).int

    assert number >> 80 == at_ms
    assert number >> 76 & 0xF == 7
    assert number >> 62 & 0x3 == 0b10
    assert lot_uuid(at_ms, plant, code) == lot_uuid(at_ms, plant, code)


def test_the_printed_example_agrees_on_the_layout() -> None:
    """RFC 9562, appendix A.6 (from sources citing it): its time gives ours the same fixed bits."""
    printed = uuid.UUID("017F22E2-79B0-7CC3-98C4-DC0C0C07398F").int
    ours = uuid.UUID(lot_uuid(1_645_557_742_000, "P1", "L1")).int
    fixed = (((1 << 48) - 1) << 80) | (0xF << 76) | (0x3 << 62)

    assert printed & fixed == ours & fixed
    assert printed & ~fixed != ours & ~fixed


def test_ids_differ_by_plant_and_code_and_sort_by_time() -> None:
    """Two lots of one instant have two ids; a later lot sorts after an earlier one."""
    ids: list[Callable[[], str]] = [
        lambda: lot_uuid(5, "P1", "A"),
        lambda: lot_uuid(5, "P1", "B"),
        lambda: lot_uuid(5, "P2", "A"),
        lambda: lot_uuid(5, "P", "1A"),
    ]

    assert len({make() for make in ids}) == 4
    assert max(make() for make in ids) < lot_uuid(6, "P1", "A")
