"""Pages and sheets: figures, HTML, PDF and workbooks made from what the engines found."""
