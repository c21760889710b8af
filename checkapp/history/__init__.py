"""What failed how often: rates of items and kinds, trends, spares; pure arithmetic on counts and times."""
