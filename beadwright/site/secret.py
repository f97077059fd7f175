"""The key that signs cookies: of one store, made once, readable by its owner alone."""

import os
import secrets
from contextlib import suppress
from pathlib import Path

__all__ = ["secret"]


def secret() -> str:
    """Give the key that the environment names, else the store's own; made where there is none."""
    named = os.environ.get("BEADWRIGHT_SECRET", "")
    store = os.environ.get("BEADWRIGHT_STORE", "")
    if named or not store:
        return named or secrets.token_urlsafe(48)
    path = Path(f"{store}.key")
    with suppress(FileExistsError):
        made = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(made, "w", encoding="ascii") as file:
            file.write(secrets.token_urlsafe(48))
    return path.read_text(encoding="ascii")
