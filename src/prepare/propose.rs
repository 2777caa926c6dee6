//! From an ask to a proposal: check, choices, optimum, and what it takes.

use super::ask::Ask;
use super::check::{Fault, check};
use super::forecast::{Foretold, Work, foretell};
use super::freezing;
use super::loads::{self, Food};
use super::options::{Choice, choices};
use super::pounds::box_pounds;
use super::programme::{Limit, Programme, needed, plain, produce_there, still_serves};
use super::proposal::*;
use super::settings::Settings;
use super::solve::{Solved, solve};
use super::supplies;
use super::{day_plan, held, own_days};
use crate::day::amount::Amount;
use crate::pace::Learned;
use std::collections::BTreeMap;

/// What to make of what there is, by a household that learned so much.
///
/// # Errors
/// Every fault of the ask, each with its field; or that no solution was found.
pub fn propose(ask: &Ask, learned: &Learned, settings: &Settings) -> Result<Proposal, Vec<Fault>> {
    let faults = check(ask);
    if !faults.is_empty() {
        return Err(faults);
    }
    let ask = &own_days::filled(ask, learned);
    let (choices, not_offered) = choices(ask);
    let programme = Programme::of(ask, &choices);
    let solved = solve(&programme, &choices).map_err(|why| vec![unsolved(&why)])?;
    let lines = lines(ask, &choices, &programme, &solved);
    let loads = loads_told(ask, &choices, &programme, &solved, &lines);
    let plan = day_plan::plan(ask, &choices, &lines);
    let forecast = plan.as_ref().map_or(Foretold::nothing(), |plan| {
        let work = Work {
            choices: &choices,
            lines: &lines,
            learned,
        };
        foretell(ask, plan, &work, settings)
    });
    Ok(Proposal {
        uses: uses(ask, &choices, &programme, &solved, &lines),
        produce: produce(ask, &choices, &lines),
        packages: supplies::packages(ask, &lines),
        lids: supplies::lids(ask, &lines),
        added: supplies::added(&lines, &ask.packages),
        canner: CannerTold {
            needed_min: loads.iter().map(|one| one.loads * one.cycle_min).sum(),
            there_min: there_min(ask),
        },
        freezer: freezer(ask, &choices, &lines),
        proven: solved.proven,
        own_days: own_days::rests_on(plan.as_ref(), learned),
        not_offered,
        lines,
        loads,
        plan,
        forecast,
    })
}

fn unsolved(why: &str) -> Fault {
    Fault {
        field: "uses".to_owned(),
        detail: format!("No proposal was found: {why}."),
        instead: "Ask for fewer uses or packages at once, or settle some lines yourself."
            .to_owned(),
    }
}

fn lines(ask: &Ask, choices: &[Choice], programme: &Programme, solved: &Solved) -> Vec<Line> {
    let each = choices.iter().zip(&programme.at);
    each.map(|(choice, (packages, served))| {
        line(ask, choice, solved.found[*packages], solved.found[*served])
    })
    .collect()
}

fn line(ask: &Ask, choice: &Choice, packages: i64, serves: i64) -> Line {
    let opened = Amount(choice.usable.0 * choice.opened);
    let eaten = Amount(choice.portion.0 * choice.serves);
    let used = (serves * choice.opened + choice.serves - 1) / choice.serves;
    Line {
        use_id: choice.use_id.clone(),
        package: choice.package.clone(),
        packages,
        pinned: ask.uses[&choice.use_id]
            .pinned
            .contains_key(&choice.package),
        serves,
        opened: choice.opened,
        serves_each: choice.serves,
        portion: choice.portion,
        usable: choice.usable,
        left_over: opened - eaten,
        surplus: packages - used,
        pounds: choice.pounds.of(packages),
        pounds_source: choice.pounds.source.clone(),
        process: choice.processes.first().map(|process| ProcessTold {
            food: process.product.clone(),
            pack: process.pack,
            jar: process.jar,
            method: process.method,
            minutes: process.minutes,
            acid: process.acid.clone(),
            source: process.source.clone(),
        }),
    }
}

fn uses(
    ask: &Ask,
    choices: &[Choice],
    programme: &Programme,
    solved: &Solved,
    lines: &[Line],
) -> BTreeMap<String, UseTold> {
    let told = ask.uses.iter().map(|(id, one)| {
        let serves = lines
            .iter()
            .filter(|line| line.use_id == *id)
            .map(|line| line.serves)
            .sum();
        let still = still_serves(ask, id).min(one.times_in_season());
        let missing = needed(ask, id) - serves;
        let (held_by, spoils) = if missing > 0 {
            held::held(ask, choices, programme, &solved.found, id)
        } else {
            (Vec::new(), false)
        };
        let told = UseTold {
            times: one.times_in_season(),
            still_serves: still,
            serves,
            missing,
            held_by,
            spoils,
            own_yield: one.own_yield,
        };
        (id.clone(), told)
    });
    told.collect()
}

fn produce(ask: &Ask, choices: &[Choice], lines: &[Line]) -> BTreeMap<String, ProduceTold> {
    let told = produce_there(ask).into_iter().map(|(name, there)| {
        let of_it = |use_id: &str| plain(&ask.uses[use_id].produce) == name;
        let mut sums = [Amount::ZERO; 3];
        for line in lines.iter().filter(|line| of_it(&line.use_id)) {
            for (sum, pounds) in sums.iter_mut().zip(line.pounds) {
                *sum += pounds;
            }
        }
        let missing: Amount = ask
            .uses
            .keys()
            .filter(|id| of_it(id))
            .map(|id| pounds_missing(ask, choices, lines, id))
            .sum();
        let told = ProduceTold {
            there,
            needed: sums,
            for_all: sums[1] + missing,
            short: (sums[1] - there).max(Amount::ZERO),
            left: (there - sums[1]).max(Amount::ZERO),
            box_pounds: box_pounds(&name),
        };
        (name, told)
    });
    told.collect()
}

/// Pounds, typical, for the uses that nothing is made for: in the package that takes fewest.
fn pounds_missing(ask: &Ask, choices: &[Choice], lines: &[Line], id: &str) -> Amount {
    let served: i64 = lines
        .iter()
        .filter(|line| line.use_id == id)
        .map(|line| line.serves)
        .sum();
    let missing = needed(ask, id) - served;
    let each = choices.iter().filter(|choice| choice.use_id == id);
    let pounds = each.map(|choice| {
        let packages = (missing * choice.opened + choice.serves - 1) / choice.serves;
        choice.pounds.of(packages)[1]
    });
    pounds.min().unwrap_or(Amount::ZERO)
}

fn loads_told(
    ask: &Ask,
    choices: &[Choice],
    programme: &Programme,
    solved: &Solved,
    lines: &[Line],
) -> Vec<LoadsTold> {
    let kinds = loads::kinds(&ask.kitchen);
    let mut told = Vec::new();
    for food in loads::foods(choices) {
        let of_it = choices
            .iter()
            .zip(lines)
            .filter(|(choice, _)| Food::of(choice).as_ref() == Some(&food));
        let mut jars: i64 = of_it.map(|(_, line)| line.packages).sum();
        for (number, kind) in kinds.iter().enumerate() {
            let Some(column) = programme.loads.get(&(food.clone(), number)) else {
                continue;
            };
            let fits = food.fits(choices, &kind.canner);
            let cycle = food.cycle_min(choices, &kind.canner);
            let process = food.process_min(choices, kind.canner.method);
            let (Some(holds), Some(cycle_min), Some(process_min)) = (fits, cycle, process) else {
                continue;
            };
            let here = jars.min(solved.found[*column] * holds);
            jars -= here;
            if here > 0 {
                told.push(LoadsTold {
                    food: food.name.clone(),
                    pack: food.pack,
                    jar: food.jar,
                    canner: kind.canner.name.clone(),
                    holds,
                    loads: (here + holds - 1) / holds,
                    jars: here,
                    process_min,
                    cycle_min,
                });
            }
        }
    }
    told
}

fn there_min(ask: &Ask) -> Option<i64> {
    let canners = i64::try_from(ask.kitchen.canners.len()).ok()?;
    loads::window_min(ask).map(|window| window * canners)
}

fn freezer(ask: &Ask, choices: &[Choice], lines: &[Line]) -> Option<FreezerTold> {
    let freezer = ask.freezer.as_ref()?;
    let frozen = choices
        .iter()
        .zip(lines)
        .filter(|(choice, _)| choice.container.jar().is_none());
    let pounds = frozen.map(|(choice, line)| Amount(freezing::weight(choice).0 * line.packages));
    Some(FreezerTold {
        pounds: pounds.sum(),
        in_a_day: freezing::in_a_day(freezer),
        room: freezing::room(freezer),
    })
}

/// The limits that nobody can help by settling another number.
pub(super) fn is_real(limit: &Limit) -> bool {
    !matches!(
        limit,
        Limit::Eaten { .. } | Limit::Served {} | Limit::Loads {}
    )
}
