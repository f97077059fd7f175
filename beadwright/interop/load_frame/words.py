"""The words of headings and metadata in English, German, French and Spanish.

Read first: :func:`role_of`. The words are those of the trade: [common practice, no source].
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from typing import Literal

__all__ = [
    "Word",
    "is_bending",
    "is_label",
    "is_peak",
    "is_speed",
    "is_units",
    "role_of",
    "size_of",
    "tokens",
]

Word = Literal[
    "force", "travel", "deformation", "time", "stress", "strain", "specimen", "count", "other", ""
]
"""What a heading's words say; ``deformation`` is travel or strain, as its unit says."""


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


_OTHER = _set(
    "set setpoint setpunkt sollwert soll command target consigne consigna objetivo max maximum peak"
    " min minimum valley hochst date datum fecha tageszeit uhrzeit clock heure hora rate speed"
    " velocity geschwindigkeit prufgeschwindigkeit vitesse velocidad temperature temperatur"
    " temperatura cycle cycles zyklus lastwechsel ciclo energy work energie arbeit travail energia"
    " trabajo pressure druck pression presion density dichte densite densidad void fraction"
    " parallelism aspect ratio true wahre vraie verdadera step phase schritt etape etapa segment"
    " modulus modul status limit error width height thickness mass"
)
_STRESS = _set("stress contrainte tension esfuerzo tensiones sigma σ")
_STRAIN = _set("strain epsilon eps ε")
_FORCE = _set("load force charge effort fuerza carga last f")
_TRAVEL = _set(
    "travel displacement crosshead position stroke deflection deflexion deplacement course traverse"
    " fleche desplazamiento carrera posicion recorrido flecha hub traverso mordaza"
)
_DEFORM = _set(
    "extension compression deformation elongation ecrasement allongement deformacion alargamiento"
    " acortamiento"
)
_TIME = _set("time elapsed temps duree tiempo t")
_SPECIMEN = _set(
    "specimen sample probe prufling probekorper eprouvette echantillon probeta muestra ensayo essai"
    " repeat test id"
)
_COUNT = _set("no nr n num numero numer number index point points row zeile punkt id")
_ENDINGS: tuple[tuple[str, Word], ...] = (
    ("spannung", "stress"),
    ("festigkeit", "other"),
    ("dehnung", "deformation"),
    ("stauchung", "deformation"),
    ("verformung", "deformation"),
    ("langenanderung", "travel"),
    ("durchbiegung", "travel"),
    ("verschiebung", "travel"),
    ("kraft", "force"),
    ("last", "force"),
    ("weg", "travel"),
    ("zeit", "time"),
)
_SIZES = {
    "width": "width breite largeur ancho anchura",
    "height": "height hohe hauteur altura alto",
    "thickness": "thickness dicke epaisseur espesor grosor",
    "length": "length lange longueur longitud largo",
    "diameter": "diameter durchmesser diametre diametro",
    "area": "area flache querschnitt querschnittsflache section surface aire seccion",
    "mass": "mass masse gewicht masa peso poids weight",
}
_SIZE_WORDS = {word: name for name, words in _SIZES.items() for word in words.split()}
_NO_SIZE = _set(
    "gauge gage mess messlange extensometer speed rate geschwindigkeit vitesse velocidad final end"
    " after nach apres min max preload vorkraft punch plate platen platte roller span stutzweite"
    " tolerance density dichte per pro temperature grip einspannlange calibrated reference base"
    " machine maschine frame load force kraft"
)
_LABEL = _set(
    "specimen sample probe prufling probekorper probenbezeichnung probebezeichnung probenname"
    " probennummer probenkennung eprouvette echantillon probeta muestra ensayo"
)
_PEAK = _set(
    "max maximum maximal maximale maximo maxima peak hochst ultimate breaking rupture rotura"
    " bruch fmax"
)
_PEAK_WHOLE = ("fmax", "hochstkraft", "bruchlast", "bruchkraft", "maximalkraft", "hochstlast")
_SPEED = _set("speed rate velocity geschwindigkeit prufgeschwindigkeit vitesse velocidad")
_UNITS = _set("unit units einheit einheiten unite unites unidad unidades")
_CAMEL = re.compile(r"(?<=[a-z])(?=[A-Z])")


@lru_cache(maxsize=4096)
def tokens(text: str) -> tuple[str, ...]:
    """Return a text's words in lower case, without accents; German umlauts as plain vowels.

    >>> tokens("Standardkraft Prüf-Weg")
    ('standardkraft', 'pruf', 'weg')
    """
    spread = unicodedata.normalize("NFKD", _CAMEL.sub(" ", text).replace("ß", "ss"))
    plain = "".join(sign for sign in spread if not unicodedata.combining(sign)).casefold()
    plain = plain.replace("ue", "u") if re.search("prue|hue?h", plain) else plain
    plain = re.sub("hoehe", "hohe", re.sub("laenge", "lange", re.sub("flaeche", "flache", plain)))
    return tuple(word for word in re.split(r"[^a-zα-ω]+", plain) if word)


@lru_cache(maxsize=4096)
def role_of(heading: str) -> Word:
    """Return what the words of a heading say; empty where they say nothing.

    >>> [role_of(one) for one in ("Compressive load", "Traversenweg", "Dehnung", "Kraft Sollwert")]
    ['force', 'travel', 'deformation', 'other']
    """
    words = set(tokens(heading))
    if words & _OTHER:
        return "other"
    if words & _STRAIN or (words & {"unitaire", "unitaria", "relative", "relativa"}):
        return "strain"
    ended = {role for word in words for end, role in _ENDINGS if word.endswith(end)}
    order: tuple[tuple[frozenset[str], Word], ...] = (
        (_STRESS, "stress"),
        (_FORCE, "force"),
        (_TIME, "time"),
        (_TRAVEL, "travel"),
        (_DEFORM, "deformation"),
        (_SPECIMEN, "specimen"),
        (_COUNT, "count"),
    )
    if "other" in ended:
        return "other"
    for known, role in order:
        if words & known or role in ended:
            return role
    return ""


def size_of(key: str) -> str:
    """Return which size of a specimen a key of the metadata names; empty where none.

    >>> size_of("Länge Einfüllseite"), size_of("Gauge length")
    ('length', '')
    """
    words = tokens(key)
    if set(words) & _NO_SIZE:
        return ""
    named = {_SIZE_WORDS[word] for word in words if word in _SIZE_WORDS}
    if "section" in words or "area" in words:
        named &= {"area"}
    return named.pop() if len(named) == 1 else ""


def is_bending(text: str) -> bool:
    """Whether a text of the metadata speaks of bending.

    >>> is_bending("Biegeversuch"), is_bending("Druckversuch")
    (True, False)
    """
    words = tokens(text)
    known = {"span", "stutzweite", "bending", "flexural", "flexure", "flexion"}
    return bool(known & set(words)) or any(word.startswith("biege") for word in words)


def is_label(key: str) -> bool:
    """Whether a key names the specimen, and nothing of it."""
    words = set(tokens(key))
    said = words & _LABEL
    filler = {"id", "name", "no", "nr", "number", "nummer", "bezeichnung", "de", "n", "num",
              "reference", "ref", "label", "identification"}  # fmt: skip
    return bool(said) and not words - _LABEL - filler


def is_peak(key: str) -> bool:
    """Whether a key names the largest force."""
    words = set(tokens(key))
    if words & set(_PEAK_WHOLE):
        return True
    bad = words & {"at", "bei", "stress", "strain", "travel", "time", "limit", "capacity", "rated"}
    force = words & _FORCE or any(word.endswith(("kraft", "last")) for word in words)
    return bool(words & _PEAK and force and not bad)


def is_speed(key: str) -> bool:
    """Whether a key names the rate of the crosshead."""
    return bool(set(tokens(key)) & _SPEED)


def is_units(key: str) -> bool:
    """Whether a key tells units."""
    return bool(set(tokens(key)) & _UNITS)
