"""Gauge studies put to work: whether what is measured can be believed, in words.

Lives here: rows put in order (``cells``), the crossed study (``crossed``), the
nested one of tests that destroy (``destroyed``), the study of a go/no-go
jig (``jig``), the comparison between laboratories (``laboratories``), each as it is written
(``written``), and a blank sheet (``blank``). No reading is left out. A study that is put on record
for its instrument: read (``recorded``), and made (``recording``).
Read first: beadwright.plant.gauge_studies.crossed.
May import: what ``plant`` may; asks the record for limits (``from_limits``) and studies.
"""

__all__: list[str] = []
"""No name is given away here: each module is imported by its own."""
