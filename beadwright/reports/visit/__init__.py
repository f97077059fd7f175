"""The visit file: what an inspector asks for, of the time since the last visit, as one PDF.

Lives here: the content of the file by part, each from one question to the record.
Read first: :mod:`beadwright.reports.visit.content`.
May import: what `reports` may.
"""

__all__: list[str] = []
