"""What the saw needs: the cutting list, and later sheets, lengths, settings, labels and buying."""
