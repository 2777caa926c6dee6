//! Packages an hour, hour by hour from the first work on.
//!
//! A package counts from the moment it is at the end of its route or on the cooling rack; one that
//! is taken back or goes another way counts less than nothing in the hour in which it does.
//! Invariant: the hours follow on each other from the first work to the end, and their packages add
//! up to what was gained between the two.

use super::figures::Packages;
use crate::day::amount::Amount;
use crate::day::ids::ProductId;
use crate::day::time::{HOUR_MS, Timestamp};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// One hour, the last one shorter.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Hour {
    /// From this moment.
    pub from: Timestamp,
    /// To this one.
    pub to: Timestamp,
    /// Packages gained in it, by product; only those with some.
    pub packages: BTreeMap<ProductId, Packages>,
    /// Of all products, by the hour: a short last hour is reckoned up.
    pub per_hour: f64,
}

/// By product, what is finished or cooling.
pub(super) type Kept = BTreeMap<ProductId, Amount>;

/// The hours so far.
#[derive(Default)]
pub(super) struct Hours {
    began: Option<(Timestamp, Kept)>,
    done: Vec<Hour>,
}

impl Hours {
    /// The first work begins, with so much kept from an earlier day.
    pub(super) fn begin(&mut self, at: Timestamp, kept: Kept) {
        self.began.get_or_insert((at, kept));
    }

    /// Time is about to pass to `now`; `kept` is asked as things stand until then.
    pub(super) fn pass(&mut self, now: Timestamp, kept: impl Fn() -> Kept) {
        let Some((since, _)) = &self.began else {
            return;
        };
        if now.ms_since(*since) >= HOUR_MS {
            let kept = kept();
            while let Some((since, before)) = self.began.take() {
                let to = Timestamp(since.0.saturating_add(HOUR_MS));
                if to > now {
                    self.began = Some((since, before));
                    return;
                }
                self.done.push(hour(since, to, &before, &kept));
                self.began = Some((to, kept.clone()));
            }
        }
    }

    /// All of them, with the one that ends at `to`.
    pub(super) fn told(mut self, to: Timestamp, kept: &Kept) -> Vec<Hour> {
        if let Some((since, before)) = &self.began
            && to > *since
        {
            self.done.push(hour(*since, to, before, kept));
        }
        self.done
    }
}

fn hour(from: Timestamp, to: Timestamp, before: &Kept, after: &Kept) -> Hour {
    let mut packages = BTreeMap::new();
    for product in before.keys().chain(after.keys()) {
        let of = |kept: &Kept| kept.get(product).copied().unwrap_or_default();
        let gained = of(after) - of(before);
        if gained != Amount::ZERO {
            packages.insert(product.clone(), Packages(gained));
        }
    }
    let all: Amount = packages.values().map(|gained| gained.0).sum();
    let per_hour = Packages(all).number() * HOUR_MS as f64 / to.ms_since(from).max(1) as f64;
    Hour {
        from,
        to,
        packages,
        per_hour,
    }
}
