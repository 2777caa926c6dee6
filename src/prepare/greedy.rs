//! A way to fill a [`Programme`] that is always there: what is worth most for its produce first.
//!
//! The search for the optimum starts from it, so that an ask too large to be settled within the
//! branches that are tried still has a good answer.

use super::options::Choice;
use super::programme::{Limit, Programme, Row};

/// Fills the columns greedily; what the lead has settled is in it.
pub fn greedy(programme: &Programme, choices: &[Choice]) -> Vec<i64> {
    let mut found: Vec<i64> = programme
        .columns
        .iter()
        .map(|column| column.least)
        .collect();
    serve_settled(programme, choices, &mut found);
    let mut order: Vec<usize> = (0..choices.len()).collect();
    order.sort_by_key(|number| std::cmp::Reverse(worth_per_pound(programme, choices, *number)));
    for number in order {
        if worth(programme, choices, number) <= 0 {
            continue;
        }
        let mut step = programme.columns[programme.at[number].1].most;
        while step > 0 {
            match with_more(programme, choices, &found, (number, step)) {
                Some(more) => found = more,
                None => step /= 2,
            }
        }
    }
    found
}

/// What one opening adds.
fn worth(programme: &Programme, choices: &[Choice], number: usize) -> i64 {
    let (packages, served) = programme.at[number];
    let choice = &choices[number];
    programme.columns[served].worth * choice.serves
        + programme.columns[packages].worth * choice.opened
}

fn worth_per_pound(programme: &Programme, choices: &[Choice], number: usize) -> i64 {
    let [_, pounds, _] = choices[number].pounds.of(choices[number].opened);
    worth(programme, choices, number) * 1000 / pounds.0.max(1)
}

/// Settled packages serve what they can, in loads as many as they need.
fn serve_settled(programme: &Programme, choices: &[Choice], found: &mut Vec<i64>) {
    load_all(programme, found);
    for (choice, (packages, served)) in choices.iter().zip(&programme.at) {
        let most = found[*packages] / choice.opened * choice.serves;
        let mut more = found.clone();
        more[*served] = most.min(programme.columns[*served].most);
        while more[*served] > 0 && !programme.keeps(&more) {
            more[*served] -= 1;
        }
        *found = more;
    }
}

/// With so many openings more, if every limit is kept and it is worth it.
fn with_more(
    programme: &Programme,
    choices: &[Choice],
    found: &[i64],
    (number, step): (usize, i64),
) -> Option<Vec<i64>> {
    let (packages, served) = programme.at[number];
    let choice = &choices[number];
    let mut more = found.to_vec();
    more[packages] += step * choice.opened;
    // The last opening may serve fewer than it could.
    let left = programme.columns[served].most - more[served];
    more[served] += (step * choice.serves).min(left);
    load_all(programme, &mut more);
    let better = programme.value(&more) > programme.value(found);
    (better && programme.keeps(&more)).then_some(more)
}

/// Adds loads until the jars have room, each in the canner that takes most in its time.
fn load_all(programme: &Programme, found: &mut [i64]) {
    let loads = |row: &&Row| row.limit == Limit::Loads {};
    for row in programme.rows.iter().filter(loads) {
        while row.used(found) > i128::from(row.most) {
            let canners = row.terms.iter().filter(|(_, factor)| *factor < 0);
            let room = |column: usize| {
                let mut more = found.to_vec();
                more[column] += 1;
                let in_time = programme
                    .rows
                    .iter()
                    .filter(|row| row.limit == Limit::CannerTime {})
                    .all(|row| row.used(&more) <= i128::from(row.most));
                in_time && more[column] <= programme.columns[column].most
            };
            let best = canners
                .filter(|(column, _)| room(*column))
                .min_by_key(|(_, factor)| *factor);
            match best {
                Some((column, _)) => found[*column] += 1,
                None => return,
            }
        }
    }
}
