"""Everything of Afterfrost that touches the world: conversation, channels, storage, delivery."""
