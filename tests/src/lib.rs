//! Acceptance tests over the public interface, and campaigns too long for a test.

pub mod campaign;
