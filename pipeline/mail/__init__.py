"""What leaves the house by mail once a pack is issued: the letters, and the post that carries each at most once."""
