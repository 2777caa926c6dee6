//! The comparison of changes on invented days: normal finishes whose true gains are known.

use putby::outlook::compare::{Days, Rule, compare};
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;

/// Days whose finish is 300 less the true gain, with noise that all changes share and noise of
/// their own.
struct Invented {
    gains: Vec<f64>,
    own_sd: f64,
    seed: u64,
    asked: u64,
}

impl Invented {
    fn new(gains: &[f64], own_sd: f64, seed: u64) -> Invented {
        let gains = std::iter::once(0.0).chain(gains.iter().copied());
        Invented {
            gains: gains.collect(),
            own_sd,
            seed,
            asked: 0,
        }
    }
}

fn normal(seed: u64, day: u64, change: u64) -> f64 {
    let mixed =
        seed ^ day.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ change.wrapping_mul(0xd1b5_4a32_d192_ed03);
    StandardNormal.sample(&mut Xoshiro256PlusPlus::seed_from_u64(mixed))
}

impl Days for Invented {
    fn finish_min(&mut self, change: usize, day: u64) -> f64 {
        self.asked += 1;
        let shared = 40.0 * normal(self.seed, day, u64::MAX);
        let own = self.own_sd * normal(self.seed, day, change as u64 + 1);
        300.0 - self.gains[change] + shared + own
    }
}

fn run(gains: &[f64], own_sd: f64, seed: u64) -> (Option<usize>, u64) {
    let mut days = Invented::new(gains, own_sd, seed);
    let race = compare(&mut days, &vec![5.0; gains.len()], &[], Rule::default());
    assert_eq!(race.spent, days.asked);
    (race.winner, race.spent)
}

#[test]
fn a_clear_winner_is_found_soon_and_nothing_to_gain_is_soon_known() {
    let (winner, spent) = run(&[1.0, 22.0, -4.0, 9.0], 4.0, 1);
    assert_eq!(winner, Some(2));
    assert!(spent < 5 * 200 / 2, "{spent} days for a clear case");
    let (winner, spent) = run(&[0.0, -3.0, 1.0, -8.0], 4.0, 1);
    assert_eq!(winner, None);
    assert!(spent < 5 * 200 / 4, "{spent} days for nothing");
}

#[test]
fn a_change_without_any_effect_is_never_chosen_and_one_without_noise_at_once() {
    let mut days = Invented::new(&[0.0; 30], 0.0, 3);
    let race = compare(&mut days, &[5.0; 30], &[], Rule::default());
    assert_eq!(race.winner, None);
    assert_eq!(race.spent, 31 * 12, "the first round is enough");
    assert_eq!(run(&[6.0], 0.0, 3).0, Some(1));
    assert_eq!(run(&[4.9], 0.0, 3).0, None);
}

/// With true gains 1 below the price the chance of a proposal is that of the rule: at most one in
/// ten where one change races. Bound: four standard errors above it, 400 races.
#[test]
fn below_the_least_gain_hardly_ever_is_anything_proposed() {
    let wrong = (0..400)
        .filter(|seed| run(&[4.0], 10.0, *seed).0.is_some())
        .count();
    let most = 400.0 * 0.1 + 4.0 * (400.0_f64 * 0.1 * 0.9).sqrt();
    assert!((wrong as f64) < most, "{wrong} of 400");
}

/// The best of twenty by three minutes, with eight minutes of noise in each: to be found nine times
/// in ten, and never to be missed by more than it is ahead.
#[test]
fn the_best_of_many_is_found() {
    let mut gains = vec![0.0; 20];
    gains[3] = 8.0;
    gains[11] = 9.0;
    gains[16] = 12.0;
    let winners: Vec<Option<usize>> = (0..200).map(|seed| run(&gains, 8.0, seed).0).collect();
    let right = winners.iter().filter(|winner| **winner == Some(17)).count();
    assert!(right >= 190, "{right} of 200");
    assert!(
        winners
            .iter()
            .all(|winner| winner.is_none_or(|at| [4, 12, 17].contains(&at)))
    );
}

#[test]
fn between_equals_the_one_that_is_liked_is_taken() {
    // The same change three times: the same days, so no difference at all.
    struct Same;
    impl Days for Same {
        fn finish_min(&mut self, change: usize, day: u64) -> f64 {
            let gain = if change == 0 { 0.0 } else { 11.0 };
            300.0 - gain + 3.0 * normal(9, day, u64::from(change > 0))
        }
    }
    let race = compare(&mut Same, &[5.0; 3], &[0, 3, 1], Rule::default());
    assert_eq!(race.winner, Some(2));
    assert_eq!(race.spent, 4 * 12, "equals need no further days");
}

#[test]
fn a_higher_price_keeps_a_change_away_until_it_is_worth_it() {
    let mut days = Invented::new(&[14.0, 9.0], 2.0, 5);
    let race = compare(&mut days, &[20.0, 5.0], &[], Rule::default());
    assert_eq!(race.winner, Some(2));
    let mut days = Invented::new(&[26.0, 9.0], 2.0, 5);
    let race = compare(&mut days, &[20.0, 5.0], &[], Rule::default());
    assert_eq!(race.winner, Some(1));
}

#[test]
fn the_same_days_give_the_same_race() {
    let gains = [3.0, 6.0, 6.5, 7.0, -2.0];
    let once = || {
        compare(
            &mut Invented::new(&gains, 9.0, 8),
            &[5.0; 5],
            &[],
            Rule::default(),
        )
    };
    assert_eq!(once(), once());
}
