//! What must hold in every run, whatever goes wrong, written without the code that keeps it.

use crate::board::Ended;
use crate::device::Device;
use crate::disk::Disk;
use crate::process::day;
use putby::day::plan::DayPlan;
use putby::day::{self as rules, Event, Record, State};
use putby::engine::{Latest, Receipt};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use uuid::Uuid;

/// What was broken, in words.
pub type Broken = String;

/// What the run has seen so far.
pub struct Truth {
    accepted: BTreeMap<Uuid, Receipt>,
    refused: BTreeSet<Uuid>,
    /// Every order of every device, in the order in which they were given; `false` for one that may
    /// leave out of its order.
    orders: Vec<(usize, Uuid, bool)>,
    opened_by: Uuid,
    views: BTreeMap<u64, Arc<Latest>>,
}

impl Truth {
    pub fn new(opened_by: Uuid) -> Truth {
        Truth {
            accepted: BTreeMap::new(),
            refused: BTreeSet::new(),
            orders: Vec::new(),
            opened_by,
            views: BTreeMap::new(),
        }
    }

    pub fn ordered(&mut self, device: usize, id: Uuid, in_order: bool) {
        self.orders.push((device, id, in_order));
    }

    /// The server has made up its mind: the same id, the same answer, for ever, and only of what is
    /// on disk.
    pub fn verdict(
        &mut self,
        id: Uuid,
        receipt: Option<Receipt>,
        disk: &Disk,
    ) -> Result<(), Broken> {
        let Some(receipt) = receipt else {
            if self.accepted.contains_key(&id) {
                return Err(format!("{id} was accepted and then refused"));
            }
            self.refused.insert(id);
            return Ok(());
        };
        if self.refused.contains(&id) {
            return Err(format!("{id} was refused and then accepted"));
        }
        let first = *self.accepted.entry(id).or_insert(receipt);
        if first != receipt {
            return Err(format!("{id} was answered {first:?} and then {receipt:?}"));
        }
        on_disk(&receipt, disk)
    }

    /// A view is shown: only of events that are on disk, and the same whenever it is shown.
    pub fn shown(&mut self, latest: &Arc<Latest>, disk: &Disk) -> Result<(), Broken> {
        if let Some(known) = self.views.get(&latest.seq) {
            if !Arc::ptr_eq(known, latest) && known.view != latest.view {
                return Err(format!("event {} was shown in two ways", latest.seq));
            }
            return Ok(());
        }
        let written = disk.honest().read(&day(), latest.seq - 1, 1).unwrap();
        if written.is_empty() {
            return Err(format!("event {} was shown and is not on disk", latest.seq));
        }
        self.views.insert(latest.seq, Arc::clone(latest));
        Ok(())
    }

    /// A device shows what the server showed after the same event.
    pub fn device_shows(&self, device: &Device) -> Result<(), Broken> {
        let known = device.board.seq.and_then(|seq| self.views.get(&seq));
        match known {
            Some(latest) if latest.view != device.board.view => Err(format!(
                "device {} shows event {} otherwise than the server",
                device.place, latest.seq
            )),
            _ => Ok(()),
        }
    }

    /// After a restart all that was acknowledged is there. A refusal binds the process that gave it:
    /// one whose answer was lost with it was told to nobody, and `check_told` holds what was told.
    pub fn restarted(&mut self, disk: &Disk) -> Result<(), Broken> {
        self.refused.clear();
        self.recovered(disk)
    }

    fn recovered(&self, disk: &Disk) -> Result<(), Broken> {
        self.accepted
            .values()
            .try_for_each(|receipt| on_disk(receipt, disk))
    }

    pub fn accepted(&self) -> usize {
        self.accepted.len()
    }

    pub fn refused(&self) -> usize {
        self.refused.len()
    }

    /// The end of the run, with the network whole and the queues empty.
    pub fn finish(&self, disk: &Disk, devices: &[Device]) -> Result<u64, Broken> {
        self.recovered(disk)?;
        let journal = disk.honest();
        let end = journal
            .verify(&day())
            .map_err(|trouble| trouble.to_string())?;
        let records = journal.read(&day(), 0, u32::MAX).unwrap();
        let ends = ends_of(&records)?;
        self.check_known(&records)?;
        let state = replay(&records)?;
        check_seats(&records)?;
        let view = serde_json::to_value(rules::view(&state)).unwrap();
        for device in devices {
            if device.board.seq != Some(end) || device.board.view != view {
                let seen = device.board.seq;
                return Err(format!(
                    "device {} ends at {seen:?} of {end}, or shows it otherwise",
                    device.place
                ));
            }
        }
        self.check_told(&ends, devices)?;
        Ok(end)
    }

    /// What each person was told is what happened, and their orders came in their order.
    fn check_told(&self, ends: &BTreeMap<Uuid, u64>, devices: &[Device]) -> Result<(), Broken> {
        let mut last: BTreeMap<usize, u64> = BTreeMap::new();
        for (device, id, in_order) in &self.orders {
            let told = devices[*device].board.ended.get(id);
            let there = ends.get(id);
            match (told, there) {
                (Some(Ended::Accepted), Some(_))
                | (Some(Ended::Refused | Ended::TakenBack), None)
                // What would undo an order that was refused, or never left, is never sent.
                | (None, None) => {}
                _ => return Err(format!("{id}: told {told:?}, in the journal {there:?}")),
            }
            if let Some(seq) = there.filter(|_| *in_order) {
                let before = last.insert(*device, *seq);
                if before.is_some_and(|before| before >= *seq) {
                    return Err(format!("{id} of device {device} overtook another"));
                }
            }
        }
        Ok(())
    }

    /// Nothing is there that nobody ordered, but what the server itself notes of its time.
    fn check_known(&self, records: &[Record]) -> Result<(), Broken> {
        let ordered: BTreeSet<Uuid> = self.orders.iter().map(|(_, id, _)| *id).collect();
        let unknown = records.iter().find(|record| {
            let own = matches!(record.event, Event::TimeWasUnknown { .. });
            !own && record.command != self.opened_by && !ordered.contains(&record.command)
        });
        match unknown {
            Some(record) => Err(format!("nobody ordered event {}", record.seq)),
            None => Ok(()),
        }
    }
}

fn on_disk(receipt: &Receipt, disk: &Disk) -> Result<(), Broken> {
    let found = disk.honest().find(&day(), receipt.id).unwrap();
    match found {
        Some(kept) if (kept.seq, kept.at) == (receipt.seq, receipt.at) => Ok(()),
        other => Err(format!(
            "{receipt:?} was acknowledged, the disk has {other:?}"
        )),
    }
}

/// The last event of each command; the events of one stand together, once.
fn ends_of(records: &[Record]) -> Result<BTreeMap<Uuid, u64>, Broken> {
    let mut ends: BTreeMap<Uuid, u64> = BTreeMap::new();
    for (record, seq) in records.iter().zip(1..) {
        let before = ends.insert(record.command, record.seq);
        if record.seq != seq || before.is_some_and(|before| before + 1 != seq) {
            return Err(format!("event {seq}: {} is there twice", record.command));
        }
    }
    Ok(ends)
}

/// The day from its events, balanced and safe after every command.
fn replay(records: &[Record]) -> Result<State, Broken> {
    let mut state = State::default();
    for (place, record) in records.iter().enumerate() {
        rules::apply(&mut state, record.at, record.command, &record.event);
        let next = records.get(place + 1).map(|record| record.command);
        if next != Some(record.command) {
            state
                .check()
                .map_err(|broken| format!("event {}: {broken}", record.seq))?;
        }
    }
    Ok(state)
}

/// Counts the seats from the events alone: of all who reached for the last one, one has it.
fn check_seats(records: &[Record]) -> Result<(), Broken> {
    let mut seats: BTreeMap<String, usize> = BTreeMap::new();
    let mut seated: BTreeMap<String, String> = BTreeMap::new();
    for (place, record) in records.iter().enumerate() {
        match &record.event {
            Event::DayOpened { plan } => seats = seats_of(plan),
            Event::StationAdded { station, plan } | Event::StationChanged { station, plan } => {
                seats.insert(station.to_string(), plan.seats as usize);
            }
            Event::SeatTaken {
                helper, station, ..
            } => {
                seated.insert(helper.to_string(), station.to_string());
            }
            Event::SeatLeft { helper, station }
                if seated.remove(helper.as_str()).as_deref() != Some(station.as_str()) =>
            {
                return Err(format!("event {}: {helper} did not sit there", record.seq));
            }
            _ => {}
        }
        let next = records.get(place + 1).map(|record| record.command);
        if next == Some(record.command) {
            continue;
        }
        for (station, seats) in &seats {
            let taken = seated.values().filter(|taken| *taken == station).count();
            if taken > *seats {
                return Err(format!("event {}: {taken} on {seats} seats", record.seq));
            }
        }
    }
    Ok(())
}

fn seats_of(plan: &DayPlan) -> BTreeMap<String, usize> {
    let plan: Value = serde_json::to_value(plan).unwrap();
    let stations = plan["stations"].as_object().unwrap().iter();
    stations
        .map(|(id, station)| (id.clone(), station["seats"].as_u64().unwrap() as usize))
        .collect()
}
