//! Tests of the day's rules through its public doors alone, one module per subject.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

mod alarms;
mod boundaries;
mod gather;
mod house_rule;
mod hurt;
mod jars;
mod kitchen;
mod loads;
mod look_back;
mod moves;
mod needs;
mod next_day;
mod plan_limits;
mod put_by;
mod random_days;
mod refusals;
mod safety;
mod set_up;
mod shelf;
mod test_plan;
mod trace;
mod ways;
mod wire;
