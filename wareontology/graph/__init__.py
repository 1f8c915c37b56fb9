"""Our terms, regions, sources and rules as a graph; the only folder that knows the RDF libraries."""
