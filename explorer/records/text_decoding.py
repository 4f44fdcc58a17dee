"""Bytes of a file → clean text, whatever encoding it was written in; None where they are no text."""

import itertools
import unicodedata

__all__ = ["clean_text", "decode_text"]

BINARY_SHARE, BINARY_BYTES = 0.01, 8  # more control bytes than both: no text (common practice)
UTF16_SHARE = 0.2  # of the characters have a NUL byte: those of a table in any script (common practice)

_BYTE_ORDER_MARKS = (
    (b"\xef\xbb\xbf", "utf-8"),
    (b"\xff\xfe\x00\x00", "utf-32-le"),
    (b"\x00\x00\xfe\xff", "utf-32-be"),
    (b"\xff\xfe", "utf-16-le"),
    (b"\xfe\xff", "utf-16-be"),
)
_BINARY_HEADS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"%PDF", b"\x89PNG", b"\xff\xd8\xff", b"SQLite format 3")
_CONTROL_BYTES = bytes(set(range(32)) - set(b"\t\n\r\f\x1a\x1b"))

# Control characters and surrogates carry nothing that a sheet means to say, and can reorder or recolour
# what a terminal or page shows; so can the marks of writing direction (Unicode 16, section 23.2).
_REMOVED = dict.fromkeys(
    code
    for code in itertools.chain(range(0xA0), range(0x200E, 0x2010), range(0x202A, 0x202F),
                                range(0x2066, 0x206A), [0xFEFF], range(0xD800, 0xE000))
    if chr(code) not in "\t\n\r" and (code < 0x20 or code >= 0x7F)
)  # fmt: skip


def clean_text(text: str) -> str:
    """Return a text in composed form (NFC) without control characters, surrogates and NUL.

    Tabs and line ends stay.

    Examples
    --------
    >>> clean_text("A\\x001\\x1b[31m")
    'A1[31m'
    """
    if text.isascii() and text.isprintable():  # nearly every cell of a workbook
        return text
    return unicodedata.normalize("NFC", text.translate(_REMOVED))


def decode_text(content: bytes) -> str | None:
    """Return the clean text of a file's bytes, None where they are no text.

    A byte order mark decides; else NUL bytes at places of one kind, even or odd, tell UTF-16; else UTF-8;
    else Windows code page 1252, in which older spreadsheets write.

    Examples
    --------
    >>> decode_text("Grünsee".encode("cp1252")), decode_text("Grünsee".encode("utf-16-le"))
    ('Grünsee', 'Grünsee')
    """
    for mark, encoding in _BYTE_ORDER_MARKS:
        if content.startswith(mark):
            return clean_text(content[len(mark) :].decode(encoding, errors="replace"))
    if encoding := _unmarked_utf16(content):
        try:
            return _text_of(content.decode(encoding))
        except UnicodeDecodeError:
            return None
    head = content[:65536]
    controls = len(head) - len(head.translate(None, _CONTROL_BYTES))
    if head.startswith(_BINARY_HEADS) or controls > max(BINARY_BYTES, BINARY_SHARE * len(head)):
        return None
    try:
        return clean_text(content.decode("utf-8"))
    except UnicodeDecodeError:
        return clean_text(content.decode("cp1252", errors="replace"))


def _unmarked_utf16(content: bytes) -> str:
    """Return the order of bytes of UTF-16 without its mark, "" where it is none.

    Separators, digits and line ends have a NUL beside them in UTF-16, and no text of another encoding has
    any: NUL is found at one kind of place only, at a fifth of them or more.
    """
    head = content[:65536]
    at_even, at_odd = head[::2].count(0), head[1::2].count(0)
    most, least = max(at_even, at_odd), min(at_even, at_odd)
    if len(content) % 2 or least or most < UTF16_SHARE * (len(head) // 2) or most == 0:
        return ""
    return "utf-16-le" if at_odd else "utf-16-be"


def _text_of(text: str) -> str | None:
    """Return clean text, None where it holds more control characters than a text does."""
    head = text[:65536]
    controls = sum(1 for each in head if each < " " and each not in "\t\n\r\f")
    return None if controls > max(BINARY_BYTES, BINARY_SHARE * len(head)) else clean_text(text)
