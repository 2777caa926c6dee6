//! The look back as one table for a spreadsheet: a figure a row, so that it can be filtered.
//!
//! Columns: kind, id, name, figure, value, unit. The series of depths are left to the JSON.
//! Invariant: no cell begins a formula; a name that would is written with an apostrophe before it.

use super::figures::*;

use crate::day::amount::{Amount, Measure};
use crate::day::time::Timestamp;

/// The table as CSV (RFC 4180, with a header row).
pub fn csv(told: &LookBack) -> String {
    let mut table = Table::default();
    table.day(told);
    for (id, made) in &told.made {
        table.made(id.as_str(), made);
    }
    for (id, station) in &told.stations {
        table.station(id.as_str(), station);
    }
    for (id, helper) in &told.helpers {
        table.helper(id.as_str(), helper);
    }
    for (id, load) in &told.loads {
        table.load(id.as_str(), load);
    }
    for (id, chore) in &told.chores {
        table.chore(id.as_str(), chore);
    }
    table.rework(told);
    table.hours(told);
    table.flows(told);
    table.fruit(told);
    table.next_time(told);
    table.waste(told);
    table.text()
}

#[derive(Default)]
struct Table {
    rows: Vec<[String; 6]>,
}

/// What a row is about.
#[derive(Clone, Copy)]
struct About<'a>(&'static str, &'a str, &'a str);

impl Table {
    fn row(&mut self, about: About<'_>, figure: &str, value: impl ToString, unit: &str) {
        let About(kind, id, name) = about;
        let value = value.to_string();
        let cells = [kind, id, &plain(name), figure, &value, unit];
        self.rows.push(cells.map(str::to_owned));
    }

    fn amount(&mut self, about: About<'_>, figure: &str, amount: Amount, unit: &str) {
        if amount != Amount::ZERO {
            self.row(about, figure, amount, unit);
        }
    }

    fn maybe(&mut self, about: About<'_>, figure: &str, ms: Option<i64>) {
        if let Some(ms) = ms {
            self.row(about, figure, ms, "ms");
        }
    }

    fn moment(&mut self, about: About<'_>, figure: &str, at: Option<Timestamp>) {
        if let Some(at) = at {
            self.row(about, figure, at.0, "ms since 1970");
        }
    }

    fn day(&mut self, told: &LookBack) {
        let about = About("day", &told.date, &told.name);
        self.moment(about, "opened", Some(told.opened_at));
        self.moment(about, "from", told.from);
        self.moment(about, "to", Some(told.to));
        self.row(about, "open", told.open_ms, "ms");
        let per_hour = format!("{:.3}", told.packages_per_hour);
        self.row(about, "packages per hour", per_hour, "packages/h");
        self.row(about, "trimmings", told.trimmings_lb, "lb");
    }

    fn made(&mut self, id: &str, made: &Made) {
        let about = About("product", id, &made.name);
        let unit = made.package.map_or("", Measure::symbol);
        let always = [
            ("made", made.made),
            ("finished", made.finished),
            ("cooling", made.cooling),
        ];
        for (figure, packages) in always {
            self.row(about, figure, packages.0, unit);
        }
        let wanted = made.wanted.unwrap_or_default();
        let some = [
            ("wanted", wanted),
            ("brought in", made.brought_in),
            ("found", made.found),
            ("standing", made.standing),
            ("refrigerated", made.refrigerated),
            ("frozen", made.frozen),
            ("broken", made.broken),
            ("fresh", made.fresh),
            ("diverted", made.diverted),
            ("scrapped", made.scrapped),
            ("sent back", made.sent_back),
            ("short", made.short),
        ];
        for (figure, packages) in some {
            self.amount(about, figure, packages.0, unit);
        }
    }

    fn station(&mut self, id: &str, station: &StationTold) {
        let about = About("station", id, &station.name);
        self.row(about, "busy", station.busy_ms, "ms");
        self.row(about, "starved", station.starved_ms, "ms");
        self.row(about, "blocked", station.blocked_ms, "ms");
        self.row(about, "unstaffed", station.unstaffed_ms, "ms");
        self.row(about, "paused", station.paused_ms, "ms");
        self.row(about, "put away", station.put_away_ms, "ms");
        let share = format!("{:.4}", station.busy_share);
        self.row(about, "busy share", share, "of ready time");
        self.row(about, "done", station.done_carriers, "carriers");
        let between = station.starved_between_ms;
        self.row(about, "starved between first and last work", between, "ms");
        let taken = station.all_taken_ms;
        self.row(
            about,
            "work waited, all pots or canners in use",
            taken,
            "ms",
        );
        if station.between_loads_ms > 0 {
            self.row(about, "between loads", station.between_loads_ms, "ms");
        }
        if let Some(deepest) = &station.deepest {
            self.row(about, "deepest queue", deepest.carriers, "carriers");
            self.moment(about, "deepest queue at", Some(deepest.at));
        }
    }

    fn helper(&mut self, id: &str, helper: &HelperTold) {
        let about = About("helper", id, &helper.name);
        self.row(about, "seated", helper.seated_ms, "ms");
        self.row(about, "waited for work", helper.waited_ms, "ms");
        self.row(about, "rested", helper.rested_ms, "ms");
        self.row(about, "chores", helper.chores, "chores");
        for (station, ms) in &helper.stations {
            self.row(about, &format!("seated at {station}"), ms, "ms");
        }
    }

    fn load(&mut self, id: &str, load: &LoadTold) {
        let about = About("load", id, load.station.as_str());
        for (product, jars) in &load.jars {
            self.row(about, &format!("jars of {product}"), jars.0, "jar");
        }
        self.row(about, "process by the table", load.minutes, "min");
        self.moment(about, "heated", load.heated_at);
        self.maybe(about, "heating up", load.heat_up_ms);
        self.moment(about, "boil", load.boil_at);
        self.maybe(about, "processed", load.process_ms);
        self.row(about, "boils lost", load.boils_lost.len(), "times");
        self.moment(about, "heat off", load.heat_off_at);
        self.moment(about, "lifted", load.lifted_at);
        self.maybe(about, "canner idle before", load.canner_idle_before_ms);
        self.row(about, "short", load.short, "");
        for broken in &load.broken {
            self.row(
                about,
                &format!("broken of {}", broken.product),
                broken.jars,
                "jar",
            );
        }
    }

    fn chore(&mut self, id: &str, chore: &ChoreTold) {
        let about = About("chore", id, &chore.text);
        self.moment(about, "raised", Some(chore.raised_at));
        self.moment(about, "finished", chore.finished_at);
        if let Some(helper) = &chore.helper {
            self.row(about, "finished by", helper, "");
        }
    }

    fn rework(&mut self, told: &LookBack) {
        for rework in &told.rework {
            let to = format!("to {}", rework.to);
            let about = About("rework", rework.from.as_str(), rework.product.as_str());
            self.row(about, &to, rework.amount, "");
            self.row(about, &format!("{to}, times"), rework.times, "times");
        }
    }

    fn waste(&mut self, told: &LookBack) {
        for (station, products) in &told.waste {
            for (product, waste) in products {
                let about = About("waste", station.as_str(), product.as_str());
                let unit = waste.measure.map_or("", Measure::symbol);
                let went = [
                    ("scraps", waste.scraps),
                    ("fresh", waste.fresh),
                    ("refrigerator", waste.refrigerator),
                    ("freezer", waste.freezer),
                    ("other route", waste.other_route),
                    ("broken", waste.broken),
                    ("missing", waste.missing),
                    ("found", waste.found),
                ];
                for (figure, amount) in went {
                    self.amount(about, figure, amount, unit);
                }
            }
        }
    }

    fn hours(&mut self, told: &LookBack) {
        for hour in &told.hours {
            let from = hour.from.0.to_string();
            let about = About("hour", &from, "");
            self.moment(about, "to", Some(hour.to));
            let per_hour = format!("{:.3}", hour.per_hour);
            self.row(about, "packages per hour", per_hour, "packages/h");
            for (product, packages) in &hour.packages {
                self.row(about, &format!("packages of {product}"), packages.0, "");
            }
        }
    }

    fn flows(&mut self, told: &LookBack) {
        for (product, flow) in &told.flows {
            for stage in &flow.stages {
                let about = About("flow", product.as_str(), stage.station.as_str());
                let unit = stage.measure.map_or("", Measure::symbol);
                self.row(about, "came", stage.came, unit);
                self.row(about, "left", stage.left, unit);
                let mean = format!("{:.4}", stage.mean_in_place);
                self.row(about, "mean in place", mean, unit);
                let stay = format!("{:.3}", stage.mean_stay_min);
                self.row(about, "mean stay", stay, "min");
            }
        }
    }

    fn fruit(&mut self, told: &LookBack) {
        for (product, fruit) in &told.fruit {
            let name = told.products.get(product).map_or("", String::as_str);
            let about = About("yield", product.as_str(), name);
            let thousandths = |number: f64| format!("{number:.3}");
            self.row(about, "used", thousandths(fruit.used_lb), "lb");
            self.row(about, "filled", thousandths(fruit.quarts), "qt");
            self.row(about, "real", thousandths(fruit.lb_per_quart), "lb/qt");
            let planned = thousandths(fruit.planned_lb_per_quart);
            self.row(about, "planned", planned, "lb/qt");
            for published in &fruit.published {
                let figure = format!("published, {}", published.source);
                let range = format!("{}-{}", published.low, published.high);
                self.row(about, &figure, range, "lb/qt");
            }
        }
    }

    fn next_time(&mut self, told: &LookBack) {
        for taken in &told.moves {
            let at = taken.at.0.to_string();
            let about = About("move", &at, &taken.r#move);
            self.row(about, "said then to gain", taken.gain_min, "min");
        }
        for one in &told.tries {
            let about = About("try", one.station.as_str(), one.what.name());
            self.row(about, "speaks for it", one.ms, "ms");
        }
    }

    fn text(self) -> String {
        let mut writer = csv::Writer::from_writer(Vec::new());
        let header = ["kind", "id", "name", "figure", "value", "unit"].map(str::to_owned);
        for row in std::iter::once(&header).chain(&self.rows) {
            writer
                .write_record(row)
                .expect("writing to memory with as many cells in each row cannot fail");
        }
        let bytes = writer.into_inner().expect("flushing to memory cannot fail");
        String::from_utf8(bytes).expect("every cell was text")
    }
}

/// A cell that a spreadsheet would read as a formula, made plain.
fn plain(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@']) {
        return format!("'{text}");
    }
    text.to_owned()
}
