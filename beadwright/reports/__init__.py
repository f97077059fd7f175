"""Papers: what is handed to a receiver or an inspector, set from what the record answers.

Lives here: the certificate of a block lot, its issue and its check; the visit file.
Read first: :mod:`beadwright.reports.certificate`, then :mod:`beadwright.reports.issuing`.
May import: `plant` and the floors below it. Nothing here decides: a paper says what is so.

A paper is content first (a frozen dataclass, then canonical JSON) and only then a page: templates
take that JSON whole, nothing is pasted into them, and the same content gives the same bytes.
"""

__all__: list[str] = []
