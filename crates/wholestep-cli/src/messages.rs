//! Every message of this crate: its kind, what it is about, the key it is about if there is one, and what to
//! do. What was given and what is allowed are quoted where the error arises.

use wholestep::messages;

// new
messages! {
    ANSWER = Syntax "answer";
    QUESTION_WITHOUT_AN_ANSWER = Key "question without an answer",
        do "give it with --set, or take every suggestion with --suggested";
}

// output
messages! {
    ANSWER_IN_JSON = File "answer in JSON";
}

// time
messages! {
    EDGES_TO_SHOW = OutOfRange "edges to show", do "ask the library for all of them";
}

// commission
messages! {
    DIFFERENCE_TEXT = Syntax "way in which the machine differs";
    WIRES_TO_EXCHANGE = Syntax "wires to exchange";
    NO_DIFFERENCE = Key "way in which the machine differs",
        do "name what the machine is made of; this makes no difference to it";
}

// commission, prompt
messages! {
    WAY_OF_THE_NUDGE = Syntax "way of the nudge";
    TERMINAL = File "terminal";
    QUESTION_AT_THE_MACHINE = Key "question without an answer",
        do "answer at a terminal, give it with --set, or take what the simulated machine shows with --suggested";
}
