//! One look up from the work: who looks, when, and what they see.

use super::people::{Cast, Person};
use super::sight::{HelperSight, Sight};
use crate::day::ids::*;
use crate::day::plan::{Need, Thickness, Verdict};
use crate::day::state::Presence;
use crate::day::time::{MINUTE_MS, Timestamp};

/// A person's look at the board.
#[derive(Clone, Copy)]
pub(super) struct Look<'a> {
    pub sight: &'a Sight,
    pub cast: &'a Cast,
    pub me: &'a HelperId,
    pub person: &'a Person,
    pub now: Timestamp,
    /// What makes this day differ from others: when canners boil, for one.
    pub seed: u64,
}

impl<'a> Look<'a> {
    /// This person on the board.
    pub fn myself(&self) -> Option<&'a HelperSight> {
        self.sight.helpers.get(self.me)
    }

    pub fn is_lead(&self) -> bool {
        self.cast.lead == *self.me
    }

    /// Minutes since the day was opened.
    pub fn minute(&self) -> i64 {
        self.now.ms_since(self.sight.day.opened_at) / MINUTE_MS
    }

    pub fn may(&self, station: &StationId) -> Verdict {
        let word = self.myself().and_then(|me| me.may.get(station));
        word.copied().unwrap_or(Verdict::Never)
    }

    /// Whether this person may put hands to pots and canners here, without anybody beside.
    pub fn may_alone(&self, station: &StationId) -> bool {
        self.may(station) == Verdict::Allowed
    }

    /// Those in the kitchen who mind pots and canners at a station, in order.
    pub fn minders(&self, station: &StationId) -> Vec<&'a HelperId> {
        let minds = |id: &&HelperId| {
            let helper = self.sight.helpers.get(*id);
            let here = helper.is_some_and(|helper| {
                helper.presence == Presence::Here
                    && helper.may.get(station) == Some(&Verdict::Allowed)
            });
            here && self.cast.people[*id].minds_heat
        };
        self.cast.people.keys().filter(minds).collect()
    }

    /// Whether the duty with this number falls to this person: those who mind take turns.
    pub fn falls_to_me(&self, station: &StationId, number: usize) -> bool {
        let minders = self.minders(station);
        !minders.is_empty() && minders[number % minders.len()] == self.me
    }

    /// Somebody else who minds, to step in.
    pub fn other_minder(&self, station: &StationId) -> Option<&'a HelperId> {
        self.minders(station).into_iter().find(|id| *id != self.me)
    }

    /// A grown-up who can stay within reach of somebody at a station, best one who sits there.
    pub fn adult_for(&self, station: &StationId, child: &HelperId) -> Option<&'a HelperId> {
        let adults = self.sight.helpers.iter();
        let can = adults.filter(|(id, _)| self.can_stay_beside(id, child, station));
        let nearest = can.max_by_key(|(id, helper)| {
            let here = helper.station.as_ref() == Some(station);
            let minds = self.cast.people.get(*id).is_some_and(|p| p.minds_heat);
            (here, !minds, helper.beside_of.len())
        });
        nearest.map(|(id, _)| id)
    }

    /// Whether somebody is a grown-up here who is not bound to something hot elsewhere.
    pub fn can_stay_beside(&self, id: &HelperId, child: &HelperId, station: &StationId) -> bool {
        let helper = self.sight.helpers.get(id);
        helper.is_some_and(|helper| {
            helper.adult
                && id != child
                && helper.presence == Presence::Here
                && !self.is_hot_elsewhere(helper, station)
                && !self.minds_thick_elsewhere(id, station)
        })
    }

    fn is_hot_elsewhere(&self, helper: &HelperSight, station: &StationId) -> bool {
        let seat = helper.station.as_ref().filter(|seat| *seat != station);
        let seat = seat.and_then(|seat| self.sight.stations.get(seat));
        seat.is_some_and(|seat| seat.needs.contains(&Need::Heat))
    }

    fn minds_thick_elsewhere(&self, id: &HelperId, station: &StationId) -> bool {
        let elsewhere = self.sight.stations.iter().filter(|(at, _)| *at != station);
        let mut pots = elsewhere.flat_map(|(_, station)| station.pots.values());
        pots.any(|pot| pot.minder.as_ref() == Some(id) && pot.thickness == Some(Thickness::Thick))
    }
}
