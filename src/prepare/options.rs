//! The packages a use could be put up in, and why another cannot be.
//!
//! Nothing is offered for the shelf without a tested process for its food, pack and jar at the
//! kitchen's altitude by a canner that is there.

use super::ask::{Ask, Container, Keep, Use};
use super::pounds::{Pounds, pounds};
use super::programme::plain;
use crate::day::amount::Amount;
use crate::trade::{self, Jar, Method, Pack, TestedProcess};
use serde::Serialize;

/// A use in one package size.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Which use.
    pub use_id: String,
    /// Which package.
    pub package: String,
    /// What it is filled into.
    pub container: Container,
    /// Pounds of produce.
    pub pounds: Pounds,
    /// What one use takes, in thousandths of a quart.
    pub portion: Amount,
    /// What a package gives when it is opened: less than it holds once thawed.
    pub usable: Amount,
    /// Packages opened together, for `serves` uses.
    pub opened: i64,
    /// Uses that they serve.
    pub serves: i64,
    /// The processes that the kitchen's canners can do, by method; none for the freezer.
    pub processes: Vec<TestedProcess>,
}

impl Choice {
    /// The food as its tested process names it, or as the use does for the freezer.
    pub fn food(&self, one: &Use) -> String {
        match self.processes.first() {
            Some(process) => process.product.clone(),
            None => plain(one.food()),
        }
    }
}

/// Why something is not offered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NotOffered {
    /// Which use.
    #[serde(rename = "use")]
    pub use_id: String,
    /// Which package; absent: none of all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub package: Option<String>,
    /// The field of the ask that would change it.
    pub field: String,
    /// A fixed word for programs.
    pub code: &'static str,
    /// Why, in a sentence.
    pub detail: String,
    /// What to do, in a sentence.
    pub instead: String,
}

/// The choices of every use, and what is not offered.
pub fn choices(ask: &Ask) -> (Vec<Choice>, Vec<NotOffered>) {
    let (mut found, mut not) = (Vec::new(), Vec::new());
    for (id, one) in &ask.uses {
        let mut offered = false;
        for (package, plan) in &ask.packages {
            let made = match plan.container.jar() {
                Some(_) if one.keep == Keep::Freezer => continue,
                None if one.keep == Keep::Shelf => continue,
                Some(jar) => for_the_shelf(ask, (id, one), jar),
                None => for_the_freezer(ask, (id, one)).map(|()| Vec::new()),
            };
            match made.and_then(|processes| choice(ask, (id, one), package, processes)) {
                Ok(choice) => {
                    offered = true;
                    found.push(choice);
                }
                Err(mut why) => {
                    why.package = Some(package.clone());
                    not.push(*why);
                }
            }
        }
        if !offered && !not.iter().any(|why| why.use_id == *id) {
            not.push(no_package(id, one));
        }
    }
    (found, not)
}

fn no_package(id: &str, one: &Use) -> NotOffered {
    let kind = match one.keep {
        Keep::Shelf => "jar",
        Keep::Freezer | Keep::Either => "freezer bag or tub",
    };
    NotOffered {
        use_id: id.to_owned(),
        package: None,
        field: "packages".to_owned(),
        code: "no-package",
        detail: format!("No {kind} is named."),
        instead: format!("Name a {kind} size that the family has or can buy."),
    }
}

fn choice(
    ask: &Ask,
    (id, one): (&String, &Use),
    package: &str,
    processes: Vec<TestedProcess>,
) -> Result<Choice, Box<NotOffered>> {
    let container = ask.packages[package].container;
    let pounds = pounds(one, container).ok_or_else(|| no_yield(id, one))?;
    let portion = one.portion();
    let usable = usable(one, container);
    let (opened, serves) = serving(one, container);
    Ok(Choice {
        use_id: id.clone(),
        package: package.to_owned(),
        container,
        pounds,
        portion,
        usable,
        opened,
        serves,
        processes,
    })
}

/// What a package gives when it is opened, in thousandths of a quart.
fn usable(one: &Use, container: Container) -> Amount {
    let holds = container.holds();
    match container.jar() {
        Some(_) => holds,
        None => Amount(holds.0 * (1000 - one.shrink.0) / 1000),
    }
}

/// Packages opened together and the uses they serve. What is left in an opened package serves again
/// only within the days the family keeps it.
pub fn serving(one: &Use, container: Container) -> (i64, i64) {
    let (usable, portion) = (usable(one, container).0.max(1), one.portion());
    if usable < portion.0 {
        return ((portion.0 + usable - 1) / usable, 1);
    }
    let in_it = usable / portion.0.max(1);
    // Uses in the days it keeps: the first, and those that follow within them.
    let a_year = Use {
        weeks: Amount::whole(52),
        ..one.clone()
    };
    let follow = i64::from(one.opened_days) * a_year.times_in_season() / 364;
    (1, in_it.min(1 + follow).max(1))
}

fn for_the_freezer(ask: &Ask, (id, one): (&String, &Use)) -> Result<(), Box<NotOffered>> {
    if ask.freezer.is_some() {
        return Ok(());
    }
    Err(not_offered(
        id,
        "freezer",
        "no-freezer",
        format!("{} would be frozen, and no freezer is named.", one.name),
        "Say how many cubic feet the freezer has.".to_owned(),
    ))
}

/// The processes of a jar by the canners that are there.
fn for_the_shelf(
    ask: &Ask,
    (id, one): (&String, &Use),
    jar: Jar,
) -> Result<Vec<TestedProcess>, Box<NotOffered>> {
    let Some(altitude_ft) = ask.altitude_ft else {
        return Err(not_offered(
            id,
            "altitude_ft",
            "no-altitude",
            "The altitude sets the time or the pressure and is not known.".to_owned(),
            "Say how high the kitchen lies, or freeze it.".to_owned(),
        ));
    };
    let methods = methods(ask, jar);
    if methods.is_empty() {
        return Err(not_offered(
            id,
            "kitchen.canners",
            "no-canner",
            format!("No canner that takes {jar} jars is named."),
            "Name the canner and what it holds, or freeze it.".to_owned(),
        ));
    }
    let packs: Vec<Pack> = one
        .pack
        .map_or_else(|| Pack::ALL.to_vec(), |pack| vec![pack]);
    let mut refused = None;
    for pack in packs {
        let asked = methods.iter().map(|method| {
            let told = trade::tested(one.food(), pack, jar, *method, altitude_ft);
            told.and_then(|process| of_this_produce(one, process))
        });
        let (tested, mut no): (Vec<_>, Vec<_>) = asked.partition(Result::is_ok);
        if !tested.is_empty() {
            return Ok(tested.into_iter().filter_map(Result::ok).collect());
        }
        refused = refused.or(no.pop().and_then(Result::err));
    }
    let (code, detail, instead) = refused.map_or_else(
        || ("no-tested-process", String::new(), String::new()),
        |why| (why.code(), format!("{why}"), why.instead()),
    );
    Err(not_offered(
        id,
        &format!("uses.{id}.food"),
        code,
        detail,
        instead,
    ))
}

/// A process is for the produce it was tested with.
fn of_this_produce(
    one: &Use,
    process: TestedProcess,
) -> Result<TestedProcess, trade::NoTestedProcess> {
    let produce = one.produce.trim().to_lowercase();
    let known = trade::produce()
        .iter()
        .any(|known| known.name == produce && known.products.contains(&process.product));
    if known {
        return Ok(process);
    }
    Err(trade::NoTestedProcess::UnknownProduct {
        asked: format!("{} of {}", process.product, one.produce),
        near: Vec::new(),
    })
}

/// The methods of canners that take a jar, each once.
fn methods(ask: &Ask, jar: Jar) -> Vec<Method> {
    let canners = ask.kitchen.canners.values();
    let mut methods: Vec<Method> = canners
        .filter(|canner| canner.holds.contains_key(&jar))
        .map(|canner| canner.method)
        .collect();
    methods.sort();
    methods.dedup();
    methods
}

fn no_yield(id: &str, one: &Use) -> Box<NotOffered> {
    not_offered(
        id,
        &format!("uses.{id}.lb_per_quart"),
        "no-yield",
        format!("No yield of {} is on file for {}.", one.produce, one.food()),
        "Say how many pounds made a quart in your own kitchen.".to_owned(),
    )
}

fn not_offered(
    id: &str,
    field: &str,
    code: &'static str,
    detail: String,
    instead: String,
) -> Box<NotOffered> {
    Box::new(NotOffered {
        use_id: id.to_owned(),
        package: None,
        field: field.to_owned(),
        code,
        detail,
        instead,
    })
}
