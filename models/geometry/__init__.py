"""Value types of plane and space: points, rectangles, boxes, outlines with their exact gaps, contours, bodies.

In come lengths (mm) and angles (degrees, anticlockwise); out go new values: nothing here is ever changed in place.
"""
