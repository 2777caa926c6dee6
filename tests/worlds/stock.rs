//! What really stands at a stop, oldest first.

use std::collections::VecDeque;

#[derive(Debug, Clone, Default)]
pub struct Stock {
    /// (since when, how much).
    layers: VecDeque<(i64, f64)>,
    pub amount: f64,
    /// Services begun here so far: the number of the next.
    pub begun: u64,
}

impl Stock {
    pub fn put(&mut self, now: i64, amount: f64) {
        if amount > 0.0 {
            self.layers.push_back((now, amount));
            self.amount += amount;
        }
    }

    /// Since when the oldest stands.
    pub fn oldest(&self) -> Option<i64> {
        self.layers.front().map(|layer| layer.0)
    }

    /// Takes the oldest; no more than is there.
    pub fn take(&mut self, amount: f64) -> f64 {
        let mut left = amount.min(self.amount);
        let taken = left;
        while left > 1e-9
            && let Some(oldest) = self.layers.front_mut()
        {
            let part = left.min(oldest.1);
            oldest.1 -= part;
            left -= part;
            if oldest.1 <= 1e-9 {
                self.layers.pop_front();
            }
        }
        self.amount -= taken;
        if self.amount <= 1e-6 {
            self.clear();
        }
        taken
    }

    /// What is left is eaten.
    pub fn clear(&mut self) {
        self.layers.clear();
        self.amount = 0.0;
    }
}
