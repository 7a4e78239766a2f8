"""The test plate: the panel in plastic, in tiles that fit a printer, at its real thickness."""
