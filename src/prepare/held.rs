//! What holds a use back of which not all is made.

use super::ask::Ask;
use super::loads::{self, Food};
use super::options::Choice;
use super::programme::{Limit, Programme};
use super::propose::is_real;
use std::cmp::Reverse;

/// The limits without room for one use more, in the choice that has fewest of them, of several the
/// one of which most is made; and whether every choice spoils more than is eaten, which is then the
/// reason.
pub fn held(
    ask: &Ask,
    choices: &[Choice],
    programme: &Programme,
    found: &[i64],
    use_id: &str,
) -> (Vec<Limit>, bool) {
    let mut nearest = Vec::new();
    let mut worth_it = false;
    let mut offered = false;
    for (choice, at) in choices.iter().zip(&programme.at) {
        if choice.use_id != use_id {
            continue;
        }
        offered = true;
        if !is_worth_it(programme, choice, *at) {
            continue;
        }
        worth_it = true;
        let tight = tight(ask, choices, programme, found, (choice, *at));
        nearest.push(((tight.len(), Reverse(found[at.0])), tight));
    }
    let best = nearest.into_iter().min_by_key(|(key, _)| *key);
    (
        best.map(|(_, limits)| limits).unwrap_or_default(),
        offered && !worth_it,
    )
}

/// Whether one full opening adds to the objective.
fn is_worth_it(programme: &Programme, choice: &Choice, (packages, served): (usize, usize)) -> bool {
    let eaten = programme.columns[served].worth * choice.serves;
    eaten + programme.columns[packages].worth * choice.opened > 0
}

fn tight(
    ask: &Ask,
    choices: &[Choice],
    programme: &Programme,
    found: &[i64],
    (choice, (packages, served)): (&Choice, (usize, usize)),
) -> Vec<Limit> {
    let mut more = found.to_vec();
    more[packages] += choice.opened;
    more[served] += choice.serves;
    // Jars that no load has room for want a load more, in the kind of canner that holds most.
    if let Some(food) = Food::of(choice) {
        let has_room = |row: &super::programme::Row| row.used(&more) <= i128::from(row.most);
        let of_loads = |row: &&super::programme::Row| {
            row.limit == Limit::Loads {} && row.terms.iter().any(|(column, _)| *column == packages)
        };
        let full = programme
            .rows
            .iter()
            .filter(of_loads)
            .any(|row| !has_room(row));
        let kinds = loads::kinds(&ask.kitchen);
        let columns = programme.loads.iter().filter(|((one, _), _)| *one == food);
        let largest =
            columns.max_by_key(|((food, kind), _)| food.fits(choices, &kinds[*kind].canner));
        if let Some((_, column)) = largest.filter(|_| full) {
            more[*column] += 1;
        }
    }
    let over = programme.rows.iter().filter(|row| {
        is_real(&row.limit)
            && row.used(&more) > i128::from(row.most)
            && row.used(&more) > row.used(found)
    });
    let mut limits: Vec<Limit> = over.map(|row| row.limit.clone()).collect();
    limits.sort();
    limits.dedup();
    limits
}
