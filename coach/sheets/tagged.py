"""Gives a PDF its structure: which marked text is a heading, a paragraph or an entry of a list, and in which order.

After ISO 32000-1, 14.7 and 14.8 (logical structure, tagged PDF): a structure tree, a parent tree from marks to their
elements, the language, and a title that the window shows.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from html import escape

# XMP (ISO 16684-1): the title, the language, and which part of the PDF/UA standard (ISO 14289-1) the file follows.
ABOUT = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
<pdfuaid:part>1</pdfuaid:part>
</rdf:Description></rdf:RDF></x:xmpmeta>
<?xpacket end="w"?>"""


@dataclass(slots=True)
class Block:
    """tag: H1, H2, P, LI or Figure; text: of a figure, what stands for it; marks: (page from 0, mark on it) of each
    piece of it; box: of a figure, in points from the lower left corner."""

    tag: str
    text: str
    marks: list[tuple[int, int]]
    box: tuple[float, float, float, float] | None = None


def tag(data: bytes, blocks: list[Block], title: str, language: str) -> bytes:
    """The PDF with its structure tree, bookmarks for the headings, title and language."""
    from pypdf import PdfReader, PdfWriter
    from pypdf.generic import (
        ArrayObject,
        BooleanObject,
        DecodedStreamObject,
        DictionaryObject,
        FloatObject,
        NameObject,
        NumberObject,
        TextStringObject,
    )

    def name(text: str) -> NameObject:
        return NameObject(f"/{text}")

    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(data)))
    root = DictionaryObject({name("Type"): name("StructTreeRoot")})
    root_at = writer._add_object(root)
    document = DictionaryObject({name("Type"): name("StructElem"), name("S"): name("Document"), name("P"): root_at})
    document_at = writer._add_object(document)
    parents: dict[int, dict[int, object]] = {}

    def element(kind: str, parent, kids=None):
        made = DictionaryObject(
            {
                name("Type"): name("StructElem"),
                name("S"): name(kind),
                name("P"): parent,
                name("K"): ArrayObject(kids or []),
            }
        )
        return made, writer._add_object(made)

    def texts(block: Block, holder, holder_at) -> None:
        for page, mark in block.marks:
            holder["/K"].append(
                DictionaryObject(
                    {
                        name("Type"): name("MCR"),
                        name("Pg"): writer.pages[page].indirect_reference,
                        name("MCID"): NumberObject(mark),
                    }
                )
            )
            parents.setdefault(page, {})[mark] = holder_at

    kids = ArrayObject()
    document[name("K")] = kids
    open_list = None
    outline = {}
    for block in blocks:
        if block.tag == "LI":
            if open_list is None:
                open_list, at = element("L", document_at)
                kids.append(at)
                list_at = at
            item, item_at = element("LI", list_at)
            open_list["/K"].append(item_at)
            body, body_at = element("LBody", item_at)
            item["/K"].append(body_at)
            texts(block, body, body_at)
            continue
        open_list = None
        made, at = element(block.tag, document_at)
        kids.append(at)
        texts(block, made, at)
        if block.box is not None:
            made[name("Alt")] = TextStringObject(block.text)
            made[name("A")] = DictionaryObject(
                {
                    name("O"): name("Layout"),
                    name("Placement"): name("Block"),
                    name("BBox"): ArrayObject(FloatObject(round(n, 2)) for n in block.box),
                }
            )
        if block.tag in ("H1", "H2") and block.marks:
            parent = outline.get("H1") if block.tag == "H2" else None
            outline[block.tag] = writer.add_outline_item(title=block.text, page_number=block.marks[0][0], parent=parent)
    numbers = ArrayObject()
    for page, marks in sorted(parents.items()):
        writer.pages[page][name("StructParents")] = NumberObject(page)
        writer.pages[page][name("Tabs")] = name("S")
        numbers += [NumberObject(page), writer._add_object(ArrayObject(marks[m] for m in sorted(marks)))]
    root[name("K")] = ArrayObject([document_at])
    root[name("ParentTree")] = writer._add_object(DictionaryObject({name("Nums"): numbers}))
    root[name("ParentTreeNextKey")] = NumberObject(len(writer.pages))
    catalogue = writer._root_object
    catalogue[name("StructTreeRoot")] = root_at
    catalogue[name("MarkInfo")] = DictionaryObject({name("Marked"): BooleanObject(True)})
    catalogue[name("Lang")] = TextStringObject(language)
    catalogue[name("ViewerPreferences")] = DictionaryObject({name("DisplayDocTitle"): BooleanObject(True)})
    about = DecodedStreamObject()
    about.set_data(ABOUT.format(title=escape(title), language=escape(language)).encode("utf-8"))
    about[name("Type")], about[name("Subtype")] = name("Metadata"), name("XML")
    catalogue[name("Metadata")] = writer._add_object(about)
    writer.pdf_header = "%PDF-1.7"
    writer.add_metadata({"/Title": title, "/Producer": "crochet-coach"})
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()
