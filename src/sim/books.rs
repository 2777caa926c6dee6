//! The books of stations and helpers: how long how many of what were there.
//!
//! The integral of a number over time is the sum, over its changes, of minus the change times its
//! moment, and the number at the end times the end. So each change costs one product, and nothing
//! has to be brought up to date when something else happens.

use super::cells::{Doing, HelperCell, Kind, StationCell};
use super::outcome::StationTimes;

/// Whether a station stands still because nothing or nobody is there.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum Nobody {
    /// Nothing is there.
    #[default]
    Empty,
    /// Work waits and no helper is there.
    Unstaffed,
    /// Neither.
    No,
}

impl StationCell {
    /// Carriers come to wait.
    #[inline(always)]
    pub(super) fn comes(&mut self, carriers: f64, now: f64) {
        self.waiting += carriers;
        self.times.waiting -= carriers * now;
    }

    /// Carriers wait no longer.
    #[inline(always)]
    pub(super) fn leaves(&mut self, carriers: f64, now: f64) {
        self.waiting -= carriers;
        self.times.waiting += carriers * now;
    }

    /// Carriers are put on a server.
    #[inline(always)]
    pub(super) fn holds(&mut self, carriers: f64, now: f64) {
        self.inside += carriers;
        self.times.area -= carriers * now;
    }

    /// Carriers leave a server.
    #[inline(always)]
    pub(super) fn goes(&mut self, carriers: f64, now: f64) {
        self.inside -= carriers;
        self.times.area += carriers * now;
    }

    /// A service begins with so much.
    #[inline(always)]
    pub(super) fn begins(&mut self, carriers: f64, now: f64) {
        self.running += 1;
        self.times.working -= now;
        self.holds(carriers, now);
        if self.nobody != Nobody::No {
            self.note(now);
        }
    }

    /// A server is free of its work. Whether nothing is there now is noted later: it may begin
    /// again at once.
    #[inline(always)]
    pub(super) fn ends(&mut self, was_held: bool, now: f64) {
        self.running -= 1;
        if was_held {
            self.blocked -= 1;
            self.times.blocked += now;
        } else {
            self.times.working += now;
        }
    }

    /// A server is blocked by work that is done.
    pub(super) fn is_held(&mut self, now: f64) {
        self.blocked += 1;
        self.times.working += now;
        self.times.blocked -= now;
    }

    /// A service lies still from minute 0 on.
    pub(super) fn lies_still(&mut self) {
        self.paused += 1;
    }

    /// A service that lay still goes on.
    pub(super) fn goes_on(&mut self, now: f64) {
        self.paused -= 1;
        self.times.working -= now;
    }

    /// More or fewer helpers or servers are ready.
    #[inline(always)]
    pub(super) fn readies(&mut self, more: i32, now: f64) {
        if self.is_wide {
            return;
        }
        let before = self.ready.max(0);
        self.ready += more;
        self.times.starved -= f64::from(self.ready.max(0) - before) * now;
    }

    /// Notes whether nothing or nobody is there.
    #[inline]
    pub(super) fn note(&mut self, now: f64) {
        let nobody = if self.running > 0 {
            Nobody::No
        } else if self.queues == 0 {
            Nobody::Empty
        } else if self.kind == Kind::Hands && self.ready == 0 {
            Nobody::Unstaffed
        } else {
            Nobody::No
        };
        if nobody == self.nobody {
            return;
        }
        match self.nobody {
            Nobody::Empty => self.times.empty += now,
            Nobody::Unstaffed => self.times.unstaffed += now,
            Nobody::No => {}
        }
        self.nobody = nobody;
        match nobody {
            Nobody::Empty => self.times.empty -= now,
            Nobody::Unstaffed => self.times.unstaffed -= now,
            Nobody::No => {}
        }
    }

    /// The sums of what is there now, over so many minutes.
    fn over(&self, minutes: f64) -> StationTimes {
        let working = self.running - self.blocked - self.paused;
        let is = |nobody: Nobody| if self.nobody == nobody { minutes } else { 0.0 };
        StationTimes {
            working: f64::from(working) * minutes,
            blocked: f64::from(self.blocked) * minutes,
            starved: if self.is_wide {
                0.0
            } else {
                f64::from(self.ready.max(0)) * minutes
            },
            unstaffed: is(Nobody::Unstaffed),
            empty: is(Nobody::Empty),
            area: self.inside * minutes,
            waiting: self.waiting * minutes,
            ..StationTimes::default()
        }
    }

    /// Forgets what was until now.
    pub(super) fn measure_from(&mut self, now: f64) {
        self.times = self.over(-now);
    }

    /// What was until now.
    pub(super) fn times_until(&self, now: f64) -> StationTimes {
        let last = self.over(now);
        let sum = |was: f64, is: f64| (was + is).max(0.0);
        let waiting = sum(self.times.waiting, last.waiting);
        StationTimes {
            working: sum(self.times.working, last.working),
            blocked: sum(self.times.blocked, last.blocked),
            starved: sum(self.times.starved, last.starved),
            unstaffed: sum(self.times.unstaffed, last.unstaffed),
            empty: sum(self.times.empty, last.empty),
            area: waiting + sum(self.times.area, last.area),
            waiting,
            ..self.times
        }
    }
}

impl HelperCell {
    /// The helper does something else from now on.
    #[inline(always)]
    pub(super) fn turn_to(&mut self, doing: Doing, now: f64) {
        let span = now - self.since.max(self.measured);
        match self.doing {
            Doing::Away => self.times.away += span,
            Doing::Idle => self.times.starved += span,
            Doing::Working => self.times.working += span,
            Doing::Blocked => self.times.blocked += span,
        }
        self.doing = doing;
        self.since = now;
    }
}
