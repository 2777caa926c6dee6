//! The shelf's history in short, for planning the next year: how much was eaten of what was put by,
//! and how it was judged.

use super::accounts::Accounts;
use super::command::Verdict;
use super::state::State;
use super::view::{Lot, first_at};
use crate::day::amount::Amount;
use crate::day::ids::ProductId;
use crate::day::time::Timestamp;
use crate::trace::Package;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// By product. Where one id was given to several packages, the latest has the id alone and each
/// other the id, a slash and a number.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Uses {
    /// What became of each.
    pub products: BTreeMap<String, Use>,
}

/// What became of one product in one package.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Use {
    /// What it was called last.
    pub name: String,
    /// What a package is.
    pub package: Package,
    /// What is left, in thousandths of a package.
    pub left: Amount,
    /// Packages taken, whole ones.
    pub taken: i64,
    /// When the first of them could be taken.
    pub first_at: Timestamp,
    /// Until when they could be: now, or the last taking where none is left. The rate of use is
    /// `taken` by the time from `first_at` to this.
    pub last_at: Timestamp,
    /// Packages of which half was left over.
    pub half_left: u32,
    /// Packages that were too runny.
    pub too_runny: u32,
    /// Packages that were not liked.
    pub not_liked: u32,
    /// Packages that were just right.
    pub just_right: u32,
}

/// The uses up to a moment, of everything that ever came to the shelf.
pub fn uses(state: &State, now: Timestamp) -> Uses {
    let mut groups: BTreeMap<ProductId, Vec<(Package, Vec<Lot<'_>>)>> = BTreeMap::new();
    for lot in state.lots() {
        let packages = groups.entry(lot.2.product.clone()).or_default();
        let same = packages
            .iter_mut()
            .find(|(package, _)| *package == lot.2.package);
        match same {
            Some((_, lots)) => lots.push(lot),
            None => packages.push((lot.2.package, vec![lot])),
        }
    }
    let mut products = BTreeMap::new();
    for (id, packages) in groups {
        let latest = packages.len();
        for (number, (package, lots)) in packages.into_iter().enumerate() {
            let key = if number + 1 == latest {
                id.to_string()
            } else {
                format!("{id}/{}", number + 1)
            };
            if let Some(told) = use_of(state, now, package, &lots) {
                products.insert(key, told);
            }
        }
    }
    Uses { products }
}

fn use_of(state: &State, now: Timestamp, package: Package, lots: &[Lot<'_>]) -> Option<Use> {
    let first_at = first_at(lots)?;
    let mut sum = Accounts::default();
    let mut judged: BTreeMap<Verdict, u32> = BTreeMap::new();
    for (at, _, lot) in lots {
        sum.add(Accounts::of(state, at, lot));
        for (verdict, count) in state.kept(at).judged {
            *judged.entry(verdict).or_default() += count;
        }
    }
    let theirs = state
        .takes()
        .filter(|(_, lot, _)| lots.iter().any(|(known, _, _)| known == *lot));
    let last_taken = theirs.map(|(at, _, _)| at).max();
    let gone = sum.left <= Amount::ZERO && sum.waiting == Amount::ZERO;
    let times = |verdict| judged.get(&verdict).copied().unwrap_or(0);
    Some(Use {
        name: lots.last()?.2.product_name.clone(),
        package,
        left: sum.left.max(Amount::ZERO),
        taken: sum.eaten.0 / 1000,
        first_at,
        last_at: last_taken.filter(|_| gone).unwrap_or(now).max(first_at),
        half_left: times(Verdict::HalfLeft),
        too_runny: times(Verdict::TooRunny),
        not_liked: times(Verdict::NotLiked),
        just_right: times(Verdict::JustRight),
    })
}
