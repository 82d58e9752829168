"""Why there is no plan: the plainest sum, or the fewest stated limits that clash."""
