"""Oxygen, gas and rate laws of the fire: numbers in, numbers out. A leaf: every function is handed its
constants."""
