"""What the screens are built of. A widget knows no screen, no rule and no sentence."""
