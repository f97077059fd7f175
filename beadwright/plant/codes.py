"""Codes of refusals and nonconformities: once shipped, a code never changes meaning.

``refusal``: cannot be meant, refused always. ``forbidden``: refused where it is planned; recorded
as a nonconformity, outputs on hold, where it has happened. ``notice``: a nonconformity that holds
nothing by itself. ``row``: a fault in a file, of which nothing is then posted.
"""

from __future__ import annotations

from collections.abc import Mapping

__all__ = ["CODES"]

CODES: Mapping[str, tuple[str, str]] = {
    # what the plant forbids (the judge)
    "wrong_grade": ("forbidden", "a grade that is not on the product's approved list"),
    "no_approved_list": ("forbidden", "a form product without an approved list in force"),
    "wrong_grade_in_place": ("forbidden", "a grade that the place does not accept"),
    "reclaim_in_block": ("forbidden", "foam moulded before, in a form block"),
    "too_fresh": ("forbidden", "beads moulded before their signed hours of ageing"),
    "too_old": ("forbidden", "beads moulded after their signed hours of ageing"),
    "more_than_held": ("forbidden", "more drawn than the books say the lot holds"),
    "imbalance": ("forbidden", "a remainder beyond the tolerance of the step"),
    "on_hold": ("forbidden", "a lot used after a person had put it on hold"),
    "not_released": ("forbidden", "a block lot shipped that is not released"),
    "unknown_product": ("forbidden", "a run of a product that was not set up"),
    "count_differs": ("notice", "a count or an empty place that differs from the books"),
    # what cannot be meant (the record)
    "unit_missing": ("refusal", "an amount without a unit"),
    "unknown_lot": ("refusal", "a lot neither in the record nor introduced in the same batch"),
    "unknown_kind": ("refusal", "a step of a kind that does not exist"),
    "unknown_material": ("refusal", "a material that does not exist"),
    "unknown_step": ("refusal", "a correction or reversal of a step that was never posted"),
    "unknown_cause": ("refusal", "a concession on a cause that no nonconformity has"),
    "unknown_hold": ("refusal", "a lift of a hold that was never placed"),
    "time_missing": ("refusal", "no time given"),
    "time_ahead": ("refusal", "a time in the future"),
    "not_added_up": ("refusal", "lines that do not add up with losses and remainder"),
    "pieces_not_added_up": ("refusal", "pieces out that are not pieces in"),
    "pieces_missing": ("refusal", "a lot kept in pieces, moved without a number of pieces"),
    "amount_negative": ("refusal", "an amount below zero"),
    "bad_code": ("refusal", "a code that no label can carry"),
    "key_missing": ("refusal", "a draft without a client key"),
    "key_reused": ("refusal", "a client key posted before with other content"),
    "key_differs": ("refusal", "a correction that changes the step's key"),
    "lot_exists": ("refusal", "a new lot with a code that is taken"),
    "already_moved_on": ("refusal", "a reversal of a step whose outputs have been used"),
    "already_reversed": ("refusal", "a change to a step that was reversed"),
    "hold_exists": ("refusal", "a hold with an id that is taken"),
    "hold_one_place": ("refusal", "a hold that names a place together with other lots"),
    "bad_setting": ("refusal", "a setting that cannot be read"),
    "not_releasable": ("refusal", "a release of a lot that the assessment does not let ship"),
    "not_allowed": ("refusal", "an entry that the person's role may not make"),
    # what a reader of files finds in a row, a file or a setting
    "unit_unknown": ("row", "a unit that is not known, or not of that quantity"),
    "unit_offset": ("row", "a unit with an offset where only a factor can be meant"),
    "not_a_number": ("row", "a text that is no number in the decimal sign stated"),
    "below_absolute_zero": ("row", "a temperature below absolute zero"),
    "negative": ("row", "a value below zero where none can be"),
    "not_positive": ("row", "a value that must be above zero"),
    "count_not_whole": ("row", "a count that is no whole number"),
    "choice_unknown": ("row", "a word that is none of those the column takes"),
    "code_invalid": ("row", "a code that no label can carry"),
    "unknown_person": ("row", "initials that nobody in the settings has"),
    "date_style_invalid": ("row", "a date style that cannot be read by"),
    "time_invalid": ("row", "a time that does not fit the date style stated"),
    "time_missing_hour": ("row", "a time in the hour that the clock change leaves out"),
    "time_doubled_hour": (
        "row",
        "a time in the hour that the clock change repeats, without saying which",
    ),
    "time_offset": ("row", "an offset that is not the zone's at that time"),
    "zone_unknown": ("row", "a time zone that does not exist"),
    "row_repeated": ("row", "a row id that stands twice with different content"),
    "cells_wrong": ("row", "a row with more or fewer cells than the header"),
    "lots_in_a_circle": ("row", "steps that wait for each other's lots"),
    "file_missing": ("row", "a file that is not there"),
    "file_empty": ("row", "a file without rows"),
    "file_encoding": ("row", "a file that is not in the encoding stated"),
    "file_not_table": ("row", "a file that is no table of text"),
    "file_not_text": ("row", "a file that is no text, such as a spreadsheet renamed"),
    "file_unreadable": ("row", "a file that cannot be opened"),
    "folder_empty": ("row", "a folder without sheets"),
    "layout_missing": ("row", "a sheet without a layout file beside it"),
    "layout_invalid": ("row", "a layout file that cannot be read"),
    "toml_invalid": ("row", "a settings file that is no TOML"),
    "setting_invalid": ("row", "a setting that cannot be meant"),
    "setting_repeated": ("row", "a setting that stands twice"),
    "plants_mixed": ("row", "files of two plants read together"),
    "unknown_readings": ("row", "a void of readings that were never posted"),
}
