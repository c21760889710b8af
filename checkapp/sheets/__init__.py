"""Spreadsheets: lists read out of them, rigs written into them."""
