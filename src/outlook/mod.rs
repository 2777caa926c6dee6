//! What is to come: when the day ends, what holds it up, and which move helps.
//!
//! From the state of a day and the pace its people have shown, pure and seeded: the same state,
//! pace, moment and seed give the same outlook. A tested process time is never varied here.

pub mod bottleneck;
pub mod bound;
pub mod boxes;
pub mod candidates;
pub mod choices;
pub mod compare;
pub mod depth;
pub mod forecast;
mod make;
pub mod model;
pub mod moves;
pub mod report;
mod settings;
pub mod through;
pub mod what_if;
pub mod wins;

pub use forecast::{Forecast, forecast};
pub use make::{Memory, finish, outlook};
pub use model::{Habits, Model};
pub use report::*;
pub use settings::Settings;
