"""Small workbooks made part by part, good ones and hostile ones."""

from __future__ import annotations

import zipfile
from pathlib import Path

_OFFICE = "application/vnd.openxmlformats-officedocument.spreadsheetml"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_KINDS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_TYPES = f"""<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="{_PACKAGE}/content-types"><Default Extension="xml" ContentType="application/xml"/>
<Default Extension="rels"
 ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Override PartName="/xl/workbook.xml" ContentType="{_OFFICE}.sheet.main+xml"/>
<Override PartName="/xl/worksheets/sheet1.xml" ContentType="{_OFFICE}.worksheet+xml"/></Types>"""
_RELATIONS = f"""<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="{_PACKAGE}/relationships">
<Relationship Id="rId1" Type="{_KINDS}/%s" Target="%s"/></Relationships>"""
_BOOK = """<?xml version="1.0" encoding="UTF-8"?>
<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"
 xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">
<sheets><sheet name="S" sheetId="1" r:id="rId1"/></sheets></workbook>"""
_SHEET = """<?xml version="1.0" encoding="UTF-8"?>{before}
<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">
<sheetData>{rows}</sheetData></worksheet>"""
_SPREAD = """<?xml version="1.0" encoding="UTF-8"?>
<office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"
 xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"
 xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" office:version="1.3">
<office:body><office:spreadsheet><table:table table:name="S">{rows}</table:table>
</office:spreadsheet></office:body></office:document-content>"""
_MANIFEST = """<?xml version="1.0"?>
<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"/>"""


def xlsx(path: Path, rows: str, before: str = "", shared: str = "") -> Path:
    """A workbook (ECMA-376) whose one sheet has these ``rows`` as XML."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as book:
        book.writestr("[Content_Types].xml", _TYPES)
        book.writestr("_rels/.rels", _RELATIONS % ("officeDocument", "xl/workbook.xml"))
        book.writestr("xl/workbook.xml", _BOOK)
        sheet = _RELATIONS % ("worksheet", "worksheets/sheet1.xml")
        book.writestr("xl/_rels/workbook.xml.rels", sheet)
        book.writestr("xl/worksheets/sheet1.xml", _SHEET.format(rows=rows, before=before))
        if shared:
            book.writestr("xl/sharedStrings.xml", shared)
    return path


def text_cell(place: str, text: str) -> str:
    """A cell with its text in it."""
    return f'<c r="{place}" t="inlineStr"><is><t>{text}</t></is></c>'


def ods(path: Path, rows: str) -> Path:
    """A spreadsheet (OASIS Open Document 1.3) with these ``rows`` as XML."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as book:
        book.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        book.writestr("META-INF/manifest.xml", _MANIFEST)
        book.writestr("content.xml", _SPREAD.format(rows=rows))
    return path


def ods_cell(text: str, marks: str = 'office:value-type="string"') -> str:
    """A cell of an ODS row."""
    return f"<table:table-cell {marks}><text:p>{text}</text:p></table:table-cell>"
