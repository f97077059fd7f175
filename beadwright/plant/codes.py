"""Codes of refusals and nonconformities: once shipped, a code never changes meaning.

``refusal``: cannot be meant, refused always. ``forbidden``: refused where it is planned; recorded
as a nonconformity, outputs on hold, where it has happened. ``notice``: a nonconformity that holds
nothing by itself.
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
}
