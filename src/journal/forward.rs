//! A journal that stands before another and hands on what it does not do in its own way.

pub use super::super::forward_journal;

/// Writes the methods of [`Journal`](crate::journal::Journal) that are named, each of which asks the
/// journal in the field `inner`. To stand inside an `impl Journal`.
#[macro_export(local_inner_macros)]
macro_rules! forward_journal {
    ($($method:ident)*) => { $(forward_journal!(@ $method);)* };
    (@ read) => {
        fn read(
            &self,
            day: &$crate::day::ids::DayId,
            after: u64,
            limit: u32,
        ) -> Result<Vec<$crate::day::Record>, $crate::journal::Trouble> {
            self.inner.read(day, after, limit)
        }
    };
    (@ find) => {
        fn find(
            &self,
            day: &$crate::day::ids::DayId,
            command: uuid::Uuid,
        ) -> Result<Option<$crate::journal::Outcome>, $crate::journal::Trouble> {
            self.inner.find(day, command)
        }
    };
    (@ opened_by) => {
        fn opened_by(
            &self,
            command: uuid::Uuid,
        ) -> Result<Option<$crate::day::ids::DayId>, $crate::journal::Trouble> {
            self.inner.opened_by(command)
        }
    };
    (@ days) => {
        fn days(
            &self,
        ) -> Result<
            Vec<($crate::day::ids::DayId, $crate::journal::Heading)>,
            $crate::journal::Trouble,
        > {
            self.inner.days()
        }
    };
    (@ has) => {
        fn has(
            &self,
            day: &$crate::day::ids::DayId,
        ) -> Result<bool, $crate::journal::Trouble> {
            self.inner.has(day)
        }
    };
    (@ last_at) => {
        fn last_at(
            &self,
        ) -> Result<Option<$crate::day::time::Timestamp>, $crate::journal::Trouble> {
            self.inner.last_at()
        }
    };
    (@ snapshot) => {
        fn snapshot(
            &self,
            day: &$crate::day::ids::DayId,
            version: &str,
        ) -> Result<Option<$crate::journal::Snapshot>, $crate::journal::Trouble> {
            self.inner.snapshot(day, version)
        }
    };
    (@ keep_snapshot) => {
        fn keep_snapshot(
            &mut self,
            day: &$crate::day::ids::DayId,
            snapshot: &$crate::journal::Snapshot,
        ) -> Result<(), $crate::journal::Trouble> {
            self.inner.keep_snapshot(day, snapshot)
        }
    };
    (@ verify) => {
        fn verify(
            &self,
            day: &$crate::day::ids::DayId,
        ) -> Result<u64, $crate::journal::Trouble> {
            self.inner.verify(day)
        }
    };
    (@ corrections) => {
        fn corrections(
            &self,
        ) -> Result<Vec<$crate::journal::KeptCorrection>, $crate::journal::Trouble> {
            self.inner.corrections()
        }
    };
    (@ keep_correction) => {
        fn keep_correction(
            &mut self,
            said: &$crate::journal::KeptCorrection,
        ) -> Result<$crate::journal::KeptCorrection, $crate::journal::Trouble> {
            self.inner.keep_correction(said)
        }
    };
}
