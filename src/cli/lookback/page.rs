//! A look back as one page to print: words, bars of what each station did, and the flow of each
//! product as stacked bands. Nothing is fetched; the drawings stand in the page itself.

use super::Told;
use super::words::{minutes, parts, span, table, times};
use crate::day::amount::Amount;
use crate::day::time::Timestamp;
use crate::lookback::{LookBack, ProductFlow};
use std::fmt::Write as _;

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 200.0;
/// Moments at which the bands are drawn.
const STEPS: i64 = 160;

/// Fills that differ in lightness, so that they do on grey paper too, and are named beside.
const FILLS: [&str; 6] = [
    "#24476b", "#6f91b3", "#b9cbdc", "#a2440d", "#e0a63d", "#f3e2bd",
];

const STYLE: &str = "body{font:16px/1.45 Georgia,serif;color:#2a221d;background:#fff;max-width:46rem;\
margin:2rem auto;padding:0 1rem}h1{font-size:1.9rem;margin:0}h2{font-size:1.2rem;margin:1.4rem 0 .3rem;\
border-bottom:2px solid #24476b}ul{margin:.2rem 0;padding-left:1.2rem}li{margin:.15rem 0}\
table{border-collapse:collapse;width:100%}th,td{text-align:left;padding:.2rem .5rem .2rem 0;\
border-bottom:1px solid #a9b5bf}svg{width:100%;height:auto}figure{margin:.6rem 0;break-inside:avoid}\
.key span{display:inline-block;margin-right:1rem}.key i{display:inline-block;width:1em;height:1em;\
margin-right:.3em;vertical-align:-.1em;border:1px solid #2a221d}@media print{body{margin:0}}";

/// The page.
pub fn page(told: &Told) -> String {
    let back = &told.look_back;
    let mut body = String::new();
    // Writing into a string never fails, here and below.
    let _ = write!(
        body,
        "<h1>{}</h1><p>{}</p>",
        plain(&back.name),
        plain(&back.date)
    );
    for part in parts(told) {
        let _ = write!(body, "<h2>{}</h2>", plain(part.heading));
        match part.heading {
            "Stations" => body.push_str(&bars(back)),
            "How long it stood" => {
                for (id, flow) in &back.flows {
                    let name = back.products.get(id).map_or(id.as_str(), String::as_str);
                    body.push_str(&bands(back, name, flow));
                }
            }
            "Beside other days" => {
                body.push_str(&rows(&table(told)));
                continue;
            }
            _ => {}
        }
        let items = part.lines.iter();
        let items: String = items
            .map(|line| format!("<li>{}</li>", plain(line.trim())))
            .collect();
        let _ = write!(body, "<ul>{items}</ul>");
    }
    format!(
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>{}</title>\
         <meta name=\"viewport\" content=\"width=device-width\"><style>{STYLE}</style></head>\
         <body>{body}</body></html>\n",
        plain(&back.name)
    )
}

/// Text that is no markup.
fn plain(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

fn rows(table: &[Vec<String>]) -> String {
    let mut text = String::from("<table>");
    for (number, row) in table.iter().enumerate() {
        text.push_str("<tr>");
        for (place, cell) in row.iter().enumerate() {
            let tag = if number == 0 || place == 0 {
                "th"
            } else {
                "td"
            };
            let _ = write!(text, "<{tag}>{}</{tag}>", plain(cell));
        }
        text.push_str("</tr>");
    }
    text + "</table>"
}

fn key<'a>(names: impl Iterator<Item = &'a str>) -> String {
    let one = |(name, fill): (&str, &&str)| {
        format!(
            "<span><i style=\"background:{fill}\"></i>{}</span>",
            plain(name)
        )
    };
    let all: String = names.zip(FILLS.iter().cycle()).map(one).collect();
    format!("<p class=\"key\">{all}</p>")
}

/// A bar for each station, as long as the day.
fn bars(back: &LookBack) -> String {
    let shown = back
        .stations
        .values()
        .filter(|one| one.put_away_ms < back.open_ms);
    let shown: Vec<_> = shown.collect();
    let day = minutes(back.open_ms).max(1e-9);
    let (left, each) = (190.0, 26.0);
    let mut drawn = String::new();
    for (row, one) in shown.iter().enumerate() {
        let top = row as f64 * each;
        let _ = write!(
            drawn,
            "<text x=\"0\" y=\"{}\" font-size=\"13\">{}</text>",
            top + 16.0,
            plain(&short(&one.name))
        );
        let mut x = left;
        for ((what, ms), fill) in times(one).into_iter().zip(FILLS) {
            let width = minutes(ms) / day * (WIDTH - left);
            if ms > 0 {
                let _ = write!(
                    drawn,
                    "<rect x=\"{x:.1}\" y=\"{}\" width=\"{width:.1}\" height=\"18\" fill=\"{fill}\">\
                     <title>{what} {}</title></rect>",
                    top + 3.0,
                    span(ms)
                );
            }
            x += width;
        }
    }
    let height = shown.len() as f64 * each;
    let names = times(&Default::default()).map(|(what, _)| what);
    format!(
        "<figure><svg viewBox=\"0 0 {WIDTH} {height}\" role=\"img\" \
         aria-label=\"What each station did\">{drawn}</svg>{}</figure>",
        key(names.into_iter())
    )
}

/// A name that fits beside its bar.
fn short(name: &str) -> String {
    if name.chars().count() <= 27 {
        return name.to_owned();
    }
    let start: String = name.chars().take(26).collect();
    format!("{start}…")
}

/// What is in place at each stage, in packages to come of it, upon what is finished.
fn bands(back: &LookBack, name: &str, flow: &ProductFlow) -> String {
    let stages: Vec<_> = flow
        .stages
        .iter()
        .rev()
        .filter(|stage| stage.packages.is_some())
        .collect();
    let span_ms = back.to.ms_since(back.opened_at);
    if stages.is_empty() || span_ms <= 0 {
        return String::new();
    }
    let moments: Vec<Timestamp> = (0..=STEPS)
        .map(|step| Timestamp(back.opened_at.0 + span_ms * step / STEPS))
        .collect();
    let finished = moments.iter().map(|at| number(last(&flow.finished, *at)));
    let mut layers: Vec<(String, Vec<f64>)> = vec![("Finished".to_owned(), finished.collect())];
    for stage in stages {
        let each = stage.packages.unwrap_or(0.0);
        let is = moments.iter().map(|at| {
            let point = stage.points.iter().rev().find(|point| point.0 <= *at);
            point.map_or(0.0, |point| number(point.1 - point.2)) * each
        });
        layers.push((
            super::words::station(back, &stage.station).to_owned(),
            is.collect(),
        ));
    }
    let total = |place: usize| layers.iter().map(|layer| layer.1[place]).sum::<f64>();
    let most = (0..moments.len()).map(total).fold(0.0, f64::max);
    if most <= 0.0 {
        return String::new();
    }
    let x = |place: usize| place as f64 / STEPS as f64 * WIDTH;
    let y = |amount: f64| HEIGHT - amount / most * (HEIGHT - 4.0);
    let mut below = vec![0.0; moments.len()];
    let mut drawn = String::new();
    for ((_, amounts), fill) in layers.iter().zip(FILLS.iter().cycle()) {
        let above: Vec<f64> = below
            .iter()
            .zip(amounts)
            .map(|(one, more)| one + more)
            .collect();
        let up = above
            .iter()
            .enumerate()
            .map(|(place, amount)| (x(place), y(*amount)));
        let down = below
            .iter()
            .enumerate()
            .rev()
            .map(|(place, amount)| (x(place), y(*amount)));
        let path: Vec<String> = up
            .chain(down)
            .map(|(x, y)| format!("{x:.1} {y:.1}"))
            .collect();
        let _ = write!(drawn, "<path d=\"M{}Z\" fill=\"{fill}\"/>", path.join("L"));
        below = above;
    }
    format!(
        "<figure><figcaption>{}: up to {most:.0} packages under way or done, over {}</figcaption>\
         <svg viewBox=\"0 0 {WIDTH} {HEIGHT}\" role=\"img\" aria-label=\"{}\">{drawn}</svg>{}</figure>",
        plain(name),
        span(span_ms),
        plain(name),
        key(layers.iter().map(|layer| layer.0.as_str()))
    )
}

fn number(amount: Amount) -> f64 {
    amount.0 as f64 / 1000.0
}

/// What is so at a moment.
fn last(points: &[(Timestamp, Amount)], at: Timestamp) -> Amount {
    let found = points.iter().rev().find(|point| point.0 <= at);
    found.map_or(Amount::ZERO, |point| point.1)
}
