//! Days played by the simulated family: each reaches its end with everything accounted for.

use putby::day::amount::Amount;
use putby::day::plan::Nature;
use putby::day::state::Phase;
use putby::day::{Record, State, apply};
use putby::demo::play::{Played, play};
use putby::demo::{cast, day};

#[test]
fn probe() {
    for seed in 1..=3 {
        let start = std::time::Instant::now();
        let Played {
            state,
            records,
            refused,
        } = play(day(), &cast(), seed);
        println!(
            "seed {seed} {:?} {:?} records {} refused {} at {} min",
            start.elapsed(),
            state.phase,
            records.len(),
            refused.len(),
            records.last().unwrap().at.0 / 60000
        );
        let mut by = std::collections::BTreeMap::new();
        for (c, r) in &refused {
            *by.entry((
                format!("{:?}", r.code),
                serde_json::to_value(c).unwrap()["order"].to_string(),
            ))
            .or_insert(0) += 1;
        }
        println!("{by:?}");
        for (id, p) in &state.products {
            println!(
                "{id} {:?} cooling {}",
                p.finished,
                state
                    .stations
                    .keys()
                    .filter(|s| s.as_str() == "rack")
                    .map(|s| state.waiting_at(s, id).0)
                    .sum::<i64>()
            );
        }
        for (s, p, l, f) in state.all_flows() {
            if f.waiting() > Amount::ZERO || f.inside > Amount::ZERO {
                println!("{s} {p} {l} {} {}", f.waiting(), f.inside);
            }
        }
        for (id, l) in &state.loads {
            println!(
                "{id} {:?} {} {} built {} heated {:?} lifted {:?} lost {}",
                l.phase,
                l.canner,
                l.jar_count(),
                l.built_at.0 / 60000,
                l.heated_at.map(|t| t.0 / 60000),
                l.lifted_at.map(|t| t.0 / 60000),
                l.lost.len()
            );
        }
    }
}
