//! What a seed stands for: how many devices, who does what when, and what goes wrong until when.

use crate::dice::Dice;
use crate::disk::DiskFaults;
use crate::orders::{Step, orders};
use proptest::strategy::{BoxedStrategy, Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use serde_json::{Value, json};

/// Something a person does at a device.
#[derive(Debug, Clone)]
pub enum Act {
    /// Orders, after `later_ms` of kitchen time. With `hold_ms` it can be taken back meanwhile.
    Order {
        later_ms: i64,
        command: Value,
        hold_ms: i64,
    },
    /// Takes the last order back.
    TakeBack,
    /// Closes the page and opens it again.
    Reload,
    /// Looks at the page again after it was out of sight.
    Wake,
}

/// Something that happens to the world.
#[derive(Debug, Clone, Copy)]
pub enum Fault {
    /// What a device sends is lost, or what is sent to it, or both.
    Cut {
        device: usize,
        up: bool,
        down: bool,
        ms: i64,
    },
    /// The process ends at once, and is back after so long.
    Kill { ms: i64 },
    /// The computer is off for so long, and nobody knows how long that was.
    Reboot { ms: i64 },
}

/// How bad the network is while it is bad.
#[derive(Debug, Clone, Copy, Default)]
pub struct Weather {
    /// Share of what is sent that is lost at each try.
    pub loss: f64,
    /// Share of requests that arrive twice.
    pub twice: f64,
    /// Share of what is sent that takes up to three seconds.
    pub slow: f64,
    /// Pushes are lost, doubled and change places on their way, which no real socket does.
    pub scrambled: bool,
}

#[derive(Debug)]
pub struct Plan {
    pub seed: u64,
    pub devices: usize,
    pub acts: Vec<(i64, usize, Act)>,
    pub faults: Vec<(i64, Fault)>,
    pub weather: Weather,
    pub disk: DiskFaults,
    /// The longest the server waits before it takes a turn.
    pub lazy_ms: i64,
    /// When all that goes wrong ends.
    pub heal_at: i64,
    /// Whether the journal is the real SQL on a database in memory.
    pub sql: bool,
}

/// Makes plans; the strategy is made once, since that takes longer than a run.
pub struct Planner(BoxedStrategy<Vec<Step>>);

impl Planner {
    pub fn new() -> Planner {
        Planner(orders(20..60).boxed())
    }

    pub fn plan(&self, seed: u64) -> Plan {
        let mut dice = Dice::new(seed);
        let devices = dice.between(2, 5) as usize;
        let heal_at = dice.between(5, 60) * 1000;
        let duel = dice.chance(0.2);
        Plan {
            seed,
            devices,
            acts: self.acts(seed, &mut dice, devices, heal_at, duel),
            faults: faults(&mut dice, devices, heal_at),
            weather: weather(&mut dice),
            disk: disk(&mut dice),
            lazy_ms: if dice.chance(0.2) { 400 } else { 8 },
            heal_at,
            sql: seed.is_multiple_of(8),
        }
    }

    fn acts(
        &self,
        seed: u64,
        dice: &mut Dice,
        devices: usize,
        heal_at: i64,
        duel: bool,
    ) -> Vec<(i64, usize, Act)> {
        let mut acts = Vec::new();
        for helper in ["ana", "ben", "cleo", "dov"] {
            let arrive = json!({ "order": "arrive", "helper": helper });
            acts.push((0, 0, order(0, arrive, 0)));
        }
        let boxes = [
            ("hill", "halves"),
            ("yard", "base"),
            ("cellar", "clean-jars"),
        ];
        for (lot, product) in boxes {
            let open = json!({ "order": "open-box", "lot": lot, "product": product });
            acts.push((0, 0, order(0, open, 0)));
        }
        for step in self.steps(seed) {
            let (at, device) = (dice.between(0, heal_at), dice.place(devices));
            let hold_ms = if dice.chance(0.1) { 1500 } else { 0 };
            let command = serde_json::to_value(&step.command).unwrap();
            acts.push((at, device, order(step.later_ms, command, hold_ms)));
            if dice.chance(0.08) {
                acts.push((at + dice.between(0, 2500), device, Act::TakeBack));
            }
            if dice.chance(0.04) {
                acts.push((at + dice.between(0, 3000), device, Act::Reload));
            }
            if dice.chance(0.04) {
                acts.push((at + dice.between(0, 9000), device, Act::Wake));
            }
        }
        if duel {
            let at = dice.between(0, heal_at);
            for (device, helper) in (0..devices).zip(["ana", "ben", "dov", "ana", "ben"]) {
                let claim = json!({ "order": "claim", "helper": helper, "station": "jars" });
                acts.push((at + dice.between(0, 20), device, order(0, claim, 0)));
            }
        }
        // A stable order of what happens at the same time.
        acts.sort_by_key(|(at, device, _)| (*at, *device));
        acts
    }

    fn steps(&self, seed: u64) -> Vec<Step> {
        let mut bytes = [0; 32];
        bytes[..8].copy_from_slice(&seed.to_le_bytes());
        let chance = TestRng::from_seed(RngAlgorithm::ChaCha, &bytes);
        let mut runner = TestRunner::new_with_rng(Config::default(), chance);
        self.0.new_tree(&mut runner).unwrap().current()
    }
}

fn order(later_ms: i64, command: Value, hold_ms: i64) -> Act {
    Act::Order {
        later_ms,
        command,
        hold_ms,
    }
}

fn faults(dice: &mut Dice, devices: usize, heal_at: i64) -> Vec<(i64, Fault)> {
    let mut faults = Vec::new();
    for _ in 0..dice.between(0, 6) {
        let at = dice.between(0, heal_at);
        let ms = dice.between(1, heal_at - at + 1);
        let fault = match dice.place(8) {
            0 => Fault::Kill { ms: ms.min(4000) },
            1 => Fault::Reboot { ms: ms.min(9000) },
            kind => Fault::Cut {
                device: dice.place(devices),
                up: kind != 2,
                down: kind != 3,
                ms,
            },
        };
        faults.push((at, fault));
    }
    faults.sort_by_key(|(at, _)| *at);
    faults
}

fn weather(dice: &mut Dice) -> Weather {
    let some = |dice: &mut Dice, most: f64| {
        if dice.chance(0.5) {
            dice.share() * most
        } else {
            0.0
        }
    };
    Weather {
        loss: some(dice, 0.5),
        twice: some(dice, 0.3),
        slow: some(dice, 0.3),
        scrambled: dice.chance(0.2),
    }
}

fn disk(dice: &mut Dice) -> DiskFaults {
    let some = |dice: &mut Dice, most: f64| {
        if dice.chance(0.4) {
            dice.share() * most
        } else {
            0.0
        }
    };
    DiskFaults {
        full: some(dice, 0.5),
        mute: some(dice, 0.2),
        unsure: some(dice, 0.05),
        cut_before: some(dice, 0.05),
        cut_after: some(dice, 0.05),
        shut: some(dice, 0.2),
    }
}
