//! The fuzzer's functions on what is known already: the wire's own lines, the written files, whatever
//! once made one of them fail (`fixtures/hunt/fuzz`), and each of these with a little broken.

use crate::dice::Dice;
use crate::targets;
use std::fs;
use std::path::Path;

type Target = (&'static str, fn(&[u8]));

const TARGETS: &[Target] = &[
    ("command", targets::command),
    ("day_plan", targets::day_plan),
    ("event", targets::event),
    ("apply", targets::apply),
    ("carried", targets::carried),
    ("database", targets::database),
    ("prepare", targets::prepare),
    ("season", targets::season),
    ("shelf_order", targets::shelf_order),
    ("shelf_orders", targets::shelf_orders),
];

fn fixtures() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures")
}

fn lines(file: &str) -> Vec<Vec<u8>> {
    let text = fs::read(fixtures().join(file)).unwrap();
    text.split(|byte| *byte == b'\n')
        .map(<[u8]>::to_vec)
        .collect()
}

#[test]
fn what_made_a_target_fail_makes_none_fail_any_more() {
    for (name, target) in TARGETS {
        let folder = fixtures().join("hunt/fuzz").join(name);
        let Ok(files) = fs::read_dir(folder) else {
            continue;
        };
        for file in files {
            target(&fs::read(file.unwrap().path()).unwrap());
        }
    }
}

#[test]
fn every_target_takes_the_written_files_and_what_is_nearly_them() {
    let mut dice = Dice::new(1);
    let wire = ["wire/commands.ndjson", "wire/events.ndjson"]
        .map(lines)
        .concat();
    let files = [
        "prepare/family.json",
        "prepare/season.json",
        "demo/day.json",
    ]
    .map(|file| fs::read(fixtures().join(file)).unwrap());
    for input in wire.iter().chain(&files) {
        let broken = nearly(input, &mut dice);
        for (name, target) in TARGETS {
            // A database takes much longer to open than a line to read.
            if *name != "database" && *name != "carried" || dice.chance(0.1) {
                target(input);
                target(&broken);
            }
        }
    }
}

/// The input with a few bytes changed, doubled or left out.
fn nearly(input: &[u8], dice: &mut Dice) -> Vec<u8> {
    let mut bytes = input.to_vec();
    for _ in 0..dice.between(1, 3) {
        if bytes.is_empty() {
            break;
        }
        let place = dice.place(bytes.len());
        match dice.place(4) {
            0 => bytes[place] = u8::try_from(dice.between(0, 255)).unwrap(),
            1 => bytes.insert(place, bytes[place]),
            2 => drop(bytes.remove(place)),
            _ => bytes.truncate(place),
        }
    }
    bytes
}

#[test]
fn orders_chosen_by_any_bytes_leave_a_sound_day_and_shelf() {
    let mut dice = Dice::new(2);
    for _ in 0..60 {
        let length = dice.between(50, 400);
        let bytes = (0..length).map(|_| u8::try_from(dice.between(0, 255)).unwrap());
        let bytes: Vec<u8> = bytes.collect();
        targets::apply(&bytes);
        targets::shelf_orders(&bytes);
    }
}
