"""In: a plate. Out: the layout that begins with it: which of the ``kinds`` of panel it is, its holes as ``places``."""
