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
