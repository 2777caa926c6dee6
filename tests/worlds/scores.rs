//! Scores of forecasts and of differences.

/// Numbers, ascending.
pub fn sorted(mut numbers: Vec<f64>) -> Vec<f64> {
    numbers.sort_by(f64::total_cmp);
    numbers
}

/// The quantile of ascending numbers, linear between neighbours (Hyndman & Fan 1996, type 7).
pub fn quantile(sorted: &[f64], share: f64) -> f64 {
    let place = share * (sorted.len() - 1) as f64;
    let low = sorted[place.floor() as usize];
    let high = sorted[place.ceil() as usize];
    low + (high - low) * (place - place.floor())
}

pub fn mean(numbers: &[f64]) -> f64 {
    numbers.iter().sum::<f64>() / numbers.len() as f64
}

/// The continuous ranked probability score of draws (ascending) against what happened: the mean
/// distance to it less half the mean distance between two draws (Gneiting & Raftery 2007).
pub fn crps(sorted: &[f64], truth: f64) -> f64 {
    let n = sorted.len() as f64;
    let off = sorted.iter().map(|draw| (draw - truth).abs()).sum::<f64>() / n;
    let ranks = sorted.iter().enumerate();
    let apart: f64 = ranks
        .map(|(rank, draw)| draw * (2.0 * rank as f64 + 1.0 - n))
        .sum();
    off - apart / (n * n)
}

/// The share of draws below what happened; of equal ones half.
pub fn below(sorted: &[f64], truth: f64) -> f64 {
    let less = sorted.iter().filter(|draw| **draw < truth).count();
    let equal = sorted.iter().filter(|draw| **draw == truth).count();
    (less as f64 + equal as f64 / 2.0) / sorted.len() as f64
}

#[test]
fn the_score_of_a_sure_forecast_is_its_distance() {
    assert_eq!(crps(&[4.0, 4.0], 7.0), 3.0);
    // Draws 0 and 2 against 1: mean distance 1, less half of the mean distance of two draws, 1.
    assert_eq!(crps(&[0.0, 2.0], 1.0), 0.5);
    assert_eq!(below(&[1.0, 2.0, 2.0, 3.0], 2.0), 0.5);
}
