//! Aligned columns of words and numbers.

use super::tally::Estimate;

/// A table: the first column to the left, the others to the right.
#[derive(Debug, Default)]
pub(super) struct Table {
    rows: Vec<Vec<String>>,
}

impl Table {
    pub(super) fn headed(words: &[&str]) -> Self {
        let head = words.iter().map(|word| (*word).to_owned()).collect();
        Self { rows: vec![head] }
    }

    pub(super) fn row(&mut self, cells: Vec<String>) {
        self.rows.push(cells);
    }

    /// With two spaces between columns and no space at the end of a line. A column that says
    /// nothing but its head is left out.
    pub(super) fn text(&self) -> String {
        let columns = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let cell = |row: &Vec<String>, at: usize| row.get(at).cloned().unwrap_or_default();
        let says = |at: &usize| {
            self.rows
                .iter()
                .skip(1)
                .any(|row| !cell(row, *at).is_empty())
        };
        let shown: Vec<usize> = (0..columns).filter(says).collect();
        let width = |at: usize| {
            let widths = self.rows.iter().map(|row| cell(row, at).chars().count());
            widths.max().unwrap_or(0)
        };
        let mut text = String::new();
        for row in &self.rows {
            let mut line = String::new();
            for at in &shown {
                let (cell, wide) = (cell(row, *at), width(*at));
                match at {
                    0 => line.push_str(&format!("{cell:<wide$}")),
                    _ => line.push_str(&format!("  {cell:>wide$}")),
                }
            }
            text.push_str(line.trim_end());
            text.push('\n');
        }
        text
    }
}

/// A number with as many digits as it needs: four that count.
pub(super) fn number(number: f64) -> String {
    let size = number.abs();
    let digits = match size {
        size if size >= 1000.0 || size == 0.0 => 0,
        size if size >= 100.0 => 1,
        size if size >= 10.0 => 2,
        size if size >= 1.0 => 3,
        _ => 4,
    };
    format!("{number:.digits$}")
}

/// A mean with its error: "3.33 +- 0.03"; nothing where there was nothing to measure.
pub(super) fn estimate(estimate: Estimate) -> String {
    match (estimate.mean, estimate.std_error) {
        (None, _) => String::new(),
        (Some(mean), None) => number(mean),
        (Some(mean), Some(error)) if error < 5e-5 => number(mean),
        (Some(mean), Some(error)) => format!("{} +- {}", number(mean), short(error)),
    }
}

/// An error: two digits that count.
fn short(number: f64) -> String {
    let digits = (1.0 - number.log10().floor()).clamp(0.0, 5.0) as usize;
    format!("{number:.digits$}")
}

/// A share as a percentage; nothing where it is nothing.
pub(super) fn share(estimate: Estimate) -> String {
    match estimate.mean {
        None => String::new(),
        Some(share) if share.abs() < 5e-5 => String::new(),
        Some(share) => format!("{:.1} %", share * 100.0),
    }
}
