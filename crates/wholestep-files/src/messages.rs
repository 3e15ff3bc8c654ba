//! Every message of this crate: its kind, what it is about, the key it is about if there is one, and what to
//! do. What was given and what is allowed are quoted where the error arises.

use wholestep::messages;

// atomic write
messages! {
    FILE_EXISTS = File "file is there already", do "give another name, or say that it may be replaced";
    UNWRITABLE_FILE = File "file cannot be written";
}

// axis file
messages! {
    TEETH_IN_PAIRS = Key "driver teeth and driven teeth",
        do "give one driven_teeth for each driver_teeth, or leave both out";
    NAME = OutOfRange "name", do "give one line of 1 to 80 characters";
}

// builtin
messages! {
    STARTS_BESIDE_A_THREAD = Key "starts beside a thread", about "starts",
        do "write them into the thread, as in Tr8x8(P2) or 1/2-10 Acme, 2 starts";
    STARTS_BESIDE_A_LEAD = Key "starts beside a lead", about "starts",
        do "leave starts out; the lead is pitch × starts already";
    SCREW_WITHOUT_TRAVEL = Key "screw without its travel";
    SCREW_GIVEN_TWICE = Key "screw given in more than one way";
    RACK_WITHOUT_TEETH = Key "rack without its teeth", do "give tooth_pitch or module";
    RACK_GIVEN_TWICE = Key "rack given in more than one way",
        do "give tooth_pitch or module, not both";
}

// document
messages! {
    FILE_NOT_FOUND = File "file not found", do "check the name and the folder";
    UNREADABLE_FILE = File "file cannot be read";
    LARGE_FILE = File "file above 4 MiB", do "check that it is the right file";
    NOT_UTF_8 = File "file is not UTF-8 text", do "save it as UTF-8";
}

// edit
messages! {
    NOT_TOML = Syntax "not TOML";
    VALUE_OF_A_SECTION = Key "section";
    NO_SUCH_KEY = Key "key that the file does not have",
        do "write it with its section, as in motor.driver_teeth";
    KEY_IN_SEVERAL_SECTIONS = Key "key that stands in several sections";
}

// equipment
messages! {
    INCOMPLETE_DIAL = Key "incomplete dial";
}

// explanation
messages! {
    TOLERANCE = OutOfRange "tolerance", do "give a fraction, such as 1/50";
}

// given
messages! {
    UNKNOWN_WORD = Key "unknown word";
}

// location
messages! {
    WRONG_TYPE = Key "wrong type";
}

// figure
messages! {
    TWO_UNITS = Unit "readings in two units", do "give both in one unit";
    RANGE_UPSIDE_DOWN = OutOfRange "range", do "give the lower figure first";
    CURVE_POINT = Syntax "torque at a speed";
}

// machine data
messages! {
    FRICTION_GIVEN_TWICE = Key "friction given in more than one way",
        do "give efficiency or screw_friction, not both";
    TORQUE_CURVE_GIVEN_TWICE = Key "torque curve given in more than one way",
        do "give torque_points; or full_torque_to and no_torque_at; or supply, current and inductance";
    CURVE_OUT_OF_ORDER = OutOfRange "points of the torque curve", do "give them by rising speed";
    COLLAR = Key "incomplete collar", do "give collar_diameter and collar_friction, or neither";
    WINDING = Key "incomplete winding",
        do "give supply, current and inductance, and resistance if you know it, or none of them";
    SUPPLY = OutOfRange "supply", do "give more than current × resistance, or the current never rises to its full";
    SPRINGS = OutOfRange "springs";
    ONE_END_ONLY = Key "force at one end only", do "push at both ends of the travel; a spring makes them differ";
    SINK_WITHOUT_PUSH = Key "force of sinking alone", do "give push_low and push_high with it";
    SINK_ABOVE_PUSH = OutOfRange "force of sinking above that of pushing",
        do "friction makes it less: push up for the one, let it sink for the other";
    CRANK = Key "incomplete crank", do "give crank_pull and crank_arm, or neither";
    LENGTH = OutOfRange "length", do "give one above 0";
    SCREW_DIAMETER = Key "diameter that is not the thread's", about "machine.screw_diameter",
        do "leave it out: the thread of [mechanism] tells it";
    THREAD_FORM = Key "form that is not the thread's", about "machine.thread_form",
        do "leave it out: the thread of [mechanism] tells it";
    PITCH_OF_A_SCREW = OutOfRange "pitch of the screw", about "machine.screw_friction",
        do "a lead of several starts is given as pitch and starts in [mechanism]; or give efficiency";
    FRICTION_WITHOUT_A_SCREW = Key "friction without its screw", about "machine.screw_friction",
        do "give the thread or lead in [mechanism], and screw_diameter and thread_form if it is not a thread; \
            of anything but a screw, give efficiency";
    SPEED_WITHOUT_TORQUE = OutOfRange "speed without torque", do "give one above full_torque_to";
}

// pulse
messages! {
    TIMER_HZ = OutOfRange "timer hz", about "pulse.timer_hz";
    PULSE_HIGH = OutOfRange "pulse high", about "pulse.pulse_high",
        do "take the shortest pulse from the driver's maker";
    TIME_IN_TICKS = Overflow "time in ticks", about "pulse";
}

// registry
messages! {
    NAME_OF_A_KIND = Syntax "name of a kind of mechanism", do "give one word, such as scissor_table";
    REGISTERED_ALREADY = Refused "kind of mechanism that is already registered",
        do "register it under a name of its own";
    UNKNOWN_KIND = UnknownKind "kind of mechanism";
}

// section
messages! {
    MISSING = Key "missing";
    VERSION = OutOfRange "version of the file",
        do "this program reads version = 1; a later version needs a later program";
    UNIT = Unit "unit";
    UNKNOWN_KEY = Key "unknown key";
}

// template
messages! {
    KIND_OF_NEW_AXIS = UnknownKind "kind of new axis";
    NO_SUCH_QUESTION = Key "no such question";
    WHOLE_NUMBER_TEXT = Syntax "whole number";
    MOTION_OF_THE_SCREW = Key "way of the screw";
}

// value
messages! {
    WHOLE_NUMBER = OutOfRange "whole number";
    NUMBER = InexactNumber "number";
}
