"""The typeface, and the legends on the panel's front face.

In: the text of every place. Out: where each legend stands, how high it is, and its letters as outlines.
"""
