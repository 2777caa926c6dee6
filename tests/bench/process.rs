//! What the system says of a process.

use std::collections::BTreeMap;
use std::fs;

/// A process as it is now.
pub struct Process {
    pub resident_kib: u64,
    /// Of it, what is not the page of a file.
    pub own_kib: u64,
    pub files: u64,
    /// Written to disk since its start.
    pub written_bytes: u64,
}

impl Process {
    /// `None` once it has ended.
    pub fn look(id: u32) -> Option<Process> {
        let read = |name: &str| fs::read_to_string(format!("/proc/{id}/{name}")).ok();
        let (status, io) = (read("status")?, read("io")?);
        Some(Process {
            resident_kib: number(&status, "VmRSS:")?,
            own_kib: number(&status, "RssAnon:")?,
            files: fs::read_dir(format!("/proc/{id}/fd")).ok()?.count() as u64,
            written_bytes: number(&io, "\nwrite_bytes:")?,
        })
    }

    pub fn memory(&self) -> String {
        let mib = |kib: u64| kib as f64 / 1024.0;
        let (all, own) = (mib(self.resident_kib), mib(self.own_kib));
        format!("{all:.1} MiB resident, {own:.1} of it its own")
    }
}

fn number(text: &str, name: &str) -> Option<u64> {
    let (_, rest) = text.split_once(name)?;
    rest.split_whitespace().next()?.parse().ok()
}

/// Milliseconds of computing by the name of the thread.
pub fn computed(id: u32) -> BTreeMap<String, u64> {
    let mut all = BTreeMap::new();
    for thread in fs::read_dir(format!("/proc/{id}/task")).unwrap().flatten() {
        let read = |name: &str| fs::read_to_string(thread.path().join(name)).ok();
        // One that has just ended says nothing.
        let (Some(name), Some(time)) = (read("comm"), read("schedstat")) else {
            continue;
        };
        let ns: u64 = time.split(' ').next().unwrap().parse().unwrap();
        *all.entry(name.trim().to_owned()).or_default() += ns / 1_000_000;
    }
    all
}
