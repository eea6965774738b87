"""Every front end of legtaper: the commands, the wizard and its plain twin."""
