"""What a barrel ought to give: turns, torque, energy, stress and hours from drum, arbor, strip and train."""
