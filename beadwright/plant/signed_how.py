"""How a signature was given: by somebody who signed in, or typed where nobody can tell by whom.

Read :func:`signed_how`. An entry names the account that keyed it: of whoever signed in at a page it
is the person's own; at the shell anybody may type any initials.
"""

from __future__ import annotations

__all__ = ["signed_how"]

_KEYED = {
    "install": "typed at the shell",
    "import": "brought by an import",
    "token": "by a program",
}


def signed_how(by: str, account: str) -> str:
    """Say how a decision of a person was given, by the account that keyed it.

    >>> signed_how("P-13", "P-13")
    'signed in as P-13'
    >>> signed_how("P-13", "install")
    'typed at the shell, account install'
    """
    if account == by and by:
        return f"signed in as {by}"
    kind = _KEYED.get(account.partition(":")[0], "keyed")
    return f"{kind}, account {account}"
