"""A standard's file: everything that is wrong with it is said at once."""

import pytest

from beadwright.errors import Refusal
from beadwright.standards import read_standard

GOOD = """
[standard]
designation = "PLANT 1"
title = "An invented standard"
normative_system = "si"
normative_read = "memory hi"

[[edition]]
id = "1"
cite = "PLANT 1:2026"
superseded_on = 2026-02-01

[source.handbook]
what = "an invented handbook"

[[table]]
characteristic = "density"
kind = "density"
edition = "1"
clause = "Table 1"
statistic = "each_specimen"
statistic_read = "memory med"
methods = ["ISO 845"]
bound = "min"
normative_unit = "kg/m3"
applies_to = ["form block"]
[table.type.A]
normative = 21.60
read = "found handbook"
verified_by = "A. Engineer"
verified_on = 2026-01-31
[table.type.B]
normative = 28.8
read = "memory hi"
"""


def test_a_good_file_is_read_exactly() -> None:
    """Figures keep every printed digit; a signature is read with its date."""
    found = read_standard(GOOD, file="plant.toml")
    first, second = found.limits

    assert str(first.normative) == "21.60 kg/m3"
    assert (first.is_verified, second.is_verified) == (True, False)
    assert first.normative.read.what == "an invented handbook"


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('read = "found handbook"', 'read = "found nowhere"', '"found nowhere" is none of'),
        ('\nread = "memory hi"', '\nread = "memory lo"', '"memory lo" is none of'),
        ('cite = "PLANT 1:2026"', 'cite = "P"\nsuperseded_by = "2"', "is no edition here"),
        ("superseded_on = 2026-02-01", 'superseded_on = "2026-06-40"', "must be a date"),
        ("superseded_on = 2026-02-01", "superseded_on = 2026-02-01T10:00:00", "must be a date"),
        ("verified_on = 2026-01-31", "", "go together"),
        ("normative = 28.8", 'normative = "28.8"', "must be a number"),
        ("normative = 28.8", "normative = -28.8", "not negative"),
        ('normative_unit = "kg/m3"', 'normative_unit = "psi"', "no unit of density"),
        ('kind = "density"', 'kind = "weight"', "none of: mass"),
        ('bound = "min"', 'bound = "minimum"', "none of: min, max, within"),
        ('statistic = "each_specimen"', 'statistic = "average"', "none of: each_specimen"),
        ('edition = "1"', 'edition = "2"', "none of: 1"),
        ('clause = "Table 1"', 'clausula = "Table 1"', '"clausula" is no key here'),
        ('clause = "Table 1"', "", "clause must be a text"),
        ('applies_to = ["form block"]', 'applies_to = ["bicycle"]', "'bicycle' is none of"),
        ('methods = ["ISO 845"]', "methods = []", "must be a list"),
        ('title = "An invented standard"', "", "title must be a text"),
        ("[source.handbook]", "[sources.handbook]", '"sources" is no key here'),
    ],
)  # fmt: skip
def test_a_bad_row_is_refused_with_its_place(old: str, new: str, says: str) -> None:
    """Each kind of fault is seen, and named with file and key."""
    assert old in GOOD
    with pytest.raises(Refusal) as caught:
        read_standard(GOOD.replace(old, new, 1), file="plant.toml")

    assert set(caught.value.codes) == {"bad_limit_row"}
    assert says in str(caught.value)
    assert "plant.toml" in str(caught.value)


def test_all_bad_rows_are_said_at_once() -> None:
    """One reading of the file shows every row to mend."""
    bad = GOOD.replace("normative = 21.60", "normative = true").replace("28.8", '"?"')
    with pytest.raises(Refusal) as caught:
        read_standard(bad, file="plant.toml")

    assert [fault.where for fault in caught.value.faults] == [
        'plant.toml, table 1 (density), type A, "normative"',
        'plant.toml, table 1 (density), type B, "normative"',
    ]


def test_a_row_given_twice_is_refused() -> None:
    """Two figures for one characteristic of one type in one edition cannot both hold."""
    table = GOOD[GOOD.index("[[table]]") :]
    with pytest.raises(Refusal, match="density of type A, edition 1, stands twice"):
        read_standard(GOOD + table, file="plant.toml")


def test_what_is_no_toml_is_said() -> None:
    """A file that does not parse is one fault, not a traceback."""
    with pytest.raises(Refusal, match="This is no TOML"):
        read_standard("[standard", file="plant.toml")
