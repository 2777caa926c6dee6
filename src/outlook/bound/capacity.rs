//! The most a line of stations can put through when its helpers share their time at best.
//!
//! Andradóttir, Ayhan and Down, "Dynamic server assignment for queueing networks with flexible
//! servers", Operations Research 51 (2003): the most jobs a minute such that no helper works more
//! than all the time and each station gets the work its jobs bring. Room at a table and the ceiling
//! of a machine are further rows of the same programme.

use super::NoBound;
use super::linear::Programme;

/// Stations, helpers and rates.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Line {
    /// By helper and station: jobs a minute of work; 0 where they may not work.
    pub rates: Vec<Vec<f64>>,
    /// By station: how often a job comes by (1, or more where some is done again); empty: once.
    pub visits: Vec<f64>,
    /// By station: how many may work there at once; empty: any number.
    pub room: Vec<Option<f64>>,
    /// By station: jobs a minute that its machine takes at most, whoever stands there; empty: no
    /// machine.
    pub machine: Vec<Option<f64>>,
}

/// The best pace and who must work where for it. Where several splits are best this is one of
/// them, and the duals may be one of several too.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Capacity {
    /// Jobs a minute.
    pub per_min: f64,
    /// By helper and station: the share of their time.
    pub split: Vec<Vec<f64>>,
    /// By station: jobs a minute gained for one more job a minute of work there.
    pub station_dual: Vec<f64>,
    /// By helper: jobs a minute gained for one more helper like this one.
    pub helper_dual: Vec<f64>,
    /// By station: jobs a minute gained for one more place.
    pub room_dual: Vec<f64>,
    /// By station: jobs a minute gained for a machine that takes one more a minute.
    pub machine_dual: Vec<f64>,
}

/// The capacity of a line.
///
/// # Errors
/// When nothing limits the line, or when its numbers are none.
pub fn capacity(line: &Line) -> Result<Capacity, NoBound> {
    let helpers = line.rates.len();
    let stations = line
        .rates
        .first()
        .map_or(line.machine.len(), |rates| rates.len());
    let rate = |helper: usize, station: usize| line.rates[helper][station];
    let mut programme = Programme::default();
    let per_min = programme.variable(1.0);
    let mut shares = vec![vec![None; stations]; helpers];
    for (helper, shares) in shares.iter_mut().enumerate() {
        for (station, share) in shares.iter_mut().enumerate() {
            *share = (rate(helper, station) > 0.0).then(|| programme.variable(0.0));
        }
    }
    let at = |station: usize| shares.iter().map(move |shares| shares[station]);
    let visits = |station: usize| line.visits.get(station).copied().unwrap_or(1.0);

    let mut station_rows = vec![None; stations];
    for (station, row) in station_rows.iter_mut().enumerate() {
        let mut terms: Vec<(usize, f64)> = at(station)
            .enumerate()
            .filter_map(|(helper, share)| Some((share?, -rate(helper, station))))
            .collect();
        // Without hands it is a machine's alone.
        if !terms.is_empty() {
            terms.push((per_min, visits(station)));
            *row = Some(programme.at_most(terms, 0.0));
        }
    }
    let helper_rows: Vec<usize> = shares
        .iter()
        .map(|shares| {
            let terms = shares.iter().flatten().map(|share| (*share, 1.0));
            programme.at_most(terms.collect(), 1.0)
        })
        .collect();
    let mut limited = |limits: &[Option<f64>], terms: &dyn Fn(usize) -> Vec<(usize, f64)>| {
        let row = |station: usize| {
            let limit = limits.get(station).copied().flatten()?;
            Some(programme.at_most(terms(station), limit))
        };
        (0..stations).map(row).collect::<Vec<Option<usize>>>()
    };
    let room_rows = limited(&line.room, &|station| {
        at(station).flatten().map(|share| (share, 1.0)).collect()
    });
    let machine_rows = limited(&line.machine, &|station| vec![(per_min, visits(station))]);

    let optimum = programme.solve()?;
    let dual = |row: &Option<usize>| row.map_or(0.0, |row| optimum.duals[row]);
    let share = |share: &Option<usize>| share.map_or(0.0, |share| optimum.x[share]);
    let split = |shares: &Vec<Option<usize>>| shares.iter().map(share).collect();
    Ok(Capacity {
        per_min: optimum.value,
        split: shares.iter().map(split).collect(),
        station_dual: station_rows.iter().map(dual).collect(),
        helper_dual: helper_rows.iter().map(|row| optimum.duals[*row]).collect(),
        room_dual: room_rows.iter().map(dual).collect(),
        machine_dual: machine_rows.iter().map(dual).collect(),
    })
}
