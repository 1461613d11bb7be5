"""The words of an answer as HTML for a notebook page: finding, reading, marks table, caution.

Colours are the page's own (JupyterLab's variables), so that light and dark themes both read well.
"""

from __future__ import annotations

import html

from analysis.controls.answer import Answer, mark_table, say_caution, say_finding, say_reading

TEXT = "color:var(--jp-ui-font-color1,#000);line-height:1.45;max-width:811px"
QUIET = "color:var(--jp-ui-font-color2,#444)"
RULE = "1px solid var(--jp-border-color2,#bbb)"


def finding_html(answer: Answer) -> str:
    """What the choice does, in bold."""
    return f'<div style="{TEXT};margin-top:8px;font-weight:bold">{html.escape(say_finding(answer))}</div>'


def reading_html(answer: Answer) -> str:
    """The reading, a sentence a line."""
    lines = "".join(f"<div>{html.escape(line)}</div>" for line in say_reading(answer))
    return f'<div style="{TEXT};margin-bottom:6px">{lines}</div>'


def table_html(answer: Answer) -> str:
    """The marks table; a row whose mark is under water is bold, as its words say too."""
    heads, rows = mark_table(answer)
    cell = "padding:1px 14px 1px 0;text-align:left;border:none"
    head = "".join(f'<th scope="col" style="{cell};border-bottom:{RULE}">{html.escape(name)}</th>' for name in heads)
    body = "".join(
        f'<tr style="font-weight:{"bold" if row[1].endswith("under") else "normal"}">'
        f'<th scope="row" style="{cell};font-weight:inherit">{html.escape(row[0])}</th>'
        + "".join(f'<td style="{cell}">{html.escape(words)}</td>' for words in row[1:])
        + "</tr>"
        for row in rows
    )
    caption = "height of the marks above water, spaces shut where not said"
    return (
        f'<div style="{TEXT};overflow-x:auto"><table style="border-collapse:collapse;font-size:inherit;margin:4px 0">'
        f'<caption style="text-align:left;{QUIET}">{caption}</caption>'
        f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def caution_html(answer: Answer) -> str:
    """The caution, set off by a rule at its side."""
    edge = "border-left:4px solid var(--jp-warn-color1,#d98200);padding-left:10px"
    return f'<div style="{TEXT};{edge}" role="note"><b>Caution.</b> {html.escape(say_caution(answer))}</div>'


def problem_html(words: str) -> str:
    """What went wrong, in place of everything else."""
    edge = "border-left:4px solid var(--jp-error-color1,#b00020);padding-left:10px"
    lines = "<br>".join(html.escape(line) for line in words.splitlines())
    return f'<div style="{TEXT};{edge}" role="alert"><b>No picture for this choice.</b> {lines}</div>'
