//! Command line of the service: start-up only.

fn main() {}
