"""What each part takes, and each of its states, for the page that shows them all.

A part is a template in this folder that is shown with what it is given and nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

__all__ = ["PARTS", "Part"]


@dataclass(frozen=True, slots=True)
class Part:
    """One part: its name, what it is for, what it takes, and how it is shown."""

    name: str
    what: str
    takes: Mapping[str, str]
    shown: tuple[Mapping[str, Any], ...]


PARTS = (
    Part(
        "button",
        "Does what its word says. One on a page is plain; others are quiet or stop.",
        {"text": "the word", "sort": "nothing, big, quiet, stop or choice",
         "name": "with value, sent", "value": "what is sent",
         "off": "whether it cannot be pressed"},
        ({"text": "Draw 40 kg"}, {"text": "Back", "sort": "quiet"},
         {"text": "Hold", "sort": "stop"}, {"text": "Draw 40 kg", "off": True}),
    ),
    Part(
        "act",
        "A large way to one thing that is done at a station.",
        {"to": "address of its form", "text": "the word", "says": "what for", "at": "its id",
         "now": "whether it is due"},
        ({"to": "/parts/", "text": "Count", "says": "since the last count"},
         {"to": "/parts/", "text": "First piece", "says": "to be signed", "now": True},
         {"to": "/parts/", "text": "End run"}),
    ),
    Part(
        "field",
        "One thing that is keyed, with its unit beside it; a scan goes on to the next.",
        {"name": "as it is sent", "label": "what it asks", "value": "what stands in it",
         "unit": "beside it", "hint": "how to fill it", "wrong": "what is wrong with it",
         "required": "whether it must be filled", "scan": "whether a code is scanned into it",
         "mode": "keys that a tablet shows", "sort": "text or password", "at": "its id on the page",
         "complete": "what a browser may fill in", "focus": "whether it is keyed first",
         "may": "beside one that need not be filled, instead of: if known",
         "units": "units to choose from, where several fit",
         "offers": "what fits, to choose from: each with its value and what it says",
         "fresh": "whether it comes to stand in the place of what is there"},
        ({"name": "a", "label": "Charge", "unit": "kg", "value": "86.2", "mode": "decimal",
          "required": True},
         {"name": "e", "label": "Mass", "unit": "lb", "units": ("kg", "lb"), "mode": "decimal"},
         {"name": "b", "label": "Bead bag", "scan": True, "hint": "Scan its label.",
          "offers": ({"value": "B-0101", "says": "F1, 882 kg, 3 days old"},
                     {"value": "B-0102", "says": "F1, 880 kg, 2 days old"})},
         {"name": "c", "label": "Cup weight", "unit": "g", "value": "862", "mode": "decimal",
          "wrong": "862 g is ten times what this cup holds.", "required": True}),
    ),
    Part(
        "choice",
        "One of several; all stand on the page.",
        {"name": "as it is sent", "value": "what is sent", "label": "its words",
         "chosen": "value of the one that is chosen"},
        ({"name": "d", "value": "hot", "label": "Hot, at the chute", "chosen": "hot"},
         {"name": "d", "value": "dry", "label": "Dried", "chosen": "hot"}),
    ),
    Part(
        "which",
        "A scan that fits several lots: what, where, how old; a tap chooses, nothing is recorded.",
        {"label": "of the field", "text": "what was scanned", "name": "as it is sent",
         "choices": "lots: answer that is sent, value that is chosen, what it says"},
        ({"label": "Bag", "text": "88-A", "name": "chosen", "choices": (
            {"answer": "bag=B-0101", "value": "B-0101", "says": "F1, 882 kg, 3 days old, at DOCK"},
            {"answer": "bag=B-0102", "value": "B-0102", "says": "F1, 880 kg, 2 days old"})},),
    ),
    Part(
        "count",
        "One lot of a stocktake: what the books have, a box for what was found, how far it is off.",
        {"code": "of the lot", "says": "what it is, and where", "books": "what the books have",
         "said": "when it was last counted", "held": "why it is held", "value": "what was keyed",
         "unit": "beside the box", "mode": "keys that a tablet shows",
         "missing": "whether it was not found", "none": "word for that, not found",
         "text": "how far it is off", "sort": "of that state",
         "wrong": "what is wrong with what was keyed"},
        ({"code": "B-0101", "says": "bead bag F1", "books": "882 lb", "unit": "lb", "value": "860",
          "mode": "decimal", "text": "22.0 lb less, 2.5 %", "sort": "ask"},
         {"code": "L1-004", "says": "mould run FB6S, at YARD", "books": "40 pieces", "value": "4o",
          "unit": "pieces", "mode": "numeric", "held": "wrong grade", "said": "2025-09-10 06:00",
          "wrong": "4o is no number."}),
    ),
    Part(
        "off",
        "How far a lot is off the books; comes anew as its box is filled.",
        {"code": "of the lot", "text": "how far", "sort": "good, ask or stop",
         "fresh": "whether it comes to stand in the place of what is there"},
        ({"code": "B-0103", "text": "as booked", "sort": "good"},
         {"code": "B-0104", "text": "210 lb less, 23.8 %", "sort": "stop"}),
    ),
    Part(
        "tick",
        "One of several that are named together.",
        {"name": "as it is sent", "value": "what is sent", "label": "its words",
         "ticked": "values that are ticked"},
        ({"name": "f", "value": "L1-004", "label": "L1-004", "ticked": ("L1-004",)},
         {"name": "f", "value": "L1-005", "label": "L1-005", "ticked": ()}),
    ),
    Part(
        "notice",
        "What may be, may not be, is asked, or was done: with why and what to do.",
        {"sort": "may, may_not, asked or done", "what": "the sentence", "value": "what was given",
         "remedy": "what to do", "code": "of the refusal",
         "word": "instead of May, May not, Asked or Done"},
        ({"sort": "may", "what": "S4 is ready since 05:40."},
         {"sort": "may_not", "what": "S3 holds packaging beads; FB6S takes F1 and F2.",
          "remedy": "Draw from S4.", "code": "wrong_grade"},
         {"sort": "asked", "what": "The cup is lighter than the twelve before it.",
          "value": "14.1 g"},
         {"sort": "done", "what": "S4 holds 312 kg now."}),
    ),
    Part(
        "state",
        "A word with a shape before it; the colour comes last.",
        {"sort": "good, ask, stop or note", "text": "the word"},
        ({"sort": "good", "text": "ready"}, {"sort": "ask", "text": "not enough evidence"},
         {"sort": "stop", "text": "held"}, {"sort": "note", "text": "empty"}),
    ),
    Part(
        "figure",
        "A figure with its unit, and where it comes from.",
        {"label": "what it is", "value": "the figure", "unit": "its unit", "why": "its source"},
        ({"label": "Density, mean of 4", "value": "23.1", "unit": "kg/m³",
          "why": "Blocks D1 to D4 a day old, net of ties and water."},),
    ),
    Part(
        "plate",
        "A place as its plate: what it holds, how old, held why.",
        {"place": "its code", "sort": "as of a state", "state": "the word", "line": "what it holds",
         "lines": "where that takes several", "held": "why it is held",
         "word": "before that; nothing: Held", "to": "its own page"},
        ({"place": "S4", "sort": "good", "state": "ready", "line": "312 kg F1, 9 to 14 h old"},
         {"place": "S5", "sort": "stop", "state": "held", "line": "201 kg F2",
          "held": "H-3: smell of solvent"},
         {"place": "S6", "sort": "stop", "state": "may not be drawn of",
          "lines": ("PK1, NO flame retardant", "11 h old"), "word": "May not",
          "held": "PK1 is not on the approved list of FB6S", "to": "/parts/"}),
    ),
    Part(
        "table",
        "Rows under titles; it scrolls sideways where the page is narrow.",
        {"title": "what it lists", "columns": "titles", "rows": "cells as text",
         "none": "if empty"},
        ({"title": "Cups of this run", "columns": ("when", "where", "g"),
          "rows": (("13:05", "hot", "14.4"), ("13:15", "hot", "14.3"))},),
    ),
    Part(
        "entry",
        "One entry of the record, with the way to correct it.",
        {"when": "time", "says": "what it says", "by": "who", "to": "address of its correction",
         "look": "else of its page, for whoever may not correct it"},
        ({"when": "13:15", "says": "cup 14.3 g, hot", "by": "KR", "to": "/parts/"},
         {"when": "13:05", "says": "cup 14.4 g, hot", "by": "KR", "look": "/parts/"}),
    ),
    Part(
        "worked",
        "Numbers of the physics: each opens to formula, inputs, source and trust.",
        {"lines": "lines in words, as plant.worked_words gives them",
         "all": "whether all stand open, as on paper"},
        ({"lines": (
            {"key": "w1", "title": "Moulded density", "value": "23.2 kg/m³", "trust": "exact",
             "trust_sort": "exact", "formula": "ρ = m / V", "inputs": ("Foam mass: 1.517 kg",),
             "origin": "worked out", "source": "arithmetic"},
            {"key": "w2", "title": "Steam of a shot", "value": "4.1 kg", "band": "3.6 to 5.9 kg",
             "trust": "estimate", "trust_sort": "estimate", "origin": "worked out",
             "source": "heat balance", "causes": ("leaks are not known",),
             "narrowed_by": ("a metered week",)},
            {"key": "w3", "title": "Air of the hall", "value": "unknown", "unknown": True,
             "trust": "estimate", "trust_sort": "estimate", "lacking": ("air flow",),
             "origin": "not known"})},),
    ),
    Part(
        "caution",
        "Where the work can hurt somebody, beside the figure.",
        {"text": "the caution"},
        ({"text": "Never enter a silo without a confined-space permit."},),
    ),
    Part(
        "picture",
        "A picture as SVG, and under it the text that says the same.",
        {"svg": "from charts", "text": "what it says"},
        (),
    ),
)  # fmt: skip
