//! Every message of the core: its kind, what it is about, the key of an axis file it is about if there
//! is one, and what to do. What was given and what is allowed are quoted where the error arises.

// exact
messages! {
    DIVISION_BY_ZERO = DivisionByZero "fraction", do "write a denominator other than 0";
    OVERFLOW = Overflow "exact arithmetic", do "use numbers with fewer digits or a smaller magnitude";
    DOMAIN = OutOfRange "geometry", do "check the lengths; no triangle has these sides";
    CROSSED_BOUNDS = Mechanism "enclosure", do "give the lower bound first; the bounds were crossed";
    TOO_WIDE = OutOfRange "width of a computed value",
        do "ask for a greater width; the value is not known as closely";
    DECIMALS = OutOfRange "decimals";
    WIDTH_DECIMALS = OutOfRange "width in decimals";
}

// measure
messages! {
    SYNTAX = Syntax "text";
    MISSING_UNIT = MissingUnit "text";
    UNIT = Unit "text";
    TEXT_OUT_OF_RANGE = OutOfRange "text";
    TEXT_DIVISION_BY_ZERO = DivisionByZero "text";
    EXPONENT = OutOfRange "value", do "write the number out, or with a smaller exponent";
    DIGITS = OutOfRange "value", do "leave some out; zeros at either end do not count";
    VALUE = OutOfRange "value";
    DENOMINATOR = OutOfRange "denominator";
    DENOMINATOR_ZERO = DivisionByZero "denominator";
    DENOMINATOR_TOO_FINE = OutOfRange "value",
        do "give it with fewer digits; the denominator is finer than the range holds";
    TIME = OutOfRange "time in seconds";
}

// mechanism
messages! {
    STEP_ANGLE = OutOfRange "step angle", about "step_angle";
    STEP_MODE = OutOfRange "step mode", about "step_mode",
        do "write `full`, `half`, `1/16` or the number of steps to a full step";
    STEP_MODE_TEXT = Syntax "step mode";
    TRAVEL_ABOVE_ZERO = OutOfRange "travel per step",
        do "give the travel as a positive measure; `direction` turns the axis round";
    TRAVEL_TOO_LONG = OutOfRange "value", do "check the figures of the drive and its screw, belt or drum";
    LENGTH_ABOVE_ZERO_MM = OutOfRange "value",
        do "give a length above 0 mm; `direction` turns the axis round";
    THREADS_PER_INCH = OutOfRange "threads per inch", about "threads_per_inch",
        do "count the threads along one inch; 4 to 80 are usual";
    THREAD_TEXT = Syntax "thread";
    SPECIAL_THREAD = OutOfRange "threads per inch that UNC does not have";
    LEAD_OF_THREAD = OutOfRange "lead of the thread",
        do "give a lead that is a whole number of pitches, as in Tr8x8(P2)";
    DIAMETER_OF_THREAD = OutOfRange "diameter of the thread";
    PITCH_OF_THREAD = OutOfRange "pitch of the thread",
        do "if this is the lead, write the pitch too, as in Tr8x8(P2)";
    STARTS_OF_THREAD = OutOfRange "starts of the thread", about "starts";
    LINKAGE_TOO_FINE = Overflow "parameters of the linkage",
        do "give them with fewer digits, or a coarser tooth ratio; their common denominator is too large";
    SCREW_LENGTH = OutOfRange "screw length at step 0", about "screw_length",
        do "measure the screw between its two pivots again, or the sides of its triangle";
    ARM_AT_REST = OutOfRange "arm at step 0, by its screw length", about "screw_length",
        do "measure the pivots again; by these figures the arm stands within 5 deg of upright, or past it";
    ARM_ANGLE = OutOfRange "arm angle at step 0", about "arm_angle";
    SWINGS_PAST_SPAN = OutOfRange "travel per step",
        do "choose a finer step mode or lead; a single step swings the arm past its span";
    LOW_STOP = OutOfRange "low stop", about "low_stop", do "set it below the high stop";
    STOP_BEYOND_SCREW = BeyondLimit "value",
        do "set it within what the screw reaches, or measure the linkage again";
    TILT = OutOfRange "tilt";
    SPAN = Mechanism "span of the mechanism, step", do "let the span hold at least two steps";
    STANDS_STILL = Mechanism "span of the mechanism from step",
        do "let the two ends of the span stand at different positions";
    TURNS_BACK = Mechanism "mechanism that turns back at step",
        do "narrow the span to where the position only rises or only falls";
    CONTRADICTS_ITSELF = Mechanism "mechanism that contradicts itself at step",
        do "return bounds that hold the true position at every width";
    TOO_WIDE_AT = Mechanism "width of the mechanism's bounds at step",
        do "return bounds no further apart than the width that was asked for";
    RANGE_OF_STEPS = OutOfRange "range of steps, step", do "give a range of at least two steps of the span";
    STEP_OFF_SPAN = OutOfRange "step";
    BEYOND_SPAN = BeyondLimit "target beyond the mechanism's span";
}

// axis
messages! {
    LOW_LIMIT = OutOfRange "low soft limit", about "limits.low", do "set it below the high soft limit";
    LIMITS_APART = OutOfRange "soft limits", about "limits",
        do "set them further apart; fewer than two steps lie between them";
    BACKLASH_BELOW_ZERO = OutOfRange "backlash", about "motion.backlash";
    RATE_ABOVE_ZERO = OutOfRange "value", do "give a rate above 0";
    START_SPEED = OutOfRange "start speed", about "motion.start_speed";
    JERK_WITH_START_SPEED = Plan "start speed", about "motion.start_speed",
        do "leave it out; a jerk-limited move starts from rest";
    PAST_LIMIT = BeyondLimit "target past a soft limit";
    STEP_PAST_LIMIT = BeyondLimit "step past a soft limit for target",
        do "round to the nearest step, or move the soft limit out";
    UNDECIDED = Undecided "step that cannot be told from its neighbour",
        do "move the target a hair; no width down to 1e-18 tells which step is right";
    OTHER_AXIS = OtherAxis "placement on axis", do "place the target on the axis that is to move";
    MARKS_APART = OutOfRange "distance between marks", do "give a distance above 0";
}

// plan
messages! {
    TIMER_RATE = Plan "timer rate", about "pulse.timer_hz";
    ZERO_RATE = Plan "rate", do "give a rate above 0";
    EXTREME_RATE = Plan "rate",
        do "give a less extreme rate; on this timer a move's duration leaves its range";
    SPEED_ABOVE_TIMER = Plan "speed in steps a second", about "motion.speed",
        do "lower the speed, or take a faster timer or a coarser step mode";
    SPEED_FOR_ONE_MOVE = Plan "speed for one move";
    NOT_SLOWER = Plan "speed for one move", do "give the speed of the axis, or less";
    MOVE_PAST_LIMIT = BeyondLimit "move past a soft limit";
    TOO_MANY_STEPS = Plan "leg of a move";
    TOO_MANY_LEGS = Plan "legs of a move";
    TOO_LONG = Plan "duration of a move of", about "motion.speed",
        do "raise the rates or take a slower timer";
    PULSE_INTERVAL = Plan "shortest interval between pulses", about "motion.speed",
        do "lower the speed, or take a coarser step mode; the driver needs pulse width and gap";
    INTERVAL_TOO_LONG = Plan "longest interval between pulses", about "motion.speed",
        do "take a slower timer or raise the rates";
    PULSE_TIMING = Plan "pulse timing", about "pulse";
    EDGE = Plan "edge";
    TICK = Plan "tick of a move";
    NOT_REPRESENTABLE = Overflow "exact value within a plan", do "ask at a whole tick";
}

// carriage
messages! {
    DATUM_WITHOUT_SWITCH = Key "datum at an end without a switch", about "datum.end",
        do "name the switch at that end, or search at the other";
    DATUM_SWITCH = OutOfRange "switch of the datum", about "datum.switch_at";
    SLOW_SPEED = OutOfRange "slow speed", about "datum.slow";
    TOUCH_OFF_WITHOUT_PROBE = Key "touch-off without a probe", about "touch_off.probe",
        do "name the probe, or leave the touch-off out";
    TOUCH_SIDE = Key "touch-off toward", about "touch_off.toward",
        do "creep the way targets are approached: toward high from_below, toward low from_above";
    BACKLASH_ALONE = Key "backlash that nothing takes up", about "motion.backlash",
        do "approach from_below or from_above, or leave the backlash out";
    APPROACH_ALONE = Key "approach without a backlash to take up", about "motion.approach",
        do "give the backlash that was measured, or leave the approach out";
    UNPROVABLE = Key "backlash that nothing fitted can take up",
        do "fit a datum, a probe, a dial or a rocker to prove the position with, or leave approach and backlash out";
    PACES_OF_TWO_TIMERS = Plan "paces of two timers", do "plan every pace for the same timer";
    PULSES_AT_FULL_SPEED = Plan "ticks between pulses at full speed", do "lower the speed or the step mode";
    LENGTH_ABOVE_ZERO = OutOfRange "value", do "give a length above 0 and within the machine";
    TIME_IN_TICKS = Overflow "time in ticks";
    ENDLESS = Plan "move that takes longer than a plan can",
        do "raise speed and acceleration, or slow the timer";
    DETENT = OutOfRange "detent", do "give a size above 0 with fewer digits";
    DETENT_ON_CURVE = Mechanism "detent of an axis whose travel per step is no fraction",
        do "give the detent in steps";
    STEPS_OF_DETENTS = OutOfRange "steps of", do "give fewer detents, or a smaller one";
    STEP_BEYOND = BeyondLimit "step", do "choose a step within the soft limits";
    BUSY = Refused "the carriage is", do "brake first, or wait until it stops";
    LOW_SWITCH_PRESSED = Refused "the low switch is pressed",
        do "go the other way; if nothing presses the switch, check its wire";
    HIGH_SWITCH_PRESSED = Refused "the high switch is pressed",
        do "go the other way; if nothing presses the switch, check its wire";
    FAULTED = Refused "a fault has stopped the carriage", do "see to it, then clear the fault";
    FAULT_PERSISTS = Refused "the cause of the fault is still there", do "see to it, then clear the fault";
    NOT_FAULTED = Refused "there is no fault", do "nothing needs clearing";
    NOT_COMMISSIONED = Refused "the machine is new", do "commission it first";
    OUT_OF_TURN = Refused "commissioning is at another step", do "do what it asks for now";
    DATUM_FIRST = Refused "the datum of this new machine has not been found",
        do "find the datum first; nothing else proves the travel";
    POSITION_UNPROVEN = Refused "the position is unproven",
        do "find the datum, touch off, or confirm the position at a gauge";
    ENABLE_NOT_HELD = Refused "the enable input is not held", do "hold it";
    INPUTS_UNSETTLED = Refused "the contacts have not settled",
        do "wait until they have been read for their settling time";
    NOT_FITTED = Refused "the axis has no such equipment", do "fit it, and name it in the axis file";
    DRIVE_OFF = Refused "the drive is off, so no step is held",
        do "hold the motor, or jog; poll until the drive has settled, then confirm the position";
    DRIVE_SETTLING = Refused "the drive has not settled", do "poll until it has, then confirm the position";
    PLAY_NOT_TAKEN_UP = Refused "the play is not taken up",
        do "jog the way in which targets are reached, by the backlash at least; then confirm the position";
}
