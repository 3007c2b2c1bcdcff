"""What phone and server may do next, as tables. No network, no disk, no clock."""
