"""In: the panel that was asked for, and a plate that came back. Out: what differs: words, tables, a picture."""
