"""Is this a text file at all? What a spreadsheet, an archive or another encoding is told."""

from __future__ import annotations

from latebreak.engine.errors import Fault, InputError

#: Largest file in bytes (chosen: two million throws of some twenty columns fit).
MAX_BYTES = 400_000_000

UTF_8_REMEDY = "save the file as CSV in UTF-8"
#: First bytes of files that are taken for CSV at times, and what they are.
OTHER_KINDS = {
    b"PK\x03\x04": "a spreadsheet workbook or another archive",
    b"\xd0\xcf\x11\xe0": "a spreadsheet workbook of an old kind",
    b"\x1f\x8b": "a compressed file",
    b"%PDF": "a PDF document",
    b"\xff\xfe": "text in UTF-16",
    b"\xfe\xff": "text in UTF-16",
}


def check_text(content: bytes, source: str, limit: int = MAX_BYTES) -> None:
    """Refuse what is no text that can be read.

    Parameters
    ----------
    content : bytes
        The file.
    source : str
        What messages call it.
    limit : int
        Most bytes.

    Raises
    ------
    InputError
        It is empty, too large, of another kind, or holds a zero byte.
    """
    if len(content) > limit:
        size = f"{limit / 1e6:g} MB"
        raise InputError([Fault("", f"it is larger than {size}", f"at most {size}", "split the file")], source)
    if not content.removeprefix(b"\xef\xbb\xbf").strip():
        remedy = "write a header row and one row a throw"
        raise InputError([Fault("", "the file is empty", "CSV text", remedy)], source)
    kind = next((kind for start, kind in OTHER_KINDS.items() if content.startswith(start)), None)
    if kind is not None:
        raise InputError([Fault("", f"this is {kind}, not CSV", "UTF-8 text", UTF_8_REMEDY)], source)
    zero = content.find(b"\0")
    if zero >= 0:
        line = content.count(b"\n", 0, zero) + 1
        problem = f"a zero byte: this is binary, UTF-16, or a damaged file (byte {zero + 1})"
        raise InputError([Fault(f"line {line}", problem, "UTF-8 text", UTF_8_REMEDY)], source)


def not_utf_8(content: bytes, source: str) -> InputError:
    """Word where a file that can't be decoded leaves UTF-8."""
    try:
        content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        problem = f"byte {content[error.start]:#04x} is not UTF-8 (byte {error.start + 1})"
        return InputError([Fault(f"line {line}", problem, "UTF-8 text", UTF_8_REMEDY)], source)
    raise AssertionError("the file is UTF-8")
