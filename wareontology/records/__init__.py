"""The user's own store: what is kept, every change of it, backup. It knows nothing of sherds."""
