//! Canner loads: how many, of what, and the minutes they take.

use super::ask::{Ask, CannerThere, Kitchen};
use super::options::Choice;
use crate::day::time::MINUTE_MS;
use crate::trade::{self, Jar, Method, Pack};
use std::collections::BTreeMap;

/// What may share a load: one food, one pack, one jar.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Food {
    /// As the tested process names it.
    pub name: String,
    /// How it is packed.
    pub pack: Pack,
    /// The jar.
    pub jar: Jar,
}

/// Canners that are alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kind {
    /// What each of them is like.
    pub canner: CannerThere,
    /// How many there are.
    pub count: usize,
}

/// Minutes to load a canner and to lift the jars out again (common practice: 5 to 8 each).
const LOAD_MIN: i64 = 5;
const UNLOAD_MIN: i64 = 5;
/// Minutes from the start of the day to the first jars in a canner: enough fruit for one load is
/// prepared, and the canner heats meanwhile (common practice: 45 to 90).
pub const FIRST_LOAD_MIN: i64 = 60;
/// Minutes of a pressure load around its process: heating 15, pressure building 5, and 40 to cool,
/// the middle of the published 20 to 60 (rule `pressure-total-time`); venting is a rule by itself.
const PRESSURE_HEATING_MIN: i64 = 15 + 5;
const PRESSURE_COOLING_MIN: i64 = 40;

impl Food {
    /// What a choice is, if it goes into jars.
    pub fn of(choice: &Choice) -> Option<Food> {
        let process = choice.processes.first()?;
        Some(Food {
            name: process.product.clone(),
            pack: process.pack,
            jar: process.jar,
        })
    }

    /// Jars of it in one load of a canner; `None` when it cannot go in.
    pub fn fits(&self, choices: &[Choice], canner: &CannerThere) -> Option<i64> {
        self.process_min(choices, canner.method)?;
        canner.holds.get(&self.jar).map(|jars| i64::from(*jars))
    }

    /// Minutes of its tested process by a method.
    pub fn process_min(&self, choices: &[Choice], method: Method) -> Option<i64> {
        let of_it = choices
            .iter()
            .filter(|one| Food::of(one).as_ref() == Some(self));
        let mut processes = of_it.flat_map(|one| &one.processes);
        let process = processes.find(|process| process.method == method)?;
        Some(i64::from(process.minutes))
    }

    /// Minutes from one load to the next in a canner.
    pub fn cycle_min(&self, choices: &[Choice], canner: &CannerThere) -> Option<i64> {
        let process = self.process_min(choices, canner.method)?;
        Some(LOAD_MIN + heating_min(canner) + process + after_min(canner.method) + UNLOAD_MIN)
    }
}

/// Minutes from the heat on to the boil or the pressure: the household's own, else as published.
fn heating_min(canner: &CannerThere) -> i64 {
    if let Some(own) = canner.heating_min {
        return i64::from(own);
    }
    if canner.method.is_pressure() {
        return PRESSURE_HEATING_MIN + i64::from(trade::vent_minutes().value);
    }
    // The middle of the published 20 to 30 minutes.
    let boil = trade::boil_up_minutes().value;
    i64::from(boil.low + boil.high) / 2
}

/// Minutes from the end of the process until the jars may be lifted.
fn after_min(method: Method) -> i64 {
    match method.is_pressure() {
        true => PRESSURE_COOLING_MIN,
        false => i64::from(trade::rest_minutes().value),
    }
}

/// Every food that goes into jars, once.
pub fn foods(choices: &[Choice]) -> Vec<Food> {
    let mut foods: Vec<Food> = choices.iter().filter_map(Food::of).collect();
    foods.sort();
    foods.dedup();
    foods
}

/// The canners, those that are alike together.
pub fn kinds(kitchen: &Kitchen) -> Vec<Kind> {
    let mut kinds: Vec<Kind> = Vec::new();
    for canner in kitchen.canners.values() {
        let alike = |kind: &&mut Kind| {
            let same = |one: &CannerThere| (one.method, one.holds.clone(), one.heating_min);
            same(&kind.canner) == same(canner)
        };
        match kinds.iter_mut().find(alike) {
            Some(kind) => kind.count += 1,
            None => kinds.push(Kind {
                canner: canner.clone(),
                count: 1,
            }),
        }
    }
    kinds
}

/// Minutes in which each canner can work; `None` without a start and a cut-off.
pub fn window_min(ask: &Ask) -> Option<i64> {
    let between = ask.cut_off_at?.ms_since(ask.start_at?) / MINUTE_MS;
    Some((between - FIRST_LOAD_MIN).max(0))
}

/// Minutes that settled jars take of each kind, each food in the kind that holds most of it.
pub fn settled_min(ask: &Ask, choices: &[Choice], kinds: &[Kind]) -> Vec<i64> {
    let mut jars: BTreeMap<Food, i64> = BTreeMap::new();
    for choice in choices {
        let pinned = &ask.uses[&choice.use_id].pinned;
        if let (Some(food), Some(count)) = (Food::of(choice), pinned.get(&choice.package)) {
            *jars.entry(food).or_default() += count.0 / 1000;
        }
    }
    let mut minutes = vec![0; kinds.len()];
    for (food, count) in jars {
        let fits = kinds.iter().enumerate().filter_map(|(number, kind)| {
            let holds = food.fits(choices, &kind.canner)?;
            Some((holds, number, food.cycle_min(choices, &kind.canner)?))
        });
        if let Some((holds, number, cycle)) = fits.max() {
            minutes[number] += (count + holds - 1) / holds * cycle;
        }
    }
    minutes
}
