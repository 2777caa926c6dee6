//! A proposal in words, for people at a terminal.

use crate::day::amount::Amount;
use crate::day::time::Timestamp;
use crate::prepare::Ask;
use crate::prepare::forecast::{Addition, Ahead, Foretold};
use crate::prepare::programme::Limit;
use crate::prepare::proposal::{Added, Line, Proposal, UseTold};
use jiff::tz::TimeZone;
use std::fmt::Write as _;

/// The whole of it: a sentence for each line, then what it takes, then the day.
pub fn words(ask: &Ask, told: &Proposal) -> String {
    let mut text = String::from("To make\n");
    for line in told
        .lines
        .iter()
        .filter(|line| line.packages > 0 || line.pinned)
    {
        say(&mut text, &sentence(ask, line));
    }
    for (id, one) in &told.uses {
        for sentence in shortfall(ask, id, one) {
            say(&mut text, &sentence);
        }
    }
    for not in &told.not_offered {
        let name = ask.uses.get(&not.use_id).map_or("", |one| &one.name);
        let package = not.package.as_deref().unwrap_or("any package");
        let (detail, instead) = (&not.detail, &not.instead);
        say(
            &mut text,
            &format!("{name}, {package}: {detail} {instead} ({})", not.field),
        );
    }
    if !told.proven {
        say(
            &mut text,
            "A better proposal may exist; this is the best that was found.",
        );
    }
    takes(&mut text, told);
    match &told.forecast {
        Foretold::None {} => {}
        Foretold::Missing {
            field,
            detail,
            instead,
        } => say(&mut text, &format!("{field}: {detail} {instead}")),
        Foretold::Day(ahead) => day(&mut text, ahead),
    }
    text.push_str("Follow the tested recipe and your extension service; they go before this.\n");
    text
}

fn say(text: &mut String, words: &str) {
    // Writing into a string never fails.
    let _ = writeln!(text, "  {words}");
}

/// One line in one sentence.
fn sentence(ask: &Ask, line: &Line) -> String {
    let name = ask.uses.get(&line.use_id).map_or("", |one| &one.name);
    let [low, typical, high] = line.pounds;
    let each = match (line.opened, line.serves_each) {
        (1, 1) => "one at a time".to_owned(),
        (opened, 1) => format!("{opened} at a time"),
        (_, serves) => format!("each for {serves} times"),
    };
    let over = match line.left_over {
        Amount::ZERO => String::new(),
        over => format!(", {over} qt left over each time"),
    };
    let surplus = match line.surplus {
        0 => String::new(),
        count => format!("; {count} more than the household eats in the season"),
    };
    let settled = if line.pinned { " (settled)" } else { "" };
    format!(
        "{} x {}{settled} for {name}: {} times {} qt, {each}{over}{surplus}; {typical} lb ({low} to {high})",
        line.packages, line.package, line.serves, line.portion
    )
}

fn shortfall(ask: &Ask, id: &str, one: &UseTold) -> Vec<String> {
    let name = ask.uses.get(id).map_or("", |found| &found.name);
    let mut found = Vec::new();
    if one.still_serves > 0 {
        found.push(format!(
            "{name}: {} of {} times are still on the shelf.",
            one.still_serves, one.times
        ));
    }
    if one.missing > 0 {
        let why = if one.spoils {
            "in every package offered more would spoil than be eaten".to_owned()
        } else if one.held_by.is_empty() {
            "nothing is offered for them".to_owned()
        } else {
            let limits: Vec<String> = one.held_by.iter().map(limit).collect();
            limits.join(", ")
        };
        found.push(format!(
            "{name}: {} of {} times are not served: {why}.",
            one.missing, one.times
        ));
    }
    found
}

fn limit(limit: &Limit) -> String {
    match limit {
        Limit::Produce { produce } => format!("the {produce} do not reach"),
        Limit::Packages { package } => format!("no more {package}"),
        Limit::Lids {} => "no more lids".to_owned(),
        Limit::FreezesInADay {} => "no more freezes solid in a day".to_owned(),
        Limit::FreezerRoom {} => "the freezer is full".to_owned(),
        Limit::CannerTime {} => "no canner is free before the cut-off".to_owned(),
        Limit::Eaten { .. } | Limit::Served {} | Limit::Loads {} => "other lines".to_owned(),
    }
}

fn takes(text: &mut String, told: &Proposal) {
    text.push_str("It takes\n");
    for (produce, one) in &told.produce {
        let [low, typical, high] = one.needed;
        let short = if one.short > Amount::ZERO {
            format!("; {} lb short", one.short)
        } else {
            format!("; {} lb left", one.left)
        };
        say(
            text,
            &format!(
                "{produce}: {typical} lb ({low} to {high}) of {}{short}",
                one.there
            ),
        );
    }
    for (package, one) in told.packages.iter().filter(|(_, one)| one.needed > 0) {
        let short = shortage(one.buy, one.short);
        say(
            text,
            &format!(
                "{package}: {} ({} in the house{short})",
                one.needed, one.have
            ),
        );
    }
    if told.lids.for_jars > 0 {
        let lids = &told.lids;
        let short = shortage(lids.buy, lids.short);
        say(
            text,
            &format!(
                "lids: {} and {} to spare ({} in the house{short})",
                lids.for_jars, lids.spare, lids.have
            ),
        );
    }
    for added in &told.added {
        say(
            text,
            &match added {
                Added::LemonJuice { food, tbsp, each } => {
                    format!("{food}: {tbsp} tbsp bottled lemon juice ({each} in each jar)")
                }
                Added::AsTheRecipeSays { food, each } => format!("{food}: {each}"),
                Added::Cover {
                    water_cups,
                    sugar_cups,
                } => format!(
                    "to cover the fruit: light syrup of {water_cups} cups water and {sugar_cups} cups sugar"
                ),
            },
        );
    }
    for load in &told.loads {
        say(
            text,
            &format!(
                "{} {} jars: {} in {} loads of {} ({}), {} min process, {} min from load to load",
                load.food,
                load.jar,
                load.jars,
                load.loads,
                load.holds,
                load.canner,
                load.process_min,
                load.cycle_min
            ),
        );
    }
    if let Some(freezer) = told
        .freezer
        .as_ref()
        .filter(|one| one.pounds > Amount::ZERO)
    {
        say(
            text,
            &format!(
                "freezer: {} lb of {} that freeze in a day",
                freezer.pounds, freezer.in_a_day
            ),
        );
    }
}

fn shortage(buy: i64, short: i64) -> String {
    let mut words = String::new();
    if buy > 0 {
        words.push_str(&format!(", {buy} to buy"));
    }
    if short > 0 {
        words.push_str(&format!(", {short} short"));
    }
    words
}

fn day(text: &mut String, ahead: &Ahead) {
    text.push_str("The day\n");
    say(
        text,
        &format!(
            "takes {} ({} to {}) of {} simulated days",
            span(ahead.minutes_p50),
            span(ahead.minutes_p10),
            span(ahead.minutes_p90),
            ahead.runs
        ),
    );
    if ahead.ends < 0.5 {
        say(
            text,
            "with those who are expected most days do not end: somebody is missing for some work",
        );
    }
    if let Some(share) = ahead.by_cut_off {
        say(
            text,
            &format!("by the cut-off: {:.0} of 100 days", share * 100.0),
        );
    }
    if let Some(at) = ahead.latest_start {
        say(
            text,
            &format!(
                "begin at {} to end by the cut-off in 9 days of 10",
                clock(at)
            ),
        );
    }
    for station in &ahead.stations {
        let share = station.sets_finish * 100.0;
        say(
            text,
            &format!(
                "{}: sets the end in {share:.0} of 100 days; {} carriers stand there",
                station.name, station.stands
            ),
        );
    }
    for one in &ahead.one_more {
        let what = match one.what {
            Addition::Canner => "canner",
            Addition::Pot => "pot",
            Addition::Helper => "helper",
            Addition::Burner => "burner",
        };
        say(
            text,
            &format!("one {what} more: {:.0} minutes earlier", one.gain_min),
        );
    }
}

fn span(minutes: f64) -> String {
    let minutes = minutes.round() as i64;
    format!("{} h {:02} min", minutes / 60, minutes % 60)
}

/// A moment on the clock of this computer.
fn clock(at: Timestamp) -> String {
    match jiff::Timestamp::from_millisecond(at.0) {
        Ok(at) => at
            .to_zoned_datetime(TimeZone::system())
            .strftime("%a %H:%M")
            .to_string(),
        Err(_) => at.0.to_string(),
    }
}
