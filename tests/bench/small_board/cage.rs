//! Limits of the system (control groups, version 1) for a program: one core, a share of it, and so
//! much memory.

use std::fs;
use std::path::{Path, PathBuf};

const TREE: &str = "/sys/fs/cgroup";
const PERIOD_US: u32 = 100_000;

/// The limits, taken away with this value.
pub struct Cage {
    cpu: PathBuf,
    memory: PathBuf,
}

impl Cage {
    /// So many hundredths of one core; `None` where the system cannot, or this user may not.
    pub fn new(cpu_percent: u32) -> Option<Cage> {
        let name = format!("putby-small-board-{}", std::process::id());
        let group = |kind: &str| Path::new(TREE).join(kind).join(&name);
        let cage = Cage {
            cpu: group("cpu"),
            memory: group("memory"),
        };
        // Without such a tree these would be plain folders that cannot be made there.
        fs::create_dir(&cage.cpu).ok()?;
        fs::create_dir(&cage.memory).ok()?;
        let quota = (PERIOD_US / 100 * cpu_percent).to_string();
        fs::write(cage.cpu.join("cpu.cfs_period_us"), PERIOD_US.to_string()).ok()?;
        fs::write(cage.cpu.join("cpu.cfs_quota_us"), quota).ok()?;
        Some(cage)
    }

    /// So much memory from now on, the pages of files among it.
    pub fn limit_memory(&self, mib: u64) {
        let limit = (mib << 20).to_string();
        fs::write(self.memory.join("memory.limit_in_bytes"), limit).unwrap();
    }

    /// What runs a program within, on the first core, for as long as this process lives.
    pub fn under(&self) -> Vec<String> {
        let join = |group: &Path| format!("echo $$ > '{}/cgroup.procs' && ", group.display());
        let enter = join(&self.cpu)
            + &join(&self.memory)
            + "exec setpriv --pdeathsig KILL taskset -c 0 \"$0\" \"$@\"";
        vec!["sh".into(), "-c".into(), enter]
    }

    /// In words: how often its share was used up, the most memory, and what was refused.
    pub fn report(&self) -> String {
        let read = |group: &Path, file: &str| fs::read_to_string(group.join(file)).unwrap();
        let held = read(&self.cpu, "cpu.stat").replace('\n', " ");
        let most: u64 = read(&self.memory, "memory.max_usage_in_bytes")
            .trim()
            .parse()
            .unwrap();
        let ended = read(&self.memory, "memory.oom_control").replace('\n', " ");
        format!(
            "{held}; most memory with pages of files {} MiB; {ended}",
            most >> 20
        )
    }
}

impl Drop for Cage {
    fn drop(&mut self) {
        for group in [&self.cpu, &self.memory] {
            if let Err(error) = fs::remove_dir(group) {
                eprintln!("{} is left: {error}", group.display());
            }
        }
    }
}
