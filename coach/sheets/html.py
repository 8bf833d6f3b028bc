"""Large print as one web page: high contrast, headings and lists in reading order, no tables, nothing fetched."""

from __future__ import annotations

from html import escape

from coach.fabric.model import Fabric
from coach.sheets.lines import Line, lines

STYLE = """
html { font: 150%/1.5 Verdana, Arial, sans-serif; color: #000; background: #fff; }
body { max-width: 34em; margin: 1em auto; padding: 0 1em; }
h1 { font-size: 1.6em; } h2 { font-size: 1.3em; border-bottom: .1em solid #000; margin-top: 1.5em; }
ol, ul { padding-left: 0; list-style: none; } li { margin: .6em 0; break-inside: avoid; }
.count { font-weight: bold; white-space: nowrap; } .fault { border: .1em solid #000; padding: .3em; }
@media print { html { font-size: 20pt; } }
"""


def large_print(fabric: Fabric) -> str:
    """The sheet as HTML 5."""
    body: list[str] = []
    open_list: str | None = None
    for line in lines(fabric):
        wanted = {"round": "ol", "item": "ul"}.get(line.kind)
        if open_list and wanted != open_list:
            body.append(f"</{open_list}>")
            open_list = None
        if wanted and not open_list:
            body.append(f"<{wanted}>")
            open_list = wanted
        body.append(_element(line))
    if open_list:
        body.append(f"</{open_list}>")
    title = escape(fabric.pattern.title or "Pattern")
    return (f'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width">\n'
            f"<title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n" + "\n".join(body) + "\n</main>\n</body>\n</html>\n")


def _element(line: Line) -> str:
    text = escape(line.text)
    if line.kind == "round":
        return f'<li><strong>{escape(line.label)}.</strong> {text}. <span class="count">{escape(line.count)}.</span></li>'
    if line.kind == "fault":
        return f'<p class="fault">Take care: {text}</p>'
    tag = {"title": "h1", "heading": "h2", "item": "li"}.get(line.kind, "p")
    return f"<{tag}>{text}</{tag}>"
