"""Pictures of a plane and its fixtures, rendered off screen: what to show in `plane`, `stages` and `jigs`."""
