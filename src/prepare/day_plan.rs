//! The day that a proposal makes: stations, routes, supplies, lots and people.
//!
//! Stations and the ways of the fruit come from the ready family kitchen; yields, packages, canners,
//! pots and burners from the ask. It is a plan like any other and the lead can change all of it.

use super::ask::{Ask, Container};
use super::options::Choice;
use super::pounds::{box_pounds, pounds_there};
use super::programme::plain;
use super::proposal::Line;
use super::routes::{Form, Kitchen};
use crate::day::amount::{Amount, Measure, Ratio};
use crate::day::ids::*;
use crate::day::plan::*;
use crate::trade::{Method, Pack};
use std::collections::BTreeMap;

/// Fruit that is prepared together, whatever package it ends in.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Group {
    produce: String,
    food: String,
    form: Form,
}

/// Packages of one kind.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Made {
    container: Container,
    process: Option<(Method, Pack)>,
    packages: i64,
    pounds: Amount,
}

/// Boxes of produce whose container is not on file hold so much (common practice).
const BOX_LB: Amount = Amount::whole(20);

/// The day for what is to be made; `None` when that is nothing.
pub fn plan(ask: &Ask, choices: &[Choice], lines: &[Line]) -> Option<DayPlan> {
    let mut groups: BTreeMap<Group, BTreeMap<String, Made>> = BTreeMap::new();
    for (choice, line) in choices
        .iter()
        .zip(lines)
        .filter(|(_, line)| line.packages > 0)
    {
        let one = &ask.uses[&choice.use_id];
        let food = choice.food(one);
        let group = Group {
            produce: plain(&one.produce),
            form: Form::of(&food),
            food,
        };
        let process = line.process.as_ref();
        let pack = process.map_or("", |process| process.pack.word());
        let key = format!("{} {pack}", choice.package);
        let made = groups.entry(group).or_default().entry(key).or_insert(Made {
            container: choice.container,
            process: process.map(|process| (process.method, process.pack)),
            packages: 0,
            pounds: Amount::ZERO,
        });
        made.packages += line.packages;
        let promised = choice.pounds.promised;
        made.pounds += promised
            .needed_for(Amount::whole(line.packages))
            .unwrap_or(Amount::ZERO);
    }
    if groups.is_empty() {
        return None;
    }
    let mut day = Day {
        kitchen: Kitchen::of(ask)?,
        plan: empty(ask),
    };
    for (group, made) in &groups {
        day.put(group, made)?;
    }
    day.stock(ask, lines)?;
    day.lots(ask, &groups)?;
    Some(day.finished(ask))
}

fn empty(ask: &Ask) -> DayPlan {
    DayPlan {
        name: ask.name.trim().to_owned(),
        date: ask.date.clone(),
        cut_off_at: ask.cut_off_at,
        altitude_ft: ask.altitude_ft,
        scraps_bucket_lb: Amount::whole(10),
        age_rules: AgeRules::usual(),
        resources: BTreeMap::new(),
        stations: BTreeMap::new(),
        supplies: BTreeMap::new(),
        products: BTreeMap::new(),
        helpers: ask.helpers.clone(),
        lots: BTreeMap::new(),
        carried: Vec::new(),
    }
}

struct Day {
    kitchen: Kitchen,
    plan: DayPlan,
}

impl Day {
    fn put(&mut self, group: &Group, made: &BTreeMap<String, Made>) -> Option<()> {
        let pounds: Amount = made.values().map(|one| one.pounds).sum();
        let quarts: i64 = made
            .values()
            .map(|one| one.container.holds().0 * one.packages)
            .sum();
        let mut route = self
            .kitchen
            .way(&group.produce, group.form, (Amount(quarts), pounds))?;
        let mut ends = Vec::new();
        for one in made.values() {
            let id = self.free_id(&product_id(&group.food, one.container));
            let tail = self.tail(one)?;
            ends.push((id, one, tail));
        }
        if let [(id, one, tail)] = &mut ends[..] {
            route.append(tail);
            let product = product(group, one, route);
            self.plan
                .products
                .insert(ProductId::try_from(id.as_str()).ok()?, product);
            return Some(());
        }
        let divisor = ends
            .iter()
            .map(|(_, one, _)| one.container.holds().0 * one.packages)
            .fold(0, common);
        let mut onward = Vec::new();
        for (id, one, tail) in ends {
            let id = ProductId::try_from(id).ok()?;
            let quarts = one.container.holds().0 * one.packages;
            onward.push(Branch {
                product: id.clone(),
                station: tail.first()?.station.clone(),
                weight: u32::try_from(quarts / divisor).ok()?,
            });
            self.plan.products.insert(id, product(group, one, tail));
        }
        route.last_mut()?.onward = onward;
        let id = self.free_id(&shared_id(&group.food));
        let shared = Product {
            name: format!("{}, made ready", capital(&group.food)),
            produce: group.produce.clone(),
            also_of: Default::default(),
            ends_in: Ending::Shared {},
            route,
            wanted: None,
        };
        self.plan
            .products
            .insert(ProductId::try_from(id).ok()?, shared);
        Some(())
    }

    /// An id that no product has yet.
    fn free_id(&self, plain: &str) -> String {
        let taken = |id: &String| {
            let id = ProductId::try_from(id.as_str());
            id.is_ok_and(|id| self.plan.products.contains_key(&id))
        };
        let mut ids = (1..).map(|number| match number {
            1 => plain.to_owned(),
            number => format!("{plain}-{number}"),
        });
        ids.find(|id| !taken(id))
            .unwrap_or_else(|| plain.to_owned())
    }

    /// From prepared quarts to the finished package.
    fn tail(&self, one: &Made) -> Option<Vec<Step>> {
        let holds = one.container.holds();
        let word = kind(one.container);
        let fills = Ratio {
            made: 1000,
            from: holds.0,
        };
        let carrier = |name: &str, holds| Carrier {
            name: name.to_owned(),
            holds,
        };
        let supply = SupplyId::try_from(format!("{}s", word.replace('.', "-"))).ok()?;
        let mut draws = BTreeMap::from([(supply, Amount::whole(1))]);
        let (first, rest, name, measure) = match one.process {
            Some((method, _)) => {
                draws.insert(SupplyId::try_from("lids").ok()?, Amount::whole(1));
                let canners = self.kitchen.canners(method)?;
                ("fill", vec![canners, id("rack")?], "jar", Measure::Jar)
            }
            None => {
                let measure = match one.container {
                    Container::Bag { .. } => Measure::Bag,
                    Container::Jar { .. } | Container::Tub { .. } => Measure::Tub,
                };
                ("bag", vec![id("freezer")?], measure.symbol(), measure)
            }
        };
        let mut steps = vec![Step {
            station: id(first)?,
            measure: Measure::Qt,
            carrier: carrier(name, holds),
            yields: fills,
            trims_lb: Ratio::NONE,
            draws,
            cook_min: None,
            onward: Vec::new(),
        }];
        steps.extend(rest.into_iter().map(|station| Step {
            station,
            measure,
            carrier: carrier(name, Amount::whole(1)),
            yields: Ratio::ONE,
            trims_lb: Ratio::NONE,
            draws: BTreeMap::new(),
            cook_min: None,
            onward: Vec::new(),
        }));
        Some(steps)
    }

    /// Packages and lids, all that is in the house or to be bought.
    fn stock(&mut self, ask: &Ask, lines: &[Line]) -> Option<()> {
        let mut counts: BTreeMap<String, (i64, i64)> = BTreeMap::new();
        let jars = lines.iter().filter(|line| line.process.is_some());
        let jars: i64 = jars.map(|line| line.packages).sum();
        for (package, plan) in &ask.packages {
            let of_it = lines.iter().filter(|line| line.package == *package);
            let needed: i64 = of_it.map(|line| line.packages).sum();
            if needed > 0 {
                let sum = counts.entry(kind(plan.container)).or_default();
                sum.0 += needed;
                sum.1 += plan.stock.have.0 / 1000;
            }
        }
        let mut put = |id: &str, name: String, unit: &str, (needed, have): (i64, i64)| {
            let supply = Supply {
                name,
                unit: unit.to_owned(),
                stock: Amount::whole(needed.max(have)),
                low_at: Amount::whole((needed + 9) / 10),
            };
            let id = SupplyId::try_from(id.replace('.', "-")).ok()?;
            self.plan.supplies.insert(id, supply);
            Some(())
        };
        for (word, count) in counts {
            let unit = word.rsplit('-').next().unwrap_or("jar").to_owned();
            let clean = if unit == "jar" { "clean hot " } else { "" };
            let words = word.replace('-', " ");
            put(
                &format!("{word}s"),
                format!("{clean}{words}s"),
                &unit,
                count,
            )?;
        }
        if jars > 0 {
            let count = (jars + (jars + 9) / 10, ask.lids.have.0 / 1000);
            put("lids", "new lids".to_owned(), "lid", count)?;
        }
        Some(())
    }

    fn lots(&mut self, ask: &Ask, groups: &BTreeMap<Group, BTreeMap<String, Made>>) -> Option<()> {
        for (id, there) in &ask.there_is {
            let produce = plain(&there.produce);
            if !groups.keys().any(|group| group.produce == produce) {
                continue;
            }
            let amount = pounds_there(there)?;
            let variety = there.variety.trim();
            let name = match variety {
                "" => capital(&produce),
                variety => variety.to_owned(),
            };
            let lot = Lot {
                name,
                box_holds: box_pounds(&produce).unwrap_or(BOX_LB).min(amount),
                produce,
                measure: Measure::Lb,
                amount,
            };
            self.plan.lots.insert(id.clone(), lot);
        }
        Some(())
    }

    fn finished(mut self, ask: &Ask) -> DayPlan {
        let routes = self
            .plan
            .products
            .values()
            .flat_map(|product| &product.route);
        let used = routes.map(|step| step.station.clone()).collect();
        self.kitchen.furnish(&mut self.plan, &used, ask);
        self.plan
    }
}

fn id(text: &str) -> Option<StationId> {
    StationId::try_from(text).ok()
}

fn product(group: &Group, one: &Made, route: Vec<Step>) -> Product {
    let ends_in = match (one.process, one.container) {
        (Some((_, pack)), Container::Jar { jar }) => Ending::Canned {
            food: group.food.clone(),
            pack,
            jar,
        },
        (_, Container::Bag { .. }) => Ending::Frozen {
            package: Measure::Bag,
        },
        (_, Container::Jar { .. } | Container::Tub { .. }) => Ending::Frozen {
            package: Measure::Tub,
        },
    };
    Product {
        name: format!(
            "{}, {}s",
            capital(&group.food),
            kind(one.container).replace('-', " ")
        ),
        produce: group.produce.clone(),
        also_of: Default::default(),
        ends_in,
        route,
        wanted: Some(Amount::whole(one.packages)),
    }
}

/// The product of a food in a package; the same every year, so that what was learned of it counts.
pub fn product_id(food: &str, container: Container) -> String {
    plain_id(&format!("{food}-{}", kind(container)))
}

/// What is made ready for several packages together.
pub fn shared_id(food: &str) -> String {
    plain_id(&format!("{food}-made-ready"))
}

fn plain_id(words: &str) -> String {
    let letters = words
        .chars()
        .map(|letter| match letter.to_ascii_lowercase() {
            letter @ ('a'..='z' | '0'..='9') => letter,
            _ => '-',
        });
    let plain: String = letters.take(34).collect();
    plain.trim_matches('-').to_owned()
}

/// A package in a word: `pint-jar`, `1.5-qt-bag`.
fn kind(container: Container) -> String {
    match container {
        Container::Jar { jar } => format!("{jar}-jar"),
        Container::Bag { holds } => format!("{holds}-qt-bag"),
        Container::Tub { holds } => format!("{holds}-qt-tub"),
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

fn common(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { common(b, a % b) }
}
