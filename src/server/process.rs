//! What the operating system says of this process and of its disk.
//!
//! Where it does not say, nothing is known and zero is told.

use std::fs;
use std::path::Path;

/// Memory held by this process, in bytes.
pub fn resident_bytes() -> u64 {
    let pages = fs::read_to_string("/proc/self/statm").ok();
    let pages = pages.and_then(|text| text.split(' ').nth(1)?.parse::<u64>().ok());
    pages.unwrap_or(0) * rustix::param::page_size() as u64
}

/// How many files and sockets this process has open.
pub fn open_files() -> u64 {
    fs::read_dir("/proc/self/fd").map_or(0, |entries| entries.count() as u64)
}

/// What may still be written to the disk of `folder`, in bytes; `None` where nobody says.
pub fn room_bytes(folder: &Path) -> Option<u64> {
    let disk = rustix::fs::statvfs(folder).ok()?;
    Some(disk.f_bavail * disk.f_frsize)
}

/// The size of the journal's files, in bytes.
pub fn journal_bytes(store: &Path) -> u64 {
    let beside = ["", "-wal", "-shm"].iter().map(|ending| {
        let mut path = store.as_os_str().to_owned();
        path.push(ending);
        fs::metadata(path).map_or(0, |file| file.len())
    });
    beside.sum()
}
