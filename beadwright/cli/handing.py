"""Papers as a shell asks for them: a new file that is written whole, or not there at all."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from beadwright.cli.persons import person_of
from beadwright.cli.session import ACCOUNT, Session
from beadwright.errors import Misuse
from beadwright.plant.access import Role, Who
from beadwright.plant.lot_named import one_lot
from beadwright.reports.checking import Checked, check
from beadwright.reports.issued import of_lot
from beadwright.reports.issuing import Paper, issue
from beadwright.reports.issuing import again as set_again
from beadwright.reports.visit.asked import VisitAsked, VisitFile, made

__all__ = [
    "ENGINEER",
    "again",
    "certified",
    "checked",
    "new_file",
    "require_new",
    "visited",
]

ENGINEER = Who(ACCOUNT, Role.ENGINEER)


def certified(session: Session, text: str, to: Path, said: tuple[str, str]) -> Paper:
    """Issue a certificate; ``said`` is who issues it, and the size of the paper."""
    by, paper = said
    plant = session.plant()
    lot = one_lot(plant, text).code
    if not by:
        message = "say with --by who issues the certificate"
        raise Misuse(message)
    who = person_of(plant.code, by)
    with new_file(to) as file:
        done = issue(plant, lot, ENGINEER, by=who, paper=paper)
        file.write(done.pdf)
    return done


def again(session: Session, text: str, number: str, to: Path) -> Paper:
    """Write a certificate that was issued once more."""
    plant = session.plant()
    lot = one_lot(plant, text).code
    numbers = [one.number for one in of_lot(plant.no, lot)]
    if number not in numbers:
        there = ", ".join(numbers) or "none"
        message = f"no certificate {number} of {lot} was issued; issued were: {there}"
        raise Misuse(message)
    with new_file(to) as file:
        done = set_again(plant, number)
        file.write(done.pdf)
    return done


def checked(session: Session, file: Path) -> Checked:
    """Check a file."""
    pdf = file.read_bytes()
    return check(session.plant(), pdf, ENGINEER)


def visited(session: Session, asked: VisitAsked, to: Path) -> VisitFile:
    """Write the visit file."""
    with new_file(to) as file:
        done = made(session.plant(), asked, ENGINEER)
        file.write(done.pdf)
    return done


def require_new(path: Path, what: str = "file") -> None:
    """Refuse to write where something is.

    Raises
    ------
    Misuse
        If it is there already.
    """
    if path.exists():
        raise _there(path, what)


def _there(path: Path, what: str) -> Misuse:
    message = f"{path} is there already: name another {what}, or move it away"
    return Misuse(message)


@contextmanager
def new_file(path: Path) -> Iterator[BinaryIO]:
    """Open a file that is not there yet; what fails meanwhile takes it away again.

    Raises
    ------
    Misuse
        If it is there already.
    """
    try:
        file = path.open("xb")
    except FileExistsError as error:
        raise _there(path, "file") from error
    try:
        with file:
            yield file
    except BaseException:
        path.unlink(missing_ok=True)
        raise
