//! What was refused lately. A request can arrive twice, the copy long after its sender was told that
//! nothing was done; what was refused then must stay undone, though it might be allowed by now.
//!
//! In memory only: no request outlives the process that it was sent to.

use crate::day::Refusal;
use crate::journal::Digest;
use std::collections::VecDeque;
use uuid::Uuid;

/// More than a whole family is refused while a copy is on its way.
const KEPT: usize = 512;

/// Refusals by command, the oldest first.
#[derive(Default)]
pub(super) struct Refused(VecDeque<(Uuid, Digest, Refusal)>);

impl Refused {
    /// What a command that said this was told.
    pub fn find(&self, id: Uuid, body: Digest) -> Option<&Refusal> {
        let same = |(kept, said, _): &&(Uuid, Digest, Refusal)| (*kept, *said) == (id, body);
        self.0.iter().find(same).map(|(.., refusal)| refusal)
    }

    /// Keeps one more.
    pub fn keep(&mut self, id: Uuid, body: Digest, refusal: Refusal) {
        self.0.push_back((id, body, refusal));
        if self.0.len() > KEPT {
            self.0.pop_front();
        }
    }

    /// Keeps all of `newer`.
    pub fn add(&mut self, newer: Refused) {
        for (id, body, refusal) in newer.0 {
            self.keep(id, body, refusal);
        }
    }
}
