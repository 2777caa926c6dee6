//! Which move helps: the bound, the comparison of changes, what is proposed and what never is.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

mod bound;
mod bound_holds;
mod day_of_seven;
mod dice;
mod first_load;
mod house;
mod kitchens;
mod parts;
mod proposable;
mod proposals;
mod race;
mod set_aside;
mod small_kitchen;
