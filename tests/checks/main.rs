//! The simulation, the learning of rates and the methods for bottlenecks against published and
//! exactly known figures (`fixtures/checks/cases.json`, each with its source), through the entry
//! that `putby simulate` uses and through the program itself.

#![allow(clippy::unwrap_used)]

mod cases;
mod change;
mod features;
mod figures;
mod format;
mod lines;
mod little;
mod loads;
mod orders;
mod own_law;
mod program;
mod turns;
