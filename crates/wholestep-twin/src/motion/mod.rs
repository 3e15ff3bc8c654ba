//! How the rotor follows the field.

mod coast;
mod quasistatic;
mod rotor;

pub(crate) use quasistatic::Follower;
pub(crate) use rotor::Rotor;

/// One of two ways to follow it.
#[derive(Clone, Debug)]
pub(crate) enum Motion {
    Quasistatic(Follower),
    Dynamic(Rotor),
}
