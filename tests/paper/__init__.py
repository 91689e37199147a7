"""The printed file, held against independent readers of PDF."""
