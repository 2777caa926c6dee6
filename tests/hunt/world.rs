//! One simulated run: devices, air, a server and its disk under one seeded schedule. One thread, no
//! real time, no network, no disk. What is sent is tried again and again as TCP does; a request
//! whose sender has given up may still arrive, but never at another process than it was sent to.

use crate::device::{Device, Timer, What, Wish};
use crate::dice::Dice;
use crate::disk::{Disk, DiskFaults};
use crate::kitchen;
use crate::plan::{Act, Fault, Plan, Weather};
use crate::process::{Answer, Ask, Crashed, KitchenClock, Process};
use crate::truth::{Broken, Truth};
use putby::day::{Command, Role};
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::sync::Arc;

/// When faults have ended, every order is answered and every device is up to date within this, and
/// the time that a slow server takes for each order that waits in the longest queue.
const CALM_MS: i64 = 10_000;
/// How long what is slow can be under way: until it has come, a network is not whole.
const SLOW_MS: i64 = 3000;
/// The first pause before something is sent once more; each next is twice as long.
const RESEND_MS: i64 = 200;
const RESENDS: u32 = 7;

#[derive(Debug, Clone)]
enum Load {
    Ask { number: u64, what: What },
    Connect(u64),
    StillThere(u64),
    Answer { number: u64, answer: Answer },
    Frame { connection: u64, push: Value },
    HangUp(u64),
}

#[derive(Debug, Clone)]
struct Parcel {
    device: usize,
    up: bool,
    load: Load,
    tries: u32,
    /// The process it was sent to or by; no other gets it.
    process: u64,
}

#[derive(Debug)]
enum Happening {
    Act(usize),
    Fault(Fault),
    Mend {
        device: usize,
        up: bool,
        down: bool,
    },
    Boot(u64),
    Heal,
    Turn(u64),
    Fly(Parcel),
    Arrive(Parcel),
    GiveUp {
        device: usize,
        life: u64,
        number: u64,
    },
    Timer {
        device: usize,
        life: u64,
        timer: Timer,
    },
}

struct Connection {
    device: usize,
    waiting: VecDeque<Value>,
    flying: bool,
}

/// What a run came to.
#[derive(Debug, PartialEq, Eq)]
pub struct Outcome {
    pub events: u64,
    pub accepted: usize,
    pub refused: usize,
    pub crashes: u64,
    /// How long after the faults had ended all was answered and shown.
    pub calm_after_ms: i64,
}

pub struct World<'a> {
    plan: &'a Plan,
    now: i64,
    happenings: BTreeMap<(i64, u64), Happening>,
    count: u64,
    dice: Dice,
    weather: Weather,
    /// How many cuts there are of each device's way up and down.
    cuts: Vec<(u32, u32)>,
    pub devices: Vec<Device>,
    connections: BTreeMap<u64, Connection>,
    disk: Arc<Disk>,
    clock: Arc<KitchenClock>,
    process: Option<Process>,
    /// How many processes there were before this one.
    crashes: u64,
    turn_due: bool,
    /// When all must be answered and shown.
    calm_by: i64,
    truth: Truth,
    /// Whether everything that happens is printed.
    pub told: bool,
}

impl<'a> World<'a> {
    /// The world at the beginning of a run: the day is open and the devices have their page open.
    pub fn new(plan: &'a Plan, traced: bool) -> World<'a> {
        let mut dice = Dice::new(plan.seed ^ 0xa12);
        let disk = Disk::new(plan.seed, plan.sql);
        let clock = KitchenClock::new();
        let opened_by = dice.id();
        let mut process = Process::start(&disk, &clock);
        let open = Command::OpenDay {
            plan: Box::new(kitchen::plan()),
        };
        let ask = Ask::Command {
            id: opened_by,
            command: serde_json::to_value(&open).unwrap(),
            role: Role::Lead,
        };
        process.ask((usize::MAX, 0), ask);
        let opened = process.turn().map_err(|Crashed| "crashed").unwrap();
        assert_eq!(
            opened.answers[0].1.status, 200,
            "the test kitchen is refused"
        );
        let role = |place: usize| match (place, plan.seed % 3) {
            (0, _) | (_, 0) => Role::Lead,
            _ => Role::Helper,
        };
        let device = |place| Device::new(place, role(place), plan.seed, traced);
        let mut world = World {
            plan,
            now: 0,
            happenings: BTreeMap::new(),
            count: 0,
            dice,
            weather: plan.weather,
            cuts: vec![(0, 0); plan.devices],
            devices: (0..plan.devices).map(device).collect(),
            connections: BTreeMap::new(),
            disk,
            clock,
            process: Some(process),
            crashes: 0,
            turn_due: false,
            calm_by: i64::MAX,
            truth: Truth::new(opened_by),
            told: false,
        };
        world.disk.set_faults(plan.disk);
        for (place, (at, _, _)) in plan.acts.iter().enumerate() {
            world.at(*at, Happening::Act(place));
        }
        for (at, fault) in &plan.faults {
            world.at(*at, Happening::Fault(*fault));
        }
        world.at(plan.heal_at, Happening::Heal);
        for place in 0..plan.devices {
            world.grant(place);
        }
        world
    }

    /// Lets everything happen, and says what it came to.
    ///
    /// # Errors
    /// What was broken, with the moment.
    pub fn run(&mut self) -> Result<Outcome, Broken> {
        loop {
            let next = self.happenings.pop_first();
            let Some(((at, _), happening)) = next else {
                return Err("nothing happens any more".to_owned());
            };
            if at > self.calm_by {
                return Err(self.unfinished());
            }
            self.clock.pass(at - self.now);
            self.now = at;
            if self.told {
                println!("{at:>6} {}", shortened(&format!("{happening:?}")));
            }
            self.happen(happening)
                .map_err(|broken| format!("at {at} ms: {broken}"))?;
            if self.is_calm() {
                break;
            }
        }
        let events = self.truth.finish(&self.disk, &self.devices)?;
        Ok(Outcome {
            events,
            accepted: self.truth.accepted(),
            refused: self.truth.refused(),
            crashes: self.crashes,
            calm_after_ms: self.now - self.plan.heal_at,
        })
    }

    fn is_calm(&self) -> bool {
        self.now >= self.plan.heal_at
            && self.devices.iter().all(|device| device.board.is_idle())
            && self.latest().is_some_and(|end| {
                let mut devices = self.devices.iter();
                devices.all(|device| device.board.seq == Some(end))
            })
    }

    fn latest(&self) -> Option<u64> {
        self.process.as_ref()?.latest()
    }

    fn unfinished(&self) -> Broken {
        let end = self.latest();
        let devices = self.devices.iter().map(|device| {
            let (waiting, seq) = (device.board.waiting(), device.board.seq);
            format!(
                "device {} has {waiting} unanswered and shows {seq:?}",
                device.place
            )
        });
        let devices: Vec<String> = devices.collect();
        format!(
            "{} ms after the faults, at {end:?}: {}",
            self.calm_by - self.plan.heal_at,
            devices.join("; ")
        )
    }

    fn at(&mut self, at: i64, happening: Happening) {
        self.count += 1;
        self.happenings.insert((at, self.count), happening);
    }

    fn after(&mut self, ms: i64, happening: Happening) {
        self.at(self.now + ms, happening);
    }

    fn happen(&mut self, happening: Happening) -> Result<(), Broken> {
        match happening {
            Happening::Act(place) => {
                let (_, device, act) = &self.plan.acts[place];
                self.act(*device, act);
                self.grant(*device);
            }
            Happening::Fault(fault) => self.fault(fault),
            Happening::Mend { device, up, down } => {
                let cuts = &mut self.cuts[device];
                cuts.0 = cuts.0.saturating_sub(u32::from(up));
                cuts.1 = cuts.1.saturating_sub(u32::from(down));
            }
            Happening::Boot(process) => self.boot(process)?,
            Happening::Heal => self.heal()?,
            Happening::Turn(process) => self.turn(process)?,
            Happening::Fly(parcel) => self.fly(parcel),
            Happening::Arrive(parcel) if parcel.up => self.reach_server(parcel),
            Happening::Arrive(parcel) => self.reach_device(parcel)?,
            Happening::GiveUp {
                device,
                life,
                number,
            } => {
                if self.devices[device].life == life {
                    let now = self.now;
                    self.devices[device].answered(number, 0, &Value::Null, 0, now);
                    self.grant(device);
                }
            }
            Happening::Timer {
                device,
                life,
                timer,
            } => {
                if self.devices[device].life == life {
                    let now = self.now;
                    self.devices[device].timer(timer, now);
                    self.grant(device);
                }
            }
        }
        Ok(())
    }

    fn act(&mut self, place: usize, act: &Act) {
        let now = self.now;
        let device = &mut self.devices[place];
        match act {
            Act::Order {
                later_ms,
                command,
                hold_ms,
            } => {
                self.clock.pass(*later_ms);
                let id = device.order(command.clone(), *hold_ms, now);
                self.truth.ordered(place, id, *hold_ms == 0);
            }
            Act::TakeBack => {
                let undo = json!({ "order": "note", "on": { "about": "day" }, "text": "undone" });
                if let Some(id) = device.take_back(undo, now) {
                    self.truth.ordered(place, id, false);
                }
            }
            Act::Reload => device.reload(now),
            Act::Wake => device.wake(now),
        }
    }

    /// Does what a device wishes.
    fn grant(&mut self, place: usize) {
        let (life, process) = (self.devices[place].life, self.crashes);
        for wish in self.devices[place].wishes() {
            match wish {
                Wish::Request {
                    number,
                    what,
                    limit_ms,
                } => {
                    let give_up = Happening::GiveUp {
                        device: place,
                        life,
                        number,
                    };
                    self.after(limit_ms, give_up);
                    self.send(place, true, Load::Ask { number, what }, process);
                }
                Wish::Connect(connection) => {
                    self.send(place, true, Load::Connect(connection), process);
                }
                Wish::Disconnect(connection) => {
                    self.connections.remove(&connection);
                    if let Some(process) = &mut self.process {
                        process.leave(connection);
                    }
                }
                Wish::AskSocket(connection) => {
                    self.send(place, true, Load::StillThere(connection), process);
                }
                Wish::Timer { timer, ms } => {
                    let timer = Happening::Timer {
                        device: place,
                        life,
                        timer,
                    };
                    self.after(ms, timer);
                }
            }
        }
    }

    fn send(&mut self, device: usize, up: bool, load: Load, process: u64) {
        let twice = up && matches!(load, Load::Ask { .. }) && self.dice.chance(self.weather.twice);
        let parcel = Parcel {
            device,
            up,
            load,
            tries: 0,
            process,
        };
        if twice {
            self.fly(parcel.clone());
        }
        self.fly(parcel);
    }

    fn fly(&mut self, mut parcel: Parcel) {
        let (up, down) = self.cuts[parcel.device];
        let cut = if parcel.up { up > 0 } else { down > 0 };
        if !cut && !self.dice.chance(self.weather.loss) {
            let slow = self.dice.chance(self.weather.slow);
            let ms = if slow {
                self.dice.between(20, SLOW_MS)
            } else {
                self.dice.between(1, 10)
            };
            return self.after(ms, Happening::Arrive(parcel));
        }
        // What a process had in hand to send is gone with it.
        if parcel.tries < RESENDS && parcel.process == self.crashes {
            parcel.tries += 1;
            let pause = RESEND_MS << (parcel.tries - 1);
            self.after(pause, Happening::Fly(parcel));
        }
    }

    fn reach_server(&mut self, parcel: Parcel) {
        let device = parcel.device;
        let same = parcel.process == self.crashes;
        let Some(process) = self.process.as_mut().filter(|_| same) else {
            // Nobody listens, or the connection is one of another process.
            let refused = match parcel.load {
                Load::Ask { number, .. } => Load::Answer {
                    number,
                    answer: nothing(),
                },
                Load::Connect(connection) | Load::StillThere(connection) => {
                    Load::HangUp(connection)
                }
                _ => return,
            };
            return self.send(device, false, refused, self.crashes);
        };
        match parcel.load {
            Load::Ask { number, what } => {
                let ask = match what {
                    What::Probe(_) => {
                        let answer = Answer {
                            status: 200,
                            ..nothing()
                        };
                        return self.send(
                            device,
                            false,
                            Load::Answer { number, answer },
                            self.crashes,
                        );
                    }
                    What::Fetch => Ask::View,
                    What::Post { id, command } => Ask::Command {
                        id,
                        command,
                        role: self.devices[device].role,
                    },
                };
                process.ask((device, number), ask);
            }
            Load::Connect(connection) => {
                if self.devices[device].socket != Some(connection) {
                    return;
                }
                process.join(connection);
                let connected = Connection {
                    device,
                    waiting: VecDeque::new(),
                    flying: false,
                };
                self.connections.insert(connection, connected);
            }
            Load::StillThere(connection) => {
                let Some(line) = self.connections.get_mut(&connection) else {
                    return self.send(device, false, Load::HangUp(connection), self.crashes);
                };
                line.waiting.push_back(json!({ "push": "here" }));
                return self.pump(connection);
            }
            _ => unreachable!("only a server sends this"),
        }
        self.expect_turn();
    }

    fn expect_turn(&mut self) {
        if !self.turn_due {
            self.turn_due = true;
            let ms = self.dice.between(0, self.plan.lazy_ms);
            self.after(ms, Happening::Turn(self.crashes));
        }
    }

    fn turn(&mut self, number: u64) -> Result<(), Broken> {
        if number != self.crashes {
            return Ok(());
        }
        self.turn_due = false;
        let Some(process) = &mut self.process else {
            return Ok(());
        };
        let Ok(done) = process.turn() else {
            let ms = self.dice.between(50, 3000);
            self.crash(ms, true);
            return Ok(());
        };
        if let Some(latest) = &done.latest {
            self.truth.shown(latest, &self.disk)?;
        }
        for (id, receipt) in done.verdicts {
            self.truth.verdict(id, receipt, &self.disk)?;
        }
        for ((device, number), answer) in done.answers {
            if device < self.devices.len() {
                self.send(device, false, Load::Answer { number, answer }, self.crashes);
            }
        }
        for connection in done.turned_away {
            if let Some(line) = self.connections.remove(&connection) {
                self.send(line.device, false, Load::HangUp(connection), self.crashes);
            }
        }
        let mut told = BTreeSet::new();
        for (connection, push) in done.frames {
            if let Some(line) = self.connections.get_mut(&connection) {
                line.waiting.push_back(push);
                told.insert(connection);
            }
        }
        told.into_iter()
            .for_each(|connection| self.pump(connection));
        Ok(())
    }

    /// Sends the next frame of a connection, or all of them in any order where that is so.
    fn pump(&mut self, connection: u64) {
        let scrambled = self.weather.scrambled;
        let Some(line) = self.connections.get_mut(&connection) else {
            return;
        };
        let device = line.device;
        if scrambled {
            for push in std::mem::take(&mut line.waiting) {
                let copies = [0, 1, 1, 1, 2][self.dice.place(5)];
                for _ in 0..copies {
                    let load = Load::Frame {
                        connection,
                        push: push.clone(),
                    };
                    self.send(device, false, load, self.crashes);
                }
            }
        } else if !line.flying
            && let Some(push) = line.waiting.pop_front()
        {
            line.flying = true;
            let load = Load::Frame { connection, push };
            self.send(device, false, load, self.crashes);
        }
    }

    fn reach_device(&mut self, parcel: Parcel) -> Result<(), Broken> {
        let (place, now) = (parcel.device, self.now);
        match parcel.load {
            Load::Answer { number, answer } => {
                self.devices[place].answered(
                    number,
                    answer.status,
                    &answer.body,
                    answer.retry_after_s,
                    now,
                );
            }
            Load::Frame { connection, push } => {
                self.devices[place].frame(connection, &push, now);
                if let Some(line) = self.connections.get_mut(&connection) {
                    line.flying = false;
                }
                self.pump(connection);
            }
            Load::HangUp(connection) => self.devices[place].hung_up(connection, now),
            _ => unreachable!("only a device sends this"),
        }
        self.truth.device_shows(&self.devices[place])?;
        self.grant(place);
        Ok(())
    }

    fn fault(&mut self, fault: Fault) {
        match fault {
            Fault::Cut {
                device,
                up,
                down,
                ms,
            } => {
                let cuts = &mut self.cuts[device];
                cuts.0 += u32::from(up);
                cuts.1 += u32::from(down);
                self.after(ms, Happening::Mend { device, up, down });
            }
            Fault::Kill { ms } => self.crash(ms, true),
            Fault::Reboot { ms } => {
                self.clock.reboot(ms * 60);
                self.crash(ms, false);
            }
        }
    }

    /// The process ends; its system says so to every device, unless the whole computer is off.
    fn crash(&mut self, ms: i64, told: bool) {
        if self.process.take().is_none() {
            return;
        }
        self.crashes += 1;
        self.turn_due = false;
        for (connection, line) in std::mem::take(&mut self.connections) {
            if told {
                self.send(line.device, false, Load::HangUp(connection), self.crashes);
            }
        }
        self.after(ms, Happening::Boot(self.crashes));
    }

    fn boot(&mut self, number: u64) -> Result<(), Broken> {
        if self.process.is_some() || number != self.crashes {
            return Ok(());
        }
        self.disk.after_crash();
        self.truth.restarted(&self.disk)?;
        self.process = Some(Process::start(&self.disk, &self.clock));
        Ok(())
    }

    fn heal(&mut self) -> Result<(), Broken> {
        let queues = self.devices.iter().map(|device| device.board.waiting());
        // A device sends its orders one after the other.
        let longest = i64::try_from(queues.max().unwrap_or(0)).unwrap();
        let late = if self.plan.weather.slow > 0.0 {
            SLOW_MS
        } else {
            0
        };
        self.calm_by = self.now + late + CALM_MS + longest * self.plan.lazy_ms;
        let scrambled = std::mem::take(&mut self.weather).scrambled;
        self.disk.set_faults(DiskFaults::default());
        self.cuts.fill((0, 0));
        self.boot(self.crashes)?;
        if scrambled {
            // Such a line cannot be mended; whoever is on it joins anew.
            for (connection, line) in std::mem::take(&mut self.connections) {
                if let Some(process) = &mut self.process {
                    process.leave(connection);
                }
                self.send(line.device, false, Load::HangUp(connection), self.crashes);
            }
        }
        Ok(())
    }
}

fn shortened(text: &str) -> String {
    text.chars().take(220).collect()
}

fn nothing() -> Answer {
    Answer {
        status: 0,
        body: Value::Null,
        retry_after_s: 0,
    }
}
