"""What is so at the moment: loads that run, what every device carries and may carry."""
