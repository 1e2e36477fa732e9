"""What keeps a PDF from being one that is kept (PDF/A-3a), clause by clause, as read by pypdf and fontTools.

No validator of ISO 19005-3 is to be had from Debian or PyPI. The clauses of ISO 19005-3:2012 are numbered, and say, as
in the public validation profile PDF_A/PDFA-3A of the veraPDF consortium (2017); the standard itself was not at hand.
Structure types and operators are those of ISO 32000-1:2008, 14.8.4 and Annex A, from memory. A clause about something
that no page of ours has, such as forms, signatures or spot colours, is held by the absence of that thing.
"""

import re
from collections.abc import Iterator
from io import BytesIO
from typing import Any
from xml.etree import ElementTree as ET

from fontTools.ttLib import TTFont
from pypdf import PdfReader
from pypdf.generic import (
    ArrayObject,
    BooleanObject,
    ContentStream,
    DictionaryObject,
    IndirectObject,
    NameObject,
    StreamObject,
)

FILTERS = {"/FlateDecode", "/DCTDecode", "/ASCII85Decode", "/ASCIIHexDecode", "/RunLengthDecode"}
OPERATORS = (
    "b B b* B* BDC BI BMC BT BX c cm CS cs d d0 d1 Do DP EI EMC ET EX f F f* G g gs h i ID j J K k l m M MP n q Q re "
    "RG rg ri s S SC sc SCN scn sh T* Tc Td TD Tf Tj TJ TL Tm Tr Ts Tw Tz v w W W* y ' \""
)
CMYK = {"k", "K"}
STANDARD = (
    "Document Part Art Sect Div BlockQuote Caption TOC TOCI Index NonStruct Private P H H1 H2 H3 H4 H5 H6 L LI Lbl "
    "LBody Table TR TH TD THead TBody TFoot Span Quote Note Reference BibEntry Code Link Annot Ruby RB RT RP Warichu "
    "WT WP Figure Formula Form"
)
ABSENT = ("/AcroForm", "/AA", "/OpenAction", "/NeedsRendering", "/Perms", "/Requirements", "/OCProperties")
PDFAID = "{http://www.aiim.org/pdfa/ns/id/}"
MOST_NESTED, LONGEST_STRING, LONGEST_NAME = 28, 32767, 127


def faults(pdf: bytes) -> list[str]:
    """Each clause that a file does not keep, in a sentence; none where it keeps all of them."""
    reader = PdfReader(BytesIO(pdf))
    root: Any = reader.root_object
    checks = (_file(pdf, reader), _catalog(root), _metadata(root), _intent(root), _files(root), _structure(root))
    found = [fault for check in checks for fault in check]
    for number, page in enumerate(reader.pages, 1):
        found += [f"page {number}: {fault}" for fault in _page(page, reader)]
    found += [fault for each in _objects(reader) for fault in _object(each)]
    return found


def _file(pdf: bytes, reader: PdfReader) -> Iterator[str]:
    if not re.match(rb"%PDF-1\.[0-7]\n%[\x80-\xff]{4}", pdf):
        yield "6.1.2: the header is none, or no bytes above 127 follow it"
    told = reader.trailer.get("/ID", ())
    if len(told) != 2 or not all(told):
        yield "6.1.3: no file identifier"
    if "/Encrypt" in reader.trailer:
        yield "6.1.3: encrypted"
    if not re.search(rb"%%EOF\n?\Z", pdf):
        yield "6.1.3: something follows the end of the file"


def _catalog(root: Any) -> Iterator[str]:
    yield from (f"6.4 and 6.5: the catalog has {name}" for name in ABSENT if name in root)
    if not re.fullmatch("[a-zA-Z]{1,8}(-[a-zA-Z0-9]{1,8})*", str(root.get("/Lang", ""))):
        yield "6.7.4: no language"
    if root.get("/MarkInfo", {}).get("/Marked") != BooleanObject(True):  # noqa: FBT003  # pypdf's own
        yield "6.7.2: not marked"


def _metadata(root: Any) -> Iterator[str]:
    if "/Metadata" not in root:
        yield "6.6.2.1: no metadata"
        return
    packet = root["/Metadata"].get_object().get_data().decode("utf-8")
    if re.search(r"<\?xpacket begin[^>]*(bytes|encoding)=", packet):
        yield "6.6.2.1: the packet tells its bytes or its encoding"
    told = {name: value for each in ET.fromstring(packet).iter() for name, value in each.attrib.items()}  # noqa: S314
    if (told.get(f"{PDFAID}part"), told.get(f"{PDFAID}conformance")) != ("3", "A"):
        yield "6.6.4: it does not say that it is PDF/A-3a"


def _intent(root: Any) -> Iterator[str]:
    intents = [each.get_object() for each in root.get("/OutputIntents", ())]
    if [each["/S"] for each in intents] != ["/GTS_PDFA1"]:
        yield "6.2.3: not one output intent of PDF/A"
        return
    profile = intents[0]["/DestOutputProfile"].get_object().get_data()
    if profile[12:16] not in {b"mntr", b"prtr"} or profile[16:20] != b"RGB " or profile[8] >= 5:
        yield "6.2.3: the profile is not one of a screen or printer in RGB"


def _files(root: Any) -> Iterator[str]:
    """Also the clauses of embedded files, for which part 3 is there."""
    embedded = root.get("/Names", DictionaryObject()).get("/EmbeddedFiles", DictionaryObject())
    belonging = [each.idnum for each in root.get("/AF", ()) if isinstance(each, IndirectObject)]
    if len(belonging) != len(set(belonging)):
        yield "6.8: a file is named twice among those that belong to the document"
    for each in embedded.get("/Names", ArrayObject())[1::2]:
        told, file = each.get_object(), each.get_object()["/EF"]["/F"].get_object()
        if not {"/F", "/UF", "/AFRelationship"} <= told.keys() or each.idnum not in belonging:
            yield f"6.8: {told.get('/UF')} lacks a name, or what it is to the document"
        if not re.fullmatch(r"/[-\w+.]+/[-\w+.]+", str(file.get("/Subtype", ""))):
            yield f"6.8: {told.get('/UF')} has no media type"


def _structure(root: Any) -> Iterator[str]:
    if "/StructTreeRoot" not in root:
        yield "6.7.3: no structure"
        return
    for each in elements(root):
        kind = str(each["/S"]).removeprefix("/")
        if kind not in STANDARD.split():
            yield f"6.7.3: {kind} is no standard structure"
        if kind == "Figure" and not each.get("/Alt"):
            yield "ISO 32000-1, 14.9.3: a picture without a text in its place"


def elements(root: Any) -> Iterator[Any]:
    """Every element of the structure, from above."""
    waiting = [root["/StructTreeRoot"].get_object()]
    while waiting:
        inner = waiting.pop().get("/K", ())
        kids = inner if isinstance(inner, ArrayObject) else [inner]
        found = [each.get_object() for each in kids]
        own = [each for each in found if isinstance(each, DictionaryObject) and "/S" in each]
        yield from own
        waiting += own


def _page(page: Any, reader: PdfReader) -> Iterator[str]:
    if "/Resources" not in page:
        yield "6.2.2: resources are inherited"
    yield from ("6.3: it has annotations" for _ in page.get("/Annots", ()))
    if not all(3 <= side <= 14400 for side in (page.mediabox.width, page.mediabox.height)):
        yield "6.1.13: the page is too small or too large"
    yield from _drawn(page.get_contents(), page["/Resources"], reader)


def _drawn(content: Any, resources: Any, reader: PdfReader) -> Iterator[str]:
    """What is drawn on a page, or in a form of it."""
    deep = 0
    font: Any = None
    for operands, operator in ContentStream(content, reader).operations:
        word = operator.decode()
        deep += {"q": 1, "Q": -1}.get(word, 0)
        if word not in OPERATORS.split() or word in CMYK:
            yield f"6.2.2 and 6.2.4.3: operator {word}"
        if deep > MOST_NESTED:
            yield f"6.1.13: graphics states {deep} deep"
        if word == "Tf":
            font = resources["/Font"][operands[0]]
        if word in {"Tj", "TJ"}:
            yield from _shown(font, operands[0])
        form = resources["/XObject"][operands[0]].get_object() if word == "Do" else {}
        if form.get("/Subtype") == "/Form":
            yield from _drawn(form, form["/Resources"], reader)


def _shown(font: Any, said: Any) -> Iterator[str]:
    """What of a shown text is missing in its font (6.2.11)."""
    texts = [each for each in (said if isinstance(said, list) else [said]) if isinstance(each, str | bytes)]
    program, widths = _program(font), _widths(font)
    for text in texts:
        data = text if isinstance(text, bytes) else text.original_bytes  # type: ignore[attr-defined]
        for glyph in (int.from_bytes(data[at : at + 2]) for at in range(0, len(data), 2)):
            if glyph == 0:
                yield "6.2.11.8: a sign that no font has"
            if glyph >= len(program.getGlyphOrder()):
                yield f"6.2.11.4: glyph {glyph} is not in its font"
                continue
            real = program["hmtx"][program.getGlyphName(glyph)][0] * 1000 / program["head"].unitsPerEm
            if abs(real - widths.get(glyph, 1000)) > 1:
                yield f"6.2.11.5: glyph {glyph} is {real} wide, and told to be {widths.get(glyph)}"


_PROGRAMS: dict[int, tuple[TTFont, dict[int, float]]] = {}


def _program(font: Any) -> TTFont:
    return _read(font)[0]


def _widths(font: Any) -> dict[int, float]:
    return _read(font)[1]


def _read(font: Any) -> tuple[TTFont, dict[int, float]]:
    own = font["/DescendantFonts"][0].get_object()
    if id(own) not in _PROGRAMS:
        file = own["/FontDescriptor"]["/FontFile2"].get_object().get_data()
        _PROGRAMS[id(own)] = TTFont(BytesIO(file)), dict(_told_widths(own["/W"]))
    return _PROGRAMS[id(own)]


def _told_widths(told: Any) -> Iterator[tuple[int, float]]:
    at = 0
    while at < len(told):
        if isinstance(told[at + 1], ArrayObject):
            yield from ((int(told[at]) + number, float(width)) for number, width in enumerate(told[at + 1]))
            at += 2
        else:
            yield from ((glyph, float(told[at + 2])) for glyph in range(int(told[at]), int(told[at + 1]) + 1))
            at += 3


def _objects(reader: PdfReader) -> Iterator[Any]:
    numbers = {*(number for of in reader.xref.values() for number in of), *reader.xref_objStm}
    for number in sorted(numbers):
        yield reader.get_object(number)


def _object(found: Any) -> Iterator[str]:
    """What no object of a file may be."""
    if isinstance(found, StreamObject):
        yield from _stream(found)
    if not isinstance(found, DictionaryObject):
        return
    yield from (f"6.2.5: {name} in a graphics state" for name in ("/TR", "/TR2", "/HTP") if name in found)
    if found.get("/Subtype") == "/Image":
        yield from _image(found)
    if found.get("/Type") == "/Font":
        yield from _font(found)
    for name, value in found.items():
        if len(name) - 1 > LONGEST_NAME or (isinstance(value, str | bytes) and len(value) > LONGEST_STRING):
            yield f"6.1.13: {name[:20]} or its value is too long"


def _stream(found: Any) -> Iterator[str]:
    filters = found.get("/Filter", ())
    told = [filters] if isinstance(filters, NameObject) else filters
    yield from (f"6.1.7: filter {each}" for each in told if each not in FILTERS)
    if {"/FFilter", "/FDecodeParms"} & found.keys():
        yield "6.1.7: a stream of another file"


def _image(found: Any) -> Iterator[str]:
    yield from (f"6.2.8: {name} of an image" for name in ("/Alternates", "/OPI") if name in found)
    if found.get("/Interpolate", False) == BooleanObject(True):  # noqa: FBT003  # pypdf's own
        yield "6.2.8: an image that is to be smoothed"
    if found.get("/ColorSpace") == "/DeviceCMYK":
        yield "6.2.4.3: an image in CMYK"


def _font(font: Any) -> Iterator[str]:
    kind = font["/Subtype"]
    if kind == "/Type0":
        cmap = font["/ToUnicode"].get_object().get_data() if "/ToUnicode" in font else b""
        signs = re.findall(rb"<[0-9a-fA-F]+>\s*<([0-9a-fA-F]+)>", cmap)
        if font["/Encoding"] != "/Identity-H" or not signs:
            yield "6.2.11.7: a font does not say which signs its glyphs are"
        if {b"0000", b"feff", b"fffe"} & {sign.lower() for sign in signs}:
            yield "6.2.11.7: a glyph that is no sign"
    elif kind == "/CIDFontType2":
        if font.get("/CIDToGIDMap") is None:
            yield "6.2.11.3: no map from signs to glyphs"
        if "/FontFile2" not in font["/FontDescriptor"]:
            yield "6.2.11.4: a font is not embedded"
    else:
        yield f"6.2.11: {kind} was not looked at"
