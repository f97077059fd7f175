"""What was keyed into a form of a station, and what the person wants with it.

Read :func:`told`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from uuid import uuid4

from beadwright.errors import Fault
from beadwright.interop import keyed
from beadwright.interop.keyed import Keyed, Likely
from beadwright.web.access import Asker
from beadwright.web.choices.kept import chosen
from beadwright.web.stations.answers import asked_in, kept_fields
from beadwright.web.stations.fits import Fits

__all__ = ["Told", "told"]


@dataclass(frozen=True, slots=True)
class Told:
    """A form as it was sent."""

    form: Keyed
    key: str
    filled: Likely
    """What stands in its fields: of a scan the code that it means."""
    kept: tuple[str, ...]
    do: str
    """``ask``, ``post``, or ``happened``."""
    live: bool
    """Asked as it is filled, before a button is pressed."""
    fits: Fits

    @property
    def only_asked(self) -> bool:
        """Whether it is whole, and only asked about."""
        return self.form.ready and self.do == "ask"

    @property
    def said_apart(self) -> tuple[Fault, ...]:
        """What is said beside the form; as it is filled, also what is wrong with a filled field."""
        texts = self.filled.texts if self.live else {}
        return tuple(
            fault
            for name, faults in self.form.faults.items()
            if not name or texts.get(name, "").strip()
            for fault in faults
        )


def told(request: Asker, kind: str) -> Told:
    """Read a form of a kind; a lot that was chosen by a tap stands in its field, and is asked."""
    said = request.POST
    key = said.get("key", "") or uuid4().hex
    names = [one.name for one in keyed.fields_of(kind)]
    taps = dict(one.split("=", 1) for one in said.getlist("chosen") if "=" in one)
    texts = {name: taps.get(name, said.get(name, "")) for name in names}
    units = {name: said[f"unit-{name}"] for name in names if said.get(f"unit-{name}")}
    kept = said.getlist("kept")
    form = keyed.read(
        request.plant.code,
        kind,
        texts,
        units=units,
        key=key,
        by=request.signed.person,
        kept=kept_fields(kept, Likely(texts, units)),
    )
    system = chosen(request).units
    form = replace(form, questions=asked_in(form.questions, system))
    live = bool(getattr(request, "htmx", False))
    asks = live or bool(taps)  # neither records anything
    do = "ask" if asks else said.get("do") or said.get("then", "post")
    fits = Fits() if live else Fits.of(request.plant, kind, system, texts)
    fits = fits.asking(request.plant, form, texts, system)
    filled = Likely({**texts, **form.meant}, units)
    return Told(form, key, filled, tuple(sorted(kept)), do, live, fits)
