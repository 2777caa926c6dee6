//! Which of many changes ends the day soonest, or whether to leave all as it is.
//!
//! Every change is simulated on the same days as staying (common random numbers), so what counts is
//! the difference on each day. Changes that fall behind are dropped early; more days go to those
//! that are hard to tell apart. Knows no day, only numbered changes: 0 is staying.
//!
//! **When a change is worth it.** A change has a price in minutes, the least gain for which a family
//! should be asked to move. It is chosen if its mean gain is above the price with probability
//! [`Rule::sure`], by the posterior of the mean given the simulated days (Student, flat prior), and
//! no other change is better by its net gain. Both parts of what is unknown, how fast people are and
//! how the work falls out, are in the mean. The share of days that end earlier is not the rule: it
//! has no minutes in it, and nine in ten of it would refuse what gains much on most days and loses
//! little on some. But it is told beside every gain, and a mean that a few very long days have made
//! is no reason to move anybody: of the days that differ, [`Rule::odds`] must end earlier for each
//! that ends later.
//!
//! **What is shown.** The winner's own days flatter it: it won on them. So its gain is measured
//! again on fresh days, and only those are told.

mod choose;
mod effort;
mod paired;
mod race;
mod simulated;

pub use choose::{Chosen, Seatings, Staying, choose};
pub use effort::effort;
pub use paired::Paired;
pub use race::{Days, Place, Race, compare};
pub use simulated::{Finish, Kitchen, START_OF_FRESH, last_service};

/// When a change is worth it, and how many days may be spent on finding out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// The probability with which the mean gain must be above the price.
    pub sure: f64,
    /// Days that must end earlier for each that ends later.
    pub odds: f64,
    /// Simulated days for each change at most.
    pub days: u32,
    /// Changes whose mean gains differ by less minutes are as good as each other.
    pub same_min: f64,
}

impl Default for Rule {
    fn default() -> Rule {
        Rule {
            sure: 0.9,
            odds: 1.5,
            days: 200,
            same_min: 0.5,
        }
    }
}
