//! How much is simulated for a proposal.

/// Settings of a proposal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settings {
    /// Simulated days; none leaves the forecast out.
    pub runs: u32,
    /// The seed of everything drawn.
    pub seed: u64,
}

impl Default for Settings {
    fn default() -> Settings {
        Settings { runs: 200, seed: 1 }
    }
}
