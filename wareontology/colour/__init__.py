"""Colour as the trade writes it: Munsell notation, CIE Lab, colour difference, colour words, nearest chip.

A leaf: it knows nothing of sherds. Nothing is read at import; tables are read on first use.
"""
