"""Pictures of every kind of sheet, kept to be compared with.

``python -m tests.paper.goldens`` makes them anew: look at each before it is kept.
"""
