//! How many days to spend on which change.

/// Shares a budget of simulations so that the best of several independent means is most likely
/// found (Chen, Lin, Yücesan and Chick, "Simulation budget allocation for further enhancing the
/// efficiency of ordinal optimization", 2000): `N_i / N_j = ((s_i/d_i) / (s_j/d_j))^2` with `d` the
/// distance to the smallest mean, and for that `N_b = s_b * sqrt(sum N_i^2 / s_i^2)`.
pub fn allocation(means: &[f64], deviations: &[f64], budget: f64) -> Vec<f64> {
    let smallest = means.iter().copied().fold(f64::INFINITY, f64::min);
    let Some(best) = means.iter().position(|mean| *mean <= smallest) else {
        return Vec::new();
    };
    let mut weights: Vec<f64> = means
        .iter()
        .zip(deviations)
        .map(|(mean, deviation)| effort(*deviation, mean - smallest))
        .collect();
    weights[best] = 0.0;
    let squares = weights.iter().zip(deviations).map(|(weight, deviation)| {
        if *deviation > 0.0 {
            (weight / deviation).powi(2)
        } else {
            0.0
        }
    });
    weights[best] = deviations[best] * squares.sum::<f64>().sqrt();
    let sum: f64 = weights.iter().sum();
    weights.iter().map(|weight| budget * weight / sum).collect()
}

/// The effort it takes to tell two means apart that lie `distance` apart, in days up to a common
/// factor: the square of noise over distance.
///
/// On common days the noise is the deviation of the paired difference to the best. The best itself
/// then needs no share of its own: it is simulated on every day that any rival is.
pub fn effort(deviation: f64, distance: f64) -> f64 {
    (deviation / distance.abs().max(f64::MIN_POSITIVE)).powi(2)
}
