//! What opens the board: the code for helpers, the link for walls, and whether a wall shows the code.
//! Made at the first start, kept on disk, changed by the lead.

use super::join_code::JoinCode;
use super::secret;
use crate::journal::{DoorBook, Trouble};
use std::path::Path;
use std::sync::{Mutex, PoisonError};
use tokio::sync::watch;

const CODE: &str = "join-code";
const WATCH: &str = "watch-link";
const WALL_SHOWS: &str = "wall-shows-code";

/// The doors as they are now.
#[derive(Debug, Clone)]
pub struct DoorsNow {
    /// The code by which helpers join.
    pub code: JoinCode,
    /// What stands in the walls' link.
    pub watch: String,
    /// Whether screens other than the lead's show the code.
    pub wall_shows: bool,
}

/// The doors, kept.
pub struct Doors {
    now: watch::Sender<DoorsNow>,
    /// Held while anything changes, so that disk and memory agree.
    book: Mutex<DoorBook>,
}

impl Doors {
    /// As the lead left them; made where they are missing.
    ///
    /// # Errors
    /// They cannot be read or written.
    pub fn open(store: &Path) -> Result<Doors, Trouble> {
        let book = DoorBook::open(store)?;
        let mut kept = book.all()?;
        let code = kept.get(CODE).and_then(|text| JoinCode::read(text));
        let code = match code {
            Some(code) => code,
            None => {
                let code = JoinCode::random();
                book.keep(CODE, &code.to_string())?;
                code
            }
        };
        let watch = match kept.remove(WATCH) {
            Some(watch) => watch,
            None => {
                let watch = secret::new_key();
                book.keep(WATCH, &watch)?;
                watch
            }
        };
        let wall_shows = kept.get(WALL_SHOWS).is_none_or(|text| text == "yes");
        Ok(Doors {
            now: watch::Sender::new(DoorsNow {
                code,
                watch,
                wall_shows,
            }),
            book: Mutex::new(book),
        })
    }

    /// The doors as they are now.
    pub fn now(&self) -> DoorsNow {
        self.now.borrow().clone()
    }

    /// Follows changes.
    pub fn follow(&self) -> watch::Receiver<DoorsNow> {
        self.now.subscribe()
    }

    /// Makes another code; the one before lets nobody in any more, and who is in stays in.
    ///
    /// # Errors
    /// It cannot be kept; the one before still holds then.
    pub fn renew_code(&self) -> Result<(), Trouble> {
        let code = JoinCode::random();
        self.change(CODE, &code.to_string(), |now| now.code = code.clone())
    }

    /// Makes another link for walls.
    ///
    /// # Errors
    /// It cannot be kept; the one before still holds then.
    pub fn renew_watch(&self) -> Result<(), Trouble> {
        let watch = secret::new_key();
        self.change(WATCH, &watch, |now| now.watch.clone_from(&watch))
    }

    /// Lets walls show the code, or not.
    ///
    /// # Errors
    /// It cannot be kept; it is as before then.
    pub fn let_wall_show(&self, shows: bool) -> Result<(), Trouble> {
        let text = if shows { "yes" } else { "no" };
        self.change(WALL_SHOWS, text, |now| now.wall_shows = shows)
    }

    fn change(
        &self,
        door: &str,
        opens: &str,
        change: impl FnOnce(&mut DoorsNow),
    ) -> Result<(), Trouble> {
        let book = self.book.lock().unwrap_or_else(PoisonError::into_inner);
        book.keep(door, opens)?;
        self.now.send_modify(change);
        Ok(())
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn doors_are_made_once_and_stay_as_the_lead_leaves_them() {
        let folder = tempfile::tempdir().unwrap();
        let store = folder.path().join("putby.db");
        let doors = Doors::open(&store).unwrap();
        let first = doors.now();
        assert!(first.wall_shows, "on at first");
        doors.renew_code().unwrap();
        doors.renew_watch().unwrap();
        doors.let_wall_show(false).unwrap();
        let now = doors.now();
        assert_ne!((&now.code, &now.watch), (&first.code, &first.watch));
        let again = Doors::open(&store).unwrap().now();
        assert_eq!(
            (again.code, again.watch, again.wall_shows),
            (now.code, now.watch, false)
        );
    }
}
