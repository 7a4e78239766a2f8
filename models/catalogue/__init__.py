"""In: part files and punched patterns, ours and a user's. Out: parts, plugs and patterns by name."""
