"""The chain walked for a person: whole, in parts, against a head kept whole or cut short."""

import time
from collections.abc import Iterator

import pytest

from beadwright.errors import Misuse
from beadwright.ledger import rebuild
from beadwright.ledger.chain import Chained
from beadwright.plant.chain_verified import head_of, verify_chain
from tests.plant.yard import Yard

HASH = "9f2c03ab7d41" + "0" * 52


@pytest.mark.parametrize(
    ("text", "head"),
    [
        (f"512:{HASH}", (512, HASH)),
        (f" 512:{HASH.upper()} ", (512, HASH)),
        ("512:9f2c03ab7d41…", (512, HASH[:12])),
        ("512:9f2c03ab7d41...", (512, HASH[:12])),
        ("512: 9f2c03ab7d410", (512, HASH[:13])),
        ("record to entry 512, head 9f2c03ab7d41…", (512, HASH[:12])),
    ],
)
def test_a_head_is_taken_as_it_was_printed(text: str, head: tuple[int, str]) -> None:
    """By the shell, at the foot of a page, copied from there."""
    assert head_of(text) == head


@pytest.mark.parametrize("text", ["9f2c03ab7d41…", "512", "512:9f2c03ab7d4", "512:" + "0" * 65])
def test_what_is_no_head_says_what_it_needs(text: str) -> None:
    """Without its number it says nothing of where to look."""
    with pytest.raises(Misuse, match="12 figures of the hash at least"):
        head_of(text)


@pytest.mark.django_db
def test_a_whole_chain_holds_with_the_head_cut_short() -> None:
    """And against another head it does not."""
    Yard.open().block_lot("L1")
    seq, hashed = rebuild.head("P1")
    found = verify_chain("P1", (seq, hashed[:12]))
    assert (found.first, found.last, found.last_hash, found.done) == (1, seq, hashed, True)
    assert found.holds
    wrong = "f" if hashed[11] != "f" else "e"
    (one,) = verify_chain("P1", (seq, hashed[:11] + wrong)).breaks
    assert one.seq == seq
    assert one.what.startswith("rewritten")
    (cut,) = verify_chain("P1", (seq + 5, hashed)).breaks
    assert cut.what.startswith("cut off")


@pytest.mark.django_db
def test_time_that_is_up_says_how_far_and_is_gone_on_from(monkeypatch: pytest.MonkeyPatch) -> None:
    """A part that was walked stands; what is wrong after it is found by the next."""
    yard = Yard.open()
    yard.block_lot("L1")
    seq, hashed = rebuild.head("P1")
    clock = iter(range(1000))
    monkeypatch.setattr(time, "monotonic", lambda: float(next(clock)))
    part = verify_chain("P1", (seq, hashed), seconds=3.5)
    assert not part.done
    assert part.holds
    assert 0 < part.last < seq
    rest = verify_chain("P1", (seq, hashed), after=(part.last, part.last_hash))
    assert (rest.first, rest.last, rest.done) == (part.last + 1, seq, True)
    assert rest.holds
    (bent,) = verify_chain("P1", after=(part.last, "0" * 64)).breaks
    assert bent.seq == part.last + 1


@pytest.mark.django_db
def test_an_entry_that_was_changed_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever is read from the table: the triggers refuse to let a test write to it."""
    Yard.open().block_lot("L1")
    whole = rebuild.entries

    def bent(plant: str, after: int = 0) -> Iterator[Chained]:
        for one in whole(plant, after):
            yield one._replace(body=one.body.replace("L1", "L9")) if one.seq > 2 else one

    monkeypatch.setattr(rebuild, "entries", bent)
    found = verify_chain("P1")
    assert not found.holds
    assert found.breaks[0].what == "changed: its content does not give its hash"
