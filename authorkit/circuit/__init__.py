"""The harness that all chapters share, and the circuit of each."""
