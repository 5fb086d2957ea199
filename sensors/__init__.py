"""What reports over MQTT: rest sensors and winder channels."""
