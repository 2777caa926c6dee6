//! The least minutes that a finite amount of work takes, however the helpers share it.
//!
//! No work is lost and nobody works more than all the time: the capacity programme of
//! Andradóttir, Ayhan and Down (2003) with work left in the place of a steady flow.

use super::NoBound;
use super::linear::Programme;

/// What is left to do, and by whom. Places are stations or, where several kinds of work share a
/// station, kinds of work.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct WorkLeft {
    /// By helper and place: units a minute; 0 where they may not work.
    pub rates: Vec<Vec<f64>>,
    /// By place: units that must still pass it, its own and all that is on the way to it. A place
    /// that nobody may work at is a machine's and left out.
    pub units: Vec<f64>,
    /// By place: minutes that pass at least before anybody can work there or after the last has
    /// left it; empty: none.
    pub outside_min: Vec<f64>,
    /// Groups of places with how many may work there at once.
    pub room: Vec<(Vec<usize>, f64)>,
    /// Minutes that machines take at least, whoever works.
    pub machine_min: f64,
}

/// The least minutes, and who must work where for it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Remaining {
    /// Minutes.
    pub minutes: f64,
    /// By helper and place: minutes of work.
    pub split: Vec<Vec<f64>>,
    /// By helper: minutes gained for one more minute of presence; all 0 where a machine decides.
    pub helper_dual: Vec<f64>,
    /// By place: minutes gained for one unit less.
    pub place_dual: Vec<f64>,
    /// Minutes gained for one minute less of machines.
    pub machine_dual: f64,
}

/// The least minutes for the work left.
///
/// # Errors
/// When the numbers are none.
pub fn remaining(work: &WorkLeft) -> Result<Remaining, NoBound> {
    let places = work.units.len();
    let mut programme = Programme::default();
    let minutes = programme.variable(-1.0);
    let mut spans = vec![vec![None; places]; work.rates.len()];
    for (spans, rates) in spans.iter_mut().zip(&work.rates) {
        for (span, rate) in spans.iter_mut().zip(rates) {
            *span = (*rate > 0.0).then(|| programme.variable(0.0));
        }
    }
    let mut place_rows = vec![None; places];
    for (place, row) in place_rows.iter_mut().enumerate() {
        let hands = spans.iter().zip(&work.rates);
        let terms: Vec<(usize, f64)> = hands
            .filter_map(|(spans, rates)| Some((spans[place]?, -rates[place])))
            .collect();
        if work.units[place] > 0.0 && !terms.is_empty() {
            *row = Some(programme.at_most(terms, -work.units[place]));
        }
    }
    let mut helper_rows = Vec::new();
    for spans in &spans {
        let mut terms: Vec<(usize, f64)> =
            spans.iter().flatten().map(|span| (*span, 1.0)).collect();
        terms.push((minutes, -1.0));
        helper_rows.push(programme.at_most(terms, 0.0));
    }
    // Nobody works at a place before work can be there, nor when all that is left is behind it.
    for spans in &spans {
        for (place, span) in spans.iter().enumerate() {
            let outside = work.outside_min.get(place).copied().unwrap_or(0.0);
            if let Some(span) = span.filter(|_| outside > 0.0) {
                programme.at_most(vec![(span, 1.0), (minutes, -1.0)], -outside);
            }
        }
    }
    for (group, room) in &work.room {
        let at = |place: usize| spans.iter().filter_map(move |spans| spans[place]);
        let mut terms: Vec<(usize, f64)> = group
            .iter()
            .flat_map(|place| at(*place))
            .map(|span| (span, 1.0))
            .collect();
        let outside = group
            .iter()
            .map(|place| work.outside_min.get(*place).copied().unwrap_or(0.0));
        let outside = outside.fold(f64::INFINITY, f64::min);
        if terms.is_empty() || !outside.is_finite() {
            continue;
        }
        terms.push((minutes, -room));
        programme.at_most(terms, -room * outside);
    }
    let machine = programme.at_most(vec![(minutes, -1.0)], -work.machine_min);

    let optimum = programme.solve()?;
    let span = |span: &Option<usize>| span.map_or(0.0, |span| optimum.x[span]);
    Ok(Remaining {
        minutes: -optimum.value,
        split: spans
            .iter()
            .map(|spans| spans.iter().map(span).collect())
            .collect(),
        helper_dual: helper_rows.iter().map(|row| optimum.duals[*row]).collect(),
        place_dual: place_rows
            .iter()
            .map(|row| row.map_or(0.0, |row| optimum.duals[row]))
            .collect(),
        machine_dual: optimum.duals[machine],
    })
}
