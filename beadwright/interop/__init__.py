"""Other systems' formats: the sheets a plant keeps, read into drafts.

Lives here: readers that turn files into drafts or into a list of every bad row.
Read first: beadwright.interop.sheets.
May import: plant and all below; they post through plant.door and never touch the record.
"""

__all__: list[str] = []
