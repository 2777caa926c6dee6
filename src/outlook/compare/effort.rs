//! How many days to spend on which change.

/// The effort it takes to tell two means apart that lie `distance` apart, in days up to a common
/// factor: the square of noise over distance (Chen, Lin, Yücesan and Chick, "Simulation budget
/// allocation for further enhancing the efficiency of ordinal optimization", 2000).
///
/// On common days the noise is the deviation of the paired difference to the best. The best itself
/// then needs no share of its own: it is simulated on every day that any rival is.
pub fn effort(deviation: f64, distance: f64) -> f64 {
    (deviation / distance.abs().max(f64::MIN_POSITIVE)).powi(2)
}
