//! How fast people and pots are, learned from taps.
//!
//! From the events of a day alone. Time counts against somebody only while they sit with work in
//! front and room behind; the rest is told apart as starved, blocked or away. Rates are carriers a
//! minute of active time, each with how sure it is.

mod brake;
mod burst;
mod credit;
mod doing;
mod drift;
mod early;
mod hands;
mod heat;
mod layout;
mod learned;
mod lessons;
mod log;
mod memory;
mod minutes;
mod own_days;
mod prior;
mod scarce;
mod sight;
mod speeds;
mod stuck;
mod tape;
mod told;
mod watch;
mod yields;

pub use doing::{Doing, HelperSpan, InHand, Span};
pub use learned::{Evidence, LEARNED_VERSION, Learned};
pub use lessons::{Correction, Lesson, LessonTold, Scorch, SeenYield, WrongCorrection};
pub use minutes::{CannerPace, Factor, Minutes};
pub use prior::{PRIOR_SHAPE, usual_rate};
pub use stuck::WaysOut;
pub use told::{CHANGE_MIN, Pace, Seen};
pub use yields::count_sigma;
