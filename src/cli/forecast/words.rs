//! An outlook in words, for people at a terminal.

use crate::cli::clock::clock;
use crate::day::ids::StationId;
use crate::day::plan::Nature;
use crate::day::state::State;
use crate::outlook::{Band, Change, Doing, Move, Outlook, Stay, Win};
use std::fmt::Write as _;

/// The whole of it, some lines for each subject.
pub fn words(state: &State, told: &Outlook) -> String {
    let mut text = format!("{} at {}\n", state.name, clock(told.at));
    finish(&mut text, state, told);
    stations(&mut text, state, told);
    products(&mut text, state, told);
    loads(&mut text, state, told);
    moves(&mut text, state, told);
    if_so(&mut text, state, told);
    text
}

fn band(band: &Band) -> String {
    format!(
        "{} ({} to {})",
        clock(band.p50),
        clock(band.p10),
        clock(band.p90)
    )
}

fn line(text: &mut String, words: std::fmt::Arguments<'_>) {
    // Writing into a string never fails.
    let _ = writeln!(text, "{words}");
}

fn finish(text: &mut String, state: &State, told: &Outlook) {
    match &told.finish {
        Some(finish) => line(
            text,
            format_args!("Done at {}, of {} simulated days.", band(finish), told.runs),
        ),
        None if told.runs == 0 => line(text, format_args!("Nothing is left to do.")),
        None => line(
            text,
            format_args!("With those who are here some of the work will never be done."),
        ),
    }
    if let (Some(chance), Some(cut_off)) = (told.by_cut_off, state.cut_off_at) {
        let days = (chance * 100.0).round();
        line(
            text,
            format_args!("By the cut-off at {}: {days} of 100 days.", clock(cut_off)),
        );
    }
    if let Some(sets) = &told.sets_finish {
        let name = state.station_name(&sets.station);
        let days = (sets.share * 100.0).round();
        line(
            text,
            format_args!("{name}: sets the finish in {days} of 100 days."),
        );
    }
    if let Some(now) = &told.holds_up_now {
        let name = state.station_name(&now.station);
        let starves = now.starves.as_ref().map_or_else(String::new, |id| {
            format!("; waiting for work: {}", state.station_name(id))
        });
        let minutes = now.without_pause_min.round();
        line(
            text,
            format_args!(
                "{name}: holds the kitchen up now, {minutes} minutes without a pause so far{starves}."
            ),
        );
    }
}

fn doing(doing: Doing) -> &'static str {
    match doing {
        Doing::Working => "at work",
        Doing::Starved => "waiting for work",
        Doing::Blocked => "blocked",
        Doing::Unstaffed => "needs hands",
        Doing::Finished => "done",
        Doing::PutAway => "put away",
    }
}

/// Whether things only stand there: a rack, a freezer.
fn stands_only(state: &State, id: &StationId) -> bool {
    let found = state.stations.get(id);
    found.is_some_and(|found| matches!(found.plan.nature, Nature::Hold { .. }))
}

fn stations(text: &mut String, state: &State, told: &Outlook) {
    let busy: Vec<_> = told
        .stations
        .iter()
        .filter(|(_, found)| !matches!(found.doing, Doing::Finished | Doing::PutAway))
        .filter(|(id, _)| !stands_only(state, id))
        .collect();
    if !busy.is_empty() {
        line(text, format_args!("\nStations:"));
    }
    for (id, found) in busy {
        let name = state.station_name(id);
        let mut words = format!("  {name}: {}", doing(found.doing));
        if found.depth_min >= 0.5 {
            let _ = write!(words, "; {} min of work wait", found.depth_min.round());
        }
        if let Some(minutes) = found.dry_in_min {
            let _ = write!(words, "; nothing left in {} min", minutes.round());
        }
        if let Some(gain) = found.tenth_faster_min.filter(|gain| *gain >= 0.5) {
            let _ = write!(words, "; a tenth faster would save {} min", gain.round());
        }
        line(text, format_args!("{words}"));
    }
}

fn products(text: &mut String, state: &State, told: &Outlook) {
    if !told.products.is_empty() {
        line(text, format_args!("\nProducts:"));
    }
    for (id, product) in &told.products {
        line(
            text,
            format_args!(
                "  {}: {} packages ({} to {}), the last at {}",
                state.product_name(id),
                product.made_p50.round(),
                product.made_p10.round(),
                product.made_p90.round(),
                band(&product.finish)
            ),
        );
    }
}

fn loads(text: &mut String, state: &State, told: &Outlook) {
    for (id, canner) in &told.canners {
        if canner.loads_p90 == 0 {
            continue;
        }
        line(
            text,
            format_args!(
                "\n{}: {} loads to come (up to {}); empty {} min before the last begins",
                state.station_name(id),
                canner.loads_p50,
                canner.loads_p90,
                canner.idle_min.round()
            ),
        );
        for (number, start) in canner.next.iter().enumerate() {
            line(
                text,
                format_args!("  load {} begins at {}", number + 1, band(start)),
            );
        }
    }
}

fn moves(text: &mut String, state: &State, told: &Outlook) {
    let any = !told.moves.is_empty() || !told.wins.is_empty() || told.stay.is_some();
    if any {
        line(text, format_args!("\nWhat helps:"));
    }
    for found in &told.moves {
        line(text, format_args!("  {}", one_move(state, found)));
    }
    if let Some(stay) = told.stay.as_ref().filter(|_| told.moves.is_empty()) {
        line(
            text,
            format_args!("  Stay as you are: {}", why_stay(state, stay)),
        );
    }
    for win in &told.wins {
        line(text, format_args!("  {}", one_win(state, win)));
    }
}

fn one_move(state: &State, found: &Move) -> String {
    let steps: Vec<String> = found
        .steps
        .iter()
        .map(|step| {
            let beside = step.beside.as_ref().map_or_else(String::new, |adult| {
                format!(" with {} beside", state.helper_name(adult))
            });
            let who = state.helper_name(&step.helper);
            format!("{who} to {}{beside}", state.station_name(&step.to))
        })
        .collect();
    let sure = (found.sure * 100.0).round();
    format!(
        "{}: {} minutes earlier, in {sure} of 100 days",
        steps.join(", "),
        found.gain_min.round()
    )
}

fn why_stay(state: &State, stay: &Stay) -> String {
    match stay {
        Stay::NoHandsHelp { station } => {
            let name = state.station_name(station);
            format!("{name} sets the finish, and no hands make that faster.")
        }
        Stay::TooLittle { best_gain_min } => {
            format!(
                "the best move would gain {} minutes.",
                best_gain_min.round()
            )
        }
        Stay::NobodyMay {} => "nobody is free to move.".to_owned(),
        Stay::Finished {} => "nothing is left to do.".to_owned(),
    }
}

fn one_win(state: &State, win: &Win) -> String {
    let at = |station: &StationId| state.station_name(station);
    match win {
        Win::ShortLoadFirst {
            station,
            product,
            jars,
            gain_min,
        } => format!(
            "{}: run the short load of {jars} jars of {} first, {} minutes earlier",
            at(station),
            state.product_name(product),
            gain_min.round()
        ),
        Win::StartNow {
            station,
            product,
            jars,
            gain_min,
        } => format!(
            "{}: start now with {jars} jars of {}, {} minutes earlier",
            at(station),
            state.product_name(product),
            gain_min.round()
        ),
        Win::WaitFor {
            station,
            product,
            jars,
            wait_min,
            gain_min,
        } => format!(
            "{}: wait {} minutes for {jars} jars of {}, {} minutes earlier",
            at(station),
            wait_min.round(),
            state.product_name(product),
            gain_min.round()
        ),
        Win::HeatWater {
            station,
            jars_in_min,
        } => format!(
            "{}: heat the water now, jars come in {} minutes",
            at(station),
            jars_in_min.round()
        ),
        Win::OpenBox {
            lot,
            product,
            dry_in_min,
        } => format!(
            "Open the next box of {} for {}: nothing is left there in {} minutes",
            lot_name(state, lot),
            state.product_name(product),
            dry_in_min.round()
        ),
        Win::Count {
            station,
            product,
            at_stake_min,
        } => format!(
            "{}: count what waits of {}, {} minutes of work hang on it",
            at(station),
            state.product_name(product),
            at_stake_min.round()
        ),
        Win::StopBoxes { lot } => format!(
            "Open no more boxes of {}: they would not be done by the cut-off",
            lot_name(state, lot)
        ),
    }
}

fn lot_name(state: &State, lot: &crate::day::ids::LotId) -> String {
    let found = state.lots.get(lot);
    found.map_or_else(|| lot.to_string(), |found| found.plan.name.clone())
}

fn if_so(text: &mut String, state: &State, told: &Outlook) {
    if !told.what_if.is_empty() {
        line(text, format_args!("\nWhat if:"));
    }
    for found in &told.what_if {
        let change = match &found.change {
            Change::OneMoreHelper { station } => {
                format!("one more grown-up at {}", state.station_name(station))
            }
            Change::OneMoreCanner { station } => {
                format!("one more canner at {}", state.station_name(station))
            }
            Change::HalfAsMuch {} => "half of the closed boxes left closed".to_owned(),
            Change::PauseHalfHour {} => "everybody pauses half an hour now".to_owned(),
        };
        let minutes = found.finish_min.round();
        let when = if minutes > 0.0 { "later" } else { "earlier" };
        line(
            text,
            format_args!("  {change}: {} minutes {when}", minutes.abs()),
        );
    }
    for (lot, last) in &told.last_box {
        let name = lot_name(state, lot);
        let until = last.open_by.map_or_else(
            || "it is too late for another box".to_owned(),
            |at| format!("another box can be opened until {}", clock(at)),
        );
        let now = band(&last.finish_if_now);
        line(
            text,
            format_args!("  {name}: {until}; opened now, the day ends at {now}"),
        );
    }
}
