//! The report as aligned text.

use super::words::{Table, estimate, number, share};
use super::{Estimate, FirstRun, Report, Spread};

/// Batches of the first run that are listed.
const MOST_BATCHES: usize = 20;

/// All of it.
pub(super) fn text(report: &Report) -> String {
    let parts = [
        head(report),
        finish(report),
        system(report),
        stations(report),
        times(report),
        steps(report),
        helpers(report),
        learned(report),
        batches(&report.first_run),
        bottleneck(report),
    ];
    let parts: Vec<String> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    parts.join("\n")
}

fn head(report: &Report) -> String {
    let how_long = match report.minutes {
        Some(minutes) => format!(
            "{} minutes each, the first {} not measured",
            number(minutes),
            number(report.warm_up_min)
        ),
        None => "each until all work is done".to_owned(),
    };
    let about = match report.about.is_empty() {
        true => String::new(),
        false => format!("{}\n", report.about),
    };
    let (runs, seed) = (report.runs, report.seed);
    format!("{about}{runs} runs with seed {seed}, {how_long}. Means +- standard errors.\n")
}

fn finish(report: &Report) -> String {
    if report.minutes.is_some() && report.unfinished_runs == report.runs {
        return String::new();
    }
    let head = [
        "finish, min",
        "mean",
        "sd",
        "P10",
        "P50",
        "P90",
        "least",
        "most",
    ];
    let mut table = Table::headed(&head);
    let row = |name: &str, spread: &Spread| {
        let ends = [spread.least, spread.greatest].map(number);
        let mut cells = vec![name.to_owned()];
        let middle = [spread.mean, spread.sd, spread.p10, spread.p50, spread.p90];
        cells.extend(middle.map(estimate));
        cells.extend(ends);
        cells
    };
    table.row(row("all", &report.makespan));
    if report.classes.len() > 1 {
        for class in &report.classes {
            table.row(row(&class.name, &class.finish));
        }
    }
    let left = match report.unfinished_runs {
        0 => String::new(),
        some => format!("{some} of {} runs ended with work left.\n", report.runs),
    };
    table.text() + &left
}

fn system(report: &Report) -> String {
    let head = ["work", "a minute", "min in system", "made"];
    let mut table = Table::headed(&head);
    let cells = |name: &str, rate: Estimate, stay: Estimate, made: Estimate| {
        let mut cells = vec![name.to_owned()];
        cells.extend([rate, stay, made].map(estimate));
        cells
    };
    let all = &report.system;
    let nothing = Estimate::default();
    table.row(cells(
        "all",
        all.throughput,
        all.time_in_system_min,
        nothing,
    ));
    for class in &report.classes {
        let (rate, stay) = (class.throughput, class.time_in_system_min);
        table.row(cells(&class.name, rate, stay, class.made));
    }
    let present = estimate(all.present);
    let lost = match share(all.lost) {
        lost if lost.is_empty() => String::new(),
        lost => format!(", {lost} of what came was lost"),
    };
    format!(
        "{}{present} carriers present on the average{lost}.\n",
        table.text()
    )
}

fn stations(report: &Report) -> String {
    let head = [
        "station",
        "a minute",
        "busy",
        "working",
        "blocked",
        "starved",
        "unstaffed",
        "lost",
        "sets finish",
        "batches",
        "of",
    ];
    let mut table = Table::headed(&head);
    for station in &report.stations {
        table.row(vec![
            station.name.clone(),
            estimate(station.throughput),
            estimate(station.busy),
            share(station.working),
            share(station.blocked),
            share(station.starved),
            share(station.unstaffed),
            share(station.lost),
            share(station.sets_finish),
            estimate(station.batches),
            estimate(station.batch_size),
        ]);
    }
    table.text()
}

fn times(report: &Report) -> String {
    let mut table = Table::headed(&["station", "waiting", "present", "wait, min", "stay, min"]);
    for station in &report.stations {
        table.row(vec![
            station.name.clone(),
            estimate(station.waiting),
            estimate(station.present),
            estimate(station.wait_min),
            estimate(station.stay_min),
        ]);
    }
    table.text()
}

fn steps(report: &Report) -> String {
    if report.classes.len() < 2 {
        return String::new();
    }
    let mut table = Table::headed(&["step", "a minute", "wait, min", "stay, min", "lost"]);
    for step in &report.steps {
        table.row(vec![
            step.name.clone(),
            estimate(step.throughput),
            estimate(step.wait_min),
            estimate(step.stay_min),
            share(step.lost),
        ]);
    }
    table.text()
}

fn helpers(report: &Report) -> String {
    if report.helpers.is_empty() {
        return String::new();
    }
    let head = [
        "helper",
        "working",
        "starved",
        "blocked",
        "away",
        "chain, min",
    ];
    let mut table = Table::headed(&head);
    for helper in &report.helpers {
        table.row(vec![
            helper.name.clone(),
            share(helper.working),
            share(helper.starved),
            share(helper.blocked),
            share(helper.away),
            estimate(helper.chain_min),
        ]);
    }
    table.text()
}

fn learned(report: &Report) -> String {
    if report.learned.is_empty() {
        return String::new();
    }
    let head = ["learned rate", "mean", "cv", "5 %", "95 %", "min a service"];
    let mut table = Table::headed(&head);
    for rate in &report.learned {
        table.row(vec![
            rate.name.clone(),
            number(rate.mean),
            number(rate.cv),
            number(rate.q05),
            number(rate.q95),
            rate.service_min.map(number).unwrap_or_default(),
        ]);
    }
    table.text()
}

fn batches(first: &FirstRun) -> String {
    if first.batches.is_empty() {
        return String::new();
    }
    let mut table = Table::headed(&["batch of the first run", "began", "ended", "amount"]);
    for batch in first.batches.iter().take(MOST_BATCHES) {
        table.row(vec![
            batch.step.clone(),
            number(batch.began_min),
            number(batch.ended_min),
            number(batch.amount),
        ]);
    }
    let more = match first.batches.len().saturating_sub(MOST_BATCHES) {
        0 => String::new(),
        more => format!("and {more} more\n"),
    };
    table.text() + &more
}

fn bottleneck(report: &Report) -> String {
    let first = &report.first_run;
    let head = ["bottleneck of the first run", "alone, min", "shifting, min"];
    let mut table = Table::headed(&head);
    for (number_of, station) in report.stations.iter().enumerate() {
        let at = |minutes: &[f64]| minutes.get(number_of).copied().map(number);
        table.row(vec![
            station.name.clone(),
            at(&first.active.sole).unwrap_or_default(),
            at(&first.active.shifting).unwrap_or_default(),
        ]);
    }
    let arrows = match &first.arrows {
        None => String::new(),
        Some(arrows) => {
            let mut line = String::from("arrows:");
            for (at, name) in arrows.line.iter().enumerate() {
                let sign = arrows.signs.get(at).copied().unwrap_or_default();
                line.push_str(&format!(" {name} {sign}"));
            }
            let primary = arrows.primary.as_deref().unwrap_or("none");
            format!("{}; bottleneck: {primary}\n", line.trim_end())
        }
    };
    table.text() + &arrows
}
