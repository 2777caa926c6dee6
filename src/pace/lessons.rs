//! What was learned, one thing at a time: to be seen, corrected or forgotten.
//!
//! A correction is the household's own figure and counts as much as it says; a day that is closed
//! later adds to it, as to anything learned. Never the process itself: its time is a tested one, and
//! no lesson touches it.

use super::heat::{PHASES_MIN, REST_MIN};
use super::learned::{DAY_COUNTS, Evidence, Learned};
use super::minutes::Sample;
use super::yields::{FACTORS, POT_SIGMA};
use crate::day::ids::{HelperId, PotId, ProductId, StationId};
use crate::day::time::Timestamp;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A thing that is learned.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(
    tag = "of",
    rename_all = "kebab-case",
    rename_all_fields = "snake_case",
    deny_unknown_fields
)]
pub enum Lesson {
    /// How fast a helper is at a station, against what the trade's figures promise for their age.
    Speed {
        /// Who.
        helper: HelperId,
        /// Where.
        station: StationId,
    },
    /// Minutes from the first jar in to the heat on.
    Loading {
        /// At which canners.
        station: StationId,
    },
    /// Minutes from the heat on to the boil or pressure.
    Heating {
        /// At which canners.
        station: StationId,
    },
    /// Minutes from the end of the process to the jars out.
    After {
        /// At which canners.
        station: StationId,
    },
    /// Time of a pot against its recipe's minutes and five more.
    Pot {
        /// At which pots.
        station: StationId,
    },
    /// Minutes of a break.
    Break {},
    /// What came of a step against what its yield promises.
    Yield {
        /// Where.
        station: StationId,
        /// Of what.
        product: ProductId,
    },
    /// A pot that was thrown away, with why: to be remembered, not reckoned with.
    Scorch {
        /// Where.
        station: StationId,
        /// When.
        at: Timestamp,
    },
}

/// A lesson with what it rests on.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LessonTold {
    /// What it is about.
    #[serde(flatten)]
    pub lesson: Lesson,
    /// What was learned: a ratio or minutes, as the lesson says; absent for a note.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<f64>,
    /// What is reckoned with when nothing was learned, in the same unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub usual: Option<f64>,
    /// How much it will count on the next day: carriers, loads, pots or breaks it stands for. Half
    /// of what a day has seen counts on the next, a quarter on the one after.
    pub counts: f64,
    /// What was written when a pot was thrown away.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// Of which product, for such a note.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub what: Option<ProductId>,
}

/// A pot that was thrown away.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Scorch {
    /// Where.
    pub station: StationId,
    /// In which pot.
    pub pot: PotId,
    /// Of what.
    pub product: ProductId,
    /// When.
    pub at: Timestamp,
    /// Why, as it was written.
    pub reason: String,
}

/// What the lead says of a lesson.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Correction {
    /// The lead's own figure, in the place of all that was learned.
    Set {
        /// Of what.
        lesson: Lesson,
        /// The figure, in the lesson's unit.
        value: f64,
        /// How much it counts on the next day: as so many carriers, loads, pots or breaks seen.
        counts: f64,
    },
    /// All that was learned of it counts no more.
    Forget {
        /// Of what.
        lesson: Lesson,
    },
}

/// Why a correction is none: what is wrong, and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrongCorrection {
    /// What is wrong.
    pub detail: String,
    /// What to do.
    pub instead: String,
}

/// A correction counts at least and at most as so many things seen.
const COUNTS: (f64, f64) = (0.5, 200.0);

/// Squares of a corrected span, about its mean: the spread of the published 20 to 30 minutes.
const SPAN_CV: f64 = 0.25;

impl Lesson {
    /// The lowest and the highest figure that makes sense; `None` for a note.
    fn range(&self) -> Option<(f64, f64)> {
        match self {
            Lesson::Speed { .. } => Some((0.1, 10.0)),
            Lesson::Loading { .. } | Lesson::After { .. } | Lesson::Break {} => Some((0.5, 120.0)),
            Lesson::Heating { .. } => Some((1.0, 240.0)),
            Lesson::Pot { .. } => Some((0.2, 4.0)),
            Lesson::Yield { .. } => Some(FACTORS),
            Lesson::Scorch { .. } => None,
        }
    }
}

impl Correction {
    /// What it is about.
    pub fn lesson(&self) -> &Lesson {
        match self {
            Correction::Set { lesson, .. } | Correction::Forget { lesson } => lesson,
        }
    }

    /// # Errors
    /// The figure or how much it counts is out of range, or there is no figure to it.
    pub fn check(&self) -> Result<(), WrongCorrection> {
        let wrong = |detail: String, instead: String| Err(WrongCorrection { detail, instead });
        let Correction::Set {
            lesson,
            value,
            counts,
        } = self
        else {
            return Ok(());
        };
        let Some((low, high)) = lesson.range() else {
            return wrong(
                "A note on a pot has no figure to correct.".to_owned(),
                "Forget it, or leave it as it is.".to_owned(),
            );
        };
        if !(low..=high).contains(value) {
            return wrong(
                format!("{value} is no figure for this."),
                format!("Say a number from {low} to {high}."),
            );
        }
        if !(COUNTS.0..=COUNTS.1).contains(counts) {
            return wrong(
                format!("It cannot count as {counts}."),
                format!("Say a number from {} to {}.", COUNTS.0, COUNTS.1),
            );
        }
        Ok(())
    }
}

impl Learned {
    /// Everything that will count on the next day, by what it is about. What hardly counts any more
    /// is left out.
    pub fn lessons(&self) -> Vec<LessonTold> {
        let next = self.clone().aged();
        let mut told = Vec::new();
        let mut tell = |lesson: Lesson, value: f64, usual: f64, counts: f64| {
            if counts >= 0.05 && value.is_finite() {
                told.push(LessonTold {
                    lesson,
                    value: Some(value),
                    usual: Some(usual),
                    counts,
                    note: None,
                    what: None,
                });
            }
        };
        for (helper, stations) in &next.speeds {
            for (station, evidence) in stations {
                let lesson = Lesson::Speed {
                    helper: helper.clone(),
                    station: station.clone(),
                };
                let ratio = evidence.carriers / evidence.promised;
                tell(lesson, ratio, 1.0, evidence.carriers);
            }
        }
        for (station, samples) in &next.canners {
            let phases = [
                Lesson::Loading {
                    station: station.clone(),
                },
                Lesson::Heating {
                    station: station.clone(),
                },
                Lesson::After {
                    station: station.clone(),
                },
            ];
            for ((lesson, sample), usual) in phases.into_iter().zip(samples).zip(PHASES_MIN) {
                tell(lesson, sample.sum / sample.n, usual, sample.n);
            }
        }
        for (station, sample) in &next.pots {
            let station = station.clone();
            tell(
                Lesson::Pot { station },
                sample.sum / sample.n,
                1.0,
                sample.n,
            );
        }
        let rests = next.rests;
        tell(Lesson::Break {}, rests.sum / rests.n, REST_MIN, rests.n);
        for (station, products) in &next.yields {
            for (product, seen) in products {
                let lesson = Lesson::Yield {
                    station: station.clone(),
                    product: product.clone(),
                };
                let counts = seen.weight * POT_SIGMA * POT_SIGMA;
                tell(lesson, (seen.sum / seen.weight).exp(), 1.0, counts);
            }
        }
        for scorch in &next.scorches {
            told.push(LessonTold {
                lesson: Lesson::Scorch {
                    station: scorch.station.clone(),
                    at: scorch.at,
                },
                value: None,
                usual: None,
                counts: 1.0,
                note: Some(scorch.reason.clone()),
                what: Some(scorch.product.clone()),
            });
        }
        told
    }

    /// As the lead says, from now on.
    pub fn correct(&mut self, correction: &Correction) {
        match correction {
            Correction::Forget { lesson } => self.put(lesson, None),
            Correction::Set {
                lesson,
                value,
                counts,
            } => self.put(lesson, Some((*value, counts / DAY_COUNTS))),
        }
    }

    /// Puts a figure that counts so much in the place of all that was learned, or nothing.
    fn put(&mut self, lesson: &Lesson, figure: Option<(f64, f64)>) {
        let sample = figure.map_or_else(Sample::default, |(value, n)| Sample {
            n,
            sum: n * value,
            squares: n * value * value * (1.0 + SPAN_CV * SPAN_CV),
        });
        let mut phase = |station: &StationId, phase: usize| {
            let phases = self.canners.entry(station.clone()).or_default();
            phases[phase] = sample;
        };
        match lesson {
            Lesson::Speed { helper, station } => {
                let stations = self.speeds.entry(helper.clone()).or_default();
                stations.remove(station);
                if let Some((value, carriers)) = figure {
                    let promised = carriers / value;
                    stations.insert(station.clone(), Evidence { carriers, promised });
                }
            }
            Lesson::Loading { station } => phase(station, 0),
            Lesson::Heating { station } => phase(station, 1),
            Lesson::After { station } => phase(station, 2),
            Lesson::Pot { station } => {
                self.pots.insert(station.clone(), sample);
            }
            Lesson::Break {} => self.rests = sample,
            Lesson::Yield { station, product } => {
                let products = self.yields.entry(station.clone()).or_default();
                products.remove(product);
                if let Some((value, pots)) = figure {
                    let weight = pots / (POT_SIGMA * POT_SIGMA);
                    let sum = weight * value.ln();
                    products.insert(product.clone(), SeenYield { weight, sum });
                }
            }
            Lesson::Scorch { station, at } => {
                let is_it = |one: &Scorch| one.station == *station && one.at == *at;
                self.scorches.retain(|one| !is_it(one));
            }
        }
    }
}

/// What was measured of a yield: the weight and the weighted sum of the logarithms of what came
/// against what was promised.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
pub struct SeenYield {
    /// The sum of the weights, each one over a variance.
    pub weight: f64,
    /// The weighted sum.
    pub sum: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn station() -> StationId {
        let Ok(id) = StationId::try_from("canners") else {
            unreachable!("a plain word");
        };
        id
    }

    fn of<'a>(all: &'a [LessonTold], lesson: &Lesson) -> Option<&'a LessonTold> {
        all.iter().find(|told| told.lesson == *lesson)
    }

    #[test]
    fn a_correction_counts_on_the_next_day_as_much_as_it_says() {
        let Ok(helper) = HelperId::try_from("osk") else {
            unreachable!("a plain word");
        };
        let Ok(product) = ProductId::try_from("pears") else {
            unreachable!("a plain word");
        };
        let lessons = [
            (Lesson::Heating { station: station() }, 32.0, 4.0),
            (Lesson::Pot { station: station() }, 1.25, 3.0),
            (Lesson::Break {}, 20.0, 2.0),
            (
                Lesson::Speed {
                    helper,
                    station: station(),
                },
                1.5,
                10.0,
            ),
            (
                Lesson::Yield {
                    station: station(),
                    product,
                },
                0.9,
                2.0,
            ),
        ];
        let mut learned = Learned::default();
        for (lesson, value, counts) in &lessons {
            let set = Correction::Set {
                lesson: lesson.clone(),
                value: *value,
                counts: *counts,
            };
            assert_eq!(set.check(), Ok(()));
            learned.correct(&set);
        }
        let told = learned.lessons();
        assert_eq!(told.len(), lessons.len());
        for (lesson, value, counts) in &lessons {
            let one = of(&told, lesson).map(|one| (one.value, one.counts));
            let Some((Some(found), weighs)) = one else {
                unreachable!("{lesson:?} was set");
            };
            assert!((found - value).abs() < 1e-9, "{lesson:?}: {found}");
            assert!((weighs - counts).abs() < 1e-9, "{lesson:?}: {weighs}");
            learned.correct(&Correction::Forget {
                lesson: lesson.clone(),
            });
        }
        assert_eq!(learned.lessons(), []);
    }

    #[test]
    fn what_makes_no_sense_is_refused_with_what_would() {
        let set = |value, counts| Correction::Set {
            lesson: Lesson::Heating { station: station() },
            value,
            counts,
        };
        for (value, counts) in [
            (0.0, 2.0),
            (f64::NAN, 2.0),
            (30.0, 0.0),
            (30.0, 1e6),
            (-3.0, 2.0),
        ] {
            let wrong = set(value, counts).check();
            assert!(
                wrong.is_err_and(|wrong| wrong.instead.len() > 10),
                "{value} {counts}"
            );
        }
        let scorch = Lesson::Scorch {
            station: station(),
            at: Timestamp(5),
        };
        let figure = Correction::Set {
            lesson: scorch,
            value: 1.0,
            counts: 1.0,
        };
        assert!(figure.check().is_err());
    }
}
