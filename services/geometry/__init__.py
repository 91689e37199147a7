"""Plane geometry for the stages; knows no word of the trade.

In: lengths, slopes and points. Out: lengths, slopes and points.
"""
