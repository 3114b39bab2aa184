"""What operators send to many: drafted, shown, approved by a person, sent, reported."""
