"""A plain script that any machine with Python runs: it registers a watch, logs a wind and reads the wind-by."""

SCRIPT = """\
import json, sys, urllib.request, uuid
from datetime import UTC, datetime
address, token = sys.argv[1:]
def ask(path, body=None):
    headers = {"Authorization": f"Bearer {token}", "Content-Type": "application/json", "Idempotency-Key": str(uuid.uuid4())}
    request = urllib.request.Request(f"{address}/api{path}", body and json.dumps(body).encode(), headers)
    return json.load(urllib.request.urlopen(request))
watch = ask("/commands/register-watch", {"nickname": "Pilot", "stated_reserve_h": 42, "habit": "keep going"})["uid"]
ask("/commands/log-wind", {"watch_uid": watch, "at": datetime.now(UTC).isoformat()})
print(ask(f"/watches/{watch}/standing")["wind_by"])
"""
"""It takes the address of the program and a token; the standard library is all it needs."""
