"""From what was seen on a sherd to how it was probably made, and how sure one may be."""
