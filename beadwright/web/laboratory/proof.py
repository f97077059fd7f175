"""The proof load of a strip on a page: what it must carry, and what it did. Nothing is posted."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.errors import Misuse
from beadwright.plant.moment import moment
from beadwright.plant.products import products_of
from beadwright.plant.proof import FIELDS, READ_TO, Proof, proof
from beadwright.units import System, show
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen

__all__ = ["proof_page"]

_CAUTION = "Screening. Stand clear, catch tray under. Not the standard test: it releases nothing."


@asks
def proof_page(request: Asker) -> HttpResponse:
    """Show the form; of a strip that was said, what it must carry."""
    said = {name: request.GET.get(name, "").strip()[:40] for name in (*FIELDS, "product")}
    known = products_of(request.plant.no, moment(request.plant))
    forms = [one.name for one in known if one.is_form]
    page: dict[str, object] = {
        "said": said, "products": forms, "caution": _CAUTION, "read_to": READ_TO,
        "product": said["product"] or (forms[0] if forms else ""),
    }  # fmt: skip
    status = 200
    if said["span"]:
        try:
            found = proof(request.plant, str(page["product"]), said)
            asked = " x ".join(said[name] for name in ("span", "width", "depth"))
            page["asked"] = asked
            if found.doubts and request.GET.get("kept", "") != asked:
                page["doubts"] = found.doubts
            else:
                page["found"] = _told(found, chosen(request).units)
                page["doubted"] = found.doubts
        except Misuse as misuse:
            page["wrong"], status = str(misuse), 422
    return render(request, "laboratory/proof.html", {"page": page}, status=status)


def _told(found: Proof, units: System) -> dict[str, str]:
    load = found.load
    told = {
        "must": _mass(load.mass_kg, units),
        "band": f"{_mass(load.mass_kg - 2 * load.u_mass_kg, units)} to"
                f" {_mass(load.mass_kg + 2 * load.u_mass_kg, units)}",
        "sure": _mass(load.sure_mass_kg, units),
        "limit": show(found.limit_pa, "pressure", system=units, digits=1),
        "source": found.limit_source,
    }  # fmt: skip
    if found.carried is not None:
        stress = found.carried
        told["stress"] = show(stress.stress_pa, "pressure", system=units, digits=1)
        told["stress_u"] = show(2 * stress.u_stress_pa, "pressure", system=units, digits=1)
        told["share"] = f"{100 * (stress.share or 0.0):.0f} %"
        told["good"] = "1" if found.held else ""
    return told


def _mass(kg: float, units: System) -> str:
    return show(kg, "mass", system=units, digits=2)
