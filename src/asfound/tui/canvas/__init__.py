"""Pictures drawn with characters: the view onto a picture, its cells, and the widget that shows them."""
