//! What to make, as an integer programme.
//!
//! Whole packages `x` and whole uses served `y` for every choice, whole canner loads `l` for every
//! food, pack and jar in every kind of canner. The objective, in thousandths of a quart:
//!
//! > the most of: what is eaten, times how much the family cares for it
//! > less what is left over of opened packages and spoils, quart for quart
//! > less a hundredth of a quart for each package, and a thousandth for each load
//!
//! so a package of which more would spoil than be eaten is not made, and of two ways that feed the
//! family alike the one with fewer packages and loads is taken. The limits: what the household eats
//! until the next season, the produce, packages, lids with a tenth to spare, what the freezer
//! freezes in a day and holds, and the minutes of the canners between the first load and the
//! cut-off. Every number is whole, so that any solver gives the same optimum.

use super::ask::{Ask, Stock};
use super::freezing;
use super::loads::{self, Food};
use super::options::Choice;
use super::pounds::pounds_there;
use crate::day::amount::Amount;
use serde::Serialize;
use std::collections::BTreeMap;

/// A whole number to be found, between `least` and `most`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// What each one adds to the objective.
    pub worth: i64,
    /// At least so many.
    pub least: i64,
    /// At most so many.
    pub most: i64,
    /// Whether a search must see to it that it is whole. The others are whole by themselves in
    /// every optimum that a simplex finds: packages that are opened together follow their uses, and
    /// uses follow the packages, of which no use has more than a simple bound.
    pub branched: bool,
}

/// `sum of (factor * column)` is at most `most`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// What it keeps.
    pub limit: Limit,
    /// Columns with their factors.
    pub terms: Vec<(usize, i64)>,
    /// The limit.
    pub most: i64,
}

/// What a row keeps.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Limit {
    /// Eaten until the next season.
    Eaten {
        /// Which use.
        #[serde(rename = "use")]
        use_id: String,
    },
    /// Uses are served from packages that were made.
    Served {},
    /// The produce that is there.
    Produce {
        /// Which.
        produce: String,
    },
    /// Packages of a size.
    Packages {
        /// Which.
        package: String,
    },
    /// New lids.
    Lids {},
    /// What freezes in a day.
    FreezesInADay {},
    /// Room in the freezer.
    FreezerRoom {},
    /// Jars go in loads.
    Loads {},
    /// Minutes of the canners.
    CannerTime {},
}

/// The programme, and where in it each thing is.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Programme {
    /// What is to be found.
    pub columns: Vec<Column>,
    /// What is to be kept.
    pub rows: Vec<Row>,
    /// By choice: the column of its packages and of the uses it serves.
    pub at: Vec<(usize, usize)>,
    /// The column of loads, by food and kind of canner.
    pub loads: BTreeMap<(Food, usize), usize>,
}

/// Of a quart, in thousandths, for each package and each load: only to settle between equals.
const PACKAGE_COSTS: i64 = 10;
const LOAD_COSTS: i64 = 1;

/// A tenth more lids than jars (common practice).
pub const LIDS_FOR_TEN_JARS: i64 = 11;

impl Programme {
    /// Writes the programme for an ask and its choices.
    pub fn of(ask: &Ask, choices: &[Choice]) -> Programme {
        let mut made = Programme::default();
        for choice in choices {
            made.put_choice(ask, choice);
        }
        made.eaten(ask, choices);
        made.produce(ask, choices);
        made.packages(ask, choices);
        made.freezer(ask, choices);
        made.canners(ask, choices);
        made
    }

    /// What the objective comes to for a way to fill the columns.
    pub fn value(&self, found: &[i64]) -> i64 {
        let worth = self.columns.iter().zip(found);
        worth.map(|(column, number)| column.worth * number).sum()
    }

    /// Whether every limit is kept.
    pub fn keeps(&self, found: &[i64]) -> bool {
        let inside = self
            .columns
            .iter()
            .zip(found)
            .all(|(column, number)| (column.least..=column.most).contains(number));
        inside
            && self
                .rows
                .iter()
                .all(|row| row.used(found) <= i128::from(row.most))
    }

    fn column(&mut self, worth: i64, least: i64, most: i64) -> usize {
        self.columns.push(Column {
            worth,
            least,
            most,
            branched: true,
        });
        self.columns.len() - 1
    }

    /// Adds a row. Packages the lead has settled may be more than there is for: then nothing is left
    /// for others, and the proposal says what is short.
    fn row(&mut self, limit: Limit, terms: Vec<(usize, i64)>, most: i64) {
        if terms.is_empty() {
            return;
        }
        let settled: i64 = terms
            .iter()
            .map(|(column, factor)| factor * self.columns[*column].least)
            .sum();
        let divisor = terms
            .iter()
            .fold(0, |divisor, (_, factor)| common(divisor, *factor))
            .max(1);
        self.rows.push(Row {
            limit,
            terms: terms
                .into_iter()
                .map(|(column, factor)| (column, factor / divisor))
                .collect(),
            most: most.max(settled).div_euclid(divisor),
        });
    }

    fn put_choice(&mut self, ask: &Ask, choice: &Choice) {
        let one = &ask.uses[&choice.use_id];
        let need = needed(ask, &choice.use_id);
        let most = (need * choice.opened + choice.serves - 1) / choice.serves;
        let pinned = one.pinned.get(&choice.package).map(|count| count.0 / 1000);
        let (least, most) = pinned.map_or((0, most), |count| (count, count));
        let packages = self.column(-(choice.usable.0 + PACKAGE_COSTS), least, most);
        let eaten = choice.portion.0 * (one.worth.0 + 1000) / 1000;
        let served = self.column(eaten, 0, need);
        let follows = if choice.opened > 1 && pinned.is_none() {
            packages
        } else {
            served
        };
        self.columns[follows].branched = choice.opened > 1 && pinned.is_some();
        self.at.push((packages, served));
        let terms = vec![(served, choice.opened), (packages, -choice.serves)];
        self.rows.push(Row {
            limit: Limit::Served {},
            terms,
            most: 0,
        });
    }

    fn eaten(&mut self, ask: &Ask, choices: &[Choice]) {
        for id in ask.uses.keys() {
            let terms = self.of_each(choices, |choice| (choice.use_id == *id).then_some(1), false);
            if !terms.is_empty() {
                let limit = Limit::Eaten { use_id: id.clone() };
                self.row(limit, terms, needed(ask, id));
            }
        }
    }

    /// Terms for the choices that have a factor: of their packages, or of what they serve.
    fn of_each(
        &self,
        choices: &[Choice],
        factor: impl Fn(&Choice) -> Option<i64>,
        packages: bool,
    ) -> Vec<(usize, i64)> {
        let found = choices.iter().zip(&self.at).filter_map(|(choice, at)| {
            let column = if packages { at.0 } else { at.1 };
            factor(choice).map(|factor| (column, factor))
        });
        found.collect()
    }

    fn produce(&mut self, ask: &Ask, choices: &[Choice]) {
        for (produce, there) in produce_there(ask) {
            let of_it = |choice: &Choice| plain(&ask.uses[&choice.use_id].produce) == produce;
            // Exact: everything times what all the yields can be divided by.
            let whole = choices
                .iter()
                .filter(|choice| of_it(choice))
                .fold(1, |whole, choice| {
                    multiple(whole, choice.pounds.typical.made)
                });
            let factor = |choice: &Choice| {
                let ratio = choice.pounds.typical;
                of_it(choice).then(|| whole / ratio.made * ratio.from * 1000)
            };
            let terms = self.of_each(choices, factor, true);
            self.row(Limit::Produce { produce }, terms, there.0 * whole);
        }
    }

    fn packages(&mut self, ask: &Ask, choices: &[Choice]) {
        for (id, package) in &ask.packages {
            let terms = self.of_each(choices, |one| (one.package == *id).then_some(1), true);
            let limit = Limit::Packages {
                package: id.clone(),
            };
            self.row(limit, terms, all_of(package.stock));
        }
        let jar = |one: &Choice| one.container.jar().map(|_| LIDS_FOR_TEN_JARS);
        let terms = self.of_each(choices, jar, true);
        self.row(Limit::Lids {}, terms, all_of(ask.lids) * 10);
    }

    fn freezer(&mut self, ask: &Ask, choices: &[Choice]) {
        let Some(freezer) = &ask.freezer else {
            return;
        };
        let weight = |one: &Choice| {
            one.container
                .jar()
                .is_none()
                .then(|| freezing::weight(one).0)
        };
        let terms = self.of_each(choices, weight, true);
        let in_a_day = freezing::in_a_day(freezer);
        self.row(Limit::FreezesInADay {}, terms.clone(), in_a_day.0);
        if let Some(room) = freezing::room(freezer) {
            self.row(Limit::FreezerRoom {}, terms, room.0);
        }
    }

    fn canners(&mut self, ask: &Ask, choices: &[Choice]) {
        let kinds = loads::kinds(&ask.kitchen);
        for food in loads::foods(choices) {
            let of_it = |one: &Choice| (Food::of(one).as_ref() == Some(&food)).then_some(1);
            let mut terms = self.of_each(choices, of_it, true);
            let most: i64 = terms
                .iter()
                .map(|(column, _)| self.columns[*column].most)
                .sum();
            for (number, kind) in kinds.iter().enumerate() {
                let Some(holds) = food.fits(choices, &kind.canner) else {
                    continue;
                };
                let loads = (most + holds - 1) / holds;
                let column = self.column(-LOAD_COSTS, 0, loads);
                self.loads.insert((food.clone(), number), column);
                terms.push((column, -holds));
            }
            self.rows.push(Row {
                limit: Limit::Loads {},
                terms,
                most: 0,
            });
        }
        let Some(window) = loads::window_min(ask) else {
            return;
        };
        let settled = loads::settled_min(ask, choices, &kinds);
        for (number, kind) in kinds.iter().enumerate() {
            let there = window * i64::try_from(kind.count).unwrap_or(i64::MAX);
            let of_it = self.loads.iter().filter(|((_, kind), _)| *kind == number);
            let terms = of_it
                .filter_map(|((food, _), column)| {
                    Some((*column, food.cycle_min(choices, &kind.canner)?))
                })
                .collect();
            self.row(Limit::CannerTime {}, terms, there.max(settled[number]));
        }
    }
}

impl Row {
    /// What a way to fill the columns takes of the limit.
    pub fn used(&self, found: &[i64]) -> i128 {
        let terms = self.terms.iter();
        terms
            .map(|(column, factor)| i128::from(*factor) * i128::from(found[*column]))
            .sum()
    }
}

/// Uses until the next season that are not served by what still stands on the shelf.
pub fn needed(ask: &Ask, use_id: &str) -> i64 {
    let Some(one) = ask.uses.get(use_id) else {
        return 0;
    };
    (one.times_in_season() - still_serves(ask, use_id)).max(0)
}

/// Uses that last season's packages still serve.
pub fn still_serves(ask: &Ask, use_id: &str) -> i64 {
    let Some(one) = ask.uses.get(use_id) else {
        return 0;
    };
    let serves = one.still.iter().filter_map(|(package, count)| {
        let container = ask.packages.get(package)?.container;
        let (opened, serves) = super::options::serving(one, container);
        Some(count.0 / 1000 / opened * serves)
    });
    serves.sum()
}

/// Pounds of each produce that is there.
pub fn produce_there(ask: &Ask) -> BTreeMap<String, Amount> {
    let mut found = BTreeMap::new();
    for one in ask.uses.values() {
        found.entry(plain(&one.produce)).or_insert(Amount::ZERO);
    }
    for lot in ask.there_is.values() {
        *found.entry(plain(&lot.produce)).or_insert(Amount::ZERO) +=
            pounds_there(lot).unwrap_or(Amount::ZERO);
    }
    found
}

/// A produce's name as the sheets write it.
pub fn plain(produce: &str) -> String {
    produce.trim().to_lowercase()
}

/// In the house and to be bought, whole.
pub fn all_of(stock: Stock) -> i64 {
    (stock.have + stock.more).0 / 1000
}

fn common(mut a: i64, mut b: i64) -> i64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.abs()
}

fn multiple(a: i64, b: i64) -> i64 {
    a / common(a, b).max(1) * b
}
