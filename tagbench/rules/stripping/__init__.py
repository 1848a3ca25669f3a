"""What the strip form can offer while a part is written down."""
