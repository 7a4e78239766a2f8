"""A page kept true while its layout is edited: from the files of a panel, again and again, to pages for this machine.

``files`` sees what was saved, ``states`` makes of it what is known of a panel, ``bench`` does what is most urgent and
keeps the pages, ``notice`` says on them how they stand, ``server`` hands them out to this machine alone.
"""
