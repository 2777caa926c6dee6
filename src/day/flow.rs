//! The ledger of one lot of one product at one station.
//!
//! Exact in integers. What came in, with what a count found more or less, is always what waits,
//! stands in pots or canners, went on, left its route, was thrown away or sent back.

use super::amount::Amount;
use super::event::{Layer, Part, Portion};
use super::ids::LotId;
use super::time::Timestamp;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What came in, by the way it came. All in the measure of the step.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Arrivals {
    /// Out of boxes.
    pub opened: Amount,
    /// Made at the station before.
    pub made: Amount,
    /// Diverted here from another route.
    pub diverted: Amount,
    /// Sent back here from a later station: rework.
    pub sent_back: Amount,
    /// From another lot, when a lot was split.
    pub split: Amount,
    /// Left over from an earlier day.
    pub carried: Amount,
}

impl Arrivals {
    /// All that came in.
    pub fn total(&self) -> Amount {
        [
            self.opened,
            self.made,
            self.diverted,
            self.sent_back,
            self.split,
            self.carried,
        ]
        .into_iter()
        .sum()
    }
}

/// The ledger.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Flow {
    /// What came in.
    pub arrived: Arrivals,
    /// What waits, oldest first.
    pub layers: Vec<Layer>,
    /// What is in pots or in a canner.
    pub inside: Amount,
    /// What was worked and went on, in the measure of this step.
    pub taken: Amount,
    /// What came of it, in the measure of the next step.
    pub made: Amount,
    /// What the yields had promised to come of it.
    pub promised: Amount,
    /// What left its route for another, for fresh eating, the refrigerator or the freezer.
    pub diverted: Amount,
    /// What was thrown away whole, broken jars among it.
    pub scrapped: Amount,
    /// What was sent back to an earlier station.
    pub sent_back: Amount,
    /// What was given the name of another lot.
    pub split: Amount,
    /// What counts found, more or (negative) less than the board had thought.
    pub recounted: Amount,
    /// The age of the oldest that a count found missing: should a later count find more, it may be
    /// the same.
    pub missed_since: Option<Timestamp>,
    /// The remainder of the yield, in `1/from` of a thousandth.
    pub remainder: i64,
}

impl Flow {
    /// What waits.
    pub fn waiting(&self) -> Amount {
        self.layers.iter().map(|layer| layer.amount).sum()
    }

    /// What waits by the rest of the ledger: the same, at a cost that does not grow with the ages
    /// that wait.
    pub fn balance(&self) -> Amount {
        let gone = [
            self.inside,
            self.taken,
            self.diverted,
            self.scrapped,
            self.sent_back,
            self.split,
        ];
        self.came() - gone.into_iter().sum()
    }

    /// All that came in, with what counts found.
    fn came(&self) -> Amount {
        self.arrived.total() + self.recounted
    }

    /// Puts an amount of one age among the waiting.
    pub fn put(&mut self, layer: Layer) {
        if layer.amount == Amount::ZERO {
            return;
        }
        let place = self.layers.partition_point(|old| old.since < layer.since);
        match self.layers.get_mut(place) {
            Some(same) if same.since == layer.since => same.amount += layer.amount,
            Some(_) | None => self.layers.insert(place, layer),
        }
    }

    /// Takes the named layers out of the waiting. The events that name them were decided on this
    /// very state, so they are there.
    pub fn remove(&mut self, layers: &[Layer]) {
        for gone in layers {
            if let Some(here) = self.layers.iter_mut().find(|here| here.since == gone.since) {
                here.amount -= gone.amount;
            }
        }
        self.layers.retain(|layer| layer.amount != Amount::ZERO);
    }

    /// Books done work: out of waiting or, if `from_inside`, out of a pot.
    pub fn book(&mut self, part: &Part, from_inside: bool) {
        if from_inside {
            self.inside -= part.taken();
        } else {
            self.remove(&part.layers);
        }
        self.taken += part.taken();
        self.made += part.made;
        self.promised += part.promised;
        self.remainder += part.remainder_change;
    }

    /// Takes a booking back; what was taken waits again with its old age.
    pub fn unbook(&mut self, part: &Part) {
        for layer in &part.layers {
            self.put(*layer);
        }
        self.taken -= part.taken();
        self.made -= part.made;
        self.promised -= part.promised;
        self.remainder -= part.remainder_change;
    }

    /// Sets what waits to a count. What is missing is taken from the youngest, what is more gets
    /// the age of the oldest: so no food is ever taken for younger than it may be.
    pub fn recount(&mut self, amount: Amount, at: Timestamp) {
        let was = self.waiting();
        self.recounted += amount - was;
        if amount > was {
            let oldest = self.layers.first().map(|layer| layer.since);
            let since = [oldest, self.missed_since.take()]
                .into_iter()
                .flatten()
                .min();
            let since = since.unwrap_or(at);
            self.put(Layer {
                since,
                amount: amount - was,
            });
        } else {
            let mut missing = was - amount;
            while missing > Amount::ZERO
                && let Some(youngest) = self.layers.last_mut()
            {
                let gone = missing.at_most(youngest.amount);
                let since = youngest.since;
                self.missed_since = Some(self.missed_since.map_or(since, |old| old.min(since)));
                youngest.amount -= gone;
                missing -= gone;
                if youngest.amount == Amount::ZERO {
                    self.layers.pop();
                }
            }
        }
    }

    /// The youngest of the waiting that make up `amount`; `None` if less than that waits.
    pub fn youngest(&self, amount: Amount) -> Option<Vec<Layer>> {
        let mut missing = amount;
        let mut layers = Vec::new();
        for layer in self.layers.iter().rev() {
            let part = missing.at_most(layer.amount);
            missing -= part;
            if part > Amount::ZERO {
                let since = layer.since;
                layers.push(Layer {
                    since,
                    amount: part,
                });
            }
        }
        (missing == Amount::ZERO).then_some(layers)
    }

    /// How much of the waiting came at exactly this moment.
    pub fn waiting_since(&self, at: Timestamp) -> Amount {
        let same = self.layers.iter().filter(|layer| layer.since == at);
        same.map(|layer| layer.amount).sum()
    }

    /// # Errors
    /// A sentence, when the ledger does not balance or an amount is below nothing.
    pub fn check(&self) -> Result<(), String> {
        let (waiting, balance) = (self.waiting(), self.balance());
        if waiting != balance {
            let came = self.came();
            let accounted = came + waiting - balance;
            return Err(format!("{came} came in but {accounted} is accounted for"));
        }
        let parts = [
            self.arrived.opened,
            self.arrived.made,
            self.arrived.diverted,
            self.arrived.sent_back,
            self.arrived.split,
            self.arrived.carried,
            self.inside,
            self.taken,
            self.made,
            self.promised,
            self.diverted,
            self.scrapped,
            self.sent_back,
            self.split,
        ];
        let below = |amount: &Amount| *amount < Amount::ZERO;
        if parts.iter().any(below) || self.layers.iter().any(|layer| below(&layer.amount)) {
            return Err("an amount is below nothing".to_owned());
        }
        Ok(())
    }
}

/// What waits of one product at one station, lot by lot.
pub type Lots = BTreeMap<LotId, Flow>;

/// All that waits over the lots.
pub fn waiting(lots: &Lots) -> Amount {
    lots.values().map(Flow::waiting).sum()
}

/// Draws `amount` out of the waiting, the oldest first, of one lot or of all. Nothing is changed;
/// the caller puts what is drawn into an event. `None` if less than that waits.
pub fn draw(lots: &Lots, lot: Option<&LotId>, amount: Amount) -> Option<Vec<Portion>> {
    let chosen = lots
        .iter()
        .filter(|(id, _)| lot.is_none_or(|lot| lot == *id));
    let mut layers: Vec<(Layer, &LotId)> = chosen
        .flat_map(|(id, flow)| flow.layers.iter().map(move |layer| (*layer, id)))
        .collect();
    layers.sort();
    let mut missing = amount;
    let mut drawn: BTreeMap<&LotId, Vec<Layer>> = BTreeMap::new();
    for (layer, id) in layers {
        if missing == Amount::ZERO {
            break;
        }
        let part = missing.at_most(layer.amount);
        missing -= part;
        let since = layer.since;
        let layer = Layer {
            since,
            amount: part,
        };
        drawn.entry(id).or_default().push(layer);
    }
    let portion = |(lot, layers): (&LotId, Vec<Layer>)| Portion {
        lot: lot.clone(),
        layers,
    };
    (missing == Amount::ZERO).then(|| drawn.into_iter().map(portion).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn layer(since: i64, amount: i64) -> Layer {
        Layer {
            since: Timestamp(since),
            amount: Amount(amount),
        }
    }

    fn lots(list: &[(&str, &[Layer])]) -> Lots {
        let mut lots = Lots::new();
        for (name, layers) in list {
            let flow: &mut Flow = lots
                .entry(LotId::try_from(*name).expect("a test id"))
                .or_default();
            for layer in *layers {
                flow.put(*layer);
            }
        }
        lots
    }

    #[test]
    fn the_oldest_is_drawn_first_whatever_its_lot() {
        let lots = lots(&[("a", &[layer(1, 10), layer(5, 10)]), ("b", &[layer(2, 10)])]);
        let drawn = draw(&lots, None, Amount(25)).expect("enough waits");
        let shown: Vec<_> = drawn
            .iter()
            .map(|portion| (portion.lot.as_str(), portion.layers.clone()))
            .collect();
        assert_eq!(
            shown,
            [
                ("a", vec![layer(1, 10), layer(5, 5)]),
                ("b", vec![layer(2, 10)])
            ]
        );
        assert_eq!(draw(&lots, None, Amount(31)), None);
    }

    #[test]
    fn a_count_never_makes_food_younger() {
        let mut flow = Flow::default();
        flow.put(layer(1, 10));
        flow.put(layer(9, 10));
        flow.recount(Amount(12), Timestamp(20));
        assert_eq!(flow.layers, [layer(1, 10), layer(9, 2)]);
        flow.recount(Amount(15), Timestamp(30));
        assert_eq!(flow.layers, [layer(1, 13), layer(9, 2)]);
        assert_eq!(flow.recounted, Amount(-5));
    }
}
