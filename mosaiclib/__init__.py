"""Plan, print and teach glass-on-glass mosaics: layouts, cuts, adhesive, filler and quantities."""
