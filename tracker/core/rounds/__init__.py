"""In which rounds each watch is wound: the fewest rounds, then the fewest windings, then the largest least margin."""
