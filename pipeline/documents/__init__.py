"""What is handed over: the texts that documents print, the order in which they stand, and the Word templates."""
