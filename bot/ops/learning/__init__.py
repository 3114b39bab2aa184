"""What really survived: outcomes gathered, LT50s fitted, corrections adopted and taken back, results exported."""
