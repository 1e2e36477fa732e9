"""A torque: its units, how documents print it, what corrects it, how it is judged and said."""
