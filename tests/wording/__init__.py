"""The catalogues' workshop: messages taken from code and data, merged into each language.

``python -m tests.wording`` brings every catalogue up to date and lists what lacks words.
"""
