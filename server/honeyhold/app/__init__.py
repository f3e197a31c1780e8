"""The program around the records: its command line, server, certificates, backups and forecasts."""
