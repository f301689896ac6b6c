"""What is published: formulas and tables by document and edition; it knows units and confidence, nothing else of ours.

How sure a figure is, by one scale for all tables:

- confirmed: two or more independent public sources agree;
- carried over: taken from a single source, be it one public page, a sister document or the edition before;
- from memory: no source seen; somebody with the standard at hand should tick it.
"""
