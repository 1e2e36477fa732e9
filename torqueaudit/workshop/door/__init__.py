"""The door itself: an open workshop, and how every act goes through it."""
