"""Names that look alike: in other letters, of another script, or with other spaces. Pure.

Read :func:`looks`. Two names are alike where it gives one text for both; whoever asks decides what
follows. It errs towards alike: a person can say that two are meant.

``_LOOKS`` is an excerpt of the Unicode Consortium's data "Unicode Security Mechanisms for UTS #39",
file confusables.txt: the single letters of Greek, Cyrillic, Armenian and five Latin ones that stand
there beside a single letter or digit of ASCII. Unicode License V3: ``LICENSE.unicode``, beside this
file. Compatibility forms (full width, mathematical letters) are taken out by NFKD instead.
"""

from __future__ import annotations

import unicodedata

__all__ = ["looks"]

_LOOKS = {
    "3": "0417 04e0", "6": "0431", "A": "0391 0410", "B": "0392 0412", "C": "0421",
    "E": "0395 0415", "F": "03dc", "G": "050c", "H": "0397 041d", "J": "037f 0408",
    "K": "039a 041a", "M": "039c 03fa 041c", "N": "039d", "O": "039f 041e 0555",
    "P": "03a1 0420", "S": "0405 054f", "T": "03a4 0422", "U": "054d", "V": "0474",
    "W": "051c", "X": "03a7 0425", "Y": "03a5 0423 04ae", "Z": "0396", "a": "0251 03b1 0430",
    "b": "042c", "c": "0441", "d": "0501", "e": "0435 04bd", "f": "0584", "g": "0261 0581",
    "h": "04bb 0570", "i": "0131 026a 03b9 0456 04cf", "j": "03f3 0458", "l": "0399 0406 04c0",
    "n": "0578 057c", "o": "03bf 03c3 043e 0585", "p": "03c1 0440", "q": "051b 0563 0566",
    "r": "0433", "s": "0455", "u": "03c5 057d", "v": "03bd 0475", "w": "0461 051d 0561",
    "x": "0445", "y": "028f 03b3 0443 04af",
}  # fmt: skip
"""What each sign of ASCII is mistaken for, by code point."""

_SIGNS = {chr(int(code, 16)): sign for sign, codes in _LOOKS.items() for code in codes.split()}

_SAME = str.maketrans({"0": "o", "1": "l", "i": "l", "m": "rn"})
"""Signs of ASCII that the same data counts as alike, once case is gone."""


def looks(name: str) -> str:
    """Give what a name looks like: one text for all names that a reader may take for each other.

    Case, marks over letters, spaces and punctuation count for nothing; so a name of nothing else
    is given as it stands.
    """
    plain = unicodedata.normalize("NFKD", name)
    letters = "".join(_sign(one) for one in plain if one.isalnum()).casefold()
    return letters.translate(_SAME) or name.strip()


def _sign(one: str) -> str:
    """Give a letter's ASCII look; a small one's may be its capital's, as in a name set small."""
    return _SIGNS.get(one) or _SIGNS.get(one.upper(), one)
