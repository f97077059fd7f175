"""What people decide: the door, access, release, products and the judge of nonconformities.

Lives here: the rules of a plant, each asked through one function that returns a frozen dataclass.
Read first: beadwright.plant.door, where every draft enters.
May import: quality, ledger and all below; never a table of theirs.
"""

__all__: list[str] = []
