//! The worlds themselves: every day ends with all fruit in packages, under every policy, and again
//! exactly so.

use crate::kitchen::Kitchen;
use crate::policies::{Longest, Stay};
use crate::routes::Kind;
use crate::truth::Truth;
use crate::world::{Policy, World};
use putby::day::{State, apply};

fn works(seed: u64, policy: &mut dyn Policy) -> (f64, f64, State) {
    let kitchen = Kitchen::of(seed);
    let truth = Truth::of(&kitchen);
    let mut world = World::open(&kitchen, &truth);
    let minutes = world.work(policy);
    let name = format!("seed {seed}");
    world
        .board
        .check()
        .unwrap_or_else(|fault| panic!("{name}: {fault}"));
    let mut replayed = State::default();
    for record in &world.records {
        apply(&mut replayed, record.at, record.command, &record.event);
    }
    assert_eq!(replayed, world.board, "{name}");
    for (stop, place) in kitchen.stops.iter().enumerate() {
        if kitchen.stations[place.station].place.kind != Kind::Rack {
            let left = world.board_has(stop);
            assert!(left < 1e-9, "{name}: {left} at {}", place.stage.place);
        }
    }
    // What the board counted as made is what was made.
    let products = kitchen.products.iter();
    let counted: i64 = products
        .map(|made| (world.board.finished(&made.id) + world.board.cooling(&made.id)).0)
        .sum();
    assert_eq!(counted as f64 / 1000.0, world.made, "{name}");
    assert!(
        world.lost <= 0.0,
        "{name}: {} jars stood too long",
        world.lost
    );
    (minutes, world.made, replayed)
}

#[test]
fn every_day_ends_with_all_fruit_in_packages_and_again_exactly_so() {
    for seed in 0..40 {
        let (stay, made, state) = works(seed, &mut Stay);
        let (again, _, same) = works(seed, &mut Stay);
        assert_eq!((stay, &state), (again, &same), "seed {seed}");
        let (_, moved, _) = works(seed, &mut Longest::default());
        // Bowls are cut at other places, so a jar more or less may come of the same fruit.
        assert!((made - moved).abs() <= 3.0, "seed {seed}: {made} {moved}");
    }
}
#[test]
#[ignore]
fn show() {
    let from = std::time::Instant::now();
    let mut all = Vec::new();
    for seed in 0..300 {
        let kitchen = Kitchen::of(seed);
        let truth = Truth::of(&kitchen);
        let mut stay = World::open(&kitchen, &truth);
        let a = stay.work(&mut Stay);
        let mut longest = World::open(&kitchen, &truth);
        let b = longest.work(&mut Longest::default());
        if stay.lost + longest.lost > 0.0 {
            println!("{seed}: lost {} {}", stay.lost, longest.lost);
        }
        if seed < 30 {
            println!(
                "{seed}: {a:.0} {b:.0} made {} people {} stations {} records {} moves {} refused {:?}",
                stay.made,
                kitchen.people.len(),
                kitchen.stations.len(),
                stay.records.len(),
                longest
                    .records
                    .iter()
                    .filter(|r| matches!(r.event, putby::day::Event::SeatTaken { .. }))
                    .count(),
                longest.refused
            );
        }
        all.push((a, b, stay.made));
    }
    println!("{:?}", from.elapsed());
    let q = |f: &dyn Fn(&(f64, f64, f64)) -> f64| {
        let mut v: Vec<f64> = all.iter().map(f).collect();
        v.sort_by(f64::total_cmp);
        [v[0], v[30], v[75], v[150], v[225], v[270], v[299]]
    };
    println!(
        "stay {:?}\nlongest {:?}\ngain {:?}\nmade {:?}",
        q(&|x| x.0),
        q(&|x| x.1),
        q(&|x| x.0 - x.1),
        q(&|x| x.2)
    );
}
