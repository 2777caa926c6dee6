//! What holds a line up, from what its stations did: two published methods.
//!
//! Active periods (Roser, Nakano & Tanaka, "Shifting bottleneck detection", 2002) and arrows (Kuo,
//! Lim & Meerkov, "Bottlenecks in serial production lines: a system-theoretic approach", 1996).

/// What the active-period method says of a stretch of time.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ActivePeriods {
    /// Stretches in order, with the station whose unbroken activity is the longest there.
    pub momentary: Vec<Momentary>,
    /// Minutes each station was the bottleneck alone.
    pub sole: Vec<f64>,
    /// Minutes each shared in while the bottleneck shifted to or from it.
    pub shifting: Vec<f64>,
    /// Minutes with no station active.
    pub none: f64,
}

/// A stretch with one momentary bottleneck.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Momentary {
    /// From.
    pub from: f64,
    /// To.
    pub to: f64,
    /// Which station; `None` while nobody is active.
    pub station: Option<usize>,
}

/// What the arrow method says of a serial line.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Arrows {
    /// For each station but the last, whether the arrow points downstream.
    pub downstream: Vec<bool>,
    /// Stations no arrow leaves, with their severity.
    pub bottlenecks: Vec<(usize, f64)>,
    /// The one with the greatest severity; the first of equals.
    pub primary: Option<usize>,
}

/// The active-period method over `[from, to]`: `intervals` are the unbroken active times of each
/// station, in order and apart. At each instant the station whose active time is the longest as a
/// whole is the momentary bottleneck, the first of equals; where the periods of two successive ones
/// overlap, the bottleneck is shifting. A time that is still going on is given up to `to`: what is
/// said of it is provisional.
pub fn active_period(intervals: &[Vec<(f64, f64)>], from: f64, to: f64) -> ActivePeriods {
    let mut told = ActivePeriods {
        sole: vec![0.0; intervals.len()],
        shifting: vec![0.0; intervals.len()],
        ..ActivePeriods::default()
    };
    let mut next = vec![0; intervals.len()];
    let mut periods: Vec<Period> = Vec::new();
    let mut holders = Vec::new();
    for (begin, end) in stretches(intervals, from, to) {
        let mut longest: Option<Period> = None;
        for (station, times) in intervals.iter().enumerate() {
            while times.get(next[station]).is_some_and(|time| time.1 <= begin) {
                next[station] += 1;
            }
            let active = times.get(next[station]).filter(|time| time.0 <= begin);
            let period = active.map(|time| Period {
                station,
                from: time.0,
                to: time.1,
            });
            longest = match (longest, period) {
                (Some(longest), Some(period)) if period.length() > longest.length() => Some(period),
                (None, period) => period,
                (longest, _) => longest,
            };
        }
        told.momentary.push(Momentary {
            from: begin,
            to: end,
            station: longest.map(|period| period.station),
        });
        match longest {
            Some(period) => {
                if periods.last() != Some(&period) {
                    periods.push(period);
                }
                holders.push(Some(periods.len() - 1));
            }
            None => {
                told.none += end - begin;
                holders.push(None);
            }
        }
    }
    share_out(&mut told, &periods, &holders, (from, to));
    told
}

/// An unbroken active time.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Period {
    station: usize,
    from: f64,
    to: f64,
}

impl Period {
    fn length(&self) -> f64 {
        self.to - self.from
    }

    /// Where two overlap, within a window; empty if the end is not after the beginning.
    fn overlap(&self, other: &Period, window: (f64, f64)) -> (f64, f64) {
        let from = self.from.max(other.from).max(window.0);
        (from, self.to.min(other.to).min(window.1))
    }
}

/// The stretches between any two beginnings and ends.
fn stretches(intervals: &[Vec<(f64, f64)>], from: f64, to: f64) -> Vec<(f64, f64)> {
    let ends = intervals.iter().flatten().flat_map(|time| [time.0, time.1]);
    let mut cuts: Vec<f64> = ends.filter(|cut| *cut > from && *cut < to).collect();
    cuts.extend([from, to]);
    cuts.sort_by(f64::total_cmp);
    cuts.dedup();
    let pair = |two: &[f64]| (two[0], two[1]);
    cuts.windows(2).map(pair).collect()
}

/// Tells the sole from the shifting minutes.
fn share_out(
    told: &mut ActivePeriods,
    periods: &[Period],
    holders: &[Option<usize>],
    window: (f64, f64),
) {
    let overlap = |one: usize| {
        let pair = periods.get(one).zip(periods.get(one + 1));
        let both = pair.map(|(one, next)| one.overlap(next, window));
        both.filter(|(from, to)| to > from)
    };
    for one in 0..periods.len().saturating_sub(1) {
        if let Some((from, to)) = overlap(one) {
            told.shifting[periods[one].station] += to - from;
            told.shifting[periods[one + 1].station] += to - from;
        }
    }
    for (stretch, holder) in told.momentary.iter().zip(holders) {
        let Some(holder) = *holder else {
            continue;
        };
        // Ends of periods are cuts, so a stretch lies wholly inside an overlap or outside it.
        let inside = |both: (f64, f64)| both.0 <= stretch.from && stretch.to <= both.1;
        let before = holder.checked_sub(1).and_then(overlap);
        if !before.is_some_and(inside) && !overlap(holder).is_some_and(inside) {
            told.sole[periods[holder].station] += stretch.to - stretch.from;
        }
    }
}

/// The arrow method: the share of time each station of a serial line was blocked and starved.
pub fn arrows(blocked: &[f64], starved: &[f64]) -> Arrows {
    let links = blocked.iter().zip(starved.iter().skip(1));
    let downstream: Vec<bool> = links.map(|(blocked, starved)| blocked > starved).collect();
    let stations = blocked.len().min(starved.len());
    let stays = |station: &usize| {
        let leaves_down = downstream.get(*station).copied().unwrap_or(false);
        let leaves_up = *station > 0 && !downstream[station - 1];
        !leaves_down && !leaves_up
    };
    // A machine at an end of the line has one neighbour only.
    let gap = |left: usize| match (blocked.get(left), starved.get(left + 1)) {
        (Some(blocked), Some(starved)) => (starved - blocked).abs(),
        (None, _) | (_, None) => 0.0,
    };
    let severity = |station: usize| {
        let before = station.checked_sub(1).map_or(0.0, gap);
        gap(station) + before
    };
    let bottlenecks: Vec<(usize, f64)> = (0..stations)
        .filter(stays)
        .map(|station| (station, severity(station)))
        .collect();
    let worst = bottlenecks
        .iter()
        .copied()
        .reduce(|worst, next| if next.1 > worst.1 { next } else { worst });
    Arrows {
        downstream,
        bottlenecks,
        primary: worst.map(|(station, _)| station),
    }
}
