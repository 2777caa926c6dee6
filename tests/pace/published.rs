//! Posteriors and bottlenecks against published formulas; figures worked out in closed form, or
//! with another program's Gamma law where a quantile is asked for.

use crate::close;
use putby::sim::bottleneck::{Arrows, active_period, arrows};
use putby::sim::posterior::{Posterior, helper_factor};

const PRIOR: Posterior = Posterior {
    shape: 2.0,
    rate: 6.0,
};

/// Conjugate prior of exponential services: shape grows by what was done, rate by active time.
#[test]
fn exponential_services_and_one_under_way() {
    let done = [2.5, 4.0, 3.2, 1.8, 5.1];
    let law = done.iter().fold(PRIOR, |law, min| law.seen(1.0, *min));
    let law = law.unfinished(1.0, 1.4);
    close(law.shape, 7.0, 1e-9);
    close(law.rate, 24.0, 1e-9);
    close(law.mean(), 0.291_666_666_666_666_7, 1e-6);
    close(law.service_min(), 4.0, 1e-6);
    close(law.quantile(0.05), 0.136_888_153_828_944_6, 1e-6);
    close(law.quantile(0.95), 0.493_433_152_184_178_66, 1e-6);
}

#[test]
fn nothing_but_a_service_under_way() {
    let law = PRIOR.unfinished(1.0, 9.0);
    close(law.rate, 15.0, 1e-9);
    close(law.mean(), 0.133_333_333_333_333_33, 1e-6);
    close(law.service_min(), 15.0, 1e-6);
    close(law.quantile(0.05), 0.023_690_767_379_910_795, 1e-6);
    close(law.quantile(0.95), 0.316_257_634_559_371_8, 1e-6);
}

/// Conjugacy of the Gamma law for Gamma services of known shape.
#[test]
fn gamma_services_of_shape_four() {
    let done = [2.5, 4.0, 3.2, 1.8, 5.1];
    let law = PRIOR.seen_with_shape(4.0, 5.0, done.iter().sum());
    close(law.shape, 22.0, 1e-9);
    close(law.rate, 72.4, 1e-9);
    close(law.mean(), 0.303_867_403_314_917_13, 1e-9);
    close(law.cv(), 0.213_200_716_355_610_41, 1e-9);
}

/// Power discounting (West & Harrison, Bayesian Forecasting and Dynamic Models, 1989).
#[test]
fn forgetting() {
    let done = [2.5, 4.0, 3.2, 6.5, 7.1, 6.9];
    let law = done
        .iter()
        .fold(PRIOR, |law, min| law.forget(0.9).seen(1.0, *min));
    close(law.shape, 5.748_472_000_000_001, 1e-9);
    close(law.rate, 28.177_071_000_000_005, 1e-9);
    close(law.mean(), 0.204_012_404_270_124_46, 1e-9);
}

/// Gamma-Poisson with exposure: one speed over several stations.
#[test]
fn a_speed_shared_over_stations() {
    let base = [0.5, 0.3, 0.8];
    let seen = [(0.5, 12.0, 20.0), (0.3, 3.0, 14.0), (0.8, 0.0, 0.0)];
    let speed = helper_factor(4.0, &seen);
    close(speed.shape, 19.0, 1e-9);
    close(speed.rate, 18.2, 1e-9);
    close(speed.mean(), 1.043_956_043_956_044, 1e-9);
    let rates = [
        0.521_978_021_978_022,
        0.313_186_813_186_813_2,
        0.835_164_835_164_835_3,
    ];
    for (base, rate) in base.iter().zip(rates) {
        close(base * speed.mean(), rate, 1e-9);
    }
}

/// A Gamma service under way against numerical integration of prior times survival: the mean and
/// the spread are those of the exact law.
#[test]
fn a_gamma_service_under_way_has_the_exact_moments() {
    for (a, b, k, age) in [
        (3.0, 10.0, 4.0, 5.0),
        (3.0, 10.0, 2.5, 1.0),
        (22.0, 72.4, 4.0, 9.0),
        (60.0, 200.0, 6.0, 40.0),
        (1.2, 4.0, 1.7, 0.3),
    ] {
        let law = Posterior { shape: a, rate: b }.unfinished(k, age);
        let (mut whole, mut first, mut second) = (0.0, 0.0, 0.0);
        let steps = 200_000;
        let top = a / b * (2.0 + 16.0 / f64::sqrt(a));
        for step in 0..steps {
            let rate = top * (f64::from(step) + 0.5) / f64::from(steps);
            let survival = statrs::function::gamma::gamma_ur(k, k * rate * age);
            let weight = ((a - 1.0) * rate.ln() - b * rate).exp() * survival;
            whole += weight;
            first += weight * rate;
            second += weight * rate * rate;
        }
        let (mean, square) = (first / whole, second / whole);
        close(law.mean(), mean, 1e-6);
        close(law.cv() * law.mean(), (square - mean * mean).sqrt(), 1e-5);
    }
}

/// However long a service goes on, the law stays a law and only falls.
#[test]
fn a_service_that_never_ends() {
    let start = Posterior::prior(0.3, 60.0);
    let mut last = start.mean();
    for age in [0.1, 1.0, 10.0, 100.0, 1e4, 1e6, 1e9, 1e12] {
        let law = start.unfinished(4.0, age);
        assert!(law.shape.is_finite() && law.shape > 0.0, "{age}: {law:?}");
        assert!(law.mean() < last && law.mean() > 0.0, "{age}: {law:?}");
        last = law.mean();
    }
}

/// Roser, Nakano & Tanaka, Shifting bottleneck detection, 2002.
#[test]
fn active_periods_of_three_stations() {
    let slice = vec![(0.0, 10.0), (12.0, 30.0)];
    let told = active_period(&[slice, vec![(5.0, 20.0)], vec![(18.0, 22.0)]], 0.0, 30.0);
    assert_eq!(told.sole, [15.0, 2.0, 0.0]);
    assert_eq!(told.shifting, [13.0, 13.0, 0.0]);
    assert_eq!(told.none, 0.0);
    let momentary: Vec<_> = told
        .momentary
        .iter()
        .map(|m| (m.from, m.to, m.station))
        .collect();
    let expected = [
        (0.0, 5.0, Some(0)),
        (5.0, 10.0, Some(1)),
        (10.0, 12.0, Some(1)),
        (12.0, 18.0, Some(0)),
        (18.0, 20.0, Some(0)),
        (20.0, 22.0, Some(0)),
        (22.0, 30.0, Some(0)),
    ];
    assert_eq!(momentary, expected);
}

#[test]
fn active_periods_of_four_stations() {
    let stations = [
        vec![(0.0, 40.0)],
        vec![(5.0, 22.0), (30.0, 75.0)],
        vec![(35.0, 60.0), (62.0, 120.0)],
        vec![(70.0, 80.0)],
    ];
    let told = active_period(&stations, 0.0, 120.0);
    assert_eq!(told.sole, [30.0, 22.0, 45.0, 0.0]);
    assert_eq!(told.shifting, [10.0, 23.0, 13.0, 0.0]);
    assert_eq!(told.none, 0.0);
    let ends = [
        5.0, 22.0, 30.0, 35.0, 40.0, 60.0, 62.0, 70.0, 75.0, 80.0, 120.0,
    ];
    let who = [0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2];
    let momentary: Vec<_> = told.momentary.iter().map(|m| (m.to, m.station)).collect();
    let expected: Vec<_> = ends.iter().zip(who).map(|(to, s)| (*to, Some(s))).collect();
    assert_eq!(momentary, expected);
}

/// Time with nobody active is nobody's; sole, half of shifting and none make up the whole.
#[test]
fn idle_time_is_nobodys() {
    let told = active_period(&[vec![(2.0, 5.0)], vec![(4.0, 10.0)]], 0.0, 12.0);
    assert_eq!(told.none, 4.0);
    let sum: f64 = told.sole.iter().sum::<f64>() + told.shifting.iter().sum::<f64>() / 2.0;
    assert_eq!(sum + told.none, 12.0);
}

/// Kuo, Lim & Meerkov, Bottlenecks in serial production lines: a system-theoretic approach, 1996.
#[test]
fn arrows_to_one_bottleneck() {
    let told = arrows(&[0.3, 0.2, 0.02, 0.0], &[0.0, 0.05, 0.12, 0.25]);
    assert_eq!(told.downstream, [true, true, false]);
    only(&told, &[(2, 0.31)], 2);
}

#[test]
fn arrows_to_two_bottlenecks() {
    let told = arrows(&[0.05, 0.3, 0.1, 0.02, 0.0], &[0.0, 0.2, 0.02, 0.25, 0.1]);
    assert_eq!(told.downstream, [false, true, false, false]);
    only(&told, &[(0, 0.15), (2, 0.43)], 2);
}

fn only(told: &Arrows, bottlenecks: &[(usize, f64)], primary: usize) {
    assert_eq!(told.primary, Some(primary));
    assert_eq!(told.bottlenecks.len(), bottlenecks.len());
    for (found, expected) in told.bottlenecks.iter().zip(bottlenecks) {
        assert_eq!(found.0, expected.0);
        assert!((found.1 - expected.1).abs() < 1e-9, "{found:?}");
    }
}
