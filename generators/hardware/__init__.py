"""The choice of hardware: the best candidates of each place, and of them the set with least to buy.

In: the places in their surroundings. Out: a stack for every place that has fixing holes.
"""
