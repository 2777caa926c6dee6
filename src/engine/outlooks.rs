//! The latest outlook of a day, as it is shown: JSON that somebody else has made.
//!
//! Each has a number, so that no device is told one twice.

use super::feed::Time;
use super::frame::text_frame;
use bytes::Bytes;

/// An outlook that was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MadeOutlook {
    /// Of the day as it was after this event.
    pub seq: u64,
    /// The outlook.
    pub json: Bytes,
}

/// The outlooks of a day so far.
#[derive(Default)]
pub(super) struct Outlooks {
    number: u64,
    latest: Option<MadeOutlook>,
    over: bool,
}

impl Outlooks {
    /// Puts a new one in the place of the last, or none, and gives its number; `None` when no more
    /// are taken.
    pub fn put(&mut self, outlook: Option<MadeOutlook>) -> Option<u64> {
        if self.over {
            return None;
        }
        self.latest = outlook;
        self.number += 1;
        Some(self.number)
    }

    /// Takes no more, and forgets the last.
    pub fn end(&mut self) {
        self.over = true;
        self.latest = None;
    }

    /// The latest.
    pub fn latest(&self) -> Option<MadeOutlook> {
        self.latest.clone()
    }

    /// Its number.
    pub fn number(&self) -> u64 {
        self.number
    }

    /// The push of the latest; without an outlook in it, that there is none any more.
    pub fn frame(&self, clock: Time) -> Bytes {
        let head = r#"{"push":"outlook","#;
        let text = match &self.latest {
            Some(outlook) => [head.as_bytes(), &outlook.fields(clock), b"}"].concat(),
            None => format!(r#"{head}"clock":{}}}"#, serde_json::json!(clock)).into_bytes(),
        };
        text_frame(&text)
    }
}

impl MadeOutlook {
    /// What is told of it, as the inside of a JSON object: `"seq":..,"clock":..,"outlook":..`.
    pub fn fields(&self, clock: Time) -> Vec<u8> {
        let clock = serde_json::json!(clock);
        let head = format!(r#""seq":{},"clock":{clock},"outlook":"#, self.seq);
        [head.as_bytes(), &self.json].concat()
    }
}
