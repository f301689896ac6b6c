"""A folder that watches itself: what is dropped there is built, and the answer appears beside it."""
