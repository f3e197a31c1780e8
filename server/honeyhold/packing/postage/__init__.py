"""What mailing costs by a dated table."""
