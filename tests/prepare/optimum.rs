//! The optimum against trying everything, and against a second solver of another kind (constraint
//! programming with clause learning; the first is branch and bound over a simplex).

use crate::support::{ask, plenty};
use pumpkin_solver::conflict_resolvers::resolvers::ResolutionResolver;
use pumpkin_solver::core::optimisation::OptimisationDirection;
use pumpkin_solver::core::optimisation::linear_sat_unsat::LinearSatUnsat;
use pumpkin_solver::core::results::{OptimisationResult, ProblemSolution, SolutionReference};
use pumpkin_solver::core::termination::Indefinite;
use pumpkin_solver::core::variables::TransformableVariable;
use pumpkin_solver::core::{DefaultBrancher, Solver};
use putby::prepare::Ask;
use putby::prepare::options::{Choice, choices};
use putby::prepare::programme::{Programme, needed};
use putby::prepare::solve::solve;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::json;
use std::collections::BTreeMap;
use std::ops::ControlFlow;

/// A small ask drawn from a seed: two produce, three uses, few packages, little of everything.
fn drawn(seed: u64) -> Ask {
    let mut draw = ChaCha8Rng::seed_from_u64(seed);
    let mut value = plenty();
    let start = 1_789_203_600_000_i64;
    value["start_at"] = json!(start);
    value["cut_off_at"] = json!(start + draw.random_range(120..420) * 60_000);
    value["there_is"] = json!({
        "a": {"produce": "pears", "amount": draw.random_range(2..16) * 1000, "unit": "lb"},
        "b": {"produce": "peaches", "amount": draw.random_range(2..16) * 1000, "unit": "lb"},
    });
    let packages = [
        ("half-pints", json!({"is": "jar", "jar": "half-pint"})),
        ("pints", json!({"is": "jar", "jar": "pint"})),
        ("quarts", json!({"is": "jar", "jar": "quart"})),
        ("bags", json!({"is": "bag", "holds": 750})),
    ];
    let mut those = serde_json::Map::new();
    for (id, container) in packages {
        if draw.random_bool(0.6) {
            let have = draw.random_range(0..6) * 1000;
            those.insert(
                id.into(),
                json!({"container": container, "stock": {"have": have}}),
            );
        }
    }
    if those.is_empty() {
        let pints = json!({"container": {"is": "jar", "jar": "pint"}, "stock": {"have": 4000}});
        those.insert("pints".into(), pints);
    }
    value["packages"] = json!(those);
    value["lids"] = json!({"have": draw.random_range(0..12) * 1000});
    value["freezer"] = json!({"cubic_ft": draw.random_range(0..6) * 1000});
    value["kitchen"]["canners"]["a"]["holds"] = json!({"half-pint": 3, "pint": 3, "quart": 2});
    let mut uses = serde_json::Map::new();
    for (id, produce) in [("x", "pears"), ("y", "peaches"), ("z", "pears")] {
        let keep = ["shelf", "freezer", "either"][draw.random_range(0..3_usize)];
        let one = json!({
            "name": id, "produce": produce,
            "keep": keep,
            "amount": draw.random_range(1..9) * 500, "unit": "cup",
            "times": 1000, "per": "week", "weeks": draw.random_range(1..6) * 1000,
            "opened_days": draw.random_range(0..2) * 7,
            "worth": draw.random_range(1..5) * 500
        });
        if draw.random_bool(0.8) || uses.is_empty() {
            uses.insert(id.into(), one);
        }
    }
    value["uses"] = json!(uses);
    ask(&value)
}

/// The best value by trying every number of packages, counted from the ask's own words and not
/// from the programme: eaten quarts times worth, less what is left over, packages and loads.
fn by_trying_all(ask: &Ask, choices: &[Choice]) -> i64 {
    let mut best = i64::MIN;
    let most: Vec<i64> = choices.iter().map(|choice| most_of(ask, choice)).collect();
    let mut packages = vec![0; choices.len()];
    loop {
        if let Some(value) = value_of(ask, choices, &packages) {
            best = best.max(value);
        }
        let Some(next) = (0..packages.len()).find(|number| packages[*number] < most[*number])
        else {
            return best;
        };
        packages[..next].fill(0);
        packages[next] += 1;
    }
}

fn most_of(ask: &Ask, choice: &Choice) -> i64 {
    let stock = ask.packages[&choice.package].stock;
    let of_use = needed(ask, &choice.use_id) * choice.opened;
    of_use.min((stock.have.0 + stock.more.0) / 1000)
}

fn value_of(ask: &Ask, choices: &[Choice], packages: &[i64]) -> Option<i64> {
    let mut value = 0;
    let mut produce: BTreeMap<&str, f64> = BTreeMap::new();
    let mut sizes: BTreeMap<&str, i64> = BTreeMap::new();
    let (mut jars, mut frozen) = (0, 0.0);
    let mut serves: BTreeMap<&str, i64> = BTreeMap::new();
    let mut loads: BTreeMap<(String, String), (i64, i64, i64)> = BTreeMap::new();
    for (choice, count) in choices.iter().zip(packages) {
        let one = &ask.uses[&choice.use_id];
        value -= count * (choice.usable.0 + 10);
        // Packages that are opened together must all be there.
        *serves.entry(&choice.use_id).or_default() += match choice.serves {
            1 => count / choice.opened,
            each => count * each,
        };
        *sizes.entry(&choice.package).or_default() += count;
        let ratio = choice.pounds.typical;
        let each = ratio.from as f64 / ratio.made as f64;
        *produce.entry(&one.produce).or_default() += each * *count as f64;
        match choice.container.jar() {
            Some(jar) => {
                jars += count;
                let process = &choice.processes[0];
                let holds = i64::from(ask.kitchen.canners.values().next().unwrap().holds[&jar]);
                // Load 5, boil up 25, rest 5, unload 5, and the process.
                let cycle = 40 + i64::from(process.minutes);
                let key = (process.product.clone(), jar.to_string());
                let load = loads.entry(key).or_insert((0, holds, cycle));
                load.0 += count;
            }
            None => {
                let water = 2.1 * choice.container.holds().0 as f64 / 1000.0;
                frozen += *count as f64 * each.max(water);
            }
        }
    }
    for (id, there) in serves {
        let one = &ask.uses[id];
        let eaten = there.min(needed(ask, id));
        value += eaten * (one.portion().0 * (one.worth.0 + 1000) / 1000);
    }
    let has = |name: &str| -> f64 {
        let lots = ask.there_is.values().filter(|lot| lot.produce == name);
        lots.map(|lot| lot.amount.0 as f64 / 1000.0).sum()
    };
    let mut minutes = 0;
    for (count, holds, cycle) in loads.into_values() {
        let number = (count + holds - 1) / holds;
        value -= number;
        minutes += number * cycle;
    }
    let window = (ask.cut_off_at.unwrap().0 - ask.start_at.unwrap().0) / 60_000 - 60;
    let hair = 1e-6;
    let fits = produce
        .iter()
        .all(|(name, pounds)| *pounds <= has(name) + hair)
        && sizes
            .iter()
            .all(|(id, count)| *count * 1000 <= ask.packages[*id].stock.have.0)
        && (jars * 11 + 9) / 10 * 1000 <= ask.lids.have.0
        && frozen <= 2.0 * ask.freezer.unwrap().cubic_ft.0 as f64 / 1000.0 + 0.01
        && minutes <= window.max(0);
    fits.then_some(value)
}

/// The optimum of the programme by the second solver.
fn by_second_solver(programme: &Programme) -> i64 {
    let small = |number: i64| i32::try_from(number).unwrap();
    let mut solver = Solver::default();
    let columns: Vec<_> = programme
        .columns
        .iter()
        .map(|column| solver.new_bounded_integer(small(column.least), small(column.most)))
        .collect();
    for row in &programme.rows {
        let terms: Vec<_> = row
            .terms
            .iter()
            .map(|(column, factor)| columns[*column].scaled(small(*factor)))
            .collect();
        // What is left of such a row is always kept.
        let most = i32::try_from(row.most).unwrap_or(i32::MAX / 4);
        let tag = solver.new_constraint_tag();
        solver
            .add_constraint(pumpkin_solver::less_than_or_equals(terms, most, tag))
            .post();
    }
    let worth = solver.new_bounded_integer(-1_000_000, 1_000_000);
    let mut terms: Vec<_> = programme
        .columns
        .iter()
        .zip(&columns)
        .map(|(column, variable)| variable.scaled(small(column.worth)))
        .collect();
    terms.push(worth.scaled(-1));
    let tag = solver.new_constraint_tag();
    solver
        .add_constraint(pumpkin_solver::equals(terms, 0, tag))
        .post();
    let mut brancher = solver.default_brancher();
    let mut resolver = ResolutionResolver::default();
    let go_on = |_: &Solver, _: SolutionReference, _: &DefaultBrancher, _: &ResolutionResolver| {
        ControlFlow::<()>::Continue(())
    };
    let procedure = LinearSatUnsat::new(OptimisationDirection::Maximise, worth, go_on);
    let result = solver.optimise(&mut brancher, &mut Indefinite, &mut resolver, procedure);
    match result {
        OptimisationResult::Optimal(found) => i64::from(found.get_integer_value(worth)),
        _ => panic!("the second solver found no optimum"),
    }
}

#[test]
fn nothing_is_better_than_what_is_proposed() {
    let (mut tried, mut made) = (0, 0);
    for seed in 0..120 {
        let ask = drawn(seed);
        let (choices, _) = choices(&ask);
        let ways: i64 = choices
            .iter()
            .map(|choice| most_of(&ask, choice) + 1)
            .product();
        if ways > 60_000 {
            continue;
        }
        let programme = Programme::of(&ask, &choices);
        let solved = solve(&programme, &choices).unwrap();
        assert!(solved.proven, "seed {seed}");
        let value = programme.value(&solved.found);
        assert_eq!(value, by_trying_all(&ask, &choices), "seed {seed}");
        tried += 1;
        made += i32::from(value > 0);
    }
    assert!(
        tried >= 60 && made >= 30,
        "{tried} tried, {made} with something made"
    );
}

#[test]
fn a_second_solver_finds_the_same_optimum() {
    let mut made = 0;
    for seed in 0..30 {
        let ask = drawn(1000 + seed);
        let (choices, _) = choices(&ask);
        let programme = Programme::of(&ask, &choices);
        let solved = solve(&programme, &choices).unwrap();
        let value = programme.value(&solved.found);
        assert_eq!(value, by_second_solver(&programme), "seed {}", 1000 + seed);
        made += i32::from(value > 0);
    }
    assert!(made >= 10, "only {made} asks with something made");
}
