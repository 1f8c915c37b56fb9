"""Fires as they go: histories of temperature and gas, drawn or reckoned. Arrays in, arrays out."""
