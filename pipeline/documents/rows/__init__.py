"""The rows that documents print, one module per subject; each declares the fields that it derives beside them."""
