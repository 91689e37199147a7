"""Paper: finished sheets set on pages, the only home of ReportLab.

In: parts, each an imprint with its sheets (schemas.pages). Out: one PDF as bytes,
with its number of pages and where each sheet begins. Nothing is decided here about
the job; every word, number and line is printed as it comes.

    book      parts to PDF: counts the sheets of each part, then writes them
    flow      pieces down the page, on to the next; nothing parted that belongs together
    frame     page sizes, margins, the part of the page that blocks may use
    header, footer, scan_code    what every page carries
    words, table, ticks, message, figure    one module for each kind of block
    type      faces, widths, the fit of text in its room
    letters   outside text made printable
    ink       strokes and text of a page, written in batches
"""
