"""The records that cross a border.

In: documents from the office, the company's own files, published rules as data.
Out: the finished plan, the pages, the packs and bundles, as frozen records.
A record mentions only records of earlier stages (held by an import contract).
"""
