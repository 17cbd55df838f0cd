"""How an author's files are read: text to nodes with places, values as the trade writes them, and records."""
