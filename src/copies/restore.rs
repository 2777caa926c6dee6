//! Putting a copy in the place of the journal, which is kept aside.
//!
//! What it keeps true: at every moment there is a whole journal in its place, the old or the new; the
//! old one is never deleted; the new one has a number of its own, so that every device finds out.

use super::check::{Found, Replayed, check, check_beyond};
use super::folder::{Copies, State, make_folder, moment};
use super::make::{CopyTrouble, OfDamaged, Part, file_trouble};
use crate::day::time::Timestamp;
use crate::journal::{Identity, Trouble, fold_log, log_of, sync_folder};
use std::fs::File;
use std::path::{Path, PathBuf};

/// The folder in which journals are kept whose place a copy took.
const ASIDE: &str = "aside";

/// Why nothing was put back.
#[derive(Debug, thiserror::Error)]
pub enum RestoreTrouble {
    /// The copy is damaged.
    #[error(
        "{} is damaged ({fault}); nothing was changed. Choose another copy: the ones that were made \
         by themselves are in the folder \"copies\"", path.display()
    )]
    Damaged {
        /// The copy.
        path: PathBuf,
        /// The first thing that is wrong.
        fault: String,
    },
    /// There is no copy that could be put back.
    #[error("there is no sound copy in {}; nothing was changed", .0.display())]
    NoCopy(PathBuf),
    /// The copy cannot be read.
    #[error("{} cannot be put back: {trouble}", path.display())]
    Unreadable {
        /// The copy.
        path: PathBuf,
        /// Why.
        trouble: Trouble,
    },
    /// It could not be put in place.
    #[error(transparent)]
    Copy(#[from] CopyTrouble),
}

/// What was done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// What the copy holds.
    pub copy: Found,
    /// Where the journal is kept that was there; `None` if there was none.
    pub aside: Option<PathBuf>,
    /// What of it is not in the copy; `None` if it could not be read.
    pub lost: Option<Lost>,
}

/// What the journal had beyond the copy, at most.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Lost {
    /// When its last event happened.
    pub last_at: Option<Timestamp>,
    /// How many events each day had that the copy has not.
    pub days: Vec<(String, u64)>,
}

/// The newest copy that is sound, by looking at each.
///
/// # Errors
/// There is none.
pub fn newest(store: &Path) -> Result<PathBuf, RestoreTrouble> {
    let copies = Copies::of(store);
    let list = copies.list().unwrap_or_default();
    list.iter()
        .filter(|kept| kept.state == State::Sound)
        .map(|kept| copies.folder().join(&kept.name))
        .find(|path| check(path).is_ok_and(|found| found.sound))
        .ok_or_else(|| RestoreTrouble::NoCopy(copies.folder().to_owned()))
}

/// Puts the copy at `from` in the place of the journal at `store`. Whoever calls has claimed its
/// folder: nobody else may be at work on it.
///
/// # Errors
/// The copy is damaged, of a newer form, or no journal; or it cannot be put in place. The journal is
/// then as it was.
pub fn restore(from: &Path, store: &Path, now: Timestamp) -> Result<Restored, RestoreTrouble> {
    let path = from.to_owned();
    let mut replayed = Replayed::default();
    match check_beyond(from, &mut replayed).map(|found| found.first_fault()) {
        Ok(None) => {}
        Ok(Some(fault)) => return Err(RestoreTrouble::Damaged { path, fault }),
        Err(trouble) => return Err(RestoreTrouble::Unreadable { path, trouble }),
    }
    let part = Part::begin(store)?;
    let copy = part.fill(from, Identity::New, OfDamaged::Refused, &mut replayed)?;
    let was_there = store.exists();
    let lost = match was_there {
        true => check_beyond(store, &mut replayed)
            .ok()
            .map(|had| lost(&had, &copy)),
        false => Some(Lost::default()),
    };
    let aside = match was_there {
        true => Some(put_aside(store, now)?),
        false => None,
    };
    part.finish(store)?;
    Ok(Restored { copy, aside, lost })
}

fn lost(had: &Found, copy: &Found) -> Lost {
    let more = |day: &super::DayFound| {
        let kept = copy.days.iter().find(|kept| kept.day == day.day);
        let more = day
            .events
            .saturating_sub(kept.map_or(0, |kept| kept.events));
        (more > 0).then(|| (day.day.clone(), more))
    };
    Lost {
        last_at: had.last_at(),
        days: had.days.iter().filter_map(more).collect(),
    }
}

/// Keeps the journal under a dated name; it stays in its place too, until the copy takes that.
fn put_aside(store: &Path, now: Timestamp) -> Result<PathBuf, CopyTrouble> {
    let folder = store.with_file_name(ASIDE);
    make_folder(&folder).map_err(|error| file_trouble(&folder, error))?;
    let aside = free_name(&folder, now);
    let failed = |error| file_trouble(&aside, error);
    // With the log folded in it is one file, which can be kept and replaced in one go each.
    match fold_log(store) {
        Ok(()) => {}
        Err(trouble) if trouble.is_damage() => {
            tracing::warn!(%trouble, "the journal is kept aside with its log beside it");
        }
        Err(trouble) => return Err(trouble.into()),
    }
    let log = log_of(store);
    let has_log = log.metadata().is_ok_and(|data| data.len() > 0);
    keep(store, &aside).map_err(failed)?;
    if has_log {
        keep(&log, &log_of(&aside)).map_err(failed)?;
    }
    sync_folder(&folder).map_err(failed)?;
    // A log must never meet another journal. One that could not be folded in is of a journal that is
    // broken, and both are kept aside.
    if log.exists() {
        std::fs::remove_file(&log).map_err(failed)?;
    }
    Ok(aside)
}

fn free_name(folder: &Path, now: Timestamp) -> PathBuf {
    let stem = format!("putby-{}", moment(now));
    let names = (1..).map(|n| match n {
        1 => format!("{stem}.db"),
        n => format!("{stem}-{n}.db"),
    });
    let free = names
        .map(|name| folder.join(name))
        .find(|path| !path.exists());
    free.unwrap_or_else(|| folder.join(stem))
}

/// The same file under a second name; a second file where the disk knows no second names.
fn keep(path: &Path, aside: &Path) -> std::io::Result<()> {
    if std::fs::hard_link(path, aside).is_ok() {
        return Ok(());
    }
    std::fs::copy(path, aside)?;
    File::open(aside)?.sync_all()
}
