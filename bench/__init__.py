"""Side-by-side benchmarks; ``python -m bench`` prints ratios measured in one run."""
