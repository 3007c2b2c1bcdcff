"""What a field needs next, a file each subject. ``shared.status.due`` gathers them."""
