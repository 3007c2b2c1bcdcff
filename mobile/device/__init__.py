"""The phone itself behind the ports: position, clock, camera, connectivity, buzz; real ones and fakes."""
