"""How likely each thing seen is under each way of making the pot."""
