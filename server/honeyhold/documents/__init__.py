"""Every paper the house prints, as HTML; `pdf.py` is the edge that turns HTML into a PDF."""
