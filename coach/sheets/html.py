"""Large print as one web page: high contrast, headings and lists in reading order, no tables, nothing fetched."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable
from html import escape
from typing import TYPE_CHECKING

from coach.sheets.lines import Line

if TYPE_CHECKING:
    from coach.sheets import Wishes

STYLE = """
html {{ font: {size}pt/1.5 Verdana, "DejaVu Sans", Arial, sans-serif; color: #000; background: #fff; }}
body {{ max-width: 34em; margin: 1em auto; padding: 0 1em; overflow-wrap: break-word; }}
h1 {{ font-size: 1.5em; line-height: 1.2; }}
h2 {{ font-size: 1.25em; line-height: 1.2; border-bottom: .1em solid; margin-top: 1.5em; break-after: avoid; }}
ol, ul {{ padding-left: 0; list-style: none; }}
li {{ margin: .7em 0; padding-left: 1em; text-indent: -1em; break-inside: avoid; }}
figure {{ margin: 1.5em 0; }}
img {{ width: 100%; max-height: 90vh; object-fit: contain; object-position: left; background: #fff;
  break-inside: avoid; }}
.count {{ font-weight: bold; white-space: nowrap; }}
.fault {{ border: .12em solid; padding: .3em; break-inside: avoid; }}
@media (prefers-color-scheme: dark) and (not print) {{ html {{ color: #fff; background: #000; }} }}
@media print {{
  @page {{ margin: 18mm; }}
  html {{ color: #000; background: #fff; }} body {{ max-width: none; margin: 0; padding: 0; }}
  p, li {{ orphans: 3; widows: 3; }}
}}
"""


def dressed(lines: Iterable[Line], wishes: Wishes) -> str:
    """The sheet as HTML 5."""
    body: list[str] = []
    title = "Pattern"
    open_list: str | None = None
    for line in lines:
        wanted = {"round": "ol", "item": "ul"}.get(line.kind)
        if open_list and wanted != open_list:
            body.append(f"</{open_list}>")
            open_list = None
        if wanted and not open_list:
            body.append(f'<{wanted} role="list">')  # a list without marks is told as one still
            open_list = wanted
        if line.kind == "title":
            title = line.text
        body.append(_element(line))
    if open_list:
        body.append(f"</{open_list}>")
    style = STYLE.format(size=f"{wishes.type_size:g}")
    return (
        f'<!doctype html>\n<html lang="{escape(wishes.language)}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{style}</style>\n</head>\n<body>\n<main>\n"
        + "\n".join(body)
        + "\n</main>\n</body>\n</html>\n"
    )


def _element(line: Line) -> str:
    text = escape(line.text)
    if line.kind == "figure":
        data = b64encode(line.drawing.encode("utf-8")).decode("ascii")
        return f'<figure><img src="data:image/svg+xml;base64,{data}" alt="{text}"></figure>'
    if line.kind == "round":
        return (
            f'<li><strong>{escape(line.label)}.</strong> {text}. <span class="count">{escape(line.count)}.</span></li>'
        )
    if line.kind == "fault":
        return f'<p class="fault"><strong>Take care:</strong> {text}</p>'
    tag = {"title": "h1", "heading": "h2", "item": "li"}.get(line.kind, "p")
    return f"<{tag}>{text}</{tag}>"
