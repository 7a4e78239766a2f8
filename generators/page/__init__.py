"""The page of a build: from a report and the files beside it to one HTML file that needs nothing else.

``contents`` gives the program its data, ``document`` the words and tables, ``page`` puts both into one file.
"""
