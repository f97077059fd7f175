"""What a program says of a pour: each a text with its unit, as a person keys it."""

from __future__ import annotations

from ninja import Field, Schema

__all__ = ["PourSaid", "WallSaid"]

_LONG = 60


def _said(description: str) -> str:
    text: str = Field("", description=description, max_length=_LONG)
    return text


class _Said(Schema):
    @property
    def texts(self) -> dict[str, str]:
        """What was said, by word."""
        return {word: text for word, text in self.dict().items() if isinstance(text, str)}


class PourSaid(_Said):
    """A pour; what is left out is taken at its worst, or unknown."""

    lot: list[str] = Field(
        default_factory=list, description="Lots; else the newest released ones with a test."
    )
    height: str = _said("Fresh concrete that has not set, as `9 ft`.")
    rate: str = _said("Rate of rise that the installation manual allows, as `4 ft/h`.")
    factor: str = _said("Safety factor, as `2`.")
    density: str = _said("Density of the fresh concrete, as `150 lb/ft3`.")
    slump: str = _said("Slump after all admixtures, as `6 in`.")
    temperature: str = _said("The concrete's temperature, as `70 °F`.")
    vibration: str = _said("How deep a vibrator goes, as `3 ft`.")
    binder: str = _said("`plain`, `blended` or `high`.")
    retarder: str = _said("`yes` or `no`: whether anything delays its set.")
    unbroken: str = _said("`yes` or `no`: whether panels run over three spans or more.")
    placed: str = _said("`top` or `base`.")
    self_consolidating: str = _said("`yes` or `no`.")


class WallSaid(_Said):
    """A wall; what is left out is taken by common practice."""

    lot: list[str] = Field(
        default_factory=list, description="Lots; else the newest released ones that were gauged."
    )
    storey: str = _said("Height that the courses should end at, as `8 ft`.")
    courses: str = _said("Number of courses; else the nearest to the storey.")
    tolerance: str = _said("How far it may end off, as `0.25 in`.")
    joint: str = _said("What a joint between courses adds, as `0.2 mm`.")
    joint_spread: str = _said("Spread of joints, as `0.1 mm`.")
