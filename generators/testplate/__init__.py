"""The test plate: the panel in plastic, cut to the printer's bed, holes opened for what they lose in print.

In: a job, its assembly and a printer. Out: pieces as meshes, with sizes, filament and notes.
"""
