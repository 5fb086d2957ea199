"""The fifteen watches of the example. Every name, calibre and figure is invented."""

from tracker.commands.register import WatchFields
from tracker.example.role import Job, Keeper, Mended, Role, Scene, Spells, Spring, Steady

CLEANED = "Taken apart, cleaned and oiled. Mainspring kept. Regulated in six positions."
NEW_SPRING = "Taken apart, cleaned and oiled. New mainspring, drum and arbor checked for wear."
BRIDLE = "Cleaned and oiled. New mainspring with its bridle; drum wall greased afresh."

NIGHT_FERRY = Role(  # wound every morning, never seen to stop
    fields=WatchFields(
        nickname="Night ferry",
        calibre="K-12",
        vibrations_per_hour=18_000,
        stated_reserve_h=42,
        habit="keep going",
        place="Pilots' desk",
        note="On the desk for the night crossing. Never let down in memory.",
    ),
    spring=Spring(reserve_h=40.0, services=(Mended(days_ago=1_480, work_done=CLEANED, reserve_h=40.8),)),
    routine=Steady(at_min=7 * 60 + 15, spread_min=22),
    ending=(Scene(act="wind", hours_ago=(14.0, 26.0)),),
    keeper=Keeper(notices=0.9, late=0.08, away=False),
)

BAR_BUOY = Role(  # worn in turn with others, found stopped, hands read
    fields=WatchFields(
        nickname="Bar buoy",
        calibre="K-9",
        vibrations_per_hour=19_800,
        stated_reserve_h=36,
        date_window=True,
        stake="date",
        place="Tray by the window",
        crown_turns_to_full=24,
    ),
    spring=Spring(
        reserve_h=34.0,
        per_year=-0.012,
        rate_s_per_day=-9.0,
        services=(Mended(days_ago=1_010, work_done=NEW_SPRING, reserve_h=35.5),),
    ),
    routine=Spells(gap_days=(3, 10), days=(1, 2)),
    ending=(
        Scene(act="wind on the wrist", hours_ago=(118.0, 130.0)),
        Scene(act="lay down", hours_ago=(106.0, 116.0)),
        Scene(act="look", hours_ago=(3.0, 30.0)),
    ),
    keeper=Keeper(reads=0.85, unnoted=0.01),
)

WORKSHOP_SPARE = Role(  # loses a little every year
    fields=WatchFields(
        nickname="Workshop spare",
        calibre="K-17",
        vibrations_per_hour=21_600,
        stated_reserve_h=46,
        habit="keep going",
        place="Workshop shelf",
        reach="only at",
        crown_turns_to_full=28,
    ),
    spring=Spring(
        reserve_h=41.0,
        per_year=-0.055,
        rate_s_per_day=11.0,
        services=(Mended(days_ago=1_040, work_done=CLEANED, reserve_h=45.0),),
    ),
    routine=Steady(at_min=7 * 60 + 45, spread_min=30, skips=0.13, looks=0.06, part=0.012, unsure=0.015),
    ending=(Scene(act="wind", hours_ago=(16.5, 30.0)),),
    keeper=Keeper(reads=0.6, unnoted=0.004),
)

FOG_SIGNAL = Role(  # lost a sixth at once, five months ago
    fields=WatchFields(
        nickname="Fog signal",
        calibre="K-31",
        wound_by="crown and rotor",
        crown_turns_to_full=40,
        vibrations_per_hour=28_800,
        stated_reserve_h=80,
        habit="keep going",
        place="Watch room",
        screw_down_crown=True,
    ),
    spring=Spring(
        reserve_h=77.0,
        drop=-0.165,
        drop_days_ago=152,
        scatter=0.035,
        rate_s_per_day=4.0,
        services=(Mended(days_ago=820, work_done=BRIDLE, reserve_h=78.0),),
    ),
    routine=Steady(every_days=3, at_min=8 * 60, spread_min=35, looks=0.4, skips=0.15),
    ending=(Scene(act="wind", hours_ago=(61.0, 69.4)),),
    keeper=Keeper(reads=0.55, unnoted=0.004),
)

SLACK_WATER = Role(  # back from service three weeks ago
    fields=WatchFields(
        nickname="Slack water",
        calibre="K-21",
        vibrations_per_hour=21_600,
        lift_angle_deg=50,
        stated_reserve_h=60,
        habit="keep going",
        place="Pilots' desk",
        other_springs="alarm",
        looks_offered=True,
    ),
    spring=Spring(
        reserve_h=56.0,
        per_year=-0.045,
        services=(
            Mended(days_ago=1_520, work_done=CLEANED, reserve_h=60.0),
            Mended(days_ago=22, work_done=NEW_SPRING, reserve_h=60.5),
        ),
    ),
    routine=Steady(every_days=2, at_min=6 * 60 + 50, looks=0.1, worn=0.12, skips=0.1, unsure=0.01),
    ending=(Scene(act="wind", hours_ago=(0.4, 9.5)),),
    keeper=Keeper(reads=0.6, unnoted=0.004),
)

ALMANAC = Role(  # the perpetual calendar; its winder reports later, until then the crown is noted
    fields=WatchFields(
        nickname="Almanac",
        calibre="K-44",
        wound_by="crown and rotor",
        crown_turns_to_full=45,
        vibrations_per_hour=28_800,
        stated_reserve_h=72,
        habit="keep going",
        stake="calendar",
        date_window=True,
        setting_details="Perpetual calendar: date, weekday, month, leap year, moon. Never between 8 pm and 4 am.",
        place="Winder box, left",
    ),
    spring=Spring(reserve_h=70.0, services=(Mended(days_ago=1_300, work_done=BRIDLE, reserve_h=71.0),)),
    routine=Steady(every_days=2, at_min=21 * 60, spread_min=30, looks=0.1, skips=0.03),
    ending=(Scene(act="wind", hours_ago=(33.0, 43.0)), Scene(act="look", hours_ago=(0.5, 9.5))),
    keeper=Keeper(reads=0.9, late=0.04, away=False),
)

FLOOD_TIDE = Role(  # the rotor alone winds it; on the wrist today
    fields=WatchFields(
        nickname="Flood tide",
        calibre="K-27",
        wound_by="rotor only",
        vibrations_per_hour=28_800,
        stated_reserve_h=44,
        place="Winder box, right",
        screw_down_crown=True,
    ),
    spring=Spring(reserve_h=43.0),
    routine=Spells(gap_days=(12, 24), days=(2, 4), winds="never"),
    ending=(Scene(act="put on", hours_ago=(0.4, 9.5)),),
    keeper=Keeper(reads=0.6),
)

SPRING_TIDE = Role(  # on a winder that no sensor watches; what goes on it and comes off is noted by hand
    fields=WatchFields(
        nickname="Spring tide",
        calibre="K-33",
        wound_by="rotor only",
        vibrations_per_hour=28_800,
        stated_reserve_h=46,
        habit="keep going",
        place="Keeper's cabin",
        winder_turns_a_day=600,
        winder_way="clockwise",
        wear_fills_h=10,
    ),
    spring=Spring(reserve_h=45.0),
    routine=Spells(gap_days=(16, 30), days=(1, 3), winds="never"),
    ending=(Scene(act="put on", hours_ago=(62.0, 70.0)), Scene(act="lay down", hours_ago=(48.0, 58.0))),
    winder_turns_a_day=720.0,
)

EBB_TIDE = Role(  # came back yesterday; whether it goes nobody has noted
    fields=WatchFields(
        nickname="Ebb tide",
        calibre="K-36",
        wound_by="crown and rotor",
        crown_turns_to_full=36,
        vibrations_per_hour=36_000,
        reserve_class="a day or two",
        habit="keep going",
        place="Winder box, middle",
    ),
    spring=Spring(
        reserve_h=47.0,
        per_year=-0.02,
        services=(
            Mended(days_ago=1, work_done="Winding rotor: bearing and reversing wheels changed.", reserve_h=48.0),
        ),
    ),
    routine=Spells(gap_days=(7, 15), days=(1, 2), winds="last", looks_after=(1, 4)),
    keeper=Keeper(reads=0.5, unnoted=0.01),
)

LAMP_ROOM = Role(  # will lie on a rest sensor
    fields=WatchFields(
        nickname="Lamp room",
        calibre="K-52",
        vibrations_per_hour=21_600,
        reserve_class="three days",
        crown_turns_to_full=50,
        habit="keep going",
        place="Lamp room",
        reach="only at",
    ),
    spring=Spring(reserve_h=78.0, scatter=0.02, rate_s_per_day=2.0),
    routine=Steady(every_days=3, at_min=19 * 60, spread_min=40, skips=0.2, looks=0.14, unsure=0.02),
    ending=(
        Scene(act="wind", hours_ago=(56.0, 68.0)),
        Scene(act="look", hours_ago=(30.0, 42.0)),
        Scene(act="part wind", hours_ago=(1.0, 10.5)),
    ),
    keeper=Keeper(reads=0.65, unnoted=0.006),
)

WATCH_ROOM_CLOCK = Role(  # on Sundays, by the key
    fields=WatchFields(
        nickname="Watch-room clock",
        calibre="K-2",
        wound_by="key",
        vibrations_per_hour=18_000,
        reserve_class="eight days",
        habit="on weekdays",
        habit_weekdays=("Sun",),
        place="Watch room",
        other_springs="strike",
    ),
    spring=Spring(reserve_h=200.0, scatter=0.02, rate_s_per_day=14.0),
    routine=Steady(weekday=6, at_min=9 * 60, spread_min=40, looks=0.07),
    ending=(Scene(act="look", hours_ago=(0.4, 9.5)),),
    keeper=Keeper(reads=0.7, unnoted=0.01),
)

AUNTS_TRAVELLING_WATCH = Role(  # eight days, with an indicator; it travels, so nobody can reach it
    fields=WatchFields(
        nickname="Aunt's travelling watch",
        calibre="K-8",
        vibrations_per_hour=18_000,
        stated_reserve_h=192,
        indicator="hours",
        habit="every n days",
        habit_every_days=7,
        place="With the aunt, upriver",
        reach="out of reach",
    ),
    spring=Spring(reserve_h=188.0, scatter=0.02, services=(Mended(days_ago=640, work_done=CLEANED, reserve_h=190.0),)),
    routine=Steady(every_days=7, at_min=8 * 60 + 30, spread_min=50, looks=0.1, skips=0.2),
    ending=(Scene(act="wind", hours_ago=(850.0, 870.0)),),
    keeper=Keeper(reads=0.7),
)

BOATHOUSE_CLOCK = Role(  # at rest, with a run now and then
    fields=WatchFields(
        nickname="Boathouse clock",
        wound_by="weights",
        habit="at rest",
        place="Boathouse",
        reach="only at",
        setting_details="Hang the weight gently; start the pendulum; set the hands forward only.",
    ),
    spring=Spring(reserve_h=178.0, scatter=0.02, rate_s_per_day=20.0),
    routine=Spells(gap_days=(85, 150), days=(1, 1), worn=False, looks_after=(4, 11), at_min=11 * 60),
    ending=(Scene(act="look", hours_ago=(1_000.0, 1_016.0)),),
    keeper=Keeper(reads=0.9),
)

DRAWER_FIND = Role(  # two windings, no more
    fields=WatchFields(nickname="Drawer find", note="From the back of the chart drawer. Nothing is known of it."),
    spring=Spring(reserve_h=33.0, scatter=0.05, rate_s_per_day=-25.0),
    ending=(
        Scene(act="wind", hours_ago=(430.0, 442.0)),
        Scene(act="look", hours_ago=(408.0, 420.0)),
        Scene(act="unsure wind", hours_ago=(1.0, 10.5)),
    ),
)

BENCH_TWO = Role(  # a customer's, on the visiting watchmaker's bench
    fields=WatchFields(
        nickname="Bench two",
        calibre="K-40",
        vibrations_per_hour=21_600,
        stated_reserve_h=40,
        crown_turns_to_full=26,
        belongs_to="A pilot",
        job_number="W-118",
        place="The watchmaker's bench",
    ),
    spring=Spring(
        reserve_h=31.0,
        per_year=0.0,
        scatter=0.02,
        services=(
            Mended(
                days_ago=10,
                work_done=NEW_SPRING,
                reserve_h=39.0,
                occasion="Ran short since the spring",
                parts=("mainspring: 1.30 × 0.115 × 330 × 10.5 > 1.30 × 0.120 × 340 × 10.5", "crown gasket"),
                lubricants="Thin oil on the train, grease on the drum wall, none on the coils.",
                cost="as agreed",
                pictured=True,
            ),
        ),
    ),
    ending=(
        Scene(act="wind", hours_ago=(590.0, 600.0)),
        Scene(act="look", hours_ago=(572.0, 582.0)),
        Scene(act="look", hours_ago=(540.0, 550.0)),
        Scene(act="wind", hours_ago=(176.0, 186.0)),
        Scene(act="look", hours_ago=(152.0, 162.0)),
        Scene(act="look", hours_ago=(124.0, 134.0)),
        Scene(act="wind", hours_ago=(14.0, 24.0)),
        Scene(act="look", hours_ago=(0.5, 9.5)),
    ),
    job=Job(came_in_days_ago=26, promised_in_days=5),
)

CAST: tuple[Role, ...] = (
    NIGHT_FERRY,
    BAR_BUOY,
    WORKSHOP_SPARE,
    FOG_SIGNAL,
    SLACK_WATER,
    ALMANAC,
    FLOOD_TIDE,
    SPRING_TIDE,
    EBB_TIDE,
    LAMP_ROOM,
    WATCH_ROOM_CLOCK,
    AUNTS_TRAVELLING_WATCH,
    BOATHOUSE_CLOCK,
    DRAWER_FIND,
    BENCH_TWO,
)
"""Who plays: in the order in which they are registered."""
