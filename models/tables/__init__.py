"""In: CSV files of standards, each row with its source. Out: frozen rows, and answers to what is asked of them."""
