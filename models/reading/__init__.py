"""In: files of strangers and our own. Out: plain data and records, lengths in mm, or every fault with its line."""
