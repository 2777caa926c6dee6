//! Differences on the same simulated days.

use statrs::distribution::{ContinuousCDF, StudentsT};

/// What is known of a mean from paired days.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Paired {
    /// How many days.
    pub days: u32,
    /// The mean difference in minutes.
    pub mean: f64,
    /// The standard deviation of the difference from day to day.
    pub sd: f64,
    /// In which share of the days the difference is above 0.
    pub above: f64,
    /// In which share of the days it is below 0.
    pub below: f64,
}

impl Paired {
    /// `one - other`, day by day, for as many days as both have.
    pub fn of(one: &[f64], other: &[f64]) -> Paired {
        let differences = one.iter().zip(other).map(|(one, other)| one - other);
        let (mut days, mut mean, mut squares) = (0.0, 0.0, 0.0);
        let (mut above, mut below) = (0.0, 0.0);
        // Welford's recurrence (1962): no loss of digits where finishes are large and gains small.
        for difference in differences {
            days += 1.0;
            let off = difference - mean;
            mean += off / days;
            squares += off * (difference - mean);
            above += f64::from(u8::from(difference > 0.0));
            below += f64::from(u8::from(difference < 0.0));
        }
        let of_days = |sum: f64, days: f64| if days > 0.0 { sum / days } else { 0.0 };
        Paired {
            days: days as u32,
            mean,
            sd: of_days(squares, days - 1.0).max(0.0).sqrt(),
            above: of_days(above, days),
            below: of_days(below, days),
        }
    }

    /// Whether so many days end above 0 for each that ends below.
    pub fn has_odds(&self, odds: f64) -> bool {
        self.above >= odds * self.below
    }

    /// The standard error of the mean.
    pub fn error(&self) -> f64 {
        if self.days == 0 {
            return f64::INFINITY;
        }
        self.sd / f64::from(self.days).sqrt()
    }

    /// What the true mean is above with this probability.
    pub fn surely(&self, sure: f64) -> f64 {
        let scale = self.error();
        if self.days < 2 {
            return f64::NEG_INFINITY;
        }
        if scale <= 1e-9 {
            return self.mean;
        }
        let law = StudentsT::new(self.mean, scale, f64::from(self.days - 1));
        law.map_or(f64::NEG_INFINITY, |law| law.inverse_cdf(1.0 - sure))
    }

    /// The probability that the true mean is above `bar`: Student's law around the mean, the
    /// posterior under a flat prior. One half before two days are seen.
    pub fn sure_above(&self, bar: f64) -> f64 {
        if self.days < 2 {
            return 0.5;
        }
        // Days that are all alike leave no doubt; an exact tie is no gain.
        let scale = self.error();
        if scale <= 1e-9 {
            return f64::from(u8::from(self.mean > bar));
        }
        let law = StudentsT::new(self.mean, scale, f64::from(self.days - 1));
        law.map_or(0.5, |law| law.sf(bar))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mean_and_deviation_of_differences_are_those_of_the_textbook() {
        let paired = Paired::of(&[105.0, 103.0, 110.0, 102.0], &[100.0, 101.0, 101.0, 103.0]);
        // Differences 5, 2, 9, -1: mean 3.75, sum of squares about it 54.75.
        assert_eq!((paired.days, paired.mean), (4, 3.75));
        assert!((paired.sd - (54.75_f64 / 3.0).sqrt()).abs() < 1e-12);
        assert_eq!((paired.above, paired.below), (0.75, 0.25));
    }

    #[test]
    fn certainty_is_that_of_the_t_table() {
        // Student's t with 9 degrees of freedom: 1.833 leaves 5 % above.
        let paired = Paired {
            days: 10,
            mean: 1.833,
            sd: 10.0_f64.sqrt(),
            above: 0.5,
            below: 0.5,
        };
        assert!((paired.sure_above(0.0) - 0.95).abs() < 1e-4);
        assert!(paired.surely(0.95).abs() < 1e-3);
    }
}
