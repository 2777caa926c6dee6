//! What happens next.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// What happens at a moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Event {
    /// The service of a unit is over.
    End(u32),
    /// A source brings a carrier.
    Arrival(u32),
    /// A helper is back.
    Back(u32),
    /// A rest or an absence of a helper is due.
    Due(u32),
    /// A helper may have been without work long enough to go elsewhere.
    Roam(u32),
    /// Patience may have run out at a station.
    Patience(u32),
    /// From here on it is measured.
    Measure,
}

/// How many of the soonest moments stand in a row. A day has about as many as it has helpers and
/// vessels, and for so few a sorted row is faster than a heap.
const ROW: usize = 24;

/// An event to come. Minutes from 0 on sort like their bits.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Moment {
    at: u64,
    /// How many were set before, above the event: those of one minute happen in this order.
    set_and_event: u64,
}

/// The moments to come, the soonest first, equal ones in the order they were set.
///
/// The soonest stand in a row, latest first; what is later than all of them waits in a heap.
#[derive(Debug, Default)]
pub(super) struct Events {
    row: [Moment; ROW],
    /// How many stand in the row.
    count: usize,
    later: BinaryHeap<Reverse<Moment>>,
    set: u64,
}

const KINDS: u32 = 3;

impl Events {
    pub(super) fn clear(&mut self) {
        self.count = 0;
        self.later.clear();
        self.set = 0;
    }

    #[inline(always)]
    pub(super) fn push(&mut self, at: f64, event: Event) {
        let (kind, number) = match event {
            Event::End(unit) => (0, unit),
            Event::Arrival(source) => (1, source),
            Event::Back(helper) => (2, helper),
            Event::Due(helper) => (3, helper),
            Event::Roam(helper) => (4, helper),
            Event::Patience(station) => (5, station),
            Event::Measure => (6, 0),
        };
        // Not below 0, and not the 0 with a sign, whose bits sort last.
        let at = at.max(0.0) + 0.0;
        let moment = Moment {
            at: at.to_bits(),
            set_and_event: self.set << 32 | u64::from(number << KINDS | kind),
        };
        self.set += 1;
        if self.count == ROW || !self.later.is_empty() {
            self.place_or_put_off(moment);
        } else {
            self.place(moment);
        }
    }

    #[inline(never)]
    fn place_or_put_off(&mut self, moment: Moment) {
        match self.later.peek() {
            Some(Reverse(soonest)) if moment > *soonest => {
                self.later.push(Reverse(moment));
                return;
            }
            _ => {}
        }
        if self.count == ROW {
            // The later half of a full row goes into the heap.
            let far = self.row[..ROW / 2].iter().copied();
            self.later.extend(far.map(Reverse));
            self.row.copy_within(ROW / 2.., 0);
            self.count = ROW - ROW / 2;
        }
        // What went into the heap may be sooner than the new one.
        match self.later.peek() {
            Some(Reverse(soonest)) if moment > *soonest => self.later.push(Reverse(moment)),
            _ => self.place(moment),
        }
    }

    /// Puts a moment into the row. It was set last, so that it comes after all of its minute.
    #[inline(always)]
    fn place(&mut self, moment: Moment) {
        let mut place = self.count;
        while place > 0 && self.row[place - 1].at <= moment.at {
            self.row[place] = self.row[place - 1];
            place -= 1;
        }
        self.row[place] = moment;
        self.count += 1;
    }

    /// An empty row takes what is soonest of the heap.
    #[cold]
    fn refill(&mut self) {
        while self.count < ROW / 2
            && let Some(Reverse(moment)) = self.later.pop()
        {
            self.row[self.count] = moment;
            self.count += 1;
        }
        self.row[..self.count].reverse();
    }

    #[inline(always)]
    pub(super) fn pop(&mut self) -> Option<(f64, Event)> {
        if self.count == 0 {
            self.refill();
            if self.count == 0 {
                return None;
            }
        }
        self.count -= 1;
        let moment = self.row[self.count];
        let number = moment.set_and_event as u32 >> KINDS;
        let event = match moment.set_and_event as u32 & ((1 << KINDS) - 1) {
            0 => Event::End(number),
            1 => Event::Arrival(number),
            2 => Event::Back(number),
            3 => Event::Due(number),
            4 => Event::Roam(number),
            5 => Event::Patience(number),
            _ => Event::Measure,
        };
        Some((f64::from_bits(moment.at), event))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against plain sorting, with many at the same moment and far more than stand in the row.
    #[test]
    fn moments_come_in_order() {
        let mut events = Events::default();
        let mut expected = Vec::new();
        let mut state = 12_345_u64;
        let mut now = 0.0;
        for number in 0..5_000 {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            let at = now + ((state >> 33) % 50) as f64;
            events.push(at, Event::End(number));
            expected.push((at, number));
            if number % 3 == 0 || number > 4_000 {
                expected.sort_by(|one, two| two.0.total_cmp(&one.0).then(two.1.cmp(&one.1)));
                let (at, number) = expected.pop().unwrap_or_default();
                assert_eq!(events.pop(), Some((at, Event::End(number))));
                now = at;
            }
        }
        expected.sort_by(|one, two| two.0.total_cmp(&one.0).then(two.1.cmp(&one.1)));
        while let Some((at, number)) = expected.pop() {
            assert_eq!(events.pop(), Some((at, Event::End(number))));
        }
        assert_eq!(events.pop(), None);
    }
}
