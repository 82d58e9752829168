"""What the load flow refuses: thicker leads from the van, or a bound that the model learns."""
