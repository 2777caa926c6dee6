//! Spans and queues as they are written down while the day goes by.
//!
//! Invariant: the spans of one station or helper follow on each other from the opening of the day,
//! without gap or overlap.

use super::doing::{Doing, HelperSpan, Span};
use crate::day::ids::{HelperId, StationId};
use crate::day::time::{HOUR_MS, Timestamp};
use std::collections::{BTreeMap, VecDeque};

/// The most points told of one queue.
const POINTS_MAX: usize = 60;

/// All that is written down.
#[derive(Debug, Clone, Default)]
pub(super) struct Tape {
    opened_at: Timestamp,
    stations: BTreeMap<StationId, Line<()>>,
    helpers: BTreeMap<HelperId, Line<Option<StationId>>>,
    queues: BTreeMap<StationId, VecDeque<(Timestamp, f64)>>,
}

/// What one did, and where.
#[derive(Debug, Clone)]
struct Line<Place> {
    done: Vec<(Timestamp, Timestamp, Doing, Place)>,
    since: Timestamp,
    doing: Doing,
    place: Place,
}

impl<Place: Clone + PartialEq> Line<Place> {
    fn new(since: Timestamp, place: Place) -> Line<Place> {
        Line {
            done: Vec::new(),
            since,
            doing: Doing::Away,
            place,
        }
    }

    fn change(&mut self, now: Timestamp, doing: Doing, place: Place) {
        if doing == self.doing && place == self.place {
            return;
        }
        self.cut(now);
        self.doing = doing;
        self.place = place;
    }

    fn cut(&mut self, now: Timestamp) {
        if now > self.since {
            let span = (self.since, now, self.doing, self.place.clone());
            // What changed and changed back in one moment is one span.
            match self.done.last_mut() {
                Some(last) if last.2 == span.2 && last.3 == span.3 => last.1 = now,
                Some(_) | None => self.done.push(span),
            }
            self.since = now;
        }
    }
}

impl Tape {
    /// A tape from the opening of the day on.
    pub(super) fn since(opened_at: Timestamp) -> Tape {
        Tape {
            opened_at,
            ..Tape::default()
        }
    }

    /// A station does this from now on.
    pub(super) fn station(&mut self, now: Timestamp, id: &StationId, doing: Doing) {
        let opened_at = self.opened_at;
        if !self.stations.contains_key(id) {
            self.stations.insert(id.clone(), Line::new(opened_at, ()));
        }
        if let Some(line) = self.stations.get_mut(id) {
            line.change(now, doing, ());
        }
    }

    /// A helper does this from now on.
    pub(super) fn helper(
        &mut self,
        now: Timestamp,
        id: &HelperId,
        doing: Doing,
        at: Option<&StationId>,
    ) {
        let opened_at = self.opened_at;
        if !self.helpers.contains_key(id) {
            self.helpers.insert(id.clone(), Line::new(opened_at, None));
        }
        if let Some(line) = self.helpers.get_mut(id)
            && (line.doing != doing || line.place.as_ref() != at)
        {
            line.change(now, doing, at.cloned());
        }
    }

    /// So many carriers wait at a station from now on.
    pub(super) fn queue(&mut self, now: Timestamp, id: &StationId, carriers: f64) {
        if !self.queues.contains_key(id) {
            self.queues.insert(id.clone(), VecDeque::new());
        }
        let Some(points) = self.queues.get_mut(id) else {
            return;
        };
        match points.back_mut() {
            Some(last) if last.1 == carriers => return,
            Some(last) if last.0 == now => last.1 = carriers,
            Some(_) | None => points.push_back((now, carriers)),
        }
        // The last point before the hour says what waited when it began.
        while points
            .get(1)
            .is_some_and(|point| now.ms_since(point.0) >= HOUR_MS)
        {
            points.pop_front();
        }
    }

    /// What the stations did up to `now`.
    pub(super) fn stations(&self, now: Timestamp) -> BTreeMap<StationId, Vec<Span>> {
        let told = |line: &Line<()>| {
            let mut line = line.clone();
            line.cut(now);
            let span = |(from, to, doing, ())| Span { from, to, doing };
            line.done.into_iter().map(span).collect()
        };
        let stations = self.stations.iter();
        stations
            .map(|(id, line)| (id.clone(), told(line)))
            .collect()
    }

    /// What the helpers did up to `now`.
    pub(super) fn helpers(&self, now: Timestamp) -> BTreeMap<HelperId, Vec<HelperSpan>> {
        let told = |line: &Line<Option<StationId>>| {
            let mut line = line.clone();
            line.cut(now);
            let span = |(from, to, doing, station)| HelperSpan {
                from,
                to,
                doing,
                station,
            };
            line.done.into_iter().map(span).collect()
        };
        let helpers = self.helpers.iter();
        helpers.map(|(id, line)| (id.clone(), told(line))).collect()
    }

    /// The queues of the last hour.
    pub(super) fn queues(&self, now: Timestamp) -> BTreeMap<StationId, Vec<(Timestamp, f64)>> {
        let told = |points: &VecDeque<(Timestamp, f64)>| {
            let from = Timestamp(now.0.saturating_sub(HOUR_MS)).max(self.opened_at);
            let old = points.iter().take_while(|point| point.0 <= from).count();
            let mut kept: Vec<(Timestamp, f64)> =
                points.iter().skip(old.saturating_sub(1)).copied().collect();
            if let Some(first) = kept.first_mut() {
                first.0 = first.0.max(from);
            }
            thinned(&kept)
        };
        let queues = self.queues.iter();
        queues
            .map(|(id, points)| (id.clone(), told(points)))
            .collect()
    }
}

/// At most [`POINTS_MAX`] points: of each stretch the highest, and the very last.
fn thinned(points: &[(Timestamp, f64)]) -> Vec<(Timestamp, f64)> {
    if points.len() <= POINTS_MAX {
        return points.to_vec();
    }
    let length = points.len().div_ceil(POINTS_MAX - 1);
    let highest = |stretch: &[(Timestamp, f64)]| {
        let higher = |one: (Timestamp, f64), next: (Timestamp, f64)| {
            if next.1 > one.1 { next } else { one }
        };
        stretch.iter().copied().reduce(higher)
    };
    let mut kept: Vec<(Timestamp, f64)> = points.chunks(length).filter_map(highest).collect();
    if let Some(last) = points.last().filter(|last| kept.last() != Some(last)) {
        kept.push(*last);
    }
    kept
}
