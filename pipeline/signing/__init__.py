"""Signing by key: the key and its password, the signature, its proof by a second reader, keys for trying out."""
