//! Every message of this crate: its kind, what it is about, the key it is about if there is one, and what to
//! do. What was given and what is allowed are quoted where the error arises.

use wholestep::messages;

// commissioning
messages! {
    MACHINE_FOR_COMMISSIONING = OutOfRange "machine for commissioning";
}

// rehearsal, fault
messages! {
    FAULT_WITHOUT_A_TIME = Syntax "fault without a time";
    UNKNOWN_FAULT = Key "fault";
    TIME_THAT_A_FAULT_LASTS = OutOfRange "time that a fault lasts",
        do "give at least a tick of the timer, or leave it out";
    FAULT_OF_A_MISSING_CONTACT = Job "fault of a contact that the axis does not have";
    TIME_OF_A_FAULT = OutOfRange "time of a fault";
    IMPOSSIBLE_FAULT = OutOfRange "fault";
}

// rehearsal, machine
messages! {
    AXIS_WITHOUT_A_DATUM = Key "axis without a way to find its datum",
        do "write a section [datum] with end, switch_at, fast, slow and clearance";
    MACHINE_FOR_A_REHEARSAL = OutOfRange "machine for a rehearsal";
}
