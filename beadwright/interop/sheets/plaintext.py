"""The text of a sheet's file in the encoding stated, or what the file is instead."""

from __future__ import annotations

from beadwright.errors import Fault, position
from beadwright.interop.sheets.files import Source

__all__ = ["no_text", "sheet_text"]

_SPREADSHEETS = {
    b"PK\x03\x04": "a zipped spreadsheet (an .xlsx must bear that ending)",
    b"\xd0\xcf\x11\xe0": "an old binary spreadsheet (.xls)",
    b"%PDF": "a PDF",
    b"\x1f\x8b": "a compressed file",
}
_UTF16 = (b"\xff\xfe", b"\xfe\xff")


def sheet_text(source: Source, encoding: str, faults: list[Fault]) -> str | None:
    """Text of the file in the encoding stated, or a fault that says what it is instead."""
    try:
        raw = source.path.read_bytes()
    except OSError as error:
        what = f"the file cannot be read ({error.strerror})"
        faults.append(Fault("file_unreadable", what, "", source.name, "Check the path."))
        return None
    fault = no_text(source, raw, encoding) or _doubtful_encoding(source, raw, encoding)
    if fault is not None:
        faults.append(fault)
        return None
    try:
        text = raw.decode("utf-8-sig" if encoding.lower() in {"utf-8", "utf8"} else encoding)
    except (UnicodeError, LookupError) as error:
        start = getattr(error, "start", 0)
        where = position(source.name, raw[:start].count(b"\n") + 1)
        what = f"byte {start + 1} of the file is no {encoding} text"
        remedy = f"State the file's own encoding in {source.layout.name}, or export it again."
        faults.append(Fault("file_encoding", what, "", where, remedy))
        return None
    if not text.strip():
        faults.append(_empty(source))
        return None
    return text


def no_text(source: Source, raw: bytes, encoding: str) -> Fault | None:
    """Return a fault that says what a file is that is no text; None where it may be one."""
    file = source.name
    if not raw.strip():
        return _empty(source)
    for start, what in _SPREADSHEETS.items():
        if raw.startswith(start):
            remedy = "Open it where it was made and save the sheet as CSV."
            return Fault("file_not_text", f"the file is {what}, not CSV text", "", file, remedy)
    wide = _is_wide(encoding)
    if not wide and (raw.startswith(_UTF16) or b"\0" in raw):
        what = "the file holds bytes that no text has"
        remedy = f'If it is UTF-16 text, state encoding = "utf-16" in {source.layout.name}.'
        return Fault("file_not_text", what, "", file, remedy)
    return None


def _empty(source: Source) -> Fault:
    remedy = "Export the sheet again, or take the file out of the folder."
    return Fault("file_empty", "the file is empty", "", source.name, remedy)


def _is_wide(encoding: str) -> bool:
    return encoding.lower().replace("_", "-").startswith(("utf-16", "utf-32"))


def _doubtful_encoding(source: Source, raw: bytes, encoding: str) -> Fault | None:
    """Catch UTF-8 text that a layout calls a one-byte encoding: it would read, but as rubbish."""
    if _is_wide(encoding) or raw.isascii() or encoding.lower() in {"utf-8", "utf8", "utf-8-sig"}:
        return None
    try:
        raw.decode("utf-8")
    except UnicodeDecodeError:
        return None
    what = f"the file is UTF-8 text, but its layout says {encoding}"
    remedy = f'State encoding = "utf-8" in {source.layout.name}.'
    return Fault("file_encoding", what, encoding, source.name, remedy)
