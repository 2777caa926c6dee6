//! The folder of copies beside the journal: what is in it, and one more for it.
//!
//! A copy is named by its moment in universal time, `board-20260912T091500Z.db`; one of a damaged
//! journal says so in its name and is never counted among the sound ones. Copies made before a
//! change of form are named by the form, and no turn takes them.

use super::make::{CopyTrouble, OfDamaged, Part, file_trouble};
use super::rotation::superfluous;
use super::{Found, Replayed, make};
use crate::day::time::Timestamp;
use crate::journal::{COPIES, Digest, Identity, ReadOnly, Trouble};
use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use schemars::JsonSchema;
use serde::Serialize;
use std::fs::DirBuilder;
use std::io;
use std::path::{Path, PathBuf};

const BEGINNING: &str = "board-";
const MOMENT: &str = "%Y%m%dT%H%M%SZ";
const DAMAGED: &str = "-damaged";
const ENDING: &str = ".db";
const BEFORE_FORM: &str = "before-form-";

/// What is known of a copy by its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[schemars(rename = "CopyState")]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// It was whole and sound when it was made.
    Sound,
    /// The journal was damaged by then.
    Damaged,
    /// It was made before the journal was brought to a newer form.
    BeforeForm,
}

/// A copy in the folder.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[schemars(rename = "Copy")]
pub struct Kept {
    /// The name of its file.
    pub name: String,
    /// When it was made.
    pub at: Timestamp,
    /// How long it is, in bytes.
    pub size: u64,
    /// What it is.
    pub state: State,
}

/// The copies of one journal.
pub struct Copies {
    store: PathBuf,
    folder: PathBuf,
}

impl Copies {
    /// Of the journal at `store`, in the folder beside it.
    pub fn of(store: &Path) -> Copies {
        Copies {
            store: store.to_owned(),
            folder: store.with_file_name(COPIES),
        }
    }

    /// The folder.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// The journal.
    pub fn store(&self) -> &Path {
        &self.store
    }

    /// Every copy, the newest first; none while there is no folder.
    ///
    /// # Errors
    /// The folder cannot be read.
    pub fn list(&self) -> io::Result<Vec<Kept>> {
        list(&self.folder)
    }

    /// What the journal stands at; it is another once anything was added.
    ///
    /// # Errors
    /// It cannot be read.
    pub fn mark(&self) -> Result<Digest, Trouble> {
        ReadOnly::open(&self.store)?.mark()
    }

    /// What the newest sound copy stands at; `None` if there is none that can be read.
    pub fn newest_mark(&self) -> Option<Digest> {
        let list = self.list().ok()?;
        let newest = list.iter().find(|kept| kept.state == State::Sound)?;
        let copy = ReadOnly::open(&self.folder.join(&newest.name)).ok()?;
        copy.mark().ok()
    }

    /// Makes a copy at `now` and takes away those whose turn is over. A copy of a damaged journal is
    /// kept too, as such, since it may be the only one. What was `replayed` before is not again.
    ///
    /// # Errors
    /// The journal cannot be read, or the copy cannot be written; nothing was taken away then.
    pub fn add(
        &self,
        now: Timestamp,
        replayed: &mut Replayed,
    ) -> Result<(Kept, Found), CopyTrouble> {
        make_folder(&self.folder).map_err(|error| file_trouble(&self.folder, error))?;
        must_have_room(&self.store, &self.folder)?;
        let part = Part::begin(&self.folder.join("next"))?;
        let found = part.fill(&self.store, Identity::Same, OfDamaged::Kept, replayed)?;
        let state = match found.sound {
            true => State::Sound,
            false => State::Damaged,
        };
        let name = name_of(now, state);
        let path = self.folder.join(&name);
        part.finish(&path)?;
        self.take_turns(now);
        let size = path.metadata().map_or(0, |data| data.len());
        let at = now;
        let kept = Kept {
            name,
            at,
            size,
            state,
        };
        Ok((kept, found))
    }

    /// Takes away what is superfluous. One that cannot be taken away costs room and nothing else.
    fn take_turns(&self, now: Timestamp) {
        let Ok(list) = self.list() else { return };
        for state in [State::Sound, State::Damaged] {
            let made: Vec<Timestamp> = list
                .iter()
                .filter(|kept| kept.state == state)
                .map(|kept| kept.at)
                .collect();
            for at in superfluous(&made, now) {
                let path = self.folder.join(name_of(at, state));
                if let Err(error) = std::fs::remove_file(&path) {
                    tracing::warn!(%error, "an old copy cannot be taken away");
                }
            }
        }
    }
}

/// Every copy in a folder, the newest first.
///
/// # Errors
/// The folder cannot be read.
pub fn list(folder: &Path) -> io::Result<Vec<Kept>> {
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(error),
    };
    let mut found = Vec::new();
    for entry in entries {
        let entry = entry?;
        let data = entry.metadata()?;
        let Ok(name) = entry.file_name().into_string() else {
            continue;
        };
        let written = data
            .modified()
            .ok()
            .and_then(|at| jiff::Timestamp::try_from(at).ok());
        let written = Timestamp(written.map_or(0, |at| at.as_millisecond()));
        if let Some((at, state)) = read_name(&name, written) {
            let size = data.len();
            found.push(Kept {
                name,
                at,
                size,
                state,
            });
        }
    }
    found.sort_by(|a, b| (b.at, &b.name).cmp(&(a.at, &a.name)));
    Ok(found)
}

/// Whether a text names a copy, and so nothing outside their folder.
pub fn is_name(text: &str) -> bool {
    read_name(text, Timestamp(0)).is_some()
}

/// What is left free on the disk beside a copy: taps go first.
const ROOM_LEFT: u64 = 16 << 20;

/// Copies must not be what fills the disk.
#[cfg(unix)]
fn must_have_room(store: &Path, folder: &Path) -> Result<(), CopyTrouble> {
    let size = store.metadata().map_or(0, |data| data.len());
    let disk = rustix::fs::statvfs(folder).map_err(|error| file_trouble(folder, error.into()))?;
    let free = disk.f_bavail.saturating_mul(disk.f_frsize);
    match free >= size.saturating_add(ROOM_LEFT) {
        true => Ok(()),
        false => Err(CopyTrouble::NoRoom(folder.to_owned())),
    }
}

#[cfg(not(unix))]
fn must_have_room(_: &Path, _: &Path) -> Result<(), CopyTrouble> {
    Ok(())
}

pub(super) fn make_folder(path: &Path) -> io::Result<()> {
    let mut builder = DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(path)?;
    crate::journal::sync_folder(make::folder_of(path))
}

/// A moment as it stands in names: to the second, in universal time.
pub(super) fn moment(at: Timestamp) -> String {
    let at = jiff::Timestamp::from_millisecond(at.0).unwrap_or_default();
    at.strftime(MOMENT).to_string()
}

fn name_of(at: Timestamp, state: State) -> String {
    let kind = match state {
        State::Damaged => DAMAGED,
        State::Sound | State::BeforeForm => "",
    };
    format!("{BEGINNING}{}{kind}{ENDING}", moment(at))
}

fn read_name(name: &str, written: Timestamp) -> Option<(Timestamp, State)> {
    let stem = name.strip_suffix(ENDING)?;
    if let Some(rest) = stem.strip_prefix(BEFORE_FORM) {
        let plain = rest.chars().all(|c| c.is_ascii_alphanumeric() || c == '-');
        return plain.then_some((written, State::BeforeForm));
    }
    let rest = stem.strip_prefix(BEGINNING)?;
    let (text, state) = match rest.strip_suffix(DAMAGED) {
        Some(text) => (text, State::Damaged),
        None => (rest, State::Sound),
    };
    let civil = DateTime::strptime(MOMENT, text).ok()?;
    let at = TimeZone::UTC.to_timestamp(civil).ok()?;
    Some((Timestamp(at.as_millisecond()), state))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_name_says_when_and_what_and_nothing_else_is_one() {
        let at = Timestamp(1_789_203_600_000);
        for (state, name) in [
            (State::Sound, "board-20260912T090000Z.db"),
            (State::Damaged, "board-20260912T090000Z-damaged.db"),
        ] {
            assert_eq!(name_of(at, state), name);
            assert_eq!(read_name(name, Timestamp(0)), Some((at, state)));
        }
        let before = read_name("before-form-4-0a1b2c3d.db", Timestamp(5));
        assert_eq!(before, Some((Timestamp(5), State::BeforeForm)));
        for none in [
            "",
            "next.part",
            "board-20260912T090000Z.db.part",
            "board-20260912T090000Z",
            "board-tomorrow.db",
            "board-20261312T090000Z.db",
            "before-form-../putby.db",
            "../putby.db",
            "putby.db",
        ] {
            assert!(!is_name(none), "{none:?}");
        }
    }
}
