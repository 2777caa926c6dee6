//! What a brigade did, for readers.

use serde::Serialize;

use super::words::{Table, number};
use crate::sim::brigade::Brigade;

/// What came of walking a line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WalkReport {
    /// Items that were finished.
    pub items: u32,
    /// When the last was, in minutes.
    pub finish_min: f64,
    /// Items a minute over the last half of the items.
    pub rate: f64,
    /// The most the line can give: all rates together.
    pub best_rate: f64,
    /// Minutes that helpers waited behind a slower one, together.
    pub waited_min: f64,
    /// Each helper but the first, and where they take over.
    pub hand_overs: Vec<HandOver>,
}

/// Where a helper takes an item over, from 0 to 1.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HandOver {
    /// The helper.
    pub helper: String,
    /// Where they took over last.
    pub at: f64,
    /// Where that settles from slowest to fastest.
    pub settles_at: f64,
}

/// Walks the line.
pub fn walk(brigade: &Brigade) -> WalkReport {
    let walk = brigade.walk();
    let places = walk.hand_overs.iter().zip(&walk.settles_at);
    let takers = brigade.walkers.iter().skip(1).zip(places);
    WalkReport {
        items: brigade.items,
        finish_min: walk.finish_min,
        rate: walk.rate,
        best_rate: walk.best_rate,
        waited_min: walk.waited_min,
        hand_overs: takers
            .map(|(walker, (at, settles_at))| HandOver {
                helper: walker.name.clone(),
                at: *at,
                settles_at: *settles_at,
            })
            .collect(),
    }
}

impl WalkReport {
    /// As aligned text.
    pub fn to_text(&self) -> String {
        let mut table = Table::headed(&["helper", "takes over at", "settles at"]);
        for hand_over in &self.hand_overs {
            table.row(vec![
                hand_over.helper.clone(),
                number(hand_over.at),
                number(hand_over.settles_at),
            ]);
        }
        format!(
            "{} items in {} minutes; {} a minute of {} at best; {} minutes waited behind others.\n{}",
            self.items,
            number(self.finish_min),
            number(self.rate),
            number(self.best_rate),
            number(self.waited_min),
            table.text()
        )
    }
}
