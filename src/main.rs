//! The program: see [`stillprop::cli`].

fn main() {}
