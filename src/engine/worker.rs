//! A day's thread: its state, its journal, and the order in which things happen.
//!
//! For each group of waiting commands: decide every one, append all events with one sync, show the
//! new view, answer. When anything goes wrong in between, the state is thrown away and read from
//! the journal again, so it never holds what the disk does not.

use super::attendant::Attendant;
use super::disk::Disk;
use super::feed::Feed;
use super::handle::{LEFT, Look, Message, Order, Receipt, Reply, Unanswered};
use super::load::Loaded;
use super::refused::Refused;
use crate::clock::Clock;
use crate::day::ids::DayId;
use crate::day::state::{Phase, State};
use crate::day::{self, Moment, Role};
use crate::journal::{Digest, Entry, Journals, Trouble};
use crate::measures::{Measures, Outcome};
use std::collections::VecDeque;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::Receiver;
use std::time::Instant;
use uuid::Uuid;

/// How many commands share one sync at most.
const GROUP: usize = 256;

pub(super) struct Worker {
    day: DayId,
    journals: Arc<dyn Journals>,
    feed: Arc<Feed>,
    clock: Arc<dyn Clock>,
    disk: Arc<Disk>,
    /// Who is told that the day is open; `None` once that was said, and if nobody wants to know.
    attendant: Option<Arc<dyn Attendant>>,
    measures: Arc<Measures>,
    /// How many orders and questions were sent and not yet taken.
    waiting: Arc<AtomicUsize>,
    /// `None` before the first use and after trouble: read from the journal when next needed.
    loaded: Option<Loaded>,
    refused: Refused,
}

/// What one group has decided so far.
#[derive(Default)]
struct Group {
    entries: Vec<Entry>,
    receipts: Vec<Receipt>,
    answers: Vec<(Reply, Result<Receipt, Unanswered>)>,
    /// Refused as the day stands with what the group has decided: it counts only if that is kept.
    refused: Refused,
}

impl Worker {
    pub(super) fn new(
        day: DayId,
        journals: Arc<dyn Journals>,
        feed: Arc<Feed>,
        clock: Arc<dyn Clock>,
        disk: Arc<Disk>,
        attendant: Option<Arc<dyn Attendant>>,
        measures: Arc<Measures>,
    ) -> Worker {
        Worker {
            day,
            journals,
            feed,
            clock,
            disk,
            attendant,
            measures,
            waiting: Arc::default(),
            loaded: None,
            refused: Refused::default(),
        }
    }

    /// Counts what waits: up by whoever sends, down when it is taken.
    pub(super) fn waiting(&self) -> Arc<AtomicUsize> {
        Arc::clone(&self.waiting)
    }

    /// Serves until told to stop or nobody is left to ask.
    pub(super) fn run(mut self, messages: &Receiver<Message>) {
        while let Ok(first) = messages.recv() {
            let goes_on = self.turn(std::iter::once(first).chain(messages.try_iter()));
            // A day that was never opened needs no thread.
            if !goes_on || self.is_unopened() && self.leaves() {
                return;
            }
        }
    }

    fn is_unopened(&self) -> bool {
        self.loaded.as_ref().is_some_and(|loaded| loaded.seq == 0)
    }

    /// Takes nothing more, unless something waits or is on its way: that is served first.
    fn leaves(&self) -> bool {
        let (order, waiting) = (Ordering::Relaxed, &self.waiting);
        waiting.compare_exchange(0, LEFT, order, order).is_ok()
    }

    /// Serves one group of what waits; `false` when it is told to stop.
    pub(super) fn turn(&mut self, messages: impl Iterator<Item = Message>) -> bool {
        let mut orders = VecDeque::new();
        let mut looks = Vec::new();
        let (mut stop, mut old) = (false, false);
        for message in messages.take(GROUP) {
            if matches!(message, Message::Order(..) | Message::Look(_)) {
                self.waiting.fetch_sub(1, Ordering::Relaxed);
            }
            match message {
                Message::Order(order, reply) => orders.push_back((order, reply)),
                Message::Look(look) => looks.push(look),
                Message::ReadAgain => old = true,
                Message::Stop => stop = true,
            }
        }
        if old && let Err(trouble) = self.reload(&Group::default()) {
            self.loaded = None;
            self.report(&trouble);
        }
        while !orders.is_empty() {
            self.serve(&mut orders);
        }
        self.show(looks);
        !stop
    }

    /// Decides and commits one group from the front of `orders`.
    fn serve(&mut self, orders: &mut VecDeque<(Order, Reply)>) {
        // After a failed sync nothing is acknowledged, not even once more.
        let ready = self.disk.confirmed(Ok(()));
        let ready = ready.map_err(|trouble| storage_of(&trouble));
        let mut loaded = match ready.and_then(|()| self.take_loaded()) {
            Ok(loaded) => loaded,
            Err(why) => return self.answer_all(orders.drain(..).map(|(_, reply)| reply), &why),
        };
        if let Some(damage) = &loaded.damage {
            let why = storage_of(damage);
            self.loaded = Some(loaded);
            return self.answer_all(orders.drain(..).map(|(_, reply)| reply), &why);
        }
        let mut group = Group::default();
        let began_at = loaded.seq;
        let mut sound = true;
        while sound && let Some((order, reply)) = orders.pop_front() {
            let began = Instant::now();
            let answer = self.decide(&mut loaded, &order, &mut group);
            self.measures.decided(began.elapsed());
            // A state that broke its own rules is good for nothing, not even the next command.
            sound = !matches!(answer, Err(Unanswered::Broken(_)));
            group.answers.push((reply, answer));
        }
        let committed = self.commit(&mut loaded, began_at, &group);
        if committed.is_ok() {
            self.refused.add(std::mem::take(&mut group.refused));
        }
        match committed {
            Ok(()) if sound => {
                self.publish(&loaded, &group);
                self.answer_each(group.answers);
                // It only saves time, so only what it tells of the disk matters.
                if let Err(trouble) = loaded.keep_snapshot(&self.day) {
                    self.report(&trouble);
                }
                self.loaded = Some(loaded);
            }
            Ok(()) => {
                // Reading the journal again shows what was committed before the break.
                drop(loaded);
                let _ = self.reload(&group);
                self.answer_each(group.answers);
            }
            Err(trouble) => {
                drop(loaded);
                let why = self.report(&trouble);
                if !self.disk.is_lost() {
                    let _ = self.reload(&Group::default());
                }
                self.answer_all(group.answers.into_iter().map(|(reply, _)| reply), &why);
            }
        }
    }

    fn decide(
        &self,
        loaded: &mut Loaded,
        order: &Order,
        group: &mut Group,
    ) -> Result<Receipt, Unanswered> {
        let body = serde_json::to_vec(&order.command).map_err(storage)?;
        let body = Digest::of(&body);
        if let Some((first, receipt)) = self.seen(loaded, order.id, group)? {
            return if first == body {
                Ok(receipt)
            } else {
                Err(Unanswered::IdConflict)
            };
        }
        let refused = [&self.refused, &group.refused];
        if let Some(refusal) = refused.iter().find_map(|past| past.find(order.id, body)) {
            return Err(Unanswered::Refused(refusal.clone()));
        }
        let moment = Moment {
            now: self.clock.now().max(loaded.last_at),
            command: order.id,
            role: order.role,
        };
        let events =
            day::execute(&mut loaded.state, &order.command, &moment).map_err(|refusal| {
                group.refused.keep(order.id, body, refusal.clone());
                Unanswered::Refused(refusal)
            })?;
        loaded.state.check().map_err(|broken| {
            tracing::error!(day = %self.day, command = %order.id, %broken, "refused: it would break an invariant");
            Unanswered::Broken(broken)
        })?;
        loaded.seq += events.len() as u64;
        loaded.last_at = moment.now;
        let receipt = Receipt {
            id: order.id,
            seq: loaded.seq,
            at: moment.now,
        };
        group.receipts.push(receipt);
        group.entries.push(Entry {
            command: order.id,
            body,
            at: moment.now,
            role: order.role,
            events,
        });
        Ok(receipt)
    }

    /// What an id was first used for, in this group or ever before.
    fn seen(
        &self,
        loaded: &Loaded,
        id: Uuid,
        group: &Group,
    ) -> Result<Option<(Digest, Receipt)>, Unanswered> {
        let waiting = group.entries.iter().zip(&group.receipts);
        if let Some((entry, receipt)) = waiting.into_iter().find(|(entry, _)| entry.command == id) {
            return Ok(Some((entry.body, *receipt)));
        }
        let outcome = loaded.journal.find(&self.day, id).map_err(storage)?;
        Ok(outcome.map(|first| {
            let (seq, at) = (first.seq, first.at);
            (first.body, Receipt { id, seq, at })
        }))
    }

    fn commit(&self, loaded: &mut Loaded, began_at: u64, group: &Group) -> Result<(), Trouble> {
        if group.entries.is_empty() {
            return Ok(());
        }
        let began = Instant::now();
        let written = loaded.journal.append(&self.day, began_at, &group.entries);
        self.measures.committed(began.elapsed());
        self.disk.confirmed(written).map(|_| ())
    }

    fn publish(&mut self, loaded: &Loaded, group: &Group) {
        if group.entries.is_empty() {
            return;
        }
        if let Err(error) = self.put_up(&loaded.state, loaded.seq, None, group) {
            tracing::error!(day = %self.day, %error, "the view cannot be encoded");
        }
    }

    /// Shows the day as it is after event `seq`, and says once that it is open.
    /// With `damage` it is only to be looked at.
    fn put_up(
        &mut self,
        state: &State,
        seq: u64,
        damage: Option<&Trouble>,
        group: &Group,
    ) -> Result<(), serde_json::Error> {
        let commands: Vec<Uuid> = group.entries.iter().map(|entry| entry.command).collect();
        let mut view = serde_json::to_value(day::view(state))?;
        if let Some(damage) = damage {
            view["damage"] = serde_json::json!({"after": seq, "why": damage.to_string()});
        }
        let is_open = state.phase == Phase::Open && damage.is_none();
        if !is_open {
            self.feed.end_outlooks();
        }
        self.feed.publish(seq, view, &commands);
        if is_open && let Some(attendant) = self.attendant.take() {
            attendant.attend(&self.day, &self.feed);
        }
        Ok(())
    }

    fn show(&mut self, looks: Vec<Look>) {
        if looks.is_empty() {
            return;
        }
        match self.take_loaded() {
            Ok(loaded) => {
                for look in looks {
                    look(Ok(&loaded.state));
                }
                self.loaded = Some(loaded);
            }
            Err(why) => {
                for look in looks {
                    look(Err(why.clone()));
                }
            }
        }
    }

    fn take_loaded(&mut self) -> Result<Loaded, Unanswered> {
        if self.loaded.is_none() {
            self.reload(&Group::default())
                .map_err(|trouble| self.report(&trouble))?;
        }
        self.loaded.take().ok_or(Unanswered::Stopped)
    }

    /// Reads the day from the journal and shows it, should it differ from what was shown last.
    fn reload(&mut self, group: &Group) -> Result<(), Trouble> {
        let mut loaded = Loaded::load(self.journals.open()?, &self.day)?;
        match &loaded.damage {
            Some(damage) => {
                tracing::error!(day = %self.day, %damage, "it is shown as far as it is sound");
            }
            None => self.note_unknown(&mut loaded)?,
        }
        if loaded.seq > 0 {
            let damage = loaded.damage.as_ref();
            self.put_up(&loaded.state, loaded.seq, damage, group)
                .map_err(|error| Trouble::Storage(error.to_string()))?;
        }
        self.loaded = Some(loaded);
        Ok(())
    }

    /// Notes, once, that nobody knows how long the board was off: no process may count that span.
    fn note_unknown(&self, loaded: &mut Loaded) -> Result<(), Trouble> {
        let Some(unknown) = self.clock.unknown() else {
            return Ok(());
        };
        if loaded.seq == 0 || loaded.last_at >= unknown.until {
            return Ok(());
        }
        let moment = Moment {
            now: self.clock.now().max(loaded.last_at),
            command: Uuid::new_v4(),
            role: Role::Lead,
        };
        let off_ms = unknown.until.ms_since(loaded.last_at.max(unknown.from));
        let command = day::Command::TimeUnknown {
            ms: off_ms.min(day::UNKNOWN_MS_MAX),
        };
        // Refused when no load is being timed: then there is nothing to protect.
        let Ok(events) = day::execute(&mut loaded.state, &command, &moment) else {
            return Ok(());
        };
        let body =
            serde_json::to_vec(&command).map_err(|error| Trouble::Storage(error.to_string()))?;
        let entry = Entry {
            command: moment.command,
            body: Digest::of(&body),
            at: moment.now,
            role: moment.role,
            events,
        };
        let written = entry.events.len() as u64;
        loaded.journal.append(&self.day, loaded.seq, &[entry])?;
        loaded.seq += written;
        loaded.last_at = moment.now;
        Ok(())
    }

    fn answer_each(&self, answers: Vec<(Reply, Result<Receipt, Unanswered>)>) {
        for (reply, answer) in answers {
            self.measures.command(outcome_of(&answer));
            // Whoever asked may be gone; the command stands.
            let _ = reply.send(answer);
        }
    }

    fn answer_all(&self, replies: impl Iterator<Item = Reply>, why: &Unanswered) {
        let answers = replies.map(|reply| (reply, Err(why.clone())));
        self.answer_each(answers.collect());
    }

    fn report(&self, trouble: &Trouble) -> Unanswered {
        // Where the disk is read-only it is said once, not with each tap.
        if !self.disk.note(trouble) {
            tracing::error!(day = %self.day, %trouble, "the journal is in trouble");
        }
        storage_of(trouble)
    }
}

fn outcome_of(answer: &Result<Receipt, Unanswered>) -> Outcome {
    match answer {
        Ok(_) => Outcome::Accepted,
        Err(Unanswered::Refused(_) | Unanswered::IdConflict | Unanswered::Busy) => Outcome::Refused,
        Err(
            Unanswered::Storage(_)
            | Unanswered::Full(_)
            | Unanswered::Damaged(_)
            | Unanswered::Broken(_)
            | Unanswered::Stopped
            | Unanswered::Left,
        ) => Outcome::NotKept,
    }
}

fn storage(error: impl ToString) -> Unanswered {
    Unanswered::Storage(error.to_string())
}

fn storage_of(trouble: &Trouble) -> Unanswered {
    match trouble {
        Trouble::Damaged { .. } | Trouble::UnknownEvent { .. } | Trouble::Malformed(_) => {
            Unanswered::Damaged(trouble.to_string())
        }
        Trouble::Full(_) => Unanswered::Full(trouble.to_string()),
        Trouble::WrongSeq { .. }
        | Trouble::TimeWentBack { .. }
        | Trouble::Newer { .. }
        | Trouble::SyncFailed(_)
        | Trouble::Unwritable(_)
        | Trouble::Storage(_) => storage(trouble),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
#[path = "worker_tests.rs"]
mod tests;
