"""What the laws of the fire say of a paint's colour: phases over an ensemble of fires, times judged words.

Not on the way of a question: only `python -m wareontology.build likelihoods` reads this, and writes what it
finds into data/likelihoods.csv.
"""
