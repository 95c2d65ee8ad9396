"""The reading table: from pictures of paper to a chart that a person trusts."""
