"""One sherd's observations: the record, tables in and out, JSON-LD."""
