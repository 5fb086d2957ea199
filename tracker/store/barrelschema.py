"""What the bench knows of a watch's barrel and spring; one row a watch, edited under its version."""

BARRELS = """
CREATE TABLE barrel (
    uid TEXT PRIMARY KEY,
    watch_uid TEXT NOT NULL REFERENCES watch(uid),
    works TEXT NOT NULL CHECK (works IN ('going barrel', 'fusee', 'stop-work')),
    drum_diameter_mm REAL CHECK (drum_diameter_mm > 0),
    arbor_diameter_mm REAL CHECK (arbor_diameter_mm > 0),
    thickness_mm REAL CHECK (thickness_mm > 0),
    height_mm REAL CHECK (height_mm > 0),
    length_mm REAL CHECK (length_mm > 0),
    modulus_gpa REAL CHECK (modulus_gpa > 0),
    alloy TEXT NOT NULL,
    free_turns REAL,
    efficiency REAL CHECK (efficiency > 0 AND efficiency <= 1),
    outer_end TEXT CHECK (outer_end IN ('clamped', 'eyelet')),
    hours_per_turn REAL CHECK (hours_per_turn > 0),
    barrel_teeth INTEGER CHECK (barrel_teeth > 0),
    pinion_leaves INTEGER CHECK (pinion_leaves > 0),
    wheel_hours REAL CHECK (wheel_hours > 0),
    least_torque_nmm REAL CHECK (least_torque_nmm >= 0),
    barrels INTEGER CHECK (barrels > 0),
    arrangement TEXT NOT NULL CHECK (arrangement IN ('series', 'parallel')),
    gauge_full_nmm REAL CHECK (gauge_full_nmm > 0),
    gauge_later_nmm REAL CHECK (gauge_later_nmm >= 0),
    gauge_turns REAL CHECK (gauge_turns > 0),
    limit_mpa REAL CHECK (limit_mpa > 0),
    source TEXT CHECK (source IN ('measured', 'from the supplier')),
    note TEXT NOT NULL,
    noted_at_utc TEXT NOT NULL,
    voided_by TEXT,
    version INTEGER NOT NULL DEFAULT 1
);
CREATE UNIQUE INDEX barrel_watch ON barrel(watch_uid) WHERE voided_by IS NULL;
"""
