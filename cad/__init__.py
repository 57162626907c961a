"""A wooden moulding plane from one short spec. Layers, lowest first: see DEVELOPERS.md."""
