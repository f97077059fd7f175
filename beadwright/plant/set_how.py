"""Who is named for a setting, and how it came into the record: what its entry says, and no more.

Read :func:`words_of`. A settings file may claim anything of itself; only the entry that it became
says who set it.
"""

from __future__ import annotations

from collections.abc import Iterable

from beadwright.ledger import entered

__all__ = ["set_how", "words_of"]


def words_of(by: str, account: str, *, which: bool = False) -> str:
    """Say who is named and how it was entered; ``which``: by which import too.

    >>> words_of("", "import:41f44036")
    'nobody is named, brought by import'
    >>> words_of("", "import:41f44036", which=True)
    'nobody is named, brought by import 41f44036'
    >>> words_of("P-13", "install")
    'P-13, keyed by account install'
    """
    number = account.partition("import:")[2]
    how = f"keyed by account {account}"
    if number:
        how = f"brought by import {number}" if which else "brought by import"
    return f"{by or 'nobody is named'}, {how}"


def set_how(plant: str, seqs: Iterable[int]) -> dict[int, str]:
    """Say of entries of settings who is named for them, and how they were entered."""
    found = entered.by_number(plant, filter(None, seqs))
    return {seq: words_of(one.draft.by, one.account) for seq, one in found.items()}
