//! Every message of this crate: its kind, what it is about, the key it is about if there is one, and what to
//! do. What was given and what is allowed are quoted where the error arises.

use wholestep::messages;

// repeatability
messages! {
    DEVIATION_OF_A_SEARCH = OutOfRange "deviation of a search in steps",
        do "take no more than 65536 searches";
    NUMBER_OF_SEARCHES = OutOfRange "number of searches";
}

// effort
messages! {
    EFFORT = Mechanism "machine whose effort cannot be worked out", about "machine";
    MARGIN = OutOfRange "margin of torque", do "give the part to spare, such as 50% or 1/2";
    MARGIN_TEXT = Syntax "margin of torque";
    NO_LOAD = Key "load that is not told", about "machine.load_mass",
        do "weigh it and give load_mass; or push it on a scale at both ends and give push_low and push_high \
            under [effort]; or pull at a crank and give crank_pull and crank_arm there";
    NOT_KNOWN_WHETHER_UPRIGHT = Key "axis that may stand or lie", about "machine.upright",
        do "write upright = true if gravity pulls the load along the axis, and false if not";
    NO_LEVER = Key "load of an axis that turns", about "machine.lever",
        do "measure from the pivot to the centre of the load and give it as lever, such as \"150 mm\"";
    CRANK_TOO_EASY = OutOfRange "pull at the crank", about "effort.crank_pull",
        do "it takes less than the load would without any friction: measure pull, arm and load again";
}

// job
messages! {
    JOB_WITHOUT_A_CUT_LIST = Job "job without a cut list", do "add a [cut_list]";
    TOUCH_OFF_WITHOUT_A_PROBE = Job "touch off at a gauge on an axis without a probe",
        do "write a section [touch_off] with probe and within in the axis file";
    AXIS_FILE_NOT_FOUND = File "axis file not found";
    AXIS_THAT_TURNS = Job "axis that turns", do "a cut list and a touch-off are lengths: name an axis that moves along a line, or give this one [[move]]s";
    NAME = OutOfRange "name", do "give one line of 1 to 80 characters";
}

// calibrate
messages! {
    RESOLUTION = OutOfRange "resolution of the gauge", about "resolution",
        do "give the smallest difference that it shows, such as 0.01 mm";
    WITHIN = OutOfRange "error over the travel", about "within", do "give one above 0, such as 0.1 mm";
    UNREADABLE_READINGS = File "file of readings that cannot be read";
    MISSING_COLUMN_OF_READINGS = Key "missing column",
        do "begin the file with a line of column names: asked,read,way";
    READINGS_IN_TWO_UNITS = Unit "readings in two units",
        do "set the gauge to the unit of the axis, or convert one column";
    WAY_OF_A_READING = Syntax "way of a reading";
    NUMBER_OF_READINGS = OutOfRange "number of readings";
    TOO_FEW_READINGS = OutOfRange "number of readings", do "read at both ends of the travel, from both ways, and once more";
    READINGS_AT_ONE_PLACE = Job "readings at one place", do "read at both ends of the travel too";
    READINGS_ALL_ALIKE = Job "readings that are all alike",
        do "look whether the gauge moves, and whether the columns are in the right order";
}

// study
messages! {
    TOLERANCE = OutOfRange "tolerance of a stop", about "within", do "give one above 0, such as 0.1 mm";
}

// job, moves
messages! {
    MOVES_OF_A_JOB = OutOfRange "moves of a job";
    GAUGE = OutOfRange "gauge";
    SPEED_OF_A_MOVE = OutOfRange "speed too low to end a move in a lifetime",
        do "give a higher one";
}

// job, plunge
messages! {
    CONDITION_WITHOUT_A_PLUNGE = Job "condition of a plunge without one",
        do "write plunge = true if the move goes into the work, or leave this out";
    PLUNGE_OF_NO_LIFT = Job "plunge of an axis that raises no cutter",
        do "leave it out, and move with the cutter or blade at rest; an axis that raises a cutter says \
            upright = true under [machine]";
    PLUNGE_FROM_ABOVE = Job "plunge of an axis that approaches from above",
        do "it would go deeper than asked, and come back; let the axis approach from below, or leave it out";
    PLUNGE_WITHOUT_ITS_CONDITIONS = Job "plunge without its conditions";
    CUTTER_THAT_CANNOT_PLUNGE = Job "cutter that does not cut at its end",
        do "take one that does, or cut from the edge; leave plunge out, and raise it at rest";
    PASS_DEPTH = OutOfRange "pass_depth", do "give a depth above 0";
    PLUNGE_FROM_NOWHERE = Job "plunge without a place before it",
        do "begin with a [[move]] to just below the work; the depth of the pass counts from there";
    PLUNGE_THAT_DOES_NOT_RISE = Job "plunge that does not rise, but goes by",
        do "leave plunge out; only a move that rises goes into the work";
    PLUNGE_DEEPER_THAN_A_PASS = OutOfRange "rise in one plunge",
        do "go there in several passes, a [[move]] with plunge = true for each";
}

// job, parts csv
messages! {
    LARGE_FILE = File "file above 4 MiB", do "check that it is the right file";
    UNREADABLE_PARTS = File "file of parts that cannot be read";
    MISSING_COLUMN = Key "missing column",
        do "begin the file with a line of column names, such as name,length,quantity";
    UNKNOWN_COLUMN = Key "unknown column";
    COLUMN_GIVEN_TWICE = Key "column given twice", do "keep one of them";
    COLUMN_WITHOUT_A_UNIT = Unit "unit of a column that has none", do "leave the unit out";
    QUANTITY_TEXT = Syntax "quantity", do "give a whole number";
    MEASURED_TO = Syntax "measured_to";
    COLUMNS_OF_A_ROW = Syntax "row of a wrong number of columns";
    NOT_CSV = Syntax "not CSV";
}

// job, stops
messages! {
    JOB_WITHOUT_A_STOP = Job "job that sends the carriage nowhere",
        do "add a [cut_list] or [[move]]s that the axis reaches";
}

// cut list, marks
messages! {
    FIRST_MARK = Job "first mark", about "first",
        do "leave it out, or lay the marks out from the end; centred marks lie the same at both ends";
    MARK_OFF_THE_PIECE = OutOfRange "mark off the piece at",
        do "give fewer marks or a smaller spacing";
    MARKS = Job "marks", do "say how many, or how far apart";
    MARKS_FROM_END_TO_END = OutOfRange "count of marks from one end to the other", about "count";
    COUNT_OF_MARKS = OutOfRange "count of marks", about "count";
}

// blade
messages! {
    PLATE = OutOfRange "plate thicker than the kerf", about "plate",
        do "measure the plate beside the teeth, and the kerf in a test cut";
    PIECES_OF_A_KERF = OutOfRange "number of pieces", about "pieces",
        do "give every piece that the board was cut into, two or more";
    PIECES_NO_SHORTER = OutOfRange "length of the pieces together", about "pieces",
        do "measure the board before it is cut, then every piece; the cuts took something";
}

// cut list, mitre
messages! {
    MITRE_FROM_SQUARE = OutOfRange "mitre from square";
    MITRE_UNDECIDED = Undecided "mitre from square";
}

// cut list
messages! {
    ERROR_OF_THE_KERF = OutOfRange "error of the kerf", about "kerf_error";
    CUT_LIST_WITHOUT_PARTS = Job "cut list without parts", do "give parts or marks";
    CUT_LIST_WITHOUT_STOCK = Job "cut list without stock",
        do "give the length of the stock; without a quantity there is as much as needed";
    COPIES_OF_ALL_PARTS = OutOfRange "copies of all parts together", do "split it into several jobs";
    QUANTITY = OutOfRange "quantity", about "quantity";
}

// cut list, part
messages! {
    LENGTH_OF_A_MITRED_PART = Job "mitred part's length", about "length",
        do "make it longer or narrower; its mitres meet before an edge has any length";
    WIDTH_OF_THE_STOCK = Job "width of the stock", about "width",
        do "say how wide the stock is; a mitred end reaches width × tan(angle)";
}

// cut list, units
messages! {
    LENGTHS_OF_THE_CUT_LIST = OutOfRange "lengths of the cut list",
        do "give them with fewer digits; together they have no common denominator in range";
}
