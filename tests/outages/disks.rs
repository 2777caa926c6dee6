//! Disks for a test: mounted for it, gone after it.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// What is said where a test cannot be done. A release is not made on such a machine.
pub const SKIPPED: &str = "SKIPPED, NOT PASSED (needs Linux, root and mount)";

/// Something mounted until this value goes.
pub struct Mounted {
    at: PathBuf,
}

impl Mounted {
    /// A disk in memory; `None` where this system does not let us.
    pub fn tmpfs(at: &Path, options: &str) -> Option<Mounted> {
        Mounted::by(at, &["-t", "tmpfs", "-o", options, "putby-test"])
    }

    /// The file system in an image.
    pub fn image(image: &Path, at: &Path) -> Option<Mounted> {
        Mounted::by(at, &["-o", "loop", image.to_str()?])
    }

    fn by(at: &Path, how: &[&str]) -> Option<Mounted> {
        let at = at.to_owned();
        runs(Command::new("mount").args(how).arg(&at)).then_some(Mounted { at })
    }

    pub fn path(&self) -> &Path {
        &self.at
    }
}

impl Drop for Mounted {
    fn drop(&mut self) {
        // At once, though a process that is being ended may still have a file open in it.
        runs(Command::new("umount").arg("--lazy").arg(&self.at));
    }
}

/// Whether a command is there and ends well; what it says is not heard.
pub fn runs(command: &mut Command) -> bool {
    let quiet = command.stdout(Stdio::null()).stderr(Stdio::null());
    quiet.status().is_ok_and(|status| status.success())
}
