"""What a command knows before it asks anything: the store, the plant, who is at the shell.

Read :class:`Session`. The store is opened by ``site``, which no floor may import; it hands down a
:class:`Stores`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

import typer

from beadwright.errors import Misuse

if TYPE_CHECKING:
    from beadwright.ledger.draft import Draft
    from beadwright.plant.door import Posted
    from beadwright.plant.opening import Plant

__all__ = ["ACCOUNT", "Served", "Session", "StoreState", "Stores", "of"]

ACCOUNT = "install"
"""Who runs the command line on the plant's own machine; an engineer (see ``plant.access``)."""


@dataclass(frozen=True, slots=True)
class StoreState:
    """A store as it was found."""

    where: str
    """Its file, or the database's name and host."""
    engine: str
    """Name and version of the database engine."""
    new: bool = False
    """Whether it holds no table of ours."""
    pending: tuple[str, ...] = ()
    """Migrations that were not applied."""
    missing: tuple[str, ...] = ()
    """Triggers that it should have and has not."""
    warning: str = ""
    """What a person should know of the engine."""
    size: int | None = None
    """Bytes of its file."""


@dataclass(frozen=True, slots=True)
class Served:
    """Where the pages of a store are to be asked for."""

    address: str
    port: int
    certificate: Path | None = None
    key: Path | None = None

    @property
    def url(self) -> str:
        """Address of the first page."""
        host = f"[{self.address}]" if ":" in self.address else self.address
        return f"{'https' if self.certificate else 'http'}://{host}:{self.port}/"


class Stores(Protocol):
    """Opens stores; ``path`` None means the one that the environment names.

    Each raises StoreUnreachable where there is none, or it cannot be used so.
    """

    def open(self, path: Path | None) -> StoreState:
        """Open a store that must be complete."""
        ...

    def look(self, path: Path | None) -> StoreState:
        """Open a store as it is, complete or not."""
        ...

    def make(self, path: Path | None) -> StoreState:
        """Open a store for writing; where there is none, it is made."""
        ...

    def unmake(self) -> None:
        """Take a store's file away again that :meth:`make` made, where nothing was recorded."""
        ...

    def mend(self, path: Path | None) -> StoreState:
        """Open a store; make or lay what it lacks of tables, migrations and triggers."""
        ...

    def serve(
        self, path: Path | None, plant: str, served: Served, ready: Callable[[], None]
    ) -> None:
        """Serve the pages of a plant until told to stop; ``ready`` is called before.

        Raises Misuse where that would not be safe.
        """
        ...

    def rehearse(self, path: Path | None) -> StoreState:
        """Open a store for a dry run; where there is none, an empty one that is gone at the end."""
        ...


@dataclass(slots=True)
class Session:
    """One call of the program."""

    stores: Stores
    program: str = "beadwright"
    """As it was called."""
    store: Path | None = None
    plant_code: str = ""
    debug: bool = False
    state: StoreState | None = field(default=None)

    def read(self) -> StoreState:
        """Open the store for a question."""
        self.state = self.stores.open(self.store)
        return self.state

    def plant(self) -> Plant:
        """Open the store, and the plant asked for or the only one."""
        self.read()
        from beadwright.plant.opening import open_plant

        return open_plant(self.plant_code)

    def plants(self) -> tuple[str, ...]:
        """Open the store; the plant asked for, or all there are."""
        self.read()
        from beadwright.ledger import lots

        codes = lots.plants()
        if self.plant_code:
            lots.plant_number(self.plant_code)
            return (self.plant_code,)
        return codes

    def post(self, plant: Plant, draft: Draft) -> Posted:
        """Bring a draft to the plant's door."""
        from beadwright.plant.access import Role, Who
        from beadwright.plant.opening import door_of

        return door_of(plant.code).post(draft, Who(ACCOUNT, Role.ENGINEER))


def of(context: typer.Context) -> Session:
    """Give the session of a command."""
    session = context.obj
    if not isinstance(session, Session):
        message = "start the program as `beadwright`: this command was given no store"
        raise Misuse(message)
    return session
