//! A simulated machine on which a job can be rehearsed.
