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


def text_of(content: bytes, source: str, limit: int = MAX_BYTES) -> str:
    """Return the text of a file, without its byte-order mark.

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
        It is empty, too large, of another kind, holds a zero byte, or is not UTF-8.
    """

    def line(place: int) -> str:
        number = content.count(b"\n", 0, place) + 1
        return f"line {number}"

    size, text, fault = f"{limit / 1e6:g} MB", "", None
    kind = next((kind for start, kind in OTHER_KINDS.items() if content.startswith(start)), None)
    if len(content) > limit:
        fault = Fault("", f"it is larger than {size}", f"at most {size}", "split the file")
    elif not content.removeprefix(b"\xef\xbb\xbf").strip():
        fault = Fault("", "the file is empty", "CSV text", "write a header row and one row a throw")
    elif kind is not None:
        fault = Fault("", f"this is {kind}, not CSV", "UTF-8 text", UTF_8_REMEDY)
    elif (zero := content.find(b"\0")) >= 0:
        problem = f"a zero byte: this is binary, UTF-16, or a damaged file (byte {zero + 1})"
        fault = Fault(line(zero), problem, "UTF-8 text", UTF_8_REMEDY)
    else:
        try:
            text = content.decode("utf-8").removeprefix("\ufeff")
        except UnicodeDecodeError as error:
            problem = f"byte {content[error.start]:#04x} is not UTF-8 (byte {error.start + 1})"
            fault = Fault(line(error.start), problem, "UTF-8 text", UTF_8_REMEDY)
    if fault is not None:
        raise InputError([fault], source)
    return text
