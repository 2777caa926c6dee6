//! Looking back on random days: every time, amount and stay is accounted for.

use crate::orders::orders;
use crate::play;
use proptest::prelude::*;
use putby::day::amount::Amount;
use putby::day::ids::{ProductId, StationId};
use putby::day::state::Phase;
use putby::day::time::Timestamp;
use putby::day::{Record, Role, State, apply};
use putby::lookback::{LookBack, look_back, summary};
use std::collections::{BTreeMap, VecDeque};

fn records(played: &crate::Played) -> Vec<Record> {
    let all = played.records.iter().zip(1..);
    all.map(|((at, command, event), seq)| Record {
        seq,
        at: *at,
        command: *command,
        role: Role::Lead,
        event: event.clone(),
    })
    .collect()
}

/// The six things a station can do are its day, to the millisecond.
fn times_are_the_day(told: &LookBack) -> Result<(), TestCaseError> {
    for (id, one) in &told.stations {
        let parts = [
            one.busy_ms,
            one.starved_ms,
            one.blocked_ms,
            one.unstaffed_ms,
            one.paused_ms,
            one.put_away_ms,
        ];
        prop_assert!(parts.iter().all(|part| *part >= 0), "{id}: {parts:?}");
        prop_assert_eq!(parts.iter().sum::<i64>(), told.open_ms, "{}", id);
        prop_assert!(one.starved_between_ms <= one.starved_ms);
        prop_assert!(one.all_taken_ms <= one.busy_ms);
    }
    Ok(())
}

/// What was made, came in or was found is all somewhere.
fn packages_are_somewhere(told: &LookBack) -> Result<(), TestCaseError> {
    for (id, made) in &told.made {
        let came = made.made.0 + made.brought_in.0 + made.found.0;
        let is = [
            made.finished,
            made.cooling,
            made.standing,
            made.refrigerated,
            made.frozen,
            made.broken,
            made.fresh,
            made.diverted,
            made.scrapped,
            made.sent_back,
        ];
        let is: Amount = is.into_iter().map(|packages| packages.0).sum();
        prop_assert_eq!(came, is, "{}", id);
    }
    Ok(())
}

/// Each unit in place, by the moment it came: first in, first out. Which one leaves is no matter to
/// the sum of the stays, so this is the right side of Little's law, counted unit by unit.
#[derive(Default)]
struct Line {
    waiting: VecDeque<(Timestamp, i64)>,
    there: i64,
    stays: i128,
}

impl Line {
    fn set(&mut self, now: Timestamp, is: i64) {
        if is > self.there {
            self.waiting.push_back((now, is - self.there));
        }
        let mut leave = (self.there - is).max(0);
        while leave > 0 {
            let Some((since, amount)) = self.waiting.front_mut() else {
                unreachable!("what leaves was there");
            };
            let part = leave.min(*amount);
            self.stays += i128::from(part) * i128::from(now.ms_since(*since));
            *amount -= part;
            leave -= part;
            if *amount == 0 {
                self.waiting.pop_front();
            }
        }
        self.there = is;
    }

    fn end(&mut self, now: Timestamp) {
        let (waiting, stays) = (std::mem::take(&mut self.waiting), &mut self.stays);
        for (since, amount) in waiting {
            *stays += i128::from(amount) * i128::from(now.ms_since(since));
        }
    }
}

/// The stays of every place, from the ledgers of the replayed day after each event. Looks at every
/// ledger, not only at those an event names.
fn stays(records: &[Record]) -> BTreeMap<(ProductId, StationId), i128> {
    let mut state = State::default();
    let mut lines: BTreeMap<(ProductId, StationId), Line> = BTreeMap::new();
    let mut now = Timestamp(0);
    for record in records {
        if state.phase == Phase::Closed {
            break;
        }
        apply(&mut state, record.at, record.command, &record.event);
        now = now.max(record.at);
        let mut there: BTreeMap<(ProductId, StationId), i64> = BTreeMap::new();
        for (station, product, _, flow) in state.all_flows() {
            let place = (product.clone(), station.clone());
            *there.entry(place).or_default() += (flow.waiting() + flow.inside).0;
        }
        for (place, is) in there {
            lines.entry(place).or_default().set(now, is);
        }
    }
    lines
        .into_iter()
        .map(|(place, mut line)| {
            line.end(now);
            (place, line.stays)
        })
        .collect()
}

fn little_holds(told: &LookBack, records: &[Record]) -> Result<(), TestCaseError> {
    let stays = stays(records);
    let mut seen = 0;
    for (product, flow) in &told.flows {
        for stage in &flow.stages {
            let place = (product.clone(), stage.station.clone());
            let counted = stays.get(&place).copied().unwrap_or(0);
            prop_assert_eq!(i128::from(stage.stay), counted, "{:?}", place);
            // L T = N W, where N units came and stayed W on average over the span T.
            let span_min = told.open_ms as f64 / 60_000.0;
            let left = stage.mean_in_place * span_min;
            let right = stage.came.0 as f64 / 1000.0 * stage.mean_stay_min;
            prop_assert!(
                (left - right).abs() <= 1e-6 * left.max(1.0),
                "{left} {right}"
            );
            seen += usize::from(counted > 0);
        }
    }
    let all = stays.values().filter(|stay| **stay > 0).count();
    prop_assert_eq!(seen, all, "every place where something stood is told");
    Ok(())
}

/// The hours are the time worked, and their packages what was gained in it.
fn hours_are_the_day(told: &LookBack) -> Result<(), TestCaseError> {
    let whole: i64 = told
        .hours
        .iter()
        .map(|hour| hour.to.ms_since(hour.from))
        .sum();
    let worked = told.from.map_or(0, |from| told.to.ms_since(from));
    prop_assert_eq!(whole, worked);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..crate::config() })]

    #[test]
    fn a_random_day_looked_back_on_is_all_accounted_for(steps in orders(1..150)) {
        let played = play(&steps)?;
        let records = records(&played);
        let told = look_back(&records);
        times_are_the_day(&told)?;
        packages_are_somewhere(&told)?;
        little_holds(&told, &records)?;
        hours_are_the_day(&told)?;
        let few = summary(&told);
        prop_assert!(few.worked_ms <= told.open_ms && few.packages.0 >= Amount::ZERO);
        prop_assert!(told.tries.windows(2).all(|two| two[0].ms >= two[1].ms));
    }
}
