"""Going Barrel: keeps a collection of mechanical watches going."""
