"""From the model to lines on paper."""
