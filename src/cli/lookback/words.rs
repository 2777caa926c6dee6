//! A look back in words: the same sentences at a terminal and on the printed page.

use super::Told;
use crate::cli::clock::clock;
use crate::day::amount::Measure;
use crate::day::ids::{ProductId, StationId};
use crate::day::time::{MINUTE_MS, Timestamp};
use crate::lookback::{Advice, LookBack, Packages, StationTold, Summary, Try, Waste};

/// A part of the report: its heading, and a line for each fact.
pub(super) struct Part {
    pub(super) heading: &'static str,
    pub(super) lines: Vec<String>,
}

/// The whole of it, some lines for each subject.
pub fn words(told: &Told) -> String {
    let back = &told.look_back;
    let mut text = format!("{}, {}\n", back.name, back.date);
    for part in parts(told) {
        text.push_str(&format!("\n{}\n", part.heading));
        for line in part.lines {
            text.push_str(&format!("  {line}\n"));
        }
    }
    text
}

/// Every part that has something to say.
pub(super) fn parts(told: &Told) -> Vec<Part> {
    let back = &told.look_back;
    let all = [
        ("Put by", made(back)),
        ("Hour by hour", hours(back)),
        ("Three things to try", tries(back)),
        ("Stations", stations(back)),
        ("Loads", loads(back)),
        ("How long it stood", stays(back)),
        ("Fruit for a quart", fruit(back)),
        ("What went other ways", waste(back)),
        ("Moves that were taken", moves(back)),
        ("How the end was foretold", finish(told)),
        ("The people", people(back)),
        ("Beside other days", beside(told)),
    ];
    let part = |(heading, lines)| Part { heading, lines };
    all.map(part)
        .into_iter()
        .filter(|part| !part.lines.is_empty())
        .collect()
}

/// A span in words.
pub(super) fn span(ms: i64) -> String {
    Timestamp(ms).words_since(Timestamp(0))
}

/// What a station is called.
pub(super) fn station<'a>(back: &'a LookBack, id: &'a StationId) -> &'a str {
    back.stations
        .get(id)
        .map_or(id.as_str(), |found| found.name.as_str())
}

fn product<'a>(back: &'a LookBack, id: &'a ProductId) -> &'a str {
    back.products.get(id).map_or(id.as_str(), String::as_str)
}

fn made(back: &LookBack) -> Vec<String> {
    let mut lines = Vec::new();
    for made in back.made.values() {
        let unit = made.package.map_or("", Measure::symbol);
        let kept = Packages(made.finished.0 + made.cooling.0);
        let wanted = made
            .wanted
            .map_or_else(String::new, |wanted| format!(" of {} wanted", wanted.0));
        let many = made.package.is_some_and(Measure::is_counted) && kept.0.0 != 1000;
        let s = if many { "s" } else { "" };
        let mut line = format!("{}: {} {unit}{s}{wanted}", made.name, kept.0);
        let rest = [
            ("still cooling", made.cooling),
            ("filled, not done", made.standing),
            ("to the refrigerator", made.refrigerated),
            ("to the freezer", made.frozen),
            ("eaten or given away", made.fresh),
            ("another way", made.diverted),
            ("broken", made.broken),
            ("thrown away", made.scrapped),
        ];
        for (what, packages) in rest {
            if packages.0.0 > 0 {
                line.push_str(&format!("; {} {what}", packages.0));
            }
        }
        lines.push(line);
    }
    if back.packages_per_hour > 0.0 {
        lines.push(format!(
            "{:.1} packages an hour from the first work to the end.",
            back.packages_per_hour
        ));
    }
    lines
}

fn hours(back: &LookBack) -> Vec<String> {
    let line = |hour: &crate::lookback::Hour| {
        let each = hour.packages.iter();
        let each: Vec<String> = each
            .map(|(id, gained)| format!("{} {}", gained.0, product(back, id)))
            .collect();
        let all = if each.is_empty() {
            "none out".to_owned()
        } else {
            each.join(", ")
        };
        format!("{} to {}: {all}", clock(hour.from), clock(hour.to))
    };
    back.hours.iter().map(line).collect()
}

fn tries(back: &LookBack) -> Vec<String> {
    let numbered = back.tries.iter().zip(1..);
    numbered
        .map(|(one, number)| format!("{number}. {}", advice(back, one)))
        .collect()
}

/// A thing to try, with what speaks for it.
fn advice(back: &LookBack, one: &Try) -> String {
    let (name, lost) = (station(back, &one.station), span(one.ms));
    let ready = span(one.ready_ms);
    match &one.what {
        Advice::LoadSooner { gaps } => format!(
            "{name}: have the next load filled when one comes out. Between loads the canners stood \
             idle {lost} in {gaps} gaps."
        ),
        Advice::AnotherCanner { loads } => format!(
            "{name}: a second canner, or a first load earlier. Jars waited {lost} while every canner \
             was in use, over {loads} loads."
        ),
        Advice::AnotherPot {} => format!(
            "{name}: one more pot. Food waited {lost} of {ready} while every pot was in use."
        ),
        Advice::FeedSooner {} => format!(
            "{name}: more hands before it. It had nothing to do for {lost} between its first and its \
             last work."
        ),
        Advice::OpenSooner {} => format!(
            "{name}: open the next box sooner. It had nothing to do for {lost} between its first and \
             its last work."
        ),
        Advice::CookSooner {} => {
            format!("{name}: put the pot on sooner. Food waited {lost} with no pot on the heat.")
        }
        Advice::MoreHands { product: waited } => {
            let of = waited.as_ref().map_or_else(String::new, |id| {
                format!(", {} the longest", product(back, id))
            });
            format!("{name}: a seat filled sooner. Work waited {lost} with nobody there{of}.")
        }
        Advice::ClearBehind {} => format!(
            "{name}: more room, jars or lids behind it. Work could go nowhere for {lost} of {ready}."
        ),
    }
}

/// What a station did with its time, so that the times are those of the day.
pub(super) fn times(one: &StationTold) -> [(&'static str, i64); 6] {
    [
        ("busy", one.busy_ms),
        ("waited for work", one.starved_ms),
        ("blocked", one.blocked_ms),
        ("work, but nobody there", one.unstaffed_ms),
        ("paused", one.paused_ms),
        ("put away", one.put_away_ms),
    ]
}

fn stations(back: &LookBack) -> Vec<String> {
    let line = |one: &StationTold| {
        let some = times(one).into_iter().filter(|(_, ms)| *ms > 0);
        let each: Vec<String> = some
            .map(|(what, ms)| format!("{what} {}", span(ms)))
            .collect();
        format!("{}: {}", one.name, each.join(", "))
    };
    let worked = back
        .stations
        .values()
        .filter(|one| one.put_away_ms < back.open_ms);
    worked.map(line).collect()
}

fn loads(back: &LookBack) -> Vec<String> {
    let mut all: Vec<_> = back.loads.iter().collect();
    all.sort_by_key(|(_, load)| load.built_at);
    let line = |(id, load): (&crate::day::ids::LoadId, &crate::lookback::LoadTold)| {
        let jars: Vec<String> = load
            .jars
            .iter()
            .map(|(id, jars)| format!("{} {}", jars.0, product(back, id)))
            .collect();
        let mut line = format!(
            "{id}: {}, {} min by the table",
            jars.join(", "),
            load.minutes
        );
        if let Some(ms) = load.heat_up_ms {
            line.push_str(&format!("; to the boil in {}", span(ms)));
        }
        if let Some(ms) = load.canner_idle_before_ms {
            line.push_str(&format!("; the canner idle {} before", span(ms)));
        }
        if load.short {
            line.push_str("; ended early, not for the shelf");
        }
        line
    };
    all.into_iter().map(line).collect()
}

fn stays(back: &LookBack) -> Vec<String> {
    let mut lines = Vec::new();
    for (id, flow) in &back.flows {
        let stages = flow.stages.iter().filter(|stage| stage.stay > 0);
        let each: Vec<String> = stages
            .map(|stage| {
                let minutes = stage.mean_stay_min.round();
                format!("{minutes} min at {}", station(back, &stage.station))
            })
            .collect();
        if !each.is_empty() {
            lines.push(format!("{}: {}", product(back, id), each.join(", ")));
        }
    }
    lines
}

fn fruit(back: &LookBack) -> Vec<String> {
    let mut lines = Vec::new();
    for (id, fruit) in &back.fruit {
        let how = if fruit.measured {
            "as it was counted"
        } else {
            "by the plan; nobody counted"
        };
        lines.push(format!(
            "{}: {:.2} lb a quart, {how}; planned {:.2}",
            product(back, id),
            fruit.lb_per_quart,
            fruit.planned_lb_per_quart
        ));
        for one in &fruit.published {
            let range = if one.low == one.high {
                format!("{}", one.low)
            } else {
                format!("{} to {}", one.low, one.high)
            };
            lines.push(format!("  published: {range} lb ({})", one.source));
        }
    }
    lines
}

fn waste(back: &LookBack) -> Vec<String> {
    let mut lines = Vec::new();
    if back.trimmings_lb.0 > 0 {
        lines.push(format!("Trimmings: {} lb", back.trimmings_lb));
    }
    for (place, products) in &back.waste {
        for (id, row) in products {
            for (way, amount) in ways(row) {
                if amount.0 > 0 {
                    let unit = row.measure.map_or("", |measure| measure.symbol());
                    let (what, place) = (product(back, id), station(back, place));
                    lines.push(format!("{what} at {place}: {amount} {unit} {way}"));
                }
            }
        }
    }
    for one in &back.rework {
        let (from, to) = (station(back, &one.from), station(back, &one.to));
        let what = product(back, &one.product);
        lines.push(format!(
            "{what}: sent back from {from} to {to}, {} times",
            one.times
        ));
    }
    lines
}

fn ways(row: &Waste) -> [(&'static str, crate::day::amount::Amount); 8] {
    [
        ("thrown away", row.scraps),
        ("eaten or given away", row.fresh),
        ("to the refrigerator", row.refrigerator),
        ("to the freezer", row.freezer),
        ("to another product", row.other_route),
        ("broken", row.broken),
        ("missing when counted", row.missing),
        ("more than thought when counted", row.found),
    ]
}

fn moves(back: &LookBack) -> Vec<String> {
    let line = |one: &crate::lookback::MoveTold| {
        let who = one.people.join(" and ");
        let what = one.to.as_ref().map_or_else(
            || format!("{who} changed seats"),
            |to| format!("{who} to {to}"),
        );
        let (at, gain) = (clock(one.at), one.gain_min);
        format!("{at}: {what}. The board said then: some {gain} min sooner.")
    };
    back.moves.iter().map(line).collect()
}

fn finish(told: &Told) -> Vec<String> {
    let said = told.finish.said.iter().map(|one| {
        let (low, high) = (clock(one.band.p10), clock(one.band.p90));
        format!(
            "At {}: {}, {low} to {high}",
            clock(one.at),
            clock(one.band.p50)
        )
    });
    let mut lines: Vec<String> = said.collect();
    if let Some(at) = told.finish.ended_at.filter(|_| !lines.is_empty()) {
        lines.push(format!("The last work was done at {}.", clock(at)));
    }
    lines
}

fn people(back: &LookBack) -> Vec<String> {
    let told = back
        .helpers
        .values()
        .filter(|helper| !helper.told.is_empty());
    let mut lines: Vec<String> = told.map(|helper| helper.told.clone()).collect();
    let done = back.stations.values().filter_map(|one| {
        let carrier = one.carrier.as_ref()?;
        let whole = one.done_carriers.0 / 1000;
        (whole > 0).then(|| format!("{whole} × {carrier} at {}", one.name))
    });
    let done: Vec<String> = done.collect();
    if !lines.is_empty() && !done.is_empty() {
        lines.push(format!("Together: {}.", done.join(", ")));
    }
    lines
}

/// The days side by side: a name for each figure, then that of each day.
pub(super) fn table(told: &Told) -> Vec<Vec<String>> {
    let days: Vec<&Summary> = [&told.summary].into_iter().chain(&told.earlier).collect();
    let row = |what: &str, of: &dyn Fn(&Summary) -> String| {
        let cells = days.iter().map(|day| of(day));
        [what.to_owned()].into_iter().chain(cells).collect()
    };
    vec![
        row("", &|day| format!("{} {}", day.date, day.name)),
        row("packages", &|day| day.packages.0.to_string()),
        row("packages an hour", &|day| {
            format!("{:.1}", day.packages_per_hour)
        }),
        row("hours of work", &|day| span(day.worked_ms)),
        row("time in seats", &|day| span(day.seated_ms)),
        row("loads", &|day| day.loads.to_string()),
        row("canners idle between loads", &|day| {
            span(day.between_loads_ms)
        }),
        row("work, but nobody there", &|day| span(day.unstaffed_ms)),
        row("lost packages", &|day| day.lost.0.to_string()),
        row("trimmings, lb", &|day| day.trimmings_lb.to_string()),
    ]
}

fn beside(told: &Told) -> Vec<String> {
    if told.earlier.is_empty() {
        return Vec::new();
    }
    let line = |row: Vec<String>| {
        let cells: Vec<String> = row.iter().map(|cell| format!("{cell:<28}")).collect();
        cells.join("").trim_end().to_owned()
    };
    table(told).into_iter().map(line).collect()
}

/// Minutes of a span, for a drawing.
pub(super) fn minutes(ms: i64) -> f64 {
    ms as f64 / MINUTE_MS as f64
}
