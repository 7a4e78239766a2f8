"""The drawing: one 2D description of sheets, drawn from the model, that every file format is written from."""
