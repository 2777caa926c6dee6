//! How much is simulated, and when a move is worth proposing.

use super::compare::Rule;

/// Settings of an outlook.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Simulated days for the forecast.
    pub runs: u32,
    /// Simulated days for each move, win and what-if that is compared.
    pub compare_runs: u32,
    /// The seed of everything drawn.
    pub seed: u64,
    /// Minutes a move must gain to be proposed.
    pub least_gain_min: f64,
    /// How sure a gain, or a box done by the cut-off, must be.
    pub sure: f64,
}

impl Settings {
    /// When a change is worth it.
    pub(super) fn rule(&self) -> Rule {
        Rule {
            sure: self.sure,
            days: self.compare_runs,
            ..Rule::default()
        }
    }
}

impl Default for Settings {
    fn default() -> Settings {
        Settings {
            runs: 400,
            compare_runs: 200,
            seed: 1,
            least_gain_min: 5.0,
            sure: 0.9,
        }
    }
}
